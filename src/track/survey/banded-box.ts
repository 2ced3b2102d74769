/**
 * Least squares between bounds: min ½ xᵀHx + gᵀx with low ≤ x ≤ high, H positive definite and banded, by a primal-dual
 * interior-point method, O(n b²) a step (Wright 1997, Primal-Dual Interior-Point Methods; Nocedal & Wright, Numerical
 * Optimization, section 16.6; from memory).
 */
import { type Banded, bandedZeros, factorise, solveLower, solveUpper } from './banded.ts';

const MOST_STEPS = 60;
/** How far a step goes towards the nearest bound. */
const SHARE = 0.995;
/** Complementarity at which the answer is good enough, relative to the first. */
const DONE = 1e-10;

/**
 * @param hessian (n) not changed @param gradient (n) g
 * @param low (n) below 0 @param high (n) above 0: the start is x = 0
 * @returns (n) x
 */
export function boxLeastSquares(
  hessian: Banded,
  gradient: Float64Array,
  low: Float64Array,
  high: Float64Array,
): Float64Array {
  const { n, b, entry } = hessian;
  const w = b + 1;
  const x = new Float64Array(n);
  const scale = gradient.reduce((most, g) => Math.max(most, Math.abs(g)), 1e-12);
  const lowDual = new Float64Array(n).fill(scale);
  const highDual = new Float64Array(n).fill(scale);
  const step = new Float64Array(n);
  const system = bandedZeros(n, b);
  let first = 0;
  for (let turn = 0; turn < MOST_STEPS; turn++) {
    let gap = 0;
    for (let i = 0; i < n; i++) gap += lowDual[i] * (x[i] - low[i]) + highDual[i] * (high[i] - x[i]);
    gap /= 2 * n;
    if (turn === 0) first = gap;
    if (gap < DONE * first) break;
    const target = 0.1 * gap;
    system.entry.set(entry);
    for (let i = 0; i < n; i++) {
      let force = gradient[i] + entry[i * w] * x[i];
      for (let k = 1; k <= b; k++) {
        if (i - k >= 0) force += entry[i * w + k] * x[i - k];
        if (i + k < n) force += entry[(i + k) * w + k] * x[i + k];
      }
      const below = x[i] - low[i];
      const above = high[i] - x[i];
      system.entry[i * w] += lowDual[i] / below + highDual[i] / above;
      step[i] = target / below - target / above - force;
    }
    factorise(system);
    solveLower(system, step);
    solveUpper(system, step);
    let primal = 1;
    let dual = 1;
    for (let i = 0; i < n; i++) {
      const below = x[i] - low[i];
      const above = high[i] - x[i];
      if (step[i] < 0) primal = Math.min(primal, (-SHARE * below) / step[i]);
      if (step[i] > 0) primal = Math.min(primal, (SHARE * above) / step[i]);
      const lowStep = (target - lowDual[i] * step[i]) / below - lowDual[i];
      const highStep = (target + highDual[i] * step[i]) / above - highDual[i];
      if (lowStep < 0) dual = Math.min(dual, (-SHARE * lowDual[i]) / lowStep);
      if (highStep < 0) dual = Math.min(dual, (-SHARE * highDual[i]) / highStep);
    }
    for (let i = 0; i < n; i++) {
      const below = x[i] - low[i];
      const above = high[i] - x[i];
      lowDual[i] += dual * ((target - lowDual[i] * step[i]) / below - lowDual[i]);
      highDual[i] += dual * ((target + highDual[i] * step[i]) / above - highDual[i]);
      x[i] += primal * step[i];
    }
  }
  return x;
}
