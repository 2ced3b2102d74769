// Writes the table "The fit of a road" of docs/validation.md: the fit on roads that are known, seeds fixed. Takes minutes.
import { execFile } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { rolldown } from 'rolldown';

const docs = new URL('../docs/validation.md', import.meta.url);
const root = fileURLToPath(new URL('..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'measure-fit-'));
try {
  const bundle = await rolldown({
    input: `${root}tests/helpers/fit-table.ts`,
    platform: 'node',
    external: [/^node:/],
    transform: { target: 'node20' },
    tsconfig: false,
  });
  await bundle.write({ dir: folder, format: 'esm', entryFileNames: 'table.mjs' });
  const { FIT_CASES, head } = await import(join(folder, 'table.mjs'));
  const rows = Array.from({ length: FIT_CASES.length }, () => '');
  let next = 0;
  const work = async () => {
    while (next < rows.length) {
      const k = next++;
      const code = `import(${JSON.stringify(join(folder, 'table.mjs'))}).then((m) => console.log(m.rowOf(${k})))`;
      const { stdout } = await promisify(execFile)(process.execPath, ['-e', code], { cwd: root });
      rows[k] = stdout;
      process.stderr.write(stdout);
    }
  };
  await Promise.all(Array.from({ length: Math.min(2, availableParallelism()) }, work));
  const text = readFileSync(docs, 'utf8');
  const begin = '<!-- fit: written by scripts/measure-fit.mjs -->\n';
  const from = text.indexOf(begin);
  const to = text.indexOf('<!-- end of fit -->');
  if (from < 0 || to < from) throw new Error('docs/validation.md has no block "fit"');
  writeFileSync(docs, `${text.slice(0, from + begin.length)}\n${head}${rows.join('')}\n${text.slice(to)}`);
} finally {
  rmSync(folder, { recursive: true });
}
