// Runs the benchmarks, each in a process of its own, and prints one table. Names on the command line pick some.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { rolldown } from 'rolldown';

const all = ['solve', 'sample', 'cars', 'growth', 'memory', 'study', 'fit', 'linear-programme', 'cold-start'];
const asked = process.argv.slice(2);
const unknown = asked.filter((name) => !all.includes(name));
if (unknown.length > 0) {
  console.error(`no benchmark "${unknown.join('", "')}"; there are: ${all.join(', ')}`);
  process.exit(2);
}
const folder = mkdtempSync(join(tmpdir(), 'splitcast-bench-'));
try {
  console.log('| measured | value | target |\n|---|---|---|');
  for (const name of asked.length > 0 ? asked : all) {
    let file = `benchmarks/${name}.mjs`;
    if (name !== 'cold-start' && name !== 'study') {
      const bundle = await rolldown({
        input: `benchmarks/${name}.bench.ts`,
        platform: 'node',
        external: [/^node:/],
        transform: { target: 'node20' },
        tsconfig: false,
        // Not bundled: it looks for its own files beside itself.
        plugins: [
          {
            name: 'highs',
            resolveId: (id) => (id === 'highs' ? { id: import.meta.resolve(id), external: true } : null),
          },
        ],
      });
      file = join(folder, `${name}.mjs`);
      await bundle.write({ file, format: 'esm' });
    }
    const out = execFileSync(process.execPath, [file], {
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    for (const row of out.split('\n').filter((row) => row !== ''))
      console.log(`| ${row.split('\t').join(' | ')} |`);
  }
} finally {
  rmSync(folder, { recursive: true });
}
