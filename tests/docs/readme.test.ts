/** What the README shows is so: its files are read, its commands' times and its library example are run. */
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { checkFiles } from '../../src/cli/check.ts';
import { nodeFiles } from '../../src/cli/node-files.ts';
import { readCar, readStage, timeStage } from '../../src/index.ts';
import { memoryFiles } from '../../src/input/file-access.ts';

const root = new URL('../../', import.meta.url);
const readme = readFileSync(new URL('README.md', root), 'utf8');

/** Fenced blocks by the name after their language, such as car.yaml. */
const blocks: Record<string, string> = {};
for (const [, name, text] of readme.matchAll(/^```\w+ (\S+)\n(.*?)^```$/gms)) blocks[name] = text;
const files = memoryFiles(blocks);

/** Forecast of a stage as the README prints it [s]. */
function printed(stage: string): number {
  const after = readme.slice(readme.indexOf(`\n${stage}   `));
  const match = /^Forecast (\d+):(\d\d\.\d\d) /m.exec(after);
  if (!match) throw new Error(`the README prints no forecast for ${stage}`);
  return 60 * Number(match[1]) + Number(match[2]);
}

describe('README', () => {
  it('shows files that have no fault and no warning', () => {
    const { diagnostics, found } = checkFiles(['car.yaml', 'engine.csv', 'stage.yaml', 'road.csv'], files);
    expect(diagnostics).toEqual([]);
    expect(found).toHaveLength(4);
  });

  // The README is renewed where its times are off by more than a reader would call the same.
  it('prints the time of its own car', () => {
    const forecast = timeStage(readCar('car.yaml', files), readStage('stage.yaml', files));
    expect(Math.abs(forecast.time! - printed('Mill Lane'))).toBeLessThan(0.05);
    expect(forecast.sectors).toHaveLength(3);
  });

  it('prints the time of the example car', () => {
    const path = (name: string) => fileURLToPath(new URL(`stages/tarvenmoor/${name}.yaml`, root));
    const forecast = timeStage(readCar(path('car'), nodeFiles), readStage(path('skorrick-climb'), nodeFiles));
    expect(Math.abs(forecast.time! - printed('Skorrick Climb'))).toBeLessThan(0.05);
  });

  it('has a library example that runs', () => {
    const code = blocks['library'].replace(/^import .* from 'splitcast';$/m, '');
    const lines: string[] = [];
    const run = new Function('readCar', 'readStage', 'timeStage', 'console', code);
    run(
      (path: string) => readCar(path, files),
      (path: string) => readStage(path, files),
      timeStage,
      { log: (line: string) => lines.push(line) },
    );
    expect(lines).toHaveLength(4);
    expect(lines[2]).toMatch(/^1400 m: 15\.\d\d s, at most 1\d\d km\/h$/);
    expect(lines[3]).toMatch(/^50 kg more cost [01]\.\d\d s$/);
  });

  it('links to files that exist', () => {
    const links = Array.from(readme.matchAll(/\]\(([^)#:]+)\)/g), ([, path]) => path);
    expect(links.length).toBeGreaterThan(5);
    expect(links.filter((path) => !existsSync(new URL(path, root)))).toEqual([]);
  });
});
