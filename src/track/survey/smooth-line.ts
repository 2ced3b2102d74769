/**
 * A smooth path within the width of a road: the one of least squared curvature.
 *
 * The path is moved to its left by n at each node, which makes its curvature k0 + n'' + k0² n; the sum of its squares is
 * least between the bounds that the edges set (a problem of quadratic programming), and the path is the start of the
 * next round until it rests. It is no forecast of the fastest path: that depends on the car.
 * Sources: Braghin, Cheli, Melzi & Sabbioni (2008), Computers & Structures 86, 1503–1516; Heilmeier, Wischnewski,
 * Hermansdorfer, Betz, Lienkamp & Lohmann (2020), Vehicle System Dynamics 58, 1497–1527 (both from memory).
 */
import type { RoadTable } from '../road-table.ts';
import { type Banded, bandedZeros } from './banded.ts';
import { boxLeastSquares } from './banded-box.ts';
import { type Curve, evenCurve, type Foot, footOf, moved, safeShare } from './curve.ts';

/** Width that a car takes up [m]: its middle stays half of that from the edges. Common practice, no source. */
export const CAR_WIDTH = 1.8;
const SPACING = 1; //         distance between nodes [m]
const MOST_ROUNDS = 30;
const AT_REST = 0.005; //     greatest move of a node in the last round [m]
/** Nearest that a path comes to the centre of a bend, as a share of its radius: beyond it the road folds over itself. */
const FOLD = 0.7;
/** Pull towards the middle of the road, against the weight of curvature [1/m⁴]: it settles straights, and no more. */
const PULL = 1e-9;

/** Where the nodes of a path lie on the road. */
interface Feet {
  readonly u: Float64Array; // place along the centre in plan [m]
  readonly d: Float64Array; // to the left of the centre [m]
}

/**
 * The smooth path as a road: grade, crossfall and surface are those of the centre beside it.
 * @param width between the edges where the table has no width of its own [m]
 * @throws RangeError where neither says how wide the road is, or it is no wider than a car
 */
export function smoothLine(table: RoadTable, width: number | null): RoadTable {
  const { plan, centre } = centreOf(table);
  const last = (centre.x.length - 1) * centre.h;
  const room = roomOf(table, width, plan, centre);
  const foot: Foot = { node: 0, u: 0, d: 0 };
  const feetOf = ({ x, y }: Curve): Feet => {
    foot.node = 0;
    const u = new Float64Array(x.length);
    const d = new Float64Array(x.length);
    for (let j = 0; j < x.length; j++) {
      footOf(centre, x[j], y[j], foot);
      u[j] = Math.max(0, Math.min(last, foot.u));
      d[j] = foot.d;
    }
    return { u, d };
  };
  let path = centre;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const { u, d } = feetOf(path);
    const low = new Float64Array(d.length);
    const high = new Float64Array(d.length);
    for (let j = 0; j < d.length; j++) {
      const side = at(room, u[j] / centre.h);
      const k = at(centre.curvature, u[j] / centre.h);
      const most = k > 0 ? Math.min(side, FOLD / k) : side;
      const least = k < 0 ? Math.min(side, -FOLD / k) : side;
      // Rounding may put a node on its bound: the start must lie inside.
      high[j] = Math.max(most - d[j], INSIDE);
      low[j] = Math.min(-least - d[j], -INSIDE);
    }
    const { hessian, gradient } = curvatureSum(path, d);
    const move = boxLeastSquares(hessian, gradient, low, high);
    const share = safeShare(path, move);
    for (let j = 0; j < move.length; j++) move[j] *= share;
    path = moved(path, move, SPACING);
    if (move.every((n) => Math.abs(n) < AT_REST)) break;
  }
  return carried(table, plan, path, feetOf(path));
}

const INSIDE = 1e-4; // [m]

/** Value of a column between its rows. */
function at(column: Float64Array, row: number): number {
  const low = Math.max(0, Math.min(column.length - 2, Math.floor(row)));
  return column[low] + (row - low) * (column[low + 1] - column[low]);
}

/** The centre in plan, and how far along it in plan each row of the table lies [m]. */
function centreOf(table: RoadTable): { readonly plan: Float64Array; readonly centre: Curve } {
  const { s, grade, curvature, xy } = table;
  const plan = new Float64Array(s.length);
  const x: number[] = [xy?.x[0] ?? 0];
  const y: number[] = [xy?.y[0] ?? 0];
  let heading = 0;
  const inPlan = (i: number) => curvature[i] * (table.curvatureIn === 'plan' ? 1 : 1 + grade[i] * grade[i]);
  for (let i = 1; i < s.length; i++) {
    const ds = s[i] - s[i - 1];
    const run = ds / Math.sqrt(1 + ((grade[i] + grade[i - 1]) / 2) ** 2);
    plan[i] = plan[i - 1] + run;
    if (run === 0) continue;
    if (xy !== null) {
      x.push(xy.x[i]);
      y.push(xy.y[i]);
      continue;
    }
    // Curvature is linear over the row: so many steps that none turns or runs far.
    const [from, to] = [inPlan(i - 1), inPlan(i)];
    const parts = Math.max(1, Math.ceil(run / SPACING));
    for (let part = 0; part < parts; part++) {
      const step = run / parts;
      const k = from + ((to - from) * (part + 0.5)) / parts;
      heading += (k * step) / 2;
      const chord = Math.abs(k) < 1e-9 ? step : (2 * Math.sin((k * step) / 2)) / k;
      x.push(x[x.length - 1] + chord * Math.cos(heading));
      y.push(y[y.length - 1] + chord * Math.sin(heading));
      heading += (k * step) / 2;
    }
  }
  const centre = evenCurve(Float64Array.from(x), Float64Array.from(y), SPACING);
  // Chords are a little shorter than the road: places are shares of the whole.
  const stretch = ((centre.x.length - 1) * centre.h) / plan[plan.length - 1];
  return { plan: plan.map((p) => p * stretch), centre };
}

/** How far the middle of the car may go to either side, at each node of the centre [m]. */
function roomOf(table: RoadTable, width: number | null, plan: Float64Array, { x, h }: Curve): Float64Array {
  if (table.width === null && width === null) {
    throw new RangeError(
      'a smooth line needs the width of the road, and neither a column nor an option gives it',
    );
  }
  let row = 0;
  return Float64Array.from(x, (_, j) => {
    row = rowAt(plan, j * h, row);
    const here = table.width === null ? (width ?? 0) : at(table.width, rowShare(plan, j * h, row));
    const room = (here - CAR_WIDTH) / 2;
    if (!(room > 0)) {
      throw new RangeError(
        `the road is ${here.toFixed(1)} m wide at ${(j * h).toFixed(0)} m; a smooth line needs more than the ${CAR_WIDTH} m of a car`,
      );
    }
    return room;
  });
}

/** The last row at or before the place, looked for onwards from `from`. */
function rowAt(plan: Float64Array, place: number, from: number): number {
  let row = from;
  while (row + 2 < plan.length && plan[row + 1] <= place) row++;
  return row;
}

const rowShare = (plan: Float64Array, place: number, row: number) =>
  row + Math.max(0, Math.min(1, (place - plan[row]) / (plan[row + 1] - plan[row])));

/** ½ Σ (k0 + n'' + k0² n)² h + ½ PULL Σ (d + n)² h as a quadratic form of n. */
function curvatureSum(
  { curvature, h }: Curve,
  d: Float64Array,
): { readonly hessian: Banded; readonly gradient: Float64Array } {
  const m = curvature.length;
  const hessian = bandedZeros(m, 2);
  const gradient = new Float64Array(m);
  const h2 = 1 / (h * h);
  for (let j = 1; j < m - 1; j++) {
    const k = curvature[j];
    const row = [h2, k * k - 2 * h2, h2];
    for (let a = 0; a < 3; a++) {
      gradient[j - 1 + a] += h * row[a] * k;
      for (let c = 0; c <= a; c++) hessian.entry[(j - 1 + a) * 3 + a - c] += h * row[a] * row[c];
    }
  }
  for (let j = 0; j < m; j++) {
    hessian.entry[3 * j] += PULL * h;
    gradient[j] += PULL * h * d[j];
  }
  return { hessian, gradient };
}

/** The path as a road table, with what lies beside it on the road. */
function carried(table: RoadTable, plan: Float64Array, path: Curve, { u }: Feet): RoadTable {
  const { x, y, h, curvature } = path;
  const m = x.length;
  const s = new Float64Array(m);
  const [grade, crossfall, z, width] = Array.from({ length: 4 }, () => new Float64Array(m));
  const surface = new Int32Array(m);
  let row = 0;
  for (let j = 0; j < m; j++) {
    row = rowAt(plan, u[j], row);
    const place = rowShare(plan, u[j], row);
    // The same rise over a longer or a shorter way.
    const before = Math.max(0, j - 1);
    const after = Math.min(m - 1, j + 1);
    const gain = (u[after] - u[before]) / ((after - before) * h);
    grade[j] = at(table.grade, place) * gain;
    crossfall[j] = at(table.crossfall, place);
    surface[j] = table.surface[place >= row + 1 ? row + 1 : row];
    if (table.width !== null) width[j] = at(table.width, place);
    if (table.z !== null) z[j] = at(table.z, place);
    if (j > 0) s[j] = s[j - 1] + h * Math.sqrt(1 + ((grade[j] + grade[j - 1]) / 2) ** 2);
  }
  return {
    s,
    curvature: curvature.slice(),
    curvatureIn: 'plan',
    grade,
    crossfall,
    verticalCurvature: table.verticalCurvature === null ? null : verticalOf(table.verticalCurvature, plan, u),
    surface,
    surfaceNames: table.surfaceNames,
    xy: { x: x.slice(), y: y.slice() },
    z: table.z === null ? null : z,
    width: table.width === null ? null : width,
    assumptions: [
      ...table.assumptions,
      `The car follows a smooth path within the road’s width, its middle ${CAR_WIDTH / 2} m or more from the edges.`,
    ],
  };
}

function verticalOf(column: Float64Array, plan: Float64Array, u: Float64Array): Float64Array {
  let row = 0;
  return u.map((place) => {
    row = rowAt(plan, place, row);
    return at(column, rowShare(plan, place, row));
  });
}
