import type { RoadTable } from '../../src/track/road-table.ts';
import type { Stage } from '../../src/track/stage.ts';
import type { CarSpec } from '../../src/vehicle/car-spec.ts';

/**
 * The equations of docs/model.md in newtons, straight from the road table, the stage and the car as read: what the
 * solver's answers are held against. Nothing here is shared with the solver, and nothing is fast.
 */

const G = 9.80665; // [m/s²]

/** What the road is at one station. */
export interface Place {
  readonly k: number; //  lateral curvature [1/m]
  readonly th: number; // grade angle [rad]
  readonly ph: number; // crossfall angle [rad]
  readonly kv: number; // vertical curvature [1/m]
  readonly surface: string;
}

/** The pair of rows (j, j + 1) between which a station lies. */
export function rowsAround({ s }: RoadTable, station: number): number {
  let j = 0;
  while (j + 2 < s.length && s[j + 1] <= station) j++;
  return j;
}

/** The road at a station, by the line through rows j and j + 1. */
export function placeAt(table: RoadTable, j: number, station: number): Place {
  const length = table.s[j + 1] - table.s[j];
  const f = (station - table.s[j]) / length;
  const on = (column: Float64Array) => column[j] + f * (column[j + 1] - column[j]);
  const th = Math.atan(on(table.grade));
  // θ = atan of a line: dθ/ds = slope · cos²θ
  const kv = table.verticalCurvature
    ? on(table.verticalCurvature)
    : ((table.grade[j + 1] - table.grade[j]) / length) * Math.cos(th) ** 2;
  const k = on(table.curvature) * (table.curvatureIn === 'plan' ? Math.cos(th) ** 2 : 1);
  return { k, th, ph: on(table.crossfall), kv, surface: table.surfaceNames[table.surface[j]] };
}

/** Forces on a car at a place at a speed [N]. */
export interface Forces {
  readonly load: number; //       N; below 0 where the car would leave the ground
  readonly across: number; //     lateral demand, positive to the left
  readonly mostAcross: number; // muy N
  readonly mostAlong: number; //  what the tyres leave for driving or braking at this lateral demand, all wheels
  readonly resistance: number; // drag, rolling and grade
}

export function forcesAt(spec: CarSpec, stage: Stage, place: Place, v: number): Forces {
  const { mass: m } = spec;
  const { k, th, ph, kv, surface } = place;
  const tyre = spec.tyre.grip.get(surface)!;
  const ground = stage.surfaces.get(surface)!;
  const q = (stage.airDensity * v * v) / 2;
  const load =
    m * (G * Math.cos(th) * Math.cos(ph) + v * v * kv - v * v * k * Math.sin(ph)) + q * spec.downforceArea;
  const N = Math.max(0, load);
  const across = m * v * v * k * Math.cos(ph) + m * G * Math.cos(th) * Math.sin(ph);
  const mostAcross = tyre.across * ground.grip * spec.pace * N;
  const share = N > 0 ? across / mostAcross : 1;
  return {
    load,
    across,
    mostAcross,
    mostAlong: tyre.along * ground.grip * spec.pace * N * Math.sqrt(Math.max(0, 1 - share * share)),
    resistance: q * spec.dragArea + ground.rollingResistance * N + m * G * Math.sin(th),
  };
}

/** Full-load force at the tyres in gear g (from 0) [N]; 0 over the limiter and where the engine would stall. */
export function driveForce({ engine, driveline }: CarSpec, g: number, v: number): number {
  const efficiency = driveline.efficiency[g];
  if (engine.kind === 'constant-power') return (engine.power * efficiency) / v;
  const n = driveline.gearing[g];
  let turning = n * v; // [rad/s]
  if (turning > engine.limit * (1 + 1e-9)) return 0;
  if (g === 0 && turning < engine.launch) turning = engine.launch; // the clutch slips
  if (turning < engine.idle) return 0;
  const { speed, value } = engine;
  let i = 0;
  while (i + 2 < speed.length && turning > speed[i + 1]) i++;
  const x = value[i] + ((value[i + 1] - value[i]) * (turning - speed[i])) / (speed[i + 1] - speed[i]);
  return (engine.kind === 'torque' ? x : x / turning) * n * efficiency;
}

/** 1 + rotating inertias referred to the wheel / (m r²). */
export function massFactor({ mass, massFactor, rotating, tyre, driveline }: CarSpec, g: number): number {
  if (massFactor !== null) return massFactor;
  if (!rotating) return 1;
  const r = tyre.radius!;
  const atEngine = rotating.engine + (rotating.gearbox[g] ?? 0);
  const atShaft = rotating.finalDrive * driveline.ratios!.finalDrive ** 2;
  return 1 + (atEngine * (driveline.gearing[g] * r) ** 2 + atShaft + rotating.wheels) / (mass * r * r);
}
