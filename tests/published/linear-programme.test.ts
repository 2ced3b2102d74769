/**
 * A second opinion on whole roads from a general solver of linear programmes (HiGHS, npm package `highs`).
 *
 * Problem: Verscheure et al., IEEE Trans. Automatic Control 54(10), 2009: with b = v² the fastest run on a fixed path
 * is a convex problem but for the drive limit (see tests/helpers/linear-programme.ts). Shift time 0, one mass factor.
 */
import { describe, expect, it } from 'vitest';
import { timeStage } from '../../src/sim/time-stage.ts';
import type { Stage } from '../../src/track/stage.ts';
import type { CarSpec } from '../../src/vehicle/car-spec.ts';
import { carWith, type Row, roadTable, sampleRoad, stageOn } from '../helpers/build.ts';
import { timeBounds } from '../helpers/linear-programme.ts';
import { Validation } from '../helpers/validation.ts';

const validation = new Validation('linear-programme');

const RPM = (2 * Math.PI) / 60;

const engine: CarSpec['engine'] = {
  kind: 'torque',
  speed: Float64Array.of(1500, 3000, 4500, 6000, 7000, 7500).map((x) => x * RPM),
  value: Float64Array.of(140, 210, 250, 245, 215, 190),
  idle: 1500 * RPM,
  launch: 3500 * RPM,
  limit: 7400 * RPM,
};
const gearing = [3.08, 2.19, 1.68, 1.33, 1.08, 0.9].map((ratio) => (ratio * 4.3) / 0.31);
const driveline: CarSpec['driveline'] = {
  driven: 'all',
  drivenLoad: 1,
  gearing,
  ratios: null,
  efficiency: gearing.map(() => 0.88),
  shift: 0,
};
const grip = new Map([
  ['asphalt', { across: 0.95, along: 1.0 }],
  ['gravel', { across: 0.6, along: 0.64 }],
  ['snow', { across: 0.33, along: 0.3 }],
  ['ice', { across: 0.2, along: 0.18 }],
]);

/** Six gears, four-wheel drive, a little downforce. */
const geared = (change: Partial<CarSpec> = {}): CarSpec =>
  carWith({
    mass: 1390,
    massFactor: 1.06,
    tyre: { radius: 0.31, grip },
    dragArea: 0.74,
    downforceArea: 0.3,
    engine,
    driveline,
    brakeForce: 13_000,
    ...change,
  });

/** The same power at every speed. */
const constant = (change: Partial<CarSpec> = {}): CarSpec =>
  geared({
    engine: { kind: 'constant-power', power: 170_000 },
    driveline: { ...driveline, gearing: [], efficiency: [0.88] },
    ...change,
  });

/** Pieces of road one after another: length, and what holds at its end; what is left out goes on. */
type Piece = readonly [number, Partial<Omit<Row, 's'>>?];
function road(pieces: readonly Piece[], start: Partial<Omit<Row, 's'>> = {}): Row[] {
  let row: Row = { s: 0, k: 0, grade: 0, phi: 0, surface: 'asphalt', ...start };
  const rows = [row];
  for (const [length, end = {}] of pieces) {
    const { surface = row.surface!, ...rest } = end;
    row = { ...row, ...rest, s: row.s + length };
    rows.push(row);
    // The surface holds from its row on: it changes after the piece that names it.
    if (surface !== row.surface) {
      row = { ...row, surface };
      rows[rows.length - 1] = row;
    }
  }
  return rows;
}

interface Case {
  readonly name: string;
  readonly spec: CarSpec;
  readonly rows: readonly Row[];
  readonly start: number; // [m/s]
  readonly step: number; //  [m]; the grid error is measured from twice that
}

/** 5 km of bends of every radius, grades, crests and two surfaces, in a pattern that does not repeat. */
function long(): Piece[] {
  const pieces: Piece[] = [];
  const radii = [35, -60, 120, -18, 200, 45, -90, 28, -150, 70, -25];
  const grades = [0.03, -0.05, 0, 0.06, -0.02, -0.07, 0.04];
  for (let i = 0, length = 0; length < 4900; i++) {
    const k = 1 / radii[i % radii.length];
    const arc = Math.min(60, 1.1 / Math.abs(k));
    const straight = 40 + 37 * (i % 5);
    pieces.push([
      straight,
      { grade: grades[i % grades.length], surface: i % 9 === 4 ? 'gravel' : 'asphalt' },
    ]);
    pieces.push([20, { k }], [arc], [20, { k: 0 }]);
    length += straight + 40 + arc;
  }
  return pieces;
}

const cases: readonly Case[] = [
  {
    name: 'asphalt hairpins uphill',
    spec: geared(),
    rows: road(
      [
        [120],
        [10, { k: 0.09 }],
        [25],
        [10, { k: 0 }],
        [140],
        [10, { k: -0.11 }],
        [22],
        [10, { k: 0 }],
        [120],
      ],
      { grade: 0.08 },
    ),
    start: 15,
    step: 1,
  },
  {
    name: 'sweeping bends downhill',
    spec: geared({ brakeForce: 9000 }),
    rows: road(
      [
        [150],
        [40, { k: 0.02 }],
        [60],
        [50, { k: -0.012 }],
        [80],
        [30, { k: 0.03 }],
        [40],
        [30, { k: 0 }],
        [100],
      ],
      { grade: -0.09 },
    ),
    start: 20,
    step: 1,
  },
  {
    name: 'asphalt, gravel, snow and ice in turn',
    spec: geared({ brakeForce: null }),
    rows: road([
      [80, { surface: 'gravel' }],
      [30, { k: 0.012 }],
      [50, { surface: 'snow' }],
      [30, { k: 0.006 }],
      [60, { surface: 'ice' }],
      [40, { k: 0, surface: 'gravel' }],
      [90, { surface: 'asphalt' }],
      [30, { k: -0.03 }],
      [40],
    ]),
    start: 12,
    step: 1,
  },
  {
    name: 'crests and dips below take-off',
    spec: constant(),
    rows: road([
      [60, { grade: 0.1 }],
      [30],
      [50, { grade: -0.06 }],
      [40, { k: 0.01 }],
      [60, { grade: 0.08 }],
      [40, { grade: -0.05, k: 0.02 }],
      [30],
      [40, { grade: 0, k: 0 }],
      [100],
    ]),
    start: 18,
    step: 1,
  },
  {
    name: 'crossfall with the bend and against it',
    spec: geared(),
    rows: road([
      [70],
      [20, { k: -0.03, phi: 0.07 }],
      [40],
      [20, { k: 0, phi: 0.02 }],
      [60],
      [20, { k: -0.03, phi: -0.05 }],
      [40],
      [20, { k: 0.025, phi: -0.05 }],
      [50],
      [20, { k: 0, phi: 0 }],
      [60],
    ]),
    start: 15,
    step: 1,
  },
  {
    name: 'fast bends with much downforce',
    spec: constant({ mass: 850, dragArea: 1.2, downforceArea: 3, pace: 0.95 }),
    rows: road([
      [100],
      [40, { k: 0.008 }],
      [90],
      [40, { k: -0.015 }],
      [60],
      [40, { k: 0.011 }],
      [80],
      [40, { k: 0 }],
      [120],
    ]),
    start: 25,
    step: 1,
  },
  {
    name: 'rear-wheel drive on snow with lift',
    spec: geared({
      downforceArea: -0.25,
      driveline: { ...driveline, driven: 'rear', drivenLoad: 0.52 },
    }),
    rows: road(
      [[90], [20, { k: 0.02 }], [30], [20, { k: 0 }], [110], [20, { k: -0.03 }], [25], [15, { k: 0 }], [70]],
      {
        surface: 'snow',
        grade: 0.02,
      },
    ),
    start: 10,
    step: 1,
  },
  {
    name: 'steps of curvature, crossfall and grip',
    spec: geared(),
    rows: road([
      [90],
      [0, { k: 0.04 }],
      [35],
      [0, { k: -0.025, phi: 0.04 }],
      [45, { surface: 'gravel' }],
      [0, { k: 0, phi: 0 }],
      [80],
      [0, { k: 0.03 }],
      [30, { surface: 'asphalt' }],
      [0, { k: 0.01 }],
      [90],
    ]),
    start: 15,
    step: 1,
  },
  { name: '5 km of all of it', spec: geared({ pace: 0.92 }), rows: road(long()), start: 15, step: 2 },
];

function stageOf({ rows, start }: Case): Stage {
  const table = roadTable(rows);
  return stageOn(table, {
    startSpeed: start,
    surfaces: new Map(
      table.surfaceNames.map((name, i) => [
        name,
        { grip: 1, rollingResistance: 0.013 + 0.007 * i, roughness: null },
      ]),
    ),
  });
}

describe('our time lies between the bounds of linear programmes', () => {
  for (const one of cases) {
    it(one.name, () => {
      const stage = stageOf(one);
      const { step, spec } = one;
      const at = (h: number) => ({
        time: timeStage(spec, stage, { step: h }).time!,
        bounds: timeBounds(spec, stage, sampleRoad(stage.road, h, [])),
      });
      // The grid error of either scheme at the finer step is at most what halving the step moved.
      const [fine, coarse] = [at(step / 2), at(step)];
      const { least, greatest } = fine.bounds;
      const moved =
        Math.abs(fine.time - coarse.time) +
        Math.max(Math.abs(least - coarse.bounds.least), Math.abs(greatest - coarse.bounds.greatest));
      validation.between({
        section: 'Time over a road between the bounds of linear programmes',
        check: one.name,
        source: 'Verscheure et al. 2009, by HiGHS',
        mark: 'D',
        least,
        greatest,
        grid: moved,
        got: fine.time,
        unit: 's',
        step: step / 2,
        digits: 4,
      });
      expect(greatest / least - 1).toBeLessThan(5e-4);
      // And the grids are fine enough for that to say something.
      expect(moved).toBeLessThan(5e-4 * fine.time);
    });
  }
});

validation.compareWithDocs();
