/** The road's heights over its plan: smooth in the change of grade, as the plan is in curvature. */
import { correlate, reweigh } from './fit-noise.ts';
import { passOffsets } from './fit-offsets.ts';
import { KNOT_SPACING, type PlanFit, type Points } from './fit-plan.ts';
import {
  evenLooseness,
  type Looseness,
  type PenaltyRows,
  smooth,
  thirdDerivative,
  updateLooseness,
  type Values,
} from './penalised.ts';

export interface HeightFit {
  readonly z: Float64Array; // at each node of the plan [m]
  readonly rows: PenaltyRows;
  readonly values: Values;
  readonly sigma: number; //  noise of a height [m]
  readonly looseness: Looseness;
}

const ROUNDS = 14;
/** τ² of d³z/ds³ to begin with, and of a steady grade [1/m³] (no source). */
const FIRST_TAU2 = 1e-5;
const STILL_TAU2 = 1e-10;

/** @returns null where fewer than 8 points have a height */
export function fitHeights(
  { curve, u, beyond, values: plan }: PlanFit,
  points: Points,
  correlationLength: number,
): HeightFit | null {
  const n = points.z.length;
  const out = Uint8Array.from(points.z, (z, i) => (Number.isFinite(z) && beyond[i] === 0 ? 0 : 1));
  const count = out.reduce((sum, left) => sum + 1 - left, 0);
  if (count < 8) return null;
  const z = points.z.map((height, i) => (out[i] === 1 ? 0 : height));
  const weight = Float64Array.from(out, (left) => 1 - left);
  const values: Values = { at: plan.at, part: plan.part, value: [z], weight, rho: new Float64Array(n) };
  const rows = thirdDerivative(curve.x.length, curve.h, 1);
  const looseness = evenLooseness(curve.x.length - 3, KNOT_SPACING / curve.h, FIRST_TAU2);
  let sigma = 1;
  correlate(values, points.pass, curve.h, correlationLength);
  let fit = smooth(rows, values, sigma, looseness);
  for (let round = 0; round < ROUNDS; round++) {
    if (points.passes > 1 && round === 2) {
      const above = z.map((height, i) => height - heightAt(fit.line[0], values, i));
      const offsets = passOffsets(u, above, weight, points);
      for (let i = 0; i < n; i++) z[i] -= offsets[i];
    }
    sigma = reweigh(values, fit, sigma, round >= ROUNDS / 2, out);
    updateLooseness(rows, fit, looseness, Math.log(STILL_TAU2));
    correlate(values, points.pass, curve.h, correlationLength);
    fit = smooth(rows, values, sigma, looseness);
  }
  return { z: fit.line[0], rows, values, sigma, looseness };
}

const heightAt = (line: Float64Array, { at, part }: Values, i: number) =>
  (1 - part[i]) * line[at[i]] + part[i] * line[at[i] + 1];
