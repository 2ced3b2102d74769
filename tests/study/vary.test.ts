import { describe, expect, it } from 'vitest';
import { Faults } from '../../src/input/faults.ts';
import { memoryFiles } from '../../src/input/file-access.ts';
import { compassSearch } from '../../src/study/compass-search.ts';
import { gridOf } from '../../src/study/read-changes.ts';
import { evaluateHere, openStudy, type Study } from '../../src/study/study.ts';
import { numberOf, vary } from '../../src/study/vary.ts';
import { small } from './small-event.ts';

const W = (6000 * 2 * Math.PI) / 60; // [rad/s] at the limiter
const T = 200; //   [N m] at every speed
const M = 1000; //  [kg]
const R = 0.3; //   [m]

/** A level strip from rest, one gear, constant torque, no resistance, no tyre limit. */
function strip(length: number): Study {
  const files = memoryFiles({
    'event.yaml': 'event: Strip\ncar: car.yaml\nstages: [stage.yaml]\n',
    'stage.yaml':
      'stage: Strip\nroad: road.csv\nair: {density: 1 kg/m^3}\nsurfaces: {rails: {rolling_resistance: 0}}\n',
    'road.csv': `station_m,curvature_1pm,surface\n0,0,rails\n${length},0,rails\n`,
    'car.yaml': `car: Strip car\nmass: ${M} kg\ntyre: {radius: ${R} m, grip: {rails: 5}}\nair: {drag_area: 0 m^2}\nengine: {torque: engine.csv, launch: 1 rpm}\ndriveline: {driven: all, gears: [1], final_drive: 8}\n`,
    'engine.csv': `engine_rpm,torque_Nm\n0,${T}\n6000,${T}\n`,
  });
  const faults = new Faults();
  const study = openStudy('event.yaml', files, { step: 1 }, faults);
  if (study === null)
    throw new Error(
      faults
        .all()
        .map(({ message }) => message)
        .join('\n'),
    );
  return study;
}

describe('the best ratio on a level strip', () => {
  // From rest at a = T i / (m r) to v = w r / i, then at the limiter: t = v / 2a + L / v, least where
  // i³ = m w² r³ / (T L), which reaches the limiter at v² / 2a = L / 2. Derived here; the tolerance is the search's own.
  it.each([400, 700, 1500])('is (m w^2 r^3 / (T L))^(1/3) over %d m', async (length) => {
    const study = strip(length);
    const ideal = Math.cbrt((M * W ** 2 * R ** 3) / (T * length));
    const low = Math.floor(ideal) - 2;
    const axes = [{ path: 'driveline.final_drive', values: gridOf(low, low + 5, 0.5) as readonly number[] }];
    const { refined, best } = await vary(study, evaluateHere(study), axes, 0.002);
    expect(Math.abs(numberOf(best.values[0]).x - ideal)).toBeLessThanOrEqual(0.5);
    // 0.002 of the step of 0.5 is the distance of the points tried last; the time is flat there: it moves by
    // t'' d² / 2, less than 1e-7 s, under the digits that the solver keeps.
    expect(Math.abs(numberOf(refined!.values[0]).x / ideal - 1)).toBeLessThan(0.002);
    const v = (W * R) / ideal;
    const a = (T * ideal) / (M * R);
    expect(refined!.time).toBeCloseTo(v / (2 * a) + length / v, 5);
    const half = study.forecasts(
      { changes: [], settings: [['driveline.final_drive', ideal]], draw: null },
      study.car({ changes: [], settings: [['driveline.final_drive', ideal]], draw: null }),
    )[0];
    const reached = half.run.v2.findIndex((v2) => v2 >= v * v * (1 - 1e-9));
    expect(Math.abs(half.run.road.s[reached] - length / 2)).toBeLessThanOrEqual(1.01);
  });
});

describe('a grid', () => {
  it('has the steps that are asked for, in the unit of the first, without a sliver at the end', () => {
    expect(gridOf(4.2, 4.5, 0.1)).toEqual([4.2, 4.3, 4.4, 4.5]);
    expect(gridOf('1.3 t', '1400 kg', '50 kg')).toEqual(['1.3 t', '1.35 t', '1.4 t']);
    expect(gridOf('0 degC', '10 degC', '5 degC')).toEqual(['0 degC', '5 degC', '10 degC']);
    expect(gridOf(1, 2, 0)).toBe('has a step that is not above 0');
  });

  it('marks its best and how far each value may go from it', async () => {
    const study = small();
    const axes = [{ path: 'mass', values: ['1300 kg', '1350 kg', '1400 kg', '1450 kg'] }];
    const { points, best, flat } = await vary(study, evaluateHere(study), axes, null);
    // Less mass is never slower: the best is the lightest, and the span ends where 0.05 s are lost.
    expect(best.values).toEqual(['1300 kg']);
    expect(flat[0].openBelow).toBe(true);
    const at = flat[0].to;
    const before = points.findLast(({ values }) => numberOf(values[0]).x <= at)!;
    const after = points.find(({ values }) => numberOf(values[0]).x >= at)!;
    expect(before.time - best.time).toBeLessThanOrEqual(0.05);
    expect(after.time - best.time).toBeGreaterThanOrEqual(0.05);
  });
});

describe('the compass search', () => {
  it('comes to the bottom of a tilted bowl, and stays inside its bounds', async () => {
    const bowl = ([x, y]: readonly number[]) => (x - 0.3) ** 2 + (y + 0.2) ** 2 + 0.5 * (x - 0.3) * (y + 0.2);
    const task = {
      start: [2, 2],
      value: bowl([2, 2]),
      step: [1, 1],
      halvings: 14,
      evaluate: (points: readonly (readonly number[])[]) => Promise.resolve(points.map(bowl)),
    };
    const free = await compassSearch({ ...task, least: [-9, -9], most: [9, 9] });
    // The last step is 2^-14; a minimum of this bowl lies within twice that of a point that no step betters.
    expect(Math.hypot(free.at[0] - 0.3, free.at[1] + 0.2)).toBeLessThan(2 ** -12);
    const bound = await compassSearch({ ...task, least: [1, -9], most: [9, 9] });
    expect(bound.at[0]).toBe(1);
  });
});
