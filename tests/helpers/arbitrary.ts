import fc from 'fast-check';
import type { Stage } from '../../src/track/stage.ts';
import type { CarSpec, EngineSpec } from '../../src/vehicle/car-spec.ts';
import { carWith, type Row, roadTable, stageOn } from './build.ts';

/**
 * Believable random roads and cars. Bounds are common practice, no source: what special stages, hill climbs and the
 * cars on them have, so that a counterexample is one that a user could meet.
 */

/** Random cases per property. */
export const RUNS = 300;

const RPM = (2 * Math.PI) / 60; // [rad/s]

/** A number with a few decimals: counterexamples stay readable. */
const number = (min: number, max: number, decimals: number) => {
  const scale = 10 ** decimals;
  return fc.integer({ min: Math.round(min * scale), max: Math.round(max * scale) }).map((n) => n / scale);
};

export const SURFACES = ['asphalt', 'gravel', 'mud', 'snow', 'ice'] as const;

export interface RoadKind {
  readonly bends: boolean;
  /** Greatest |grade| [–]. */
  readonly steepest: number;
  /** Least radius of crests and dips [m]. */
  readonly crest: number;
}

/** Stages have grades of up to 12 % and crests that throw a fast car into the air. */
export const STAGE_ROAD: RoadKind = { bends: true, steepest: 0.12, crest: 70 };

/**
 * Rows of a road of 3 to 9 elements (straight, arc, transition, step of curvature), the grade of each going over
 * in a vertical curve at its beginning, crossfall and surface stepping or running over.
 */
export function roadRows(kind: RoadKind = STAGE_ROAD): fc.Arbitrary<Row[]> {
  const element = fc.record({
    length: number(15, 250, 1),
    // Radii from a hairpin's 10 m on, drawn evenly in the logarithm up to 700 m.
    radius: number(Math.log(10), Math.log(700), 2).map((x) => Math.round(Math.exp(x))),
    side: fc.constantFrom(-1, 0, 0, 1),
    by: fc.constantFrom('step' as const, 'transition' as const),
    grade: fc.option(number(-kind.steepest, kind.steepest, 3), { nil: null }),
    phi: number(-0.07, 0.07, 3),
    phiBy: fc.constantFrom('step' as const, 'transition' as const, 'keep' as const),
    surface: fc.option(
      fc.constantFrom('asphalt' as const, 'asphalt' as const, 'gravel' as const, ...SURFACES),
      { nil: null, freq: 1 },
    ),
  });
  return fc.array(element, { minLength: 3, maxLength: 9 }).map((elements) => {
    const rows: Row[] = [];
    let now = { s: 0, k: 0, grade: 0, phi: 0, surface: 'asphalt' as string };
    const push = (row: typeof now) => {
      now = row;
      const last = rows[rows.length - 1] as typeof now | undefined;
      const same =
        last &&
        last.s === row.s &&
        last.k === row.k &&
        last.grade === row.grade &&
        last.phi === row.phi &&
        last.surface === row.surface;
      if (!same) rows.push(row);
    };
    push(now);
    for (const e of elements) {
      const from = now;
      const to = Number((from.s + e.length).toFixed(1));
      const surface = e.surface ?? from.surface;
      const k = kind.bends ? e.side / e.radius : 0;
      const k0 = e.by === 'step' ? k : from.k;
      const phi = e.phiBy === 'keep' ? from.phi : e.phi;
      const phi0 = e.phiBy === 'step' ? phi : from.phi;
      push({ ...from, k: k0, phi: phi0, surface });
      if (e.grade !== null && e.grade !== from.grade) {
        // The vertical curve takes half of the element, or all of it where its radius asks for that; else less rise.
        const half = Number((from.s + e.length / 2).toFixed(1));
        const rise = e.grade - from.grade;
        const end = Math.abs(rise) * kind.crest <= half - from.s ? half : to;
        const most = (end - from.s) / kind.crest;
        const grade = from.grade + Math.max(-most, Math.min(most, rise));
        const share = (end - from.s) / (to - from.s);
        push({ s: end, k: k0 + share * (k - k0), grade, phi: phi0 + share * (phi - phi0), surface });
      }
      push({ s: to, k, grade: now.grade, phi, surface });
    }
    return rows;
  });
}

/** A stage on random rows: standing or rolling start, up to two splits, air, rolling resistance and grip factors. */
export function stages(kind: RoadKind = STAGE_ROAD): fc.Arbitrary<Stage> {
  return fc
    .record({
      rows: roadRows(kind),
      startSpeed: fc.constantFrom(0, 0, 3, 5),
      splits: fc.array(number(0.05, 0.95, 2), { maxLength: 2 }),
      airDensity: number(1, 1.3, 2),
      rolling: number(0.008, 0.05, 3),
      grip: number(0.9, 1.05, 2),
    })
    .map(({ rows, startSpeed, splits, airDensity, rolling, grip }) => {
      const length = rows[rows.length - 1].s;
      const table = roadTable(rows);
      return stageOn(table, {
        startSpeed,
        airDensity,
        splits: [...new Set(splits.map((x) => Number((x * length).toFixed(1))))].sort((a, b) => a - b),
        surfaces: new Map(
          table.surfaceNames.map((name, i) => [
            name,
            { grip, rollingResistance: rolling + 0.005 * i, roughness: null },
          ]),
        ),
      });
    });
}

/** Least and greatest grip across of a tyre on each surface [–]. */
const GRIPS: Readonly<Record<(typeof SURFACES)[number], readonly [number, number]>> = {
  asphalt: [0.8, 1.3],
  gravel: [0.5, 0.7],
  mud: [0.35, 0.5],
  snow: [0.25, 0.4],
  ice: [0.16, 0.22],
};

/** Random cars: gears, torque or power tables, downforce or lift, brakes, inertias, shift times, driven load, pace. */
export const cars: fc.Arbitrary<CarSpec> = fc
  .record({
    mass: number(650, 1900, 0),
    pace: number(0.75, 1, 2),
    inertia: fc.constantFrom('none' as const, 'factor' as const, 'rotating' as const),
    factor: number(1.02, 1.12, 2),
    engineInertia: number(0.06, 0.16, 2),
    wheelInertia: number(2, 6, 1),
    radius: number(0.27, 0.34, 2),
    where: number(0, 1, 2),
    alongFactor: number(0.9, 1.1, 2),
    dragArea: number(0.4, 1.3, 2),
    downforceArea: number(-0.3, 3, 1),
    kind: fc.constantFrom('torque' as const, 'torque' as const, 'power' as const),
    shape: fc.array(number(0.5, 1, 2), { minLength: 3, maxLength: 7 }),
    peak: number(110, 480, 0),
    idle: number(900, 1400, 0),
    launchOver: number(0, 2500, 0),
    limit: number(5800, 8600, 0),
    lastOver: number(0, 400, 0),
    gears: fc.integer({ min: 3, max: 6 }),
    firstSpeed: number(13, 20, 1),
    topSpeed: number(35, 70, 1),
    efficiency: number(0.8, 0.95, 2),
    shift: fc.constantFrom(0, 0.05, 0.1, 0.12, 0.2, 0.4),
    driven: fc.constantFrom('all' as const, 'front' as const, 'rear' as const),
    drivenLoad: number(0.45, 0.65, 2),
    brake: fc.option(number(5, 14, 1), { nil: null }),
  })
  .map((x) => {
    const engine = engineOf(x);
    // Road speeds at the limiter from gear to gear in one ratio, as real sets nearly have.
    const gearing = Array.from({ length: x.gears }, (_, g) => {
      const speed = x.firstSpeed * (x.topSpeed / x.firstSpeed) ** (g / (x.gears - 1));
      return (x.limit * RPM) / speed;
    });
    const finalDrive = 4;
    const spot = ([from, to]: readonly [number, number]) => Number((from + x.where * (to - from)).toFixed(3));
    return carWith({
      mass: x.mass,
      pace: x.pace,
      massFactor: x.inertia === 'factor' ? x.factor : null,
      rotating:
        x.inertia === 'rotating'
          ? {
              engine: Number(((x.engineInertia * x.mass) / 1300).toFixed(3)),
              gearbox: [],
              finalDrive: 0.02,
              wheels: x.wheelInertia,
            }
          : null,
      tyre: {
        radius: x.radius,
        grip: new Map(
          SURFACES.map((name) => {
            const across = spot(GRIPS[name]);
            return [name, { across, along: across * x.alongFactor }];
          }),
        ),
      },
      dragArea: x.dragArea,
      downforceArea: x.downforceArea,
      engine,
      driveline: {
        driven: x.driven,
        drivenLoad: x.driven === 'all' ? 1 : x.drivenLoad,
        gearing,
        ratios: { gears: gearing.map((n) => (n * x.radius) / finalDrive), finalDrive },
        efficiency: gearing.map((_, g) => x.efficiency - 0.005 * g),
        shift: x.shift,
      },
      brakeForce: x.brake === null ? null : x.brake * x.mass,
    });
  });

function engineOf(x: {
  readonly kind: 'torque' | 'power';
  readonly shape: readonly number[];
  readonly peak: number;
  readonly idle: number;
  readonly launchOver: number;
  readonly limit: number;
  readonly lastOver: number;
}): EngineSpec {
  const last = x.limit + x.lastOver;
  const speed = Float64Array.from(
    x.shape,
    (_, i) => (x.idle + ((last - x.idle) * i) / (x.shape.length - 1)) * RPM,
  );
  const torque = Float64Array.from(x.shape, (share) => share * x.peak);
  return {
    kind: x.kind,
    speed,
    value: x.kind === 'torque' ? torque : torque.map((t, i) => t * speed[i]),
    idle: x.idle * RPM,
    launch: (x.idle + x.launchOver) * RPM,
    limit: x.limit * RPM,
  };
}

/** A road and a car that go together: what a property is run on. */
export const pairs = fc.record({ spec: cars, stage: stages() });

/** A car without shift time and with one mass factor: its gears need no plan, the gear that pulls hardest is best. */
export const plain = (spec: CarSpec): CarSpec => ({
  ...spec,
  massFactor: spec.massFactor ?? 1,
  rotating: null,
  driveline: { ...spec.driveline, shift: 0 },
});
