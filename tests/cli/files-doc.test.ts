import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { check } from '../../src/cli/check.ts';
import { memoryFiles } from '../../src/input/file-access.ts';
import { type KindName, kinds, readQuantity } from '../../src/input/quantity.ts';
import { readStage, stageKeys } from '../../src/track/read-stage.ts';
import { carKeys, readCar } from '../../src/vehicle/read-car.ts';

const page = readFileSync(new URL('../../docs/files.md', import.meta.url), 'utf8');

/** Every example of the page: a line with its name, then the block. */
const examples = Object.fromEntries(
  [...page.matchAll(/^`([\w-]+\.(?:yaml|csv|xodr))`\n\n```\w+\n([\s\S]*?)```$/gm)].map(([, name, text]) => [
    name,
    text,
  ]),
);

test('every example of the page is sound', () => {
  expect(Object.keys(examples)).toEqual([
    'car.yaml',
    'engine.csv',
    'stage.yaml',
    'road.csv',
    'wet.yaml',
    'moor.csv',
    'survey.csv',
    'survey.yaml',
    'ridge.xodr',
    'ridge.yaml',
  ]);
  expect(check(Object.keys(examples), memoryFiles(examples))).toEqual({
    text: [
      'car.yaml: a car, 1240 kg, grip on asphalt, gravel',
      'engine.csv: the table of car.yaml',
      'stage.yaml: a stage, 1.315 km, 2 splits, asphalt, gravel',
      'road.csv: the table of stage.yaml',
      'wet.yaml: a stage, 1.315 km, 0 splits, asphalt, asphalt (grip 0.8), gravel',
      'moor.csv: a road table, 0.600 km, gravel, asphalt',
      'survey.csv: the table of survey.yaml',
      'survey.yaml: a stage, 0.075 km, 0 splits, asphalt',
      'ridge.xodr: the table of ridge.yaml',
      'ridge.yaml: a stage, 0.230 km, 0 splits, asphalt (grip 0.9)',
      '',
    ].join('\n'),
    status: 0,
  });
});

test('what the page says of its examples is so', () => {
  const files = memoryFiles(examples);
  expect(readCar('car.yaml', files).driveline.drivenLoad).toBe(0.55);
  const { road } = readStage('stage.yaml', files);
  expect(Math.min(...road.curvature)).toBeCloseTo(-1 / 22, 12);
  const { surfaces } = readStage('wet.yaml', files, { condition: 'wet' });
  expect(surfaces.get('asphalt (grip 0.8)')?.grip).toBeCloseTo(0.8 * 0.7, 12);
});

test('the page has every key', () => {
  for (const key of [...carKeys, ...stageKeys]) expect(page).toMatch(new RegExp(`\`${key}[\`.]`));
});

test('the units that the page names are known', () => {
  const [paragraph] = /^Units: [\s\S]*?taken too\.$/m.exec(page)!;
  const kindNames = Object.keys(kinds) as KindName[];
  for (const [, quoted] of paragraph.matchAll(/`([^`]+)`/g)) {
    const units = /[ ]/.test(quoted) && !/^(N|kg) [hm]/.test(quoted) ? quoted.split(' ') : [quoted];
    const fits = kindNames.filter((name) => units.every((unit) => readQuantity(`1 ${unit}`, name, '').ok));
    expect([quoted, fits.length]).toEqual([quoted, 1]);
  }
});
