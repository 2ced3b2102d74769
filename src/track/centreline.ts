/**
 * Surveyed points of a centre line made into a road: a smooth curve through every point, and its geometry.
 *
 * The curve is a parametric cubic spline x(u), y(u), z(u), so direction and curvature are continuous (periodic where
 * the road is closed, not-a-knot ends otherwise). u starts as cumulative chord length in plan and is replaced twice
 * by the arc length in plan of the curve just laid, so that it is nearly the true distance and uneven spacing does
 * not pull the curve about. Sources: de Boor, A Practical Guide to Splines (from memory); for the repeats, Floater &
 * Surazhsky (2006), Parameterization for Curve Interpolation (from memory).
 *
 * It interpolates and does not smooth: at spacing h, an error e across the road in one point moves the curvature
 * there by 6 (√3 − 1) e / h² = 4.4 e / h², and errors of alternating sign move it by 12 e / h². A first or last cell
 * much longer than its neighbour extrapolates that neighbour's bend and may swing wide.
 */

import { integrate } from '../numbers/integrate.ts';
import {
  type CubicSpline,
  splineNotAKnot,
  splinePeriodic,
  splineSecond,
  splineSlope,
  splineValue,
} from './cubic-spline.ts';
import type { RoadTable } from './road-table.ts';

/** n points in the order of travel, n ≥ 4. The arrays share one index. */
export interface CentrelinePoints {
  readonly x: Float64Array; //              (n) [m]
  readonly y: Float64Array; //              (n) [m]
  readonly z: Float64Array | null; //       (n) height [m]; null: the road is taken as level
  readonly width: Float64Array | null; //   (n) width of the road [m]; null: not given
  readonly surface: Int32Array | null; //   (n) index into `surfaceNames`, holds from its point on; null: 0 throughout
}

export interface CentrelineOptions {
  /** Joins the last point to the first: the road is one lap. A last point equal to the first is left out. */
  readonly closed: boolean;
  readonly surfaceNames: readonly string[];
}

/** Distance between rows in plan [m], at most and nearly: between points curvature is close to linear anyway. */
const ROW_SPACING = 1;
/** How often the arc length of the last curve becomes the parameter of the next. */
const REPEATS = 2;
/** Greatest change of direction at one point [rad]: beyond it the points do not tell what the road does. */
const MAX_TURN = (135 * Math.PI) / 180;
/** Longest road [m]: beyond it the unit is wrong and the rows would not fit into memory. */
const MAX_LENGTH = 1e7;

/** A curve in space over one parameter; z is null where the road is level. */
interface Curve {
  readonly x: CubicSpline;
  readonly y: CubicSpline;
  readonly z: CubicSpline | null;
}

/**
 * Lays a curve with continuous curvature through the points and tabulates it: a row at every point and at least one
 * about every metre. `s` is the distance along the surface by quadrature; curvature is in plan; grade and vertical
 * curvature come from the spline of z, which is nearly one over plan distance; width is linear between the points;
 * crossfall is 0.
 * @throws RangeError for fewer than 4 points, numbers that are not finite, neighbours at the same place in plan, a
 * turn of more than 135° at one point, and a road of more than 10,000 km.
 */
export function fitCentreline(points: CentrelinePoints, options: CentrelineOptions): RoadTable {
  const n = checkPoints(points, options);
  const cells = options.closed ? n : n - 1;
  const curve = layCurve(points, n, options.closed);
  const u = curve.x.knot;

  const rowsOfCell = (i: number) => Math.max(1, Math.ceil((u[i + 1] - u[i]) / ROW_SPACING - 1e-9));
  let rows = 1;
  for (let i = 0; i < cells; i++) rows += rowsOfCell(i);

  const s = new Float64Array(rows);
  const curvature = new Float64Array(rows);
  const grade = new Float64Array(rows);
  const verticalCurvature = curve.z === null ? null : new Float64Array(rows);
  const surface = new Int32Array(rows);
  const x = new Float64Array(rows);
  const y = new Float64Array(rows);
  const z = curve.z === null ? null : new Float64Array(rows);
  const width = points.width === null ? null : new Float64Array(rows);

  const writeRow = (row: number, i: number, at: number) => {
    x[row] = splineValue(curve.x, i, at);
    y[row] = splineValue(curve.y, i, at);
    const dx = splineSlope(curve.x, i, at);
    const dy = splineSlope(curve.y, i, at);
    const ddx = splineSecond(curve.x, i, at);
    const ddy = splineSecond(curve.y, i, at);
    const speed2 = dx * dx + dy * dy;
    const speed = Math.sqrt(speed2);
    curvature[row] = (dx * ddy - dy * ddx) / (speed2 * speed);
    if (points.width !== null && width !== null) {
      const [from, to] = [points.width[i], points.width[(i + 1) % n]];
      width[row] = from + ((to - from) * (at - u[i])) / (u[i + 1] - u[i]);
    }
    if (curve.z !== null && z !== null && verticalCurvature !== null) {
      z[row] = splineValue(curve.z, i, at);
      const dz = splineSlope(curve.z, i, at);
      grade[row] = dz / speed;
      // tan θ = dz/dp over plan distance p, and dθ/ds = cos³θ · d(tan θ)/dp.
      const gradeRate = (splineSecond(curve.z, i, at) - (dz * (dx * ddx + dy * ddy)) / speed2) / speed2;
      verticalCurvature[row] = gradeRate / (1 + grade[row] * grade[row]) ** 1.5;
    }
    if (!Number.isFinite(curvature[row] + grade[row] + s[row])) {
      throw new RangeError(`the curve is not finite near point ${i + 1} (x ${x[row]} m, y ${y[row]} m)`);
    }
  };

  let row = 0;
  for (let i = 0; i < cells; i++) {
    const parts = rowsOfCell(i);
    const step = (u[i + 1] - u[i]) / parts;
    for (let part = 0; part < parts; part++) {
      const at = u[i] + part * step;
      const next = part === parts - 1 ? u[i + 1] : at + step;
      writeRow(row, i, at);
      if (points.surface !== null) surface[row] = points.surface[i];
      s[row + 1] = s[row] + arcLength(curve, i, at, next, true);
      row++;
    }
  }
  writeRow(row, cells - 1, u[cells]);
  if (points.surface !== null) surface[row] = points.surface[cells % n];
  return {
    s,
    curvature,
    curvatureIn: 'plan',
    grade,
    crossfall: new Float64Array(rows),
    verticalCurvature,
    surface,
    surfaceNames: options.surfaceNames,
    xy: { x, y },
    z,
    width,
    assumptions: describe(n, s[rows - 1], options.closed, curve.z !== null),
  };
}

function describe(n: number, length: number, closed: boolean, hasHeights: boolean): string[] {
  const ends = closed ? 'periodic, joined from the last point to the first' : 'not-a-knot ends';
  const spacing = (length / (closed ? n : n - 1)).toPrecision(3);
  return [
    `The road is a parametric cubic spline (${ends}) through ${n} points, ${spacing} m apart on average; it passes through every point and smooths nothing.`,
    hasHeights
      ? 'Grade and vertical curvature come from the spline through the heights.'
      : 'The points have no heights: the road is taken as level.',
    'The points have no crossfall: it is taken as 0.',
  ];
}

/** Checks the points; returns how many count, without a last one that repeats the first of a closed road. */
function checkPoints(
  { x, y, z, width, surface }: CentrelinePoints,
  { closed, surfaceNames }: CentrelineOptions,
): number {
  const count = x.length;
  for (const column of [y, z, width, surface]) {
    if (column !== null && column.length !== count) {
      throw new RangeError(`columns of a centre line differ in length: ${count} and ${column.length}`);
    }
  }
  for (let i = 0; i < count; i++) {
    if (!Number.isFinite(x[i]) || !Number.isFinite(y[i]) || (z !== null && !Number.isFinite(z[i]))) {
      throw new RangeError(
        `point ${i + 1} is not finite: x ${x[i]}, y ${y[i]}${z === null ? '' : `, z ${z[i]}`}`,
      );
    }
    if (width !== null && !(width[i] >= 0)) {
      throw new RangeError(`point ${i + 1} has width ${width[i]} m, expected 0 m or more`);
    }
    if (surface !== null && !(surface[i] >= 0 && surface[i] < surfaceNames.length)) {
      throw new RangeError(
        `point ${i + 1} has surface ${surface[i]}, but there are ${surfaceNames.length} surfaces`,
      );
    }
    if (i > 0 && x[i] === x[i - 1] && y[i] === y[i - 1]) {
      throw new RangeError(`points ${i} and ${i + 1} are at the same place: x ${x[i]} m, y ${y[i]} m`);
    }
  }
  const repeatsFirst = closed && count > 1 && x[count - 1] === x[0] && y[count - 1] === y[0];
  if (repeatsFirst && z !== null && z[count - 1] !== z[0]) {
    throw new RangeError(`the lap ends where it began, but at ${z[count - 1]} m, not at ${z[0]} m`);
  }
  const n = repeatsFirst ? count - 1 : count;
  if (n < 4) throw new RangeError(`a centre line needs 4 different points or more, got ${n}`);
  let length = 0;
  for (let i = 1; i < n; i++) length += Math.hypot(x[i] - x[i - 1], y[i] - y[i - 1]);
  if (!(length <= MAX_LENGTH)) {
    throw new RangeError(
      `the points span ${(length / 1000).toPrecision(3)} km of road: are x and y in metres?`,
    );
  }
  for (let i = closed ? 0 : 1; i < (closed ? n : n - 1); i++) {
    const before = (i + n - 1) % n;
    const after = (i + 1) % n;
    const [xIn, yIn] = [x[i] - x[before], y[i] - y[before]];
    const [xOut, yOut] = [x[after] - x[i], y[after] - y[i]];
    const turn = Math.abs(Math.atan2(xIn * yOut - yIn * xOut, xIn * xOut + yIn * yOut));
    if (turn > MAX_TURN) {
      const degrees = ((turn * 180) / Math.PI).toFixed(0);
      throw new RangeError(
        `the road turns by ${degrees}° at point ${i + 1} alone (x ${x[i]} m, y ${y[i]} m)`,
      );
    }
  }
  return n;
}

/** Lays the splines over chord length, then again over the arc length of the curve found. */
function layCurve(points: CentrelinePoints, n: number, closed: boolean): Curve {
  // A lap has its first point again at the end.
  const column = (values: Float64Array) => {
    if (!closed) return values.slice(0, n);
    const lap = new Float64Array(n + 1);
    lap.set(values.subarray(0, n));
    lap[n] = values[0];
    return lap;
  };
  const lay = closed ? splinePeriodic : splineNotAKnot;
  const x = column(points.x);
  const y = column(points.y);
  const z = points.z === null ? null : column(points.z);

  let u = new Float64Array(x.length);
  for (let i = 1; i < u.length; i++) u[i] = u[i - 1] + Math.hypot(x[i] - x[i - 1], y[i] - y[i - 1]);
  for (let repeat = 0; repeat < REPEATS; repeat++) {
    const plan: Curve = { x: lay(u, x), y: lay(u, y), z: null };
    const p = new Float64Array(u.length);
    for (let i = 1; i < u.length; i++) p[i] = p[i - 1] + arcLength(plan, i - 1, u[i - 1], u[i], false);
    u = p;
  }
  return { x: lay(u, x), y: lay(u, y), z: z === null ? null : lay(u, z) };
}

/** Length of the curve over from … to inside cell i [m], in plan or along the surface. */
function arcLength({ x, y, z }: Curve, i: number, from: number, to: number, alongSurface: boolean): number {
  const rate = (at: number) => {
    const dx = splineSlope(x, i, at);
    const dy = splineSlope(y, i, at);
    const dz = alongSurface && z !== null ? splineSlope(z, i, at) : 0;
    return Math.sqrt(dx * dx + dy * dy + dz * dz);
  };
  return integrate(rate, from, to, 1);
}
