// Bundles the commands and the library with their dependencies (a bundle starts several times faster than
// node_modules: docs/speed.md, "A cold start"), and writes the type declarations.
import { execFileSync } from 'node:child_process';
import { chmodSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { isBuiltin } from 'node:module';
import { fileURLToPath } from 'node:url';
import { rolldown } from 'rolldown';

const root = fileURLToPath(new URL('..', import.meta.url));
const { dependencies } = JSON.parse(readFileSync(`${root}package.json`, 'utf8'));
/** Packages of which something stands in the bundles, by their folder. */
const bundled = new Set();

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
  const { output } = await made.write({
    dir: 'dist',
    format: 'esm',
    entryFileNames: '[name].js',
    chunkFileNames: '[name]-[hash].js',
    minify: { mangle: false, compress: true, codegen: true }, // names stay, for the stack of a failure
    cleanDir,
  });
  for (const { type, fileName, imports, modules } of output) {
    if (type !== 'chunk') continue;
    // What is neither bundled nor installed with the package would be missing at run time. (vega also tries canvas,
    // with import(), and does without.)
    const missing = imports.filter(
      (name) => !isBuiltin(name) && !(name in dependencies) && !name.endsWith('.js'),
    );
    if (missing.length > 0) throw new Error(`${fileName} imports ${missing}, which is no dependency`);
    for (const id of Object.keys(modules)) {
      const folder = /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(id)?.[0];
      if (folder !== undefined) bundled.add(folder);
    }
  }
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

/** The licences of what is bundled ask to go with every copy. */
function licenceOf(folder) {
  const { name, version, license } = JSON.parse(readFileSync(`${folder}/package.json`, 'utf8'));
  const files = readdirSync(folder).filter((entry) => /^(licen[cs]e|notice)/i.test(entry));
  const texts = files.map((file) => readFileSync(`${folder}/${file}`, 'utf8').trim());
  return `${[`${name} ${version} (${license})`, ...texts].join('\n\n')}\n`;
}
const licences = [...bundled].sort().map(licenceOf);
writeFileSync('dist/licences.txt', licences.join(`\n${'-'.repeat(80)}\n\n`));

execFileSync(process.execPath, ['node_modules/typescript/bin/tsc', '-p', 'tsconfig.build.json'], {
  stdio: 'inherit',
});
