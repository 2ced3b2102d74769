/**
 * The road's plan: a curve whose curvature is smooth, from points of one or several passes beside it.
 *
 * Only a point's distance to the side of the curve counts, so that uneven speed along the road moves nothing. A curve
 * is moved to its left by n at each node, where its curvature becomes k0 + n'' + k0² n; the penalty is on dk/ds of
 * that, so straights and arcs cost nothing, and n is found by `penalised.ts` (Gauss and Newton's method). The nodes
 * are laid out evenly again after each move.
 */
import { type Curve, type Foot, footOf, moved, safeShare } from './curve.ts';
import { resolvableRadius } from './fit-found.ts';
import { correlate, reweigh } from './fit-noise.ts';
import { passOffsets } from './fit-offsets.ts';
import {
  evenLooseness,
  type Looseness,
  type PenaltyRows,
  smooth,
  updateLooseness,
  type Values,
} from './penalised.ts';

/** Points of all passes, one pass after the other; the arrays share one index. */
export interface Points {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
  readonly pass: Int32Array;
  readonly passes: number;
}

export interface PlanFit {
  readonly curve: Curve;
  readonly u: Float64Array; //      place of each point along the curve [m]
  readonly beyond: Uint8Array; //  1 where a point lies before the curve's first or behind its last node
  readonly values: Values; //       how far to the left of the curve each point lies, its pass's offset taken off [m]
  readonly sigma: number; //        noise of a point across the road [m]
  readonly offsets: Float64Array; // how far to the left its pass lies at each point [m]
  readonly looseness: Looseness;
}

const ROUNDS = 14;
/** Rounds after the looseness was settled. */
const LAST_ROUNDS = 3;
/** Distance between the knots of log τ² [m] (no source: half of it and twice it do worse on roads that are known). */
export const KNOT_SPACING = 30;
/**
 * τ² of dk/ds to begin with [1/m³]: at most the first, and at most what a bend of the resolvable radius R asks for, about
 * FIRST_BEND / R³, so that large noise is not taken for bends. Then that of a straight: 100 m of it let the curvature change
 * by 0.001/m. (No source.)
 */
const FIRST_TAU2 = 1e-3;
const FIRST_BEND = 0.5;
const STILL_TAU2 = 1e-8;

/** Rows of dk/ds of the curve moved to its left. */
export function curvatureRows({ h, curvature }: Curve): PenaltyRows {
  const count = curvature.length - 3;
  const coefficient = new Float64Array(4 * count);
  const target = new Float64Array(count);
  const h3 = h * h * h;
  for (let j = 0; j < count; j++) {
    const k1 = curvature[j + 1];
    const k2 = curvature[j + 2];
    coefficient[4 * j] = -1 / h3;
    coefficient[4 * j + 1] = 3 / h3 - (k1 * k1) / h;
    coefficient[4 * j + 2] = -3 / h3 + (k2 * k2) / h;
    coefficient[4 * j + 3] = 1 / h3;
    target[j] = (k2 - k1) / h;
  }
  return { h, coefficient, target: [target] };
}

/**
 * @param u place of each point along the first curve [m], NaN where it has none; overwritten
 * @param firstSigma noise to begin with [m]
 * @param leastNoise least standard deviation taken for the noise [m]
 * @param firstLooseness factor on τ² to begin with: from a poor start one may lead to a road where another does not
 * @param correlationLength distance over which the noise falls to 1/e [m]; 0: white
 */
export function fitPlan(
  start: Curve,
  points: Points,
  u: Float64Array,
  firstSigma: number,
  correlationLength: number,
  leastNoise: number,
  firstLooseness = 1,
): PlanFit {
  const n = points.x.length;
  const { h: spacing } = start;
  let curve = start;
  let sigma = Math.max(leastNoise, firstSigma);
  const d = new Float64Array(n);
  const values: Values = {
    at: new Int32Array(n),
    part: new Float64Array(n),
    value: [d],
    weight: new Float64Array(n).fill(1),
    rho: new Float64Array(n),
  };
  const beyond = new Uint8Array(n);
  let offsets = new Float64Array(n);
  const radius = resolvableRadius(sigma, ((curve.x.length - 1) * spacing) / n, 0);
  const first = firstLooseness * Math.min(FIRST_TAU2, FIRST_BEND / radius ** 3);
  const looseness = evenLooseness(curve.x.length - 3, KNOT_SPACING / spacing, first);
  const spans = looseness.logTau2.length - 1;
  for (let round = 0; ; round++) {
    findFeet(curve, points, u, values, beyond);
    const here = { rowsPerKnot: (curve.x.length - 3) / spans, logTau2: looseness.logTau2 };
    if (points.passes > 1 && round >= 2) {
      offsets = passOffsets(u, d, values.weight, points);
      for (let i = 0; i < n; i++) d[i] -= offsets[i];
    }
    for (let i = 0; i < n; i++) if (beyond[i] === 1) values.weight[i] = 0;
    correlate(values, points.pass, curve.h, correlationLength);
    if (round === ROUNDS + LAST_ROUNDS) return { curve, u, beyond, values, sigma, offsets, looseness: here };
    if (round === ROUNDS) loosen(looseness, sigma, ((curve.x.length - 1) * curve.h) / n);

    const rows = curvatureRows(curve);
    const fit = smooth(rows, values, sigma, here);
    if (round < ROUNDS) {
      sigma = Math.max(leastNoise, reweigh(values, fit, sigma, round >= ROUNDS / 2, beyond));
      updateLooseness(rows, fit, here, Math.log(STILL_TAU2));
    }
    const [line] = fit.line;
    const share = safeShare(curve, line);
    for (let j = 0; j < line.length; j++) line[j] *= share;
    const before = (curve.x.length - 1) * curve.h;
    curve = moved(curve, line, spacing);
    const stretch = ((curve.x.length - 1) * curve.h) / before;
    for (let i = 0; i < n; i++) u[i] *= stretch;
  }
}

/**
 * Where the noise is large for what it is to tell, the hold of `updateLooseness` takes more off the bends than the noise
 * adds: log τ² is raised by the log of the resolvable radius over LOOSE_FROM, by LOOSE_MOST at most. (No source: found on
 * trial roads, which are not those of docs/validation.md.)
 */
function loosen({ logTau2 }: Looseness, sigma: number, h: number): void {
  const shift = Math.max(0, Math.min(LOOSE_MOST, Math.log(resolvableRadius(sigma, h, 0) / LOOSE_FROM)));
  for (let k = 0; k < logTau2.length; k++) logTau2[k] += shift;
}

const LOOSE_FROM = 4; // [m]
const LOOSE_MOST = 1.2;

/** No fit: the first curve as it is, with every point's place. */
export function rawPlan(curve: Curve, points: Points, firstU: Float64Array, sigma: number): PlanFit {
  const n = points.x.length;
  const u = firstU.slice();
  const values: Values = {
    at: new Int32Array(n),
    part: new Float64Array(n),
    value: [new Float64Array(n)],
    weight: new Float64Array(n).fill(1),
    rho: new Float64Array(n),
  };
  const beyond = new Uint8Array(n);
  findFeet(curve, points, u, values, beyond);
  const looseness = evenLooseness(curve.x.length - 3, KNOT_SPACING / curve.h, FIRST_TAU2);
  return { curve, u, beyond, values, sigma, offsets: new Float64Array(n), looseness };
}

/** Foot of every point on the curve, looked for from where it was. */
function findFeet(
  curve: Curve,
  { x, y }: Points,
  u: Float64Array,
  { at, part, value: [d] }: Values,
  beyond: Uint8Array,
): void {
  const last = curve.x.length - 1;
  const foot: Foot = { node: 0, u: 0, d: 0 };
  for (let i = 0; i < u.length; i++) {
    foot.node = Math.round(u[i] / curve.h);
    footOf(curve, x[i], y[i], foot);
    beyond[i] = foot.u < 0 || foot.u > last * curve.h ? 1 : 0;
    u[i] = Math.max(0, Math.min(last * curve.h, foot.u));
    d[i] = foot.d;
    at[i] = Math.min(last - 1, Math.floor(u[i] / curve.h));
    part[i] = Math.min(1, u[i] / curve.h - at[i]);
  }
}
