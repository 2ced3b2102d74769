/** Runs on short roads, and what is read off them. */
import { solve } from '../../src/sim/solve.ts';
import { timeStage } from '../../src/sim/time-stage.ts';
import { Workspace } from '../../src/sim/workspace.ts';
import { type Road, sampleRoad } from '../../src/track/road.ts';
import type { RoadTable } from '../../src/track/road-table.ts';
import { Car } from '../../src/vehicle/car.ts';
import type { CarSpec } from '../../src/vehicle/car-spec.ts';
import { type Row, roadTable, stageOn } from './build.ts';

/** Columns of a run that the readings below use. */
export interface Columns {
  readonly road: Road;
  readonly nodes: number;
  readonly v2: Float64Array;
  readonly dt: Float64Array;
}

/** What the car is doing at one point of a run. */
export interface Point {
  readonly s: number; // station [m]
  readonly t: number; // time since the start [s]
  readonly v: number; // [m/s]
}

export const kmh = (v: number) => v / 3.6;

/** A car on these tests' plain stage: air of 1.225 kg/m³, no rolling resistance. */
export function carOn(road: Road, spec: CarSpec, airDensity = 1.225): Car {
  const surfaces = road.surfaceNames.map((name) => ({ name, grip: 1, rollingResistance: 0 }));
  return new Car(spec, surfaces, airDensity);
}

/** The fastest run whose speed at the start is as free as at the finish. */
export function driveFree(spec: CarSpec, table: RoadTable, step: number, airDensity = 1.225): Columns {
  const road = sampleRoad(table, step, []);
  const ws = new Workspace();
  const solved = solve(ws, road, carOn(road, spec, airDensity), { v2: FREE_V2, gear: null });
  return { road, nodes: solved.reached, v2: ws.v2, dt: ws.dt };
}

/** More than any road allows [m²/s²]. */
const FREE_V2 = 1e6;

/**
 * Stops from `speed` on a straight of constant grade and crossfall, as short as can be. What makes the car stop is
 * a level bend at the end, too tight for 0.01 µm/s.
 */
export function stopFrom(speed: number, spec: CarSpec, row: Omit<Row, 's' | 'k'>, step: number): Point {
  const straight = (length: number) =>
    roadTable([
      { ...row, s: 0 },
      { ...row, s: length },
      { s: length, k: STOP },
      { s: length + 1e-9, k: STOP },
    ]);
  // Where braking must begin on a straight that is long enough …
  const long = sampleRoad(straight(LONG_STRAIGHT), step, [LONG_STRAIGHT]);
  const ws = new Workspace();
  solve(ws, long, carOn(long, spec), { v2: 2 * speed * speed, gear: null });
  const { brakeV2 } = ws;
  let i = long.splitNodes[0];
  while (i >= 0 && brakeV2[i] < speed * speed) i--;
  if (i < 0) throw new RangeError(`the car does not stop from ${speed} m/s within ${LONG_STRAIGHT} m`);
  const f = (brakeV2[i] - speed * speed) / (brakeV2[i] - brakeV2[i + 1]);
  const s = LONG_STRAIGHT - (long.s[i] + f * (long.s[i + 1] - long.s[i]));
  // … and the forecast for a straight of that length, driven from that speed.
  const { sectors, run } = timeStage(spec, stageOn(straight(s), { startSpeed: speed, splits: [s] }), {
    step,
  });
  return { s, t: sectors[0].time, v: Math.sqrt(run.v2[0]) };
}

const STOP = 1e18; // [1/m]

/** Longer than any of the stops tested [m]. */
const LONG_STRAIGHT = 300;

/** The run at its first point at or beyond `speed`, rising or falling as it begins: v² is linear over a cell. */
export function atSpeed(run: Columns, speed: number): Point {
  const { v2 } = run;
  const b = speed * speed;
  const rising = v2[0] < b;
  let t = 0;
  for (let i = 0; i + 1 < run.nodes; i++) {
    if (rising ? v2[i + 1] >= b : v2[i + 1] <= b) {
      const f = (b - v2[i]) / (v2[i + 1] - v2[i]);
      const d = f * (run.road.s[i + 1] - run.road.s[i]);
      return { s: run.road.s[i] + d, t: t + (2 * d) / (Math.sqrt(v2[i]) + speed), v: speed };
    }
    t += run.dt[i];
  }
  throw new RangeError(`the run does not come to ${speed} m/s`);
}

/**
 * The run as it comes to `speed`, where its acceleration steps: v² goes on as over the two cells before.
 */
export function atKink(run: Columns, speed: number): Point {
  const { v2, road } = run;
  const { s } = road;
  const b = speed * speed;
  let t = 0;
  let i = 0;
  while (v2[i + 1] < b) t += run.dt[i++];
  const slope = (v2[i] - v2[i - 1]) / (s[i] - s[i - 1]);
  const before = (v2[i - 1] - v2[i - 2]) / (s[i - 1] - s[i - 2]);
  const bend = (2 * (slope - before)) / (s[i] - s[i - 2]);
  let d = (b - v2[i]) / slope;
  for (let turn = 0; turn < 3; turn++) d = (b - v2[i]) / (slope + 0.5 * bend * (s[i] - s[i - 1] + d));
  return { s: s[i] + d, t: t + (2 * d) / (Math.sqrt(v2[i]) + speed), v: speed };
}

/** The run at a time: acceleration is constant over a cell. */
export function atTime(run: Columns, time: number): Point {
  let t = 0;
  for (let i = 0; i + 1 < run.nodes; i++) {
    if (t + run.dt[i] >= time) {
      const v = Math.sqrt(run.v2[i]);
      const a = (Math.sqrt(run.v2[i + 1]) - v) / run.dt[i];
      const left = time - t;
      return { s: run.road.s[i] + left * (v + 0.5 * a * left), t: time, v: v + a * left };
    }
    t += run.dt[i];
  }
  throw new RangeError(`the run is over before ${time} s`);
}

/** The run at a station, which must be a node: the last one there. */
export function atStation(run: Columns, station: number): Point {
  let t = 0;
  for (let i = 0; i < run.nodes; i++) {
    if (run.road.s[i] > station + 1e-9) break;
    if (Math.abs(run.road.s[i] - station) <= 1e-9) return { s: station, t, v: Math.sqrt(run.v2[i]) };
    t += run.dt[i];
  }
  throw new RangeError(`no node at ${station} m`);
}

/** The run at its last node. */
export function atEnd(run: Columns): Point {
  const last = run.nodes - 1;
  let t = 0;
  for (let i = 0; i < last; i++) t += run.dt[i];
  return { s: run.road.s[last], t, v: Math.sqrt(run.v2[last]) };
}

/** Where drive gives way to braking: the lines of v² over the two cells before and behind the greatest, crossed. */
export function peak(run: Columns): Omit<Point, 't'> {
  const { v2, road } = run;
  const { s } = road;
  let top = 1;
  for (let i = 1; i < run.nodes; i++) if (v2[i] > v2[top]) top = i;
  const rise = (v2[top - 1] - v2[top - 2]) / (s[top - 1] - s[top - 2]);
  const fall = (v2[top + 2] - v2[top + 1]) / (s[top + 2] - s[top + 1]);
  const d = (v2[top + 1] - v2[top - 1] - fall * (s[top + 1] - s[top - 1])) / (rise - fall);
  return { s: s[top - 1] + d, v: Math.sqrt(v2[top - 1] + rise * d) };
}
