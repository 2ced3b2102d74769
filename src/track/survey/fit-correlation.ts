/**
 * How far the noise of a receiver hangs together along the road: of a few lengths, the one that explains a stretch of the
 * points best, by the restricted likelihood, which tells wander from bends better than cross-validation does
 * (Krivobokova & Kauermann 2007, J. Am. Stat. Assoc. 102, 1328–1337, from memory). Where several explain it about as well,
 * all of them count, by their likelihood (model averaging: Hoeting et al. 1999, Statist. Sci. 14, 382–417, from memory).
 */
import { fitHeights } from './fit-heights.ts';
import { LEAST_NOISE } from './fit-noise.ts';
import type { Ready } from './fit-passes.ts';
import { curvatureRows, fitPlan, type PlanFit, type Points } from './fit-plan.ts';
import { startCurve } from './fit-start.ts';
import { logEvidence } from './penalised.ts';

/** Distances over which the noise falls to 1/e [m]; 0: it looks white. */
export interface CorrelationLengths {
  readonly across: number;
  readonly height: number;
  /** Lengths across that explain the points about as well, the first `across`; their shares sum to 1. */
  readonly likely: readonly { readonly length: number; readonly share: number }[];
}

/** The noise is white, for sure. */
export const WHITE: CorrelationLengths = { across: 0, height: 0, likely: [{ length: 0, share: 1 }] };

/** Lengths tried, in median distances between points. */
const TRIED = [1, 3, 8, 20];
/** Points looked at. */
const MOST_POINTS = 1200;
/** Log of the likelihood ratio from which on the noise of heights is not taken as white (no source). */
const CLEARLY = 3;
/** Lengths of a smaller share of the likelihood are not among the likely ones. */
const LEAST_SHARE = 0.05;

export function correlationLengths({
  points,
  curve,
  spacing,
  leastNoise,
  sigma: rough,
}: Ready): CorrelationLengths {
  const counts = new Int32Array(points.passes);
  for (const pass of points.pass) counts[pass]++;
  const pass = counts.indexOf(counts.reduce((a, b) => Math.max(a, b), 0));
  const first = points.pass.indexOf(pass);
  const from = first + Math.max(0, Math.floor((counts[pass] - MOST_POINTS) / 2));
  const to = Math.min(from + MOST_POINTS, first + counts[pass]);
  const part: Points = {
    x: points.x.slice(from, to),
    y: points.y.slice(from, to),
    z: points.z.slice(from, to),
    pass: new Int32Array(to - from),
    passes: 1,
  };
  if (rough <= 2 * LEAST_NOISE) return WHITE;
  const start = startCurve(part.x, part.y, curve.h);
  const planAt = (length: number): PlanFit | null => {
    try {
      return fitPlan(start.curve, part, start.u.slice(), start.sigma, length, leastNoise);
    } catch (error) {
      if (error instanceof RangeError) return null; // the curve folded over itself: no explanation
      throw error;
    }
  };
  const lengths = [0, ...TRIED.map((times) => times * spacing)];
  const found = lengths.map((length) => {
    const plan = planAt(length);
    const log =
      plan === null
        ? -Infinity
        : logEvidence(curvatureRows(plan.curve), plan.values, plan.sigma, plan.looseness);
    return { length, plan, log };
  });
  const best = found.reduce((a, b) => (b.log > a.log ? b : a));
  const { plan } = best;
  if (plan === null) return WHITE;
  const height = heightLength(lengths, (length) => {
    const fit = fitHeights(plan, part, length);
    return fit === null ? 0 : logEvidence(fit.rows, fit.values, fit.sigma, fit.looseness);
  });
  const ratio = ({ log }: { readonly log: number }) => Math.exp(log - best.log);
  const sum = found.reduce((total, one) => total + ratio(one), 0);
  const likely = found.filter((one) => ratio(one) >= LEAST_SHARE * sum).sort((a, b) => b.log - a.log);
  const kept = likely.reduce((total, one) => total + ratio(one), 0);
  return {
    across: best.length,
    height,
    likely: likely.map((one) => ({ length: one.length, share: ratio(one) / kept })),
  };
}

function heightLength(lengths: readonly number[], evidence: (length: number) => number): number {
  const found = lengths.map(evidence);
  let at = 0;
  for (let k = 1; k < found.length; k++) if (found[k] > found[at]) at = k;
  return found[at] > found[0] + CLEARLY ? lengths[at] : 0;
}
