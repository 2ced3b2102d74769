/**
 * A second way to a car's run from rest at full power on a level road, written from the equations for the checks
 * against our solver: nothing here calls it.
 *
 * With speed v as the variable, dt/dv = m/F and ds/dv = m v/F, F the force that the best gear gives less the road
 * load. Power over speed is piecewise linear in every gear, so all the speeds at which F has a kink or a step (rows
 * of the table, the end of clutch slip, engine speed at idle and at the limit, the best gear's change) are roots of
 * lines, exact to rounding; `odex` integrates between them.
 */
import { integrate } from './odex.ts';

/** A car in SI; all of the engine's power arrives, what rotates has no inertia, shifts take no time. */
export interface PlainCar {
  readonly mass: number;
  readonly load: readonly [number, number, number]; // [N, N s/m, N s²/m²]
  readonly radPerMetre: readonly number[]; //          engine per road, one per gear [rad/m]
  readonly engineSpeed: readonly number[]; //          rows of the full-load curve [rad/s]
  readonly power: readonly number[]; //                [W]
  readonly idle: number; //                            [rad/s]
  readonly launch: number; //                          held while the clutch slips in first gear [rad/s]
}

/** A stretch of speeds from `from` to `to` over which the best gear's power is a + b v. */
interface Piece {
  readonly from: number;
  readonly to: number;
  readonly a: number;
  readonly b: number;
  readonly gear: number;
}

export interface Mark {
  readonly v: number; // [m/s]
  readonly t: number; // [s]
  readonly s: number; // [m]
}

export interface FullThrottle {
  readonly pieces: readonly Piece[];
  readonly topSpeed: number; //   [m/s]
  readonly atLimiter: boolean; // the limiter holds the car there, not the balance of forces
}

/** The best gear's power over speed, and the first speed at which it no longer beats the road load. */
export function fullThrottle(car: PlainCar): FullThrottle {
  const [f0, f1, f2] = car.load;
  const lines = gearLines(car);
  const cuts = new Set<number>([0]);
  for (const line of lines) cuts.add(line.from).add(line.to);
  const first = [...cuts].sort((x, y) => x - y);
  for (let i = 0; i + 1 < first.length; i++) {
    const here = lines.filter((line) => line.from <= first[i] && line.to >= first[i + 1]);
    for (const p of here) {
      for (const q of here) {
        const cross = (q.a - p.a) / (p.b - q.b);
        if (cross > first[i] && cross < first[i + 1]) cuts.add(cross);
      }
    }
  }
  const all = [...cuts].sort((x, y) => x - y);
  const pieces: Piece[] = [];
  const surplus = (piece: Piece, v: number) => piece.a + piece.b * v - (f0 + f1 * v + f2 * v * v) * v;
  for (let i = 0; i + 1 < all.length; i++) {
    const [from, to] = [all[i], all[i + 1]];
    const middle = (from + to) / 2;
    let best: Piece | null = null;
    for (const line of lines) {
      if (line.from > from || line.to < to) continue;
      if (best === null || line.a + line.b * middle > best.a + best.b * middle) best = line;
    }
    if (best === null || (from > 0 && surplus(best, from) <= 0)) {
      return { pieces, topSpeed: from, atLimiter: true };
    }
    // The surplus of power is concave over a piece, so it is positive throughout or has one root.
    if (surplus(best, to) > 0) {
      pieces.push({ ...best, from, to });
      continue;
    }
    let [low, high] = [from, to];
    for (let k = 0; k < 100; k++) {
      const v = (low + high) / 2;
      if (surplus(best, v) > 0) low = v;
      else high = v;
    }
    pieces.push({ ...best, from, to: low });
    return { pieces, topSpeed: low, atLimiter: false };
  }
  return { pieces, topSpeed: all[all.length - 1], atLimiter: true };
}

/** Power over road speed in every gear, line by line. */
function gearLines({ radPerMetre, engineSpeed, power, idle, launch }: PlainCar): Piece[] {
  const lines: Piece[] = [];
  radPerMetre.forEach((n, gear) => {
    const lowest = gear === 0 ? launch : idle;
    for (let i = 0; i + 1 < engineSpeed.length; i++) {
      if (engineSpeed[i + 1] <= lowest) continue;
      const slope = (power[i + 1] - power[i]) / (engineSpeed[i + 1] - engineSpeed[i]);
      const a = power[i] - slope * engineSpeed[i];
      const start = Math.max(lowest, engineSpeed[i]);
      lines.push({ from: start / n, to: engineSpeed[i + 1] / n, a, b: slope * n, gear });
      // Below, the clutch passes the torque at `launch`: a force that does not change, so power rises with speed.
      if (gear === 0 && start === lowest) {
        lines.push({ from: 0, to: start / n, a: 0, b: (a / start + slope) * n, gear });
      }
    }
  });
  return lines;
}

/** Time and distance at each of the speeds, rising, below top speed. */
export function integrateTo(car: PlainCar, { pieces }: FullThrottle, speeds: readonly number[]): Mark[] {
  const [f0, f1, f2] = car.load;
  const marks: Mark[] = [];
  let y = [0, 0];
  for (const { from, to, a, b } of pieces) {
    const derivative = (v: number) => {
      const drive = a === 0 ? b : a / v + b;
      const perForce = car.mass / (drive - f0 - f1 * v - f2 * v * v);
      return [perForce, perForce * v];
    };
    let at = from;
    while (marks.length < speeds.length && speeds[marks.length] <= to) {
      const v = speeds[marks.length];
      if (v > at) y = integrate(derivative, at, y, v);
      at = v;
      marks.push({ v, t: y[0], s: y[1] });
    }
    if (marks.length === speeds.length) break;
    if (to > at) y = integrate(derivative, at, y, to);
  }
  return marks;
}

/** Speed and distance after a time, with dv/dt = F/m and ds/dt = v as they stand. */
export function integrateInTime(car: PlainCar, time: number): [number, number] {
  const [f0, f1, f2] = car.load;
  const lines = gearLines(car);
  const derivative = (_t: number, [v]: number[]) => {
    let drive = 0;
    for (const { from, to, a, b } of lines) {
      if (v >= from && v <= to) drive = Math.max(drive, v > 0 ? a / v + b : b);
    }
    return [(drive - f0 - f1 * v - f2 * v * v) / car.mass, v];
  };
  const [v, s] = integrate(derivative, 0, [0, 0], time, 1e-9);
  return [v, s];
}
