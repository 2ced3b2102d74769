/** The house keeps its order: imports point one way, and no file names a place on one machine. */
import { execFileSync } from 'node:child_process';
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));

/** What each folder of src may import from, itself apart. */
const allowed: Readonly<Record<string, readonly string[]>> = {
  numbers: [],
  input: ['numbers'],
  track: ['numbers', 'input'],
  vehicle: ['numbers', 'input'],
  sim: ['numbers', 'input', 'track', 'vehicle'],
  study: ['numbers', 'input', 'track', 'vehicle', 'sim'],
  report: ['numbers', 'input', 'track', 'vehicle', 'sim', 'study'],
  cli: ['numbers', 'input', 'track', 'vehicle', 'sim', 'study', 'report'],
};

const modules = readdirSync(`${root}src`, { recursive: true, encoding: 'utf8' })
  .map((path) => path.replaceAll('\\', '/'))
  .filter((path) => path.endsWith('.ts'));

/** What a module imports or exports from, types and lazy imports too. */
function importsOf(path: string): string[] {
  const code = readFileSync(`${root}src/${path}`, 'utf8').replace(/\/\*[\s\S]*?\*\/|^\s*\/\/.*$/gm, '');
  return Array.from(code.matchAll(/(?:\bfrom|\bimport)\s*\(?\s*'([^']+)'/g), ([, from]) => from);
}

it('keeps imports one way', () => {
  const wrong: string[] = [];
  for (const path of modules) {
    const [folder, rest] = path.split('/');
    if (rest === undefined) continue; // src/index.ts, the public face, imports from everywhere
    if (!(folder in allowed)) wrong.push(`src/${folder} is not known to this test`);
    for (const from of importsOf(path)) {
      if (from.startsWith('node:') && folder !== 'cli') wrong.push(`${path} imports ${from}`);
      if (!from.startsWith('.')) continue;
      const to = new URL(from, `file:///${path}`).pathname.split('/')[1];
      if (to !== folder && !allowed[folder]?.includes(to)) wrong.push(`${path} imports ${from}`);
    }
  }
  expect(modules.length).toBeGreaterThan(40);
  expect(wrong).toEqual([]);
});

it('commits no path of one machine, no conflict marks and no notes to oneself', () => {
  // Built from parts, so that this file does not hold them itself.
  const forbidden = [
    new RegExp(['(?<![\\w.])/', '(work|home|Users|root)/\\w'].join('')),
    new RegExp(['\\b[A-Z]:', '\\\\(Users|work)\\b'].join('')),
    new RegExp(`^(${'<'.repeat(7)}|${'>'.repeat(7)}) `, 'm'),
    new RegExp(`\\b(${['TO', 'DO'].join('')}|${['FIX', 'ME'].join('')}|${['X', 'XX'].join('')})\\b`),
  ];
  const files = execFileSync('git', ['ls-files', '-z'], { cwd: root, encoding: 'utf8' }).split('\0');
  const wrong: string[] = [];
  for (const path of files) {
    if (
      path === '' ||
      path === 'package-lock.json' ||
      !statSync(root + path, { throwIfNoEntry: false })?.isFile()
    )
      continue;
    const text = readFileSync(root + path, 'utf8');
    if (text.includes('\0')) continue; // not text
    for (const words of forbidden) {
      const found = words.exec(text);
      if (found) wrong.push(`${path}: ${found[0]}`);
    }
  }
  expect(wrong).toEqual([]);
});
