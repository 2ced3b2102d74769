/**
 * A road fitted to recorded positions: what it looks like, how far the data can be trusted, and roads that fit as well.
 *
 * The plan is fitted first (fit-plan.ts), then the heights over it (fit-heights.ts); docs/model.md, "The fit of a
 * road", has the method and its sources.
 */
import { normalFrom } from '../../numbers/random.ts';
import type { RoadTable } from '../road-table.ts';
import { moved } from './curve.ts';
import { type CorrelationLengths, correlationLengths, WHITE } from './fit-correlation.ts';
import { describeFit, type FoundInPasses, MOST_POINT_SPACING, type Refusal } from './fit-found.ts';
import { fitHeights, type HeightFit } from './fit-heights.ts';
import { type Ready, readyPasses } from './fit-passes.ts';
import { curvatureRows, fitPlan, type PlanFit, rawPlan } from './fit-plan.ts';
import { tableOf } from './fit-table.ts';
import type { Pass } from './pass.ts';
import { type Looseness, type PenaltyRows, solveLine, type Values } from './penalised.ts';

export type { FoundInPasses, Refusal } from './fit-found.ts';

export interface FitOptions {
  /** Name of the road's surface, the same throughout. */
  readonly surface: string;
}

/** A road fitted to one pass or several. It is as long as the longest pass. */
export interface RoadFit {
  readonly table: RoadTable; // stations about 1 m apart, the first 0, with xy; z and width where recorded
  readonly found: FoundInPasses;
  /** Why the data cannot carry a forecast and what to do; null where they can. */
  readonly refusal: Refusal | null;
  /** A road drawn from what the data leave open. @param random even on 0 … 1, seeded */
  draw(random: () => number): RoadTable;
  readonly points: FittedPoints;
}

/** Every point handed over, against the fitted road; the arrays share one index, passes one after the other. */
export interface FittedPoints {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array; //        NaN where not recorded
  readonly pass: Int32Array; //       index of the pass
  readonly station: Float64Array; //  station of the nearest point of the road [m], NaN where it was left out
  readonly used: Uint8Array; //       0 where it was left out, or taken for an outlier
}

/** Distance between the nodes of the fit [m]: 1 m, more only where the road would have over 150,000 of them. */
const NODE_SPACING = 1;
const MOST_SPACING = 2;
const MOST_NODES = 150_000;

/**
 * Fits a road to passes that all run the same way along the same road.
 * @param passes 1 or more; those that begin before the longest or end behind it are cut to it
 * @throws RangeError where no line can be laid: fewer than 8 different points, or they do not lead anywhere
 */
export function fitRoad(passes: readonly Pass[], options: FitOptions): RoadFit {
  const ready = readyPasses(passes, nodeSpacing(passes));
  const { correlation, plan, heights, others, failed } = fitOrNot(ready);
  const width = widthAlong(passes, ready.source, plan);
  const assumptions = [
    'The road is a smooth curve fitted to recorded positions; grade and curvature are its derivatives.',
    ...(heights === null ? ['The positions have no heights: the road is taken as level.'] : []),
    'The positions have no crossfall: it is taken as 0.',
  ];
  const parts = { surface: options.surface, width, assumptions };
  const table = tableOf(plan.curve, heights?.z ?? null, parts);
  const { found, refusal } = describeFit(table, ready, plan, heights, correlation.across, failed);
  const draw = (random: () => number): RoadTable => {
    if (failed) return table;
    const like = oneOf([{ plan, heights, share: correlation.likely[0].share }, ...others], random());
    const normal = normalFrom(random);
    const { curve, values, sigma, looseness } = like.plan;
    const n = drawLine(curvatureRows(curve), values, sigma, looseness, normal);
    const z = like.heights === null ? null : drawHeights(like.heights, normal);
    // Nodes that move to the side change their distance by little; the heights are those of the same share of the road.
    // So are the widths.
    const drawn = moved(curve, n, curve.h);
    const along = (column: Float64Array | null) =>
      column === null ? null : stretched(column, drawn.x.length);
    return tableOf(drawn, along(z), { ...parts, width: along(width) });
  };
  return {
    table,
    found,
    refusal,
    draw,
    points: pointsOf(passes, ready.source, plan, table),
  };
}

/** Tried one after the other until a road comes of it. */
const FIRST_LOOSENESS = [1, 0.1, 10];

/** A fit, and how likely its correlation of the noise is. */
interface LikelyFit {
  readonly plan: PlanFit;
  readonly heights: HeightFit | null;
  readonly share: number;
}

/** The fit into whose share `p` falls, 0 … 1; the first where the shares of those that came about sum to less. */
function oneOf(fits: readonly LikelyFit[], p: number): LikelyFit {
  let sum = 0;
  for (const fit of fits) {
    sum += fit.share;
    if (p < sum) return fit;
  }
  return fits[0];
}

/** The fit, or where the points are too far apart for one, or none fits, the curve through the points as they are. */
function fitOrNot(ready: Ready): {
  readonly correlation: CorrelationLengths;
  readonly plan: PlanFit;
  readonly heights: HeightFit | null;
  /** Fits with the other likely correlations of the noise. */
  readonly others: readonly LikelyFit[];
  readonly failed: boolean;
} {
  const { curve, points, u, sigma } = ready;
  for (const looseness of ready.spacing <= MOST_POINT_SPACING ? FIRST_LOOSENESS : []) {
    try {
      const correlation = correlationLengths(ready);
      const [first, ...rest] = correlation.likely;
      const fitWith = ({ length, share }: typeof first): LikelyFit => {
        const plan = fitPlan(curve, points, u.slice(), sigma, length, ready.leastNoise, looseness);
        return { plan, heights: fitHeights(plan, points, correlation.height), share };
      };
      const { plan, heights } = fitWith(first);
      const others = rest.flatMap((one) => {
        try {
          return [fitWith(one)];
        } catch (error) {
          if (!(error instanceof RangeError)) throw error;
          return []; // the curve folded over itself
        }
      });
      return { correlation, plan, heights, others, failed: false };
    } catch (error) {
      // The curve folded over itself on the way.
      if (!(error instanceof RangeError)) throw error;
    }
  }
  const plan = rawPlan(curve, points, u, sigma);
  return { correlation: WHITE, plan, heights: null, others: [], failed: true };
}

function nodeSpacing(passes: readonly Pass[]): number {
  let most = 0;
  for (const { x, y } of passes) {
    let length = 0;
    for (let i = 1; i < x.length; i++) length += Math.hypot(x[i] - x[i - 1], y[i] - y[i - 1]);
    most = Math.max(most, length);
  }
  return Math.max(NODE_SPACING, Math.min(MOST_SPACING, most / MOST_NODES));
}

/**
 * How far log τ² may lie from what was found, the same along the whole road: standard deviation. Set on trial roads so that
 * the range of times (src/study/road-spread.ts) holds the true one in over 90 % of them, as a bootstrap is calibrated
 * (Loh 1987, J. Am. Stat. Assoc. 82, 155–162, from memory).
 */
const LOOSENESS_SPREAD = 1.1;

/** A line that fits as well: the data with noise of their own kind added, and another looseness. */
function drawLine(
  rows: PenaltyRows,
  values: Values,
  sigma: number,
  looseness: Looseness,
  normal: () => number,
): Float64Array {
  const shift = LOOSENESS_SPREAD * normal();
  const logTau2 = looseness.logTau2.map((log) => log + shift);
  const { weight, rho } = values;
  let noise = 0;
  const value = values.value[0].map((d, i) => {
    if (weight[i] === 0) return d;
    noise = rho[i] * noise + Math.sqrt(1 - rho[i] * rho[i]) * normal();
    return d + sigma * noise;
  });
  const { line } = solveLine(rows, { ...values, value: [value] }, sigma, { ...looseness, logTau2 });
  return line[0];
}

const drawHeights = ({ rows, values, sigma, looseness }: HeightFit, normal: () => number) =>
  drawLine(rows, values, sigma, looseness, normal);

/** The same column over another count of even nodes. */
function stretched(z: Float64Array, m: number): Float64Array {
  const last = z.length - 1;
  return Float64Array.from({ length: m }, (_, j) => {
    const at = (j * last) / (m - 1);
    const low = Math.min(last - 1, Math.floor(at));
    return z[low] + (at - low) * (z[low + 1] - z[low]);
  });
}

/** Width at each node, linear between the points that have one; null where none has. */
function widthAlong(
  passes: readonly Pass[],
  source: Int32Array,
  { curve, u, beyond }: PlanFit,
): Float64Array | null {
  const all = passes.flatMap(({ x, width }) => Array.from(x, (_, i) => width?.[i] ?? Number.NaN));
  const known: { readonly u: number; readonly width: number }[] = [];
  for (let i = 0; i < u.length; i++) {
    const width = all[source[i]];
    if (beyond[i] === 0 && Number.isFinite(width)) known.push({ u: u[i], width });
  }
  if (known.length === 0) return null;
  known.sort((a, b) => a.u - b.u);
  let k = 0;
  return Float64Array.from(curve.x, (_, j) => {
    const at = j * curve.h;
    while (k + 2 < known.length && known[k + 1].u <= at) k++;
    const a = known[k];
    const b = known[Math.min(k + 1, known.length - 1)];
    const f = b.u > a.u ? Math.max(0, Math.min(1, (at - a.u) / (b.u - a.u))) : 0;
    return a.width + f * (b.width - a.width);
  });
}

function pointsOf(
  passes: readonly Pass[],
  source: Int32Array,
  plan: PlanFit,
  { s }: RoadTable,
): FittedPoints {
  const count = passes.reduce((sum, { x }) => sum + x.length, 0);
  const column = () => new Float64Array(count);
  const points = {
    x: column(),
    y: column(),
    z: column(),
    pass: new Int32Array(count),
    station: column().fill(Number.NaN),
    used: new Uint8Array(count),
  };
  let first = 0;
  for (const [p, pass] of passes.entries()) {
    points.x.set(pass.x, first);
    points.y.set(pass.y, first);
    points.z.set(pass.z, first);
    points.pass.fill(p, first, first + pass.x.length);
    first += pass.x.length;
  }
  const { u, beyond, values, curve } = plan;
  for (let i = 0; i < u.length; i++) {
    if (beyond[i] === 1) continue;
    const at = Math.min(s.length - 2, Math.floor(u[i] / curve.h));
    points.station[source[i]] = s[at] + (u[i] / curve.h - at) * (s[at + 1] - s[at]);
    points.used[source[i]] = values.weight[i] > 0 ? 1 : 0;
  }
  return points;
}
