/** What the fit says about the road and about the data, and whether the data can carry a forecast. */
import type { RoadTable } from '../road-table.ts';
import type { HeightFit } from './fit-heights.ts';
import type { Ready } from './fit-passes.ts';
import type { PlanFit } from './fit-plan.ts';
import { LEAST_POINTS } from './fit-start.ts';

export interface Refusal {
  readonly reason: string; // one sentence
  readonly advice: string; // one sentence
}

/** Null where it could not be told. */
export interface FoundInPasses {
  readonly length: number; //                  along the surface [m]
  readonly climb: number; //                   sum of rises [m]
  readonly steepest: { readonly grade: number; readonly at: number }; // greatest |tan θ|, signed, and its station [m]
  readonly tightest: { readonly radius: number; readonly at: number }; // least radius in plan [m] and its station [m]
  readonly resolvable: number; //              least radius of a hairpin that the data can tell to 10 % [m]
  readonly passes: number; //                  that entered the fit; each going of one that repeats itself counts
  readonly pointCount: number; //              that entered the fit
  readonly spacing: number; //                 median distance between points of a pass [m]
  readonly largestGap: number; //              longest distance along the road without a point of any pass [m]
  readonly noiseAcross: number; //             standard deviation of one point [m]
  readonly noiseAlong: number | null; //       as far as the speed was smooth [m]
  readonly noiseHeight: number | null; //      [m]
  readonly correlationLength: number; //       distance over which the noise across falls to 1/e [m]; 0: it looks white
  readonly passOffset: number | null; //       standard deviation of a whole pass to the side [m]; null with one pass
  readonly heights: 'all' | 'part' | 'none'; // which points have one
  readonly mended: readonly string[]; //       what was mended or left out, one sentence each, with places
}

/** A distance along the road without a point that is longer than this is a gap [m], and is said. */
const GAP = 50;
/** The data are refused beyond these (no source; docs/validation.md shows what such data do to the time). */
export const MOST_POINT_SPACING = 25; // median distance between points [m]
const MOST_RESOLVABLE = 25; // least radius that can be told [m]
const MOST_GAPS = 0.1; //      share of the road that lies in gaps
const MOST_OUT = 0.2; //       share of the points that were taken for outliers
const LEAST_LENGTH = 100; //   [m]
const STEEPEST = 0.5; //        |tan θ|: the steepest streets have 0.35 (common knowledge, no source)
const TIGHTEST = 2; //         radius [m]: no car turns on less (common practice, no source)
/** Noise along the road below this is that of a line that passes through every point [m]: it cannot be told. */
const LEAST_ALONG = 0.05;

/**
 * Least radius of a half circle whose curvature the data tell to 10 %: a parabola through points of noise σ, of which
 * there is one every h metres, over its length L = π R has a second derivative of variance 720 σ² h / L⁵. Noise that hangs
 * together over a length ℓ is as strong, at the scale of the bend, as white noise with 2 ℓ / (1 + (ℓ/R)²) for h.
 * @param h length of road for each point of any pass [m] @param correlationLength ℓ [m]; 0: white
 */
export function resolvableRadius(sigma: number, h: number, correlationLength: number): number {
  const fewest = (4 * h) / Math.PI; // four points in the half circle
  let radius = fewest;
  for (let turn = 0; turn < 40; turn++) {
    const ratio = correlationLength / Math.max(radius, 1e-3);
    const density = Math.max(h, (2 * correlationLength) / (1 + ratio * ratio));
    radius = Math.max(Math.cbrt((720 * sigma * sigma * density) / (0.1 ** 2 * Math.PI ** 5)), fewest);
  }
  return radius;
}

export function describeFit(
  table: RoadTable,
  ready: Ready,
  plan: PlanFit,
  heights: HeightFit | null,
  correlationLength: number,
  failed: boolean,
): { readonly found: FoundInPasses; readonly refusal: Refusal | null } {
  const { points } = ready;
  const { u, values } = plan;
  const n = u.length;
  const { s, grade, curvature } = table;
  const length = s[s.length - 1];
  const planLength = (plan.curve.x.length - 1) * plan.curve.h;

  let climb = 0;
  let steepest = 0;
  let tightest = 0;
  for (let j = 0; j < s.length; j++) {
    if (table.z !== null && j > 0) climb += Math.max(0, table.z[j] - table.z[j - 1]);
    if (Math.abs(grade[j]) > Math.abs(grade[steepest])) steepest = j;
    if (Math.abs(curvature[j]) > Math.abs(curvature[tightest])) tightest = j;
  }
  const onRoad = plan.beyond.reduce((sum, beyond) => sum + 1 - beyond, 0);
  const used = values.weight.reduce((sum, weight) => sum + (weight > 0 ? 1 : 0), 0);
  const mended = [...ready.mended];
  if (used < onRoad) mended.push(`${lie(onRoad - used, onRoad)} too far beside the road to count.`);
  if (onRoad < n)
    mended.push(`${lie(n - onRoad, n)} before the start or behind the finish of the longest pass.`);
  const { largest, share } = gaps(plan, planLength, mended);

  const withHeight = points.z.reduce((sum, z) => sum + (Number.isFinite(z) ? 1 : 0), 0);
  const known = withHeight < LEAST_POINTS ? 'none' : withHeight < n ? 'part' : 'all';
  if (known === 'none') mended.push('The points have no heights: the road is taken as level.');
  if (known === 'part' && !failed)
    mended.push(`Of ${n} points, ${n - withHeight} have no height: the road is smooth across them.`);

  const perPoint = used > 0 ? planLength / used : Infinity;
  const offsets = plan.offsets.reduce((sum, offset) => sum + offset * offset, 0);
  const found: FoundInPasses = {
    length,
    climb,
    steepest: { grade: grade[steepest], at: s[steepest] },
    tightest: { radius: 1 / Math.abs(curvature[tightest]), at: s[tightest] },
    resolvable: resolvableRadius(plan.sigma, perPoint, correlationLength),
    passes: points.passes,
    pointCount: used,
    spacing: ready.spacing,
    largestGap: largest,
    noiseAcross: plan.sigma,
    noiseAlong: ready.along > LEAST_ALONG ? ready.along : null,
    noiseHeight: heights?.sigma ?? null,
    correlationLength,
    passOffset: points.passes > 1 ? Math.sqrt(offsets / n) : null,
    heights: known,
    mended,
  };
  return { found, refusal: refusalOf(found, share, 1 - used / Math.max(1, onRoad), failed) };
}

const lie = (count: number, of: number) => `${count} of ${of} points ${count === 1 ? 'lies' : 'lie'}`;

/** Longest distance without a point, and the share of the road in gaps, which are said. */
function gaps({ u, values }: PlanFit, length: number, mended: string[]) {
  const places = u.filter((_, i) => values.weight[i] > 0).sort();
  let largest = 0;
  let largestAt = 0;
  let sum = 0;
  let count = 0;
  let from = 0;
  for (const to of [...places, length]) {
    if (to - from > largest) {
      largest = to - from;
      largestAt = from;
    }
    if (to - from > GAP) {
      sum += to - from;
      count++;
    }
    from = to;
  }
  if (count > 0) {
    const which =
      count === 1
        ? `A gap of ${largest.toFixed(0)} m`
        : `${count} gaps of over ${GAP} m, the longest of ${largest.toFixed(0)} m,`;
    mended.push(`${which} without points at ${largestAt.toFixed(0)} m in plan: the road is smooth across.`);
  }
  return { largest, share: sum / length };
}

function refusalOf(
  found: FoundInPasses,
  gapShare: number,
  outShare: number,
  failed: boolean,
): Refusal | null {
  const again =
    'drive it again with a receiver that records 10 points a second, three times if it can be had';
  if (found.length < LEAST_LENGTH) {
    return {
      reason: `The road is ${found.length.toFixed(0)} m long; a forecast needs ${LEAST_LENGTH} m.`,
      advice: 'Record the whole stage.',
    };
  }
  if (found.spacing > MOST_POINT_SPACING) {
    return {
      reason: `The points are ${found.spacing.toFixed(0)} m apart; bends between points more than ${MOST_POINT_SPACING} m apart cannot be told.`,
      advice: `Record a point every 5 m or closer: ${again}.`,
    };
  }
  if (found.resolvable > MOST_RESOLVABLE) {
    return {
      reason: `With a noise of ${found.noiseAcross.toFixed(1)} m and a point every ${(found.length / found.pointCount).toFixed(1)} m, hairpins under ${found.resolvable.toFixed(0)} m radius cannot be told.`,
      advice: `Average more passes, or ${again}.`,
    };
  }
  if (failed) {
    return {
      reason: 'No smooth road fits the points.',
      advice: `Look at the preview and cut the road to a stretch that was recorded well, or ${again}.`,
    };
  }
  if (outShare > MOST_OUT) {
    return {
      reason: `${(100 * outShare).toFixed(0)} % of the points do not lie on any one smooth road.`,
      advice: `Look at the preview and leave the bad stretches out, or ${again}.`,
    };
  }
  if (Math.abs(found.steepest.grade) > STEEPEST) {
    return {
      reason: `The heights rise or fall by ${(100 * Math.abs(found.steepest.grade)).toFixed(0)} % at ${found.steepest.at.toFixed(0)} m; no road does.`,
      advice: `Cut the road before that place, leave the heights out of the file, or ${again}.`,
    };
  }
  if (found.tightest.radius < TIGHTEST) {
    return {
      reason: `The points turn on a radius of ${found.tightest.radius.toFixed(1)} m at ${found.tightest.at.toFixed(0)} m; no car does.`,
      advice: `Look at the preview and cut the road before or behind that place, or ${again}.`,
    };
  }
  if (gapShare > MOST_GAPS) {
    return {
      reason: `${(100 * gapShare).toFixed(0)} % of the road has no points.`,
      advice: `Cut the road to a stretch that was recorded, or ${again}.`,
    };
  }
  return null;
}
