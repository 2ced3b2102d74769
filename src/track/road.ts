import type { RoadTable } from './road-table.ts';

/** Standard acceleration of free fall [m/s²]. Source: 40 CFR 1066.210 (ISO 80000-3). */
export const G = 9.80665;

/**
 * A road sampled at nodes: what it asks of any car there, as columns.
 *
 * N nodes; cell i lies between nodes i and i+1. Where the data step, two nodes share one station, with the
 * values before and after the step: the cell between them has no length. With b = v², per unit of mass:
 *   normal load       n = normal + b (normalPerV2 + downforce)
 *   lateral demand    y = lateral + b lateralPerV2     (positive to the left)
 *   gravity along     along                            (positive uphill)
 */
export interface Road {
  readonly s: Float64Array; //            (N) station from the first row [m], never falling
  readonly normal: Float64Array; //       (N) g cosθ cosφ [m/s²]
  readonly normalPerV2: Float64Array; //  (N) kv − k sinφ [1/m]
  readonly lateral: Float64Array; //      (N) g cosθ sinφ [m/s²]
  readonly lateralPerV2: Float64Array; // (N) k cosφ [1/m]
  readonly along: Float64Array; //        (N) g sinθ [m/s²]
  readonly curvature: Float64Array; //    (N) lateral curvature k [1/m], positive to the left
  readonly surface: Uint8Array; //        (N) surface of the cell that begins at the node, index into surfaceNames
  readonly surfaceNames: readonly string[];
  readonly splitNodes: Int32Array; //     node at each split and, last, at the finish
  readonly climb: number; //              sum of rises [m]
  readonly step: number; //               greatest cell length asked for [m]
}

/** Longest cell that the scheme of the solver carries: beyond it tight bends lose their accuracy. */
export const MAX_STEP = 2;

/**
 * Samples a road table so that nodes fall on every row, every split and every step in the data.
 * @param step greatest distance between nodes [m], over 0 and at most 2
 * @param splits stations that get a node of their own [m], rising, inside the road
 * @throws RangeError for a step out of range, or a road without length
 */
export function sampleRoad(table: RoadTable, step: number, splits: readonly number[]): Road {
  if (!(step > 0 && step <= MAX_STEP)) {
    throw new RangeError(`the step must be over 0 m and at most ${MAX_STEP} m, got ${step} m`);
  }
  const rows = table.s.length;
  const length = table.s[rows - 1];
  if (!(rows >= 2 && length > 0 && length < Infinity)) {
    throw new RangeError(
      `a road needs 2 rows or more and a length over 0 m, got ${rows} rows and ${length} m`,
    );
  }
  const at = breakStations(table, splits);
  let capacity = 1;
  for (let j = 0; j + 1 < at.length; j++) capacity += cellCount(at[j + 1] - at[j], step) + 1;
  const column = () => new Float64Array(capacity);
  const road = {
    s: column(),
    normal: column(),
    normalPerV2: column(),
    lateral: column(),
    lateralPerV2: column(),
    along: column(),
    curvature: column(),
    surface: new Uint8Array(capacity),
  };
  const { s, normal, normalPerV2, lateral, lateralPerV2, along, curvature, surface } = road;
  const splitNodes = new Int32Array(splits.length + 1);
  const { s: rowS, curvature: rowK, grade: rowGrade, crossfall: rowPhi, verticalCurvature: rowKv } = table;
  const inPlan = table.curvatureIn === 'plan';
  let n = 0;
  let row = 0;
  let nextSplit = 0;
  let climb = 0;
  for (let j = 0; j + 1 < at.length; j++) {
    const from = at[j];
    const to = at[j + 1];
    while (row + 2 < rows && rowS[row + 1] <= from) row++;
    const rowLength = rowS[row + 1] - rowS[row];
    const slopeK = (rowK[row + 1] - rowK[row]) / rowLength;
    const slopeGrade = (rowGrade[row + 1] - rowGrade[row]) / rowLength;
    const slopePhi = (rowPhi[row + 1] - rowPhi[row]) / rowLength;
    const slopeKv = rowKv ? (rowKv[row + 1] - rowKv[row]) / rowLength : 0;
    const surfaceHere = table.surface[row];
    const phiSteady = slopePhi === 0;
    let sinPhi = Math.sin(rowPhi[row]);
    let cosPhi = Math.cos(rowPhi[row]);
    const cells = cellCount(to - from, step);
    const h = (to - from) / cells;
    const before = n - 1; // last node of the interval behind, with the values before a step
    for (let c = 0; c <= cells; c++) {
      const station = c === cells ? to : from + c * h;
      const x = station - rowS[row];
      const grade = rowGrade[row] + slopeGrade * x;
      const cos2 = 1 / (1 + grade * grade);
      const cosTheta = Math.sqrt(cos2);
      if (!phiSteady) {
        const phi = rowPhi[row] + slopePhi * x;
        sinPhi = Math.sin(phi);
        cosPhi = Math.cos(phi);
      }
      const k = (rowK[row] + slopeK * x) * (inPlan ? cos2 : 1);
      const kv = rowKv ? rowKv[row] + slopeKv * x : slopeGrade * cos2;
      s[n] = station;
      normal[n] = G * cosTheta * cosPhi;
      normalPerV2[n] = kv - k * sinPhi;
      lateral[n] = G * cosTheta * sinPhi;
      lateralPerV2[n] = k * cosPhi;
      along[n] = G * cosTheta * grade;
      curvature[n] = k;
      surface[n] = surfaceHere;
      if (c === 0 && before >= 0 && sameNode(road, before, n)) n--; // no step here: one node serves both sides
      n++;
    }
    const rise = slopeIntegral(rowGrade[row] + slopeGrade * (from - rowS[row]), slopeGrade, to - from);
    climb += rise;
    if (to === splits[nextSplit]) splitNodes[nextSplit++] = n - 1;
  }
  splitNodes[splits.length] = n - 1;
  const cut = (a: Float64Array) => a.subarray(0, n);
  return {
    s: cut(s),
    normal: cut(normal),
    normalPerV2: cut(normalPerV2),
    lateral: cut(lateral),
    lateralPerV2: cut(lateralPerV2),
    along: cut(along),
    curvature: cut(curvature),
    surface: surface.subarray(0, n),
    surfaceNames: table.surfaceNames,
    splitNodes,
    climb,
    step,
  };
}

function cellCount(length: number, step: number): number {
  return Math.max(1, Math.ceil(length / step - 1e-9));
}

/** Every station that must carry a node, rising, each once. */
function breakStations({ s }: RoadTable, splits: readonly number[]): Float64Array {
  const at = new Float64Array(s.length + splits.length);
  let n = 0;
  let j = 0;
  for (let i = 0; i < s.length; i++) {
    while (j < splits.length && splits[j] < s[i]) at[n++] = splits[j++];
    if (j < splits.length && splits[j] === s[i]) j++;
    if (n === 0 || s[i] > at[n - 1]) at[n++] = s[i];
  }
  return at.subarray(0, n);
}

/** Whether nodes a and b ask the same of a car, but for rounding. */
function sameNode(
  road: Omit<Road, 'surfaceNames' | 'splitNodes' | 'climb' | 'step'>,
  a: number,
  b: number,
): boolean {
  return (
    road.surface[a] === road.surface[b] &&
    close(road.curvature[a], road.curvature[b]) &&
    close(road.normalPerV2[a], road.normalPerV2[b]) &&
    close(road.normal[a], road.normal[b]) &&
    close(road.lateral[a], road.lateral[b]) &&
    close(road.along[a], road.along[b])
  );
}

function close(a: number, b: number): boolean {
  return Math.abs(a - b) <= 1e-9 * (Math.abs(a) + Math.abs(b)) + 1e-12;
}

/** Rise [m] over a stretch whose grade runs from `grade` with `slope` per metre: ∫ sinθ ds, rises only. */
function slopeIntegral(grade: number, slope: number, length: number): number {
  if (slope === 0) return grade > 0 ? (length * grade) / Math.sqrt(1 + grade * grade) : 0;
  // d√(1+G²)/dG = G/√(1+G²) = sinθ
  const end = grade + slope * length;
  const a = Math.max(0, grade);
  const b = Math.max(0, end);
  return (Math.sqrt(1 + b * b) - Math.sqrt(1 + a * a)) / slope;
}
