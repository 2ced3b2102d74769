import { describe, expect, it, test } from 'vitest';
import { InputError } from '../../src/input/diagnostic.ts';
import { memoryFiles } from '../../src/input/file-access.ts';
import { timeStage } from '../../src/sim/time-stage.ts';
import { readStage } from '../../src/track/read-stage.ts';
import type { Stage } from '../../src/track/stage.ts';
import { readCar } from '../../src/vehicle/read-car.ts';
import { goodFiles, spoil, stage } from '../fixtures/good-files.ts';

const HEAD = 'station_m,curvature_1pm,grade_pct,crossfall_deg,surface\n';
const table = (...rows: readonly string[]) => `${HEAD}${rows.join('\n')}\n`;
const road = table('0,0,2,1,gravel', '200,0.01,4,1,gravel', '400,-0.01,0,3,gravel', '1000,0,0,3,gravel');

function read(keys: string, text = road, condition?: string): Stage {
  const files = memoryFiles({
    ...goodFiles,
    'road.csv': text,
    'stage.yaml': `stage: Test\nroad: road.csv\n${keys}\n`,
  });
  return readStage('stage.yaml', files, { condition });
}

const car = readCar('car.yaml', memoryFiles({ ...goodFiles, 'car.yaml': goodFiles['car.yaml'] }));
const timeOf = (on: Stage) => timeStage(car, on).time!;
const surfacesAlong = ({ road: { s, surface, surfaceNames } }: Stage) =>
  [...s].map((at, i) => `${at} ${surfaceNames[surface[i]]}`);

describe('ranges over a road table', () => {
  it('are as rows of the table that name the surface there', () => {
    const byRange = read('ranges: [{from: 100 m, to: 0.3 km, surface: asphalt}]');
    const byTable = read(
      '',
      table(
        '0,0,2,1,gravel',
        '100,0.005,3,1,asphalt',
        '200,0.01,4,1,asphalt',
        '300,0,2,2,gravel',
        '400,-0.01,0,3,gravel',
        '1000,0,0,3,gravel',
      ),
    );
    expect(surfacesAlong(byRange)).toEqual(surfacesAlong(byTable));
    for (const column of ['s', 'curvature', 'grade', 'crossfall'] as const)
      for (const [i, value] of byTable.road[column].entries())
        expect(byRange.road[column][i]).toBeCloseTo(value, 12);
    expect(timeOf(byRange)).toBeCloseTo(timeOf(byTable), 9);
  });

  it('change the grip of the surface that lies there, and the car knows it by that surface', () => {
    const halved = read('ranges: [{from: 0 m, to: 1 km, grip: 0.5}]');
    const everywhere = read('surfaces: {gravel: {grip: 0.5}}');
    expect(halved.road.surfaceNames).toEqual(['gravel (grip 0.5)']);
    expect(halved.surfaces.get('gravel (grip 0.5)')).toEqual({
      grip: 0.5,
      rollingResistance: 0.02,
      roughness: null,
      tyreSurface: 'gravel',
    });
    expect(timeOf(halved)).toBe(timeOf(everywhere));
    expect(timeOf(halved)).toBeGreaterThan(timeOf(read('')));
  });

  it('meet, fall on rows, and run from the start or to the finish', () => {
    const laid = read(
      'ranges: [{from: 400 m, surface: ice, roughness: B}, {to: 200 m, surface: mud}, {from: 200 m, to: 250 m, grip: 0.9}]',
    );
    expect(surfacesAlong(laid)).toEqual([
      '0 mud',
      '200 gravel (grip 0.9)',
      '250 gravel',
      '400 ice (roughness B)',
      '1000 ice (roughness B)',
    ]);
    expect(laid.surfaces.get('ice (roughness B)')?.roughness).toBe('B');
  });

  it('keep a step of the table, on whichever side they end', () => {
    const step = table('0,0,0,0,ice', '50,0,0,0,ice', '50,0.02,0,0,mud', '100,0.02,0,0,mud');
    expect(surfacesAlong(read('ranges: [{from: 20 m, to: 50 m, surface: gravel}]', step))).toEqual([
      '0 ice',
      '20 gravel',
      '50 ice',
      '50 mud',
      '100 mud',
    ]);
    expect(surfacesAlong(read('ranges: [{from: 50 m, to: 70 m, surface: gravel}]', step)).slice(-3)).toEqual([
      '50 gravel',
      '70 mud',
      '100 mud',
    ]);
  });

  it('name the surfaces of a table without a column for them', () => {
    const bare = road.replaceAll(',surface', '').replaceAll(',gravel', '');
    const laid = read('ranges: [{to: 0.5 km, surface: gravel}, {from: 0.5 km, surface: asphalt}]', bare);
    expect(surfacesAlong(laid)).toEqual([
      '0 gravel',
      '200 gravel',
      '400 gravel',
      '500 asphalt',
      '1000 asphalt',
    ]);
    expect(laid.assumptions).toContain(
      '2 ranges of the stage file, 1.00 km in all, stand over the surface of the road table.',
    );
  });

  it('keep what else the table gives', () => {
    const text =
      'station_m,curvature_1pm,surface,vertical_curvature_1pm,x_m,y_m,z_m,width_m\n0,0,ice,0,0,0,9,4\n100,0,ice,0.001,80,60,7,6\n';
    const { road: laid } = read('ranges: [{from: 50 m, surface: mud}]', text);
    const middle = [laid.verticalCurvature!, laid.xy!.x, laid.xy!.y, laid.z!, laid.width!].map((a) => a[1]);
    expect(middle).toEqual([0.0005, 40, 30, 8, 5]);
  });
});

describe('conditions', () => {
  const keys = [
    'surfaces: {gravel: {grip: 0.8, rolling_resistance: 0.03}}',
    'ranges: [{from: 500 m, to: 600 m, grip: 0.4}]',
    'conditions: {wet: {gravel: {grip: 0.6}}, snowed: {gravel: {grip: 0.3, rolling_resistance: 0.05, roughness: C}}}',
  ].join('\n');

  it('none chosen: the surfaces as written', () => {
    const dry = read(keys);
    expect(dry.condition).toBeUndefined();
    expect(dry.conditions).toEqual(['wet', 'snowed']);
    expect(dry.surfaces.get('gravel')).toEqual({ grip: 0.8, rollingResistance: 0.03, roughness: null });
    expect(dry.assumptions).toContain(
      'No condition chosen (of wet, snowed): the surfaces are as the stage file has them.',
    );
  });

  it('one chosen: what it gives in place of that, and a stretch in proportion', () => {
    const wet = read(keys, road, 'wet');
    expect(wet.condition).toBe('wet');
    expect(wet.surfaces.get('gravel')).toEqual({ grip: 0.6, rollingResistance: 0.03, roughness: null });
    const { grip, ...rest } = wet.surfaces.get('gravel (grip 0.4)')!;
    expect(grip).toBeCloseTo((0.4 * 0.6) / 0.8, 15);
    expect(rest).toEqual({ rollingResistance: 0.03, roughness: null, tyreSurface: 'gravel' });
    expect(read(keys, road, 'snowed').surfaces.get('gravel')).toEqual({
      grip: 0.3,
      rollingResistance: 0.05,
      roughness: 'C',
    });
    expect(wet.assumptions).toContain(
      'Condition wet: gravel with grip factor 0.6; all else as the stage file has it.',
    );
    expect(timeOf(wet)).toBeGreaterThan(timeOf(read(keys)));
  });

  test.each([
    ['wett', ['stage.yaml:5:1: error: the stage has no condition wett'], 'did you mean wet?'],
    ['icy', ['stage.yaml:5:1: error: the stage has no condition icy'], 'its conditions are wet, snowed'],
  ])('an unknown one (%s) is refused', (name, lines, help) => {
    const fault = caught(() => read(keys, road, name));
    expect(fault.message.split('\n')).toEqual(lines);
    expect(fault.diagnostics[0].help).toBe(help);
  });

  it('one that is asked of a stage without any is refused', () => {
    const fault = caught(() => readStage('stage.yaml', memoryFiles({ ...goodFiles }), { condition: 'wet' }));
    expect(fault.diagnostics.map((d) => [d.file, d.line, d.message, d.help])).toEqual([
      [
        'stage.yaml',
        0,
        'the stage has no condition wet',
        'add, for example, `conditions: {wet: {gravel: {grip: 0.85}}}`, or time it without a condition',
      ],
    ]);
  });
});

test('where the road lies on the earth', () => {
  const files = (line: string) =>
    memoryFiles({ ...goodFiles, 'stage.yaml': spoil(stage, 'start: standing', line) });
  const written = files('georeference: {latitude: -46.123456 deg, longitude: 7.1 deg, height: 1210 m}');
  expect(readStage('stage.yaml', written).georeference).toEqual({
    latitude: -46.123456,
    longitude: 7.1,
    height: 1210,
  });
  const flat = files('georeference: {latitude: 0.5 deg, longitude: 180 deg}');
  expect(readStage('stage.yaml', flat).georeference?.height).toBe(0);
});

function caught(read: () => unknown): InputError {
  try {
    read();
  } catch (error) {
    if (error instanceof InputError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}
