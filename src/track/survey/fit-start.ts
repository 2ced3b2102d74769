/**
 * A first curve through the points of one pass, good enough to find each point's place along the road: x and y smoothed
 * over the points' index, both alike.
 */
import { type Curve, evenCurve } from './curve.ts';
import { LEAST_NOISE, reweigh } from './fit-noise.ts';
import { spread } from './median.ts';
import { evenLooseness, smooth, thirdDerivative, updateLooseness, type Values } from './penalised.ts';

export interface Start {
  readonly curve: Curve;
  readonly u: Float64Array; //      (n) place of each point along the curve [m]
  readonly sigma: number; //        noise of a point in x and y each [m]
  readonly x: Float64Array; //      (n) the smoothed points [m]
  readonly y: Float64Array; //      (n)
  readonly along: number; //        noise along the road, as far as the speed is smooth [m]
}

/** Fewest points of a pass. */
export const LEAST_POINTS = 8;
const ROUNDS = 10;
const ROWS_PER_KNOT = 10;

/** @param x (n) n ≥ 8, in the order of travel, no two neighbours alike @param spacing of the curve's nodes [m] */
export function startCurve(x: Float64Array, y: Float64Array, spacing: number): Start {
  const n = x.length;
  const rows = thirdDerivative(n, 1, 2);
  const values: Values = {
    at: Int32Array.from(x, (_, i) => Math.min(i, n - 2)),
    part: Float64Array.from(x, (_, i) => (i === n - 1 ? 1 : 0)),
    value: [x, y],
    weight: new Float64Array(n).fill(1),
    rho: new Float64Array(n),
  };
  // Third differences of white noise have variance 20 σ²; those of the road come on top.
  const third = new Float64Array(2 * (n - 3));
  for (let j = 0; j < n - 3; j++) {
    third[2 * j] = x[j + 3] - 3 * x[j + 2] + 3 * x[j + 1] - x[j];
    third[2 * j + 1] = y[j + 3] - 3 * y[j + 2] + 3 * y[j + 1] - y[j];
  }
  const rough = spread(third);
  let sigma = Math.max(LEAST_NOISE, rough / Math.sqrt(20));
  const looseness = evenLooseness(n - 3, ROWS_PER_KNOT, Math.max(sigma, rough) ** 2);
  const out = new Uint8Array(n);
  let fit = smooth(rows, values, sigma, looseness);
  for (let round = 0; round < ROUNDS; round++) {
    sigma = reweigh(values, fit, sigma, round >= ROUNDS / 2, out);
    updateLooseness(rows, fit, looseness, Math.log(STILL * sigma * sigma));
    fit = smooth(rows, values, sigma, looseness);
  }
  const [sx, sy] = fit.line;
  return { ...alongCurve(sx, sy, spacing, sigma), sigma, x: sx, y: sy, along: noiseAlong(x, y, sx, sy) };
}

/** τ² of even travel, as a share of σ² (no source). */
const STILL = 1e-4;

/** Leaves out smoothed points that do not lead on, and lays the curve through the others. */
function alongCurve(
  x: Float64Array,
  y: Float64Array,
  spacing: number,
  sigma: number,
): Pick<Start, 'curve' | 'u'> {
  const n = x.length;
  const least = Math.max(spacing, 0.5 * sigma);
  const keep = [0];
  const u = new Float64Array(n);
  let length = 0;
  for (let i = 1; i < n; i++) {
    const last = keep[keep.length - 1];
    const step = Math.hypot(x[i] - x[last], y[i] - y[last]);
    u[i] = length + step;
    if (step < least) continue;
    length += step;
    keep.push(i);
  }
  if (keep.length < 4) throw new RangeError(`the points lead nowhere: they span ${length.toFixed(1)} m`);
  const pick = (column: Float64Array) => Float64Array.from(keep, (i) => column[i]);
  return { curve: evenCurve(pick(x), pick(y), spacing), u };
}

/** Spread of the points about the smoothed ones in the direction of travel [m]. */
function noiseAlong(x: Float64Array, y: Float64Array, sx: Float64Array, sy: Float64Array): number {
  const along = new Float64Array(x.length).fill(Number.NaN);
  for (let i = 1; i < x.length - 1; i++) {
    const dx = sx[i + 1] - sx[i - 1];
    const dy = sy[i + 1] - sy[i - 1];
    along[i] = ((x[i] - sx[i]) * dx + (y[i] - sy[i]) * dy) / Math.hypot(dx, dy);
  }
  return spread(along);
}
