// Bundles the command and the library with their dependencies (a bundle starts several times faster than
// node_modules: docs/speed.md, "A cold start"), and writes the type declarations.
import { execFileSync } from 'node:child_process';
import { chmodSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { rolldown } from 'rolldown';

const root = fileURLToPath(new URL('..', import.meta.url));

/** What `splitcast time` loads goes into one file: each file more costs a cold start a millisecond or two. */
const neededByTime = new Set();
const findNeededByTime = {
  name: 'find-needed-by-time',
  buildEnd() {
    const visit = (id) => {
      const module = this.getModuleInfo(id);
      if (module === null || module.isExternal || neededByTime.has(id)) return;
      neededByTime.add(id);
      module.importedIds.forEach(visit);
    };
    visit(`${root}src/cli/time-command.ts`);
  },
};

const bundle = await rolldown({
  input: { index: 'src/index.ts', cli: 'src/cli/bin.ts', worker: 'src/cli/worker.ts' },
  platform: 'node',
  external: [/^node:/, '@resvg/resvg-js'],
  // For Node yaml offers CommonJS, of which nothing can be left out; jsonc-parser one that does not bundle.
  resolve: {
    alias: {
      yaml: `${root}node_modules/yaml/browser/index.js`,
      'jsonc-parser': `${root}node_modules/jsonc-parser/lib/esm/main.js`,
    },
  },
  transform: { target: 'node20' },
  tsconfig: false,
  plugins: [findNeededByTime],
});
await bundle.write({
  dir: 'dist',
  format: 'esm',
  entryFileNames: '[name].js',
  chunkFileNames: '[name]-[hash].js',
  codeSplitting: { groups: [{ name: 'time', test: (id) => neededByTime.has(id) }] },
  minify: { mangle: false, compress: true, codegen: true }, // names stay, for the stack of a failure
  cleanDir: true,
});
chmodSync('dist/cli.js', 0o755);
execFileSync(process.execPath, ['node_modules/typescript/bin/tsc', '-p', 'tsconfig.build.json'], {
  stdio: 'inherit',
});
