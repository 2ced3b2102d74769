// Bundles the commands and the library with their dependencies (a bundle starts several times faster than
// node_modules: docs/speed.md, "A cold start"), and writes the type declarations.
import { execFileSync } from 'node:child_process';
import { chmodSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { rolldown } from 'rolldown';

const root = fileURLToPath(new URL('..', import.meta.url));

async function bundle(input, cleanDir, plugins) {
  const made = await rolldown({
    input,
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
    plugins,
  });
  await made.write({
    dir: 'dist',
    format: 'esm',
    entryFileNames: '[name].js',
    chunkFileNames: '[name]-[hash].js',
    minify: { mangle: false, compress: true, codegen: true }, // names stay, for the stack of a failure
    cleanDir,
  });
}

// `time` is a bundle of its own: a part shared with the other commands would bring what only those need of mathjs
// and yaml, and each file more costs a cold start a millisecond or two.
await bundle({ time: 'src/cli/time-command.ts' }, true, []);
const timeApart = {
  name: 'time-apart',
  resolveId: (id) => (id === './time-command.ts' ? { id: './time.js', external: true } : null),
};
await bundle({ index: 'src/index.ts', cli: 'src/cli/bin.ts', worker: 'src/cli/worker.ts' }, false, [
  timeApart,
]);
chmodSync('dist/cli.js', 0o755);
execFileSync(process.execPath, ['node_modules/typescript/bin/tsc', '-p', 'tsconfig.build.json'], {
  stdio: 'inherit',
});
