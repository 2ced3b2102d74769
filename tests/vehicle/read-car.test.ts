import { describe, expect, test } from 'vitest';
import { memoryFiles } from '../../src/input/file-access.ts';
import { readCar } from '../../src/vehicle/read-car.ts';
import { car, goodFiles, power, spoil } from '../fixtures/good-files.ts';

const RPM = (2 * Math.PI) / 60;
const read = (text: string, more: Record<string, string> = {}) =>
  readCar('car.yaml', memoryFiles({ ...goodFiles, 'car.yaml': text, ...more }));

test('a whole car in SI', () => {
  expect(read(car)).toEqual({
    name: 'Fell hatch',
    file: 'car.yaml',
    mass: 1390,
    pace: 1,
    massFactor: 1.05,
    rotating: null,
    tyre: {
      radius: 0.31,
      grip: new Map([
        ['gravel', { across: 0.62, along: 0.62 }],
        ['asphalt', { across: 0.95, along: 1 }],
      ]),
    },
    dragArea: 0.74,
    downforceArea: 0.3,
    roadLoad: null,
    engine: {
      kind: 'torque',
      speed: Float64Array.of(1000 * RPM, 3000 * RPM, 5500 * RPM, 7500 * RPM),
      value: Float64Array.of(120, 260, 310, 240),
      idle: 1000 * RPM,
      launch: 1000 * RPM,
      limit: expect.closeTo(7400 * RPM, 9),
    },
    driveline: {
      driven: 'all',
      drivenLoad: 1,
      gearing: [3.08, 2.19, 1.68, 1.33, 1.08, 0.9].map((gear) => (gear * 4.3) / 0.31),
      ratios: { gears: [3.08, 2.19, 1.68, 1.33, 1.08, 0.9], finalDrive: 4.3 },
      efficiency: [0.88, 0.88, 0.88, 0.88, 0.88, 0.88],
      shift: 0.12,
    },
    brakeForce: 17_000,
    assumptions: ["No pace is given: the driver uses all of the tyre's grip (pace 1)."],
  });
});

test('the least that a car needs, and what is said about the rest', () => {
  const least = read(
    'car: Least\nmass: 900 kg\ntyre: {radius: 0.3 m, grip: {ice: 0.1}}\nengine: {torque: engine.csv}\ndriveline: {driven: front, driven_load: 0.6, gears: [3, 2], final_drive: 4}\n',
  );
  expect(least.massFactor).toBe(1);
  expect(least.dragArea).toBe(0);
  expect(least.brakeForce).toBeNull();
  expect(least.driveline).toMatchObject({ driven: 'front', drivenLoad: 0.6, efficiency: [1, 1], shift: 0 });
  expect(least.assumptions).toEqual([
    'No driveline.efficiency is given: all of the torque arrives (1).',
    'No driveline.shift is given: shifts take no time.',
    'Neither mass_factor nor rotating is given: the inertia of what rotates is left out (mass factor 1).',
    'Neither air.drag_area nor road_load is given: drag is left out.',
    'No air.downforce_area is given: neither downforce nor lift.',
    'No brakes.force is given: braking is limited by the tyres alone.',
    "No pace is given: the driver uses all of the tyre's grip (pace 1).",
  ]);
});

test('a power table, with launch and idle', () => {
  const { engine } = read(
    spoil(
      car,
      '{torque: engine.csv, limit: 7400 rpm}',
      '{power: power.csv, idle: 1100 rpm, launch: 4000 rpm}',
    ),
    { 'power.csv': power },
  );
  expect(engine).toEqual({
    kind: 'power',
    speed: Float64Array.of(1000 * RPM, 3000 * RPM, 5500 * RPM, 7500 * RPM),
    value: Float64Array.of(12_000, 82_000, 178_000, 188_000),
    idle: expect.closeTo(1100 * RPM, 9),
    launch: expect.closeTo(4000 * RPM, 9),
    limit: 7500 * RPM,
  });
});

test('one power at every speed, without gears', () => {
  const read150 = read(
    'car: Constant\nmass: 1200 kg\ntyre: {grip: {asphalt: 0.9}}\nair: {drag_area: 0 m^2}\nengine: {power: 150 kW}\ndriveline: {driven: all, efficiency: 0.9}\n',
  );
  expect(read150.engine).toEqual({ kind: 'constant-power', power: 150_000 });
  expect(read150.driveline).toEqual({
    driven: 'all',
    drivenLoad: 1,
    gearing: [],
    ratios: null,
    efficiency: [0.9],
    shift: 0,
  });
  expect(read150.tyre.radius).toBeNull();
});

test('engine speed per road speed in place of ratios', () => {
  const { driveline } = read(
    spoil(
      spoil(
        car,
        '  gears: [3.08, 2.19, 1.68, 1.33, 1.08, 0.90]\n  final_drive: 4.30\n',
        '  rpm_per_kmh: [107.52, 56.64]\n',
      ),
      '  radius: 0.31 m\n',
      '',
    ),
  );
  // 107.52 rpm at 1 km/h: 107.52 × 60 revolutions an hour over 1000 m, 2π rad each.
  expect(driveline.gearing[0]).toBeCloseTo((107.52 * 60 * 2 * Math.PI) / 1000, 10);
  expect(driveline.ratios).toBeNull();
});

describe('road load', () => {
  const loaded = (load: string) =>
    read(spoil(car, 'air: {drag_area: 0.74 m^2, downforce_area: 0.30 m^2}', `road_load: ${load}`));

  test('coefficients per km/h become SI', () => {
    const { roadLoad, dragArea } = loaded('{f0: 200 N, f1: 0.35 N h/km, f2: 0.032 N h^2/km^2}');
    expect(roadLoad).toEqual({
      f0: 200,
      f1: expect.closeTo(0.35 * 3.6, 12),
      f2: expect.closeTo(0.032 * 12.96, 12),
      airDensity: 1.17,
      assumedRolling: 0.013,
    });
    expect(dragArea).toBe(0);
  });

  test('a middle term below zero and a stated air are taken', () => {
    const { roadLoad } = loaded('{f0: 0 N, f1: -0.2 N h/km, f2: 0.04 N h^2/km^2, air_density: 1.19 kg/m^3}');
    expect(roadLoad?.f1).toBeLessThan(0);
    expect(roadLoad?.airDensity).toBe(1.19);
  });
});

test('rotating inertias take the place of a mass factor', () => {
  const rotating =
    'rotating: {engine: 0.14 kg m^2, gearbox: [0.02 kg m^2, 0.02 kg m^2, 0.01 kg m^2, 0.01 kg m^2, 0.01 kg m^2, 0.01 kg m^2], final_drive: 0.03 kg m^2, wheels: 4.2 kg m^2}';
  const { massFactor, rotating: read1 } = read(spoil(car, 'mass_factor: 1.05', rotating));
  expect(massFactor).toBeNull();
  expect(read1).toEqual({
    engine: 0.14,
    gearbox: [0.02, 0.02, 0.01, 0.01, 0.01, 0.01],
    finalDrive: 0.03,
    wheels: 4.2,
  });
  const { rotating: part } = read(spoil(car, 'mass_factor: 1.05', 'rotating: {engine: 0.14 kg m^2}'));
  expect(part).toEqual({ engine: 0.14, gearbox: [0, 0, 0, 0, 0, 0], finalDrive: 0, wheels: 0 });
});

test('downforce by axle is added up, and said so', () => {
  const split = read(
    spoil(car, 'downforce_area: 0.30 m^2', 'downforce_area: {front: 0.1 m^2, rear: -0.3 m^2}'),
  );
  expect(split.downforceArea).toBeCloseTo(-0.2, 12);
  expect(split.assumptions).toContain(
    'Downforce at front and rear is taken together: axles are not modelled.',
  );
});

test('an efficiency for each gear, and a car named by a number', () => {
  const each = read(
    spoil(
      spoil(car, 'efficiency: 0.88', 'efficiency: [0.85, 0.86, 0.87, 0.88, 0.89, 0.9]'),
      'Fell hatch',
      '205',
    ),
  );
  expect(each.driveline.efficiency).toEqual([0.85, 0.86, 0.87, 0.88, 0.89, 0.9]);
  expect(each.name).toBe('205');
});

test('a limit at the last row of the table is not beyond it', () => {
  const { engine } = read(spoil(car, '7400 rpm', '7500 rpm'));
  expect(engine).toMatchObject({ limit: 7500 * RPM });
});
