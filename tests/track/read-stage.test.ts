import { expect, test } from 'vitest';
import { memoryFiles } from '../../src/input/file-access.ts';
import { airDensity, geopotential } from '../../src/track/air-density.ts';
import { readStage } from '../../src/track/read-stage.ts';
import { goodFiles, spoil, stage } from '../fixtures/good-files.ts';

const read = (text: string, more: Record<string, string> = {}) =>
  readStage('stage.yaml', memoryFiles({ ...goodFiles, 'stage.yaml': text, ...more }));

test('a whole stage in SI', () => {
  const { road, places, ...rest } = read(stage);
  expect(road.s.at(-1)).toBe(450);
  expect(rest).toEqual({
    name: 'Kestrel Fell',
    file: 'stage.yaml',
    startSpeed: 0,
    splits: [200, 300],
    airDensity: airDensity(geopotential(310), 282.15),
    surfaces: new Map([
      ['gravel', { grip: 0.95, rollingResistance: 0.028, roughness: 'D' }],
      ['asphalt', { grip: 1, rollingResistance: 0.013, roughness: null }],
    ]),
    closed: false,
    assumptions: [
      'Air density 1.2058 kg/m^3: dry air by ISO 2533 at 310 m and 9.0 degC.',
      'Surface asphalt: grip factor 1, rolling resistance 0.013 (Wong; Bosch Automotive Handbook: concrete or asphalt; tables have 0.008 to 0.02) assumed.',
    ],
  });
  expect(places?.start).toMatchObject({ file: 'stage.yaml', line: 3, col: 8, length: 8 });
  expect(places?.surfaces.get('asphalt')).toMatchObject({ file: 'road.csv', line: 5, col: 14, length: 7 });
});

test('the least that a stage needs', () => {
  const least = read('stage: Least\nroad: road.csv\n');
  expect(least.startSpeed).toBe(0);
  expect(least.splits).toEqual([]);
  expect(least.airDensity).toBeCloseTo(1.225, 6);
  expect(least.assumptions[0]).toBe(
    "Air density 1.2250 kg/m^3: dry air by ISO 2533 at sea level and the standard's 15.0 degC there.",
  );
  expect(least.places?.start).toMatchObject({ line: 1 });
});

test('a rolling start and a given density', () => {
  const rolling = read(
    spoil(
      spoil(stage, 'start: standing', 'start: {rolling: 60 km/h}'),
      'altitude: 310 m, temperature: 9 degC',
      'density: 1.1 kg/m^3',
    ),
  );
  expect(rolling.startSpeed).toBeCloseTo(60 / 3.6, 12);
  expect(rolling.airDensity).toBe(1.1);
  expect(rolling.assumptions).toHaveLength(1);
});

test('a surface whose name no table knows', () => {
  const odd = read('stage: Odd\nroad: road.csv\n', {
    'road.csv': goodFiles['road.csv'].replaceAll('asphalt', 'planks'),
  });
  expect(odd.surfaces.get('planks')).toEqual({ grip: 1, rollingResistance: 0.02, roughness: null });
  expect(odd.assumptions).toContain(
    'Surface planks: grip factor 1, rolling resistance 0.02 (name not known, taken as rolled gravel (Wong; Bosch Automotive Handbook); tables have 0.008 to 0.4) assumed.',
  );
});
