/**
 * Roads whose every bend is known, and recordings of them with noise that is known too. Invented; seeds fixed.
 */
import { normalFrom, randomFrom } from '../../src/numbers/random.ts';
import type { RoadTable } from '../../src/track/road-table.ts';
import type { Pass } from '../../src/track/survey/pass.ts';

/** Step of the integration of direction, position and height [m]. */
const STEP = 0.1;
/** A row of the table at every so many steps. */
const STEPS_A_ROW = 5;

/** A road of straights, arcs and transitions, with hairpins of 8 to 15 m radius and crests. */
export interface KnownRoad {
  readonly table: RoadTable;
  readonly plan: Float64Array; // plan distance of each row of the table [m]
}

interface Piece {
  readonly length: number; // in plan [m]
  readonly from: number; //   curvature [1/m]
  readonly to: number;
}

/** Makes a road of about `length` [m]. */
export function knownRoad(seed: number, length: number): KnownRoad {
  const random = randomFrom(seed);
  const between = (from: number, to: number) => from + (to - from) * random();
  const pieces: Piece[] = [{ length: 60, from: 0, to: 0 }];
  let total = 60;
  let heading = 0;
  const add = (piece: Piece) => {
    pieces.push(piece);
    total += piece.length;
  };
  while (total < length) {
    const kind = random();
    const radius = kind < 0.15 ? between(8, 15) : kind < 0.55 ? between(20, 70) : between(70, 300);
    const turn = kind < 0.15 ? between(2.4, 3.1) : kind < 0.55 ? between(0.4, 1.6) : between(0.15, 0.7);
    // Bends lead back to where the road set out for, so that it does not run in circles.
    const side = Math.abs(heading) > 1 ? -Math.sign(heading) : random() < 0.5 ? -1 : 1;
    const easement = Math.min(kind < 0.15 ? between(5, 9) : between(10, 35), 0.8 * radius * turn);
    const k = side / radius;
    add({ length: easement, from: 0, to: k });
    add({ length: radius * turn - easement, from: k, to: k });
    add({ length: easement, from: k, to: 0 });
    heading += side * turn;
    add({ length: 15 + 120 * random() ** 2, from: 0, to: 0 });
  }
  return integrate(pieces, total, between);
}

function integrate(pieces: Piece[], total: number, between: (from: number, to: number) => number): KnownRoad {
  // Grade: constant stretches joined by vertical curves; the shortest make crests and dips of some 150 m radius.
  const grades: { from: number; to: number; begin: number; end: number }[] = [];
  let at = 20;
  let grade = 0.02;
  while (at < total) {
    const next = between(-0.08, 0.1);
    const end = at + between(15, 60) * (0.3 + 10 * Math.abs(next - grade));
    grades.push({ from: grade, to: next, begin: at, end });
    grade = next;
    at = end + between(20, 150);
  }
  const steps = Math.round(total / STEP);
  const rows = Math.floor(steps / STEPS_A_ROW) + 1;
  const column = () => new Float64Array(rows);
  const [plan, s, curvature, slope, kv, x, y, z] = Array.from({ length: 8 }, column);
  let piece = 0;
  let begin = 0;
  let rise = 0;
  const curvatureAt = (p: number) => {
    while (piece < pieces.length - 1 && p >= begin + pieces[piece].length) begin += pieces[piece++].length;
    const { from, to, length } = pieces[piece];
    return from + (to - from) * Math.min(1, (p - begin) / length);
  };
  const gradeAt = (p: number) => {
    while (rise < grades.length - 1 && p > grades[rise + 1].begin) rise++;
    const { from, to, begin: b, end } = grades[rise];
    return from + (to - from) * Math.max(0, Math.min(1, (p - b) / (end - b)));
  };
  let [px, py, pz, ps, theta] = [0, 0, 0, 0, 0.3];
  for (let i = 0; i <= steps; i++) {
    const p = i * STEP;
    const k = curvatureAt(p);
    const g = gradeAt(p);
    if (i % STEPS_A_ROW === 0) {
      const row = i / STEPS_A_ROW;
      plan[row] = p;
      s[row] = ps;
      curvature[row] = k;
      slope[row] = g;
      const { from, to, begin: b, end } = grades[rise];
      kv[row] = p > b && p < end ? ((to - from) / (end - b)) * (1 + g * g) ** -1.5 : 0;
      x[row] = px;
      y[row] = py;
      z[row] = pz;
    }
    const middle = theta + (k * STEP) / 2; // curvature changes by little over a step
    px += Math.cos(middle) * STEP;
    py += Math.sin(middle) * STEP;
    pz += g * STEP;
    ps += Math.sqrt(1 + g * g) * STEP;
    theta += k * STEP;
  }
  const table: RoadTable = {
    s,
    curvature,
    curvatureIn: 'plan',
    grade: slope,
    crossfall: column(),
    verticalCurvature: kv,
    surface: new Int32Array(rows),
    surfaceNames: ['gravel'],
    xy: { x, y },
    z,
    width: null,
    assumptions: [],
  };
  return { table, plan };
}

export interface Recording {
  readonly spacing: number; //     distance between points [m]
  readonly noise: number; //       standard deviation in each of x, y, z [m]
  readonly correlation: number; // distance over which the noise falls to 1/e [m]; 0: white
  readonly offset?: number; //     standard deviation of the whole pass in x and in y [m]
  readonly seed: number;
}

/** A pass as a receiver would have recorded it: a point about every `spacing` metres, beside the road. */
export function record({ table, plan }: KnownRoad, how: Recording): Pass {
  const random = randomFrom(how.seed);
  const normal = normalFrom(random);
  const length = plan[plan.length - 1];
  const n = Math.floor(length / how.spacing) + 1;
  const column = () => new Float64Array(n);
  const pass = { x: column(), y: column(), z: column(), time: column().fill(Number.NaN) };
  const rho = how.correlation > 0 ? Math.exp(-how.spacing / how.correlation) : 0;
  const error = [normal(), normal(), normal()];
  const offset = [normal(), normal(), normal()].map((e) => e * (how.offset ?? 0));
  const stretch = length / ((n - 1) * how.spacing);
  let row = 0;
  for (let i = 0; i < n; i++) {
    const p = Math.min(length, i * how.spacing * stretch);
    while (row < plan.length - 2 && plan[row + 1] < p) row++;
    const f = Math.min(1, (p - plan[row]) / (plan[row + 1] - plan[row]));
    const at = (values: Float64Array) => values[row] + f * (values[row + 1] - values[row]);
    if (i > 0) for (let c = 0; c < 3; c++) error[c] = rho * error[c] + Math.sqrt(1 - rho * rho) * normal();
    pass.x[i] = at(table.xy?.x ?? pass.x) + offset[0] + how.noise * error[0];
    pass.y[i] = at(table.xy?.y ?? pass.y) + offset[1] + how.noise * error[1];
    pass.z[i] = at(table.z ?? pass.z) + offset[2] + how.noise * error[2];
  }
  const begins = new Uint8Array(n);
  begins[0] = 1;
  return { ...pass, begins, width: null };
}
