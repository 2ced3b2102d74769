/**
 * How far the noise of a receiver hangs together along the road: of a few lengths, the one that explains a stretch of the
 * points best, by the restricted likelihood, which tells wander from bends better than cross-validation does
 * (Krivobokova & Kauermann 2007, J. Am. Stat. Assoc. 102, 1328–1337, from memory).
 */
import { fitHeights } from './fit-heights.ts';
import { LEAST_NOISE } from './fit-noise.ts';
import type { Ready } from './fit-passes.ts';
import { curvatureRows, fitPlan, type PlanFit, type Points } from './fit-plan.ts';
import { startCurve } from './fit-start.ts';
import { logEvidence } from './penalised.ts';

/** Distance over which the noise falls to 1/e [m]; 0: it looks white. */
export interface CorrelationLengths {
  readonly across: number;
  readonly height: number;
}

/** Lengths tried, in median distances between points. */
const TRIED = [1, 3, 8, 20];
/** Points looked at. */
const MOST_POINTS = 1200;
/** Log of the likelihood ratio from which on the noise is not taken as white (no source). */
const CLEARLY = 3;

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
  if (rough <= 2 * LEAST_NOISE) return { across: 0, height: 0 };
  const start = startCurve(part.x, part.y, curve.h);
  const planAt = (length: number): PlanFit | null => {
    try {
      return fitPlan(start.curve, part, start.u.slice(), start.sigma, length, leastNoise);
    } catch (error) {
      if (error instanceof RangeError) return null; // the curve folded over itself: no explanation
      throw error;
    }
  };
  const across = best(spacing, (length) => {
    const plan = planAt(length);
    if (plan === null) return -Infinity;
    return logEvidence(curvatureRows(plan.curve), plan.values, plan.sigma, plan.looseness);
  });
  const plan = planAt(across);
  if (plan === null) return { across: 0, height: 0 };
  const height = best(spacing, (length) => {
    const fit = fitHeights(plan, part, length);
    return fit === null ? 0 : logEvidence(fit.rows, fit.values, fit.sigma, fit.looseness);
  });
  return { across, height };
}

function best(spacing: number, evidence: (length: number) => number): number {
  const lengths = [0, ...TRIED.map((times) => times * spacing)];
  const found = lengths.map(evidence);
  let at = 0;
  for (let k = 1; k < found.length; k++) if (found[k] > found[at]) at = k;
  return found[at] > found[0] + CLEARLY ? lengths[at] : 0;
}
