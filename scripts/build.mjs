// Bundles the command and the library with their dependencies (a bundle starts several times faster than
// node_modules: docs/validation.md, "Speed"), and writes the type declarations.
import { execFileSync } from 'node:child_process';
import { chmodSync } from 'node:fs';
import { rolldown } from 'rolldown';

const bundle = await rolldown({
  input: { index: 'src/index.ts', cli: 'src/cli/bin.ts' },
  platform: 'node',
  external: [/^node:/],
  transform: { target: 'node20' },
  tsconfig: false,
});
await bundle.write({
  dir: 'dist',
  format: 'esm',
  entryFileNames: '[name].js',
  chunkFileNames: '[name]-[hash].js',
  cleanDir: true,
});
chmodSync('dist/cli.js', 0o755);
execFileSync(process.execPath, ['node_modules/typescript/bin/tsc', '-p', 'tsconfig.build.json'], {
  stdio: 'inherit',
});
