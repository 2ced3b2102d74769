// Writes the tables of docs/validation.md from a run of the tests that keep a record; what stands outside the blocks stays.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const docs = new URL('../docs/validation.md', import.meta.url);
const into = mkdtempSync(join(tmpdir(), 'validation-'));
const root = new URL('..', import.meta.url);
const folder = 'tests/published/';
const files = readdirSync(new URL(folder, root))
  .filter((file) => file.endsWith('.test.ts'))
  .map((file) => folder + file)
  .filter((file) => readFileSync(new URL(file, root), 'utf8').includes('helpers/validation.ts'));
try {
  const run = spawnSync(process.execPath, ['node_modules/vitest/vitest.mjs', 'run', ...files], {
    cwd: root,
    env: { ...process.env, VALIDATION: into },
    stdio: 'inherit',
  });
  let text = readFileSync(docs, 'utf8');
  for (const file of readdirSync(into).sort()) {
    const name = file.replace(/\.md$/, '');
    const begin = `<!-- ${name}: written by scripts/write-validation.mjs -->\n`;
    const from = text.indexOf(begin);
    const to = text.indexOf(`<!-- end of ${name} -->`);
    if (from < 0 || to < from) throw new Error(`docs/validation.md has no block "${name}"`);
    text = text.slice(0, from + begin.length) + readFileSync(join(into, file), 'utf8') + text.slice(to);
  }
  // A table of a run that failed would show what is not so.
  if (run.status === 0) writeFileSync(docs, text);
  process.exitCode = run.status ?? 1;
} finally {
  rmSync(into, { recursive: true });
}
