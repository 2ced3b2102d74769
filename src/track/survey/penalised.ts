/**
 * A smooth line over evenly spaced nodes from noisy values beside it: penalised least squares, with a penalty on the
 * third derivative that varies along the line and is found from the values themselves.
 *
 * As a Bayesian: the penalised quantity g is independent from row to row with variance τ²/h, the values have variance
 * σ²; the line is the mean of what is left open (Wahba 1990, Spline Models for Observational Data; on a grid of nodes,
 * Eilers 2003, A perfect smoother, Anal. Chem. 75, 3631–3636). log τ² is linear between knots along the line; each
 * knot is found by restricted maximum likelihood, in the fixed-point form of Wood & Fasiolo (2017), Biometrics 73,
 * 1071–1081. All from memory.
 */
import { type Banded, bandedZeros, factorise, inverseInBand, solveLower, solveUpper } from './banded.ts';

/** Penalised rows: row j is g_j = target_j + Σ coefficient[4 j + k] · node[j + k], k = 0 … 3. */
export interface PenaltyRows {
  readonly h: number; //                       distance between nodes
  readonly coefficient: Float64Array; //       (4 (nodes − 3))
  readonly target: readonly Float64Array[]; // (nodes − 3) of each component
}

/** Values to be smoothed. Value i is about (1 − part) · node[at] + part · node[at + 1]. */
export interface Values {
  readonly at: Int32Array; //                 node before the value
  readonly part: Float64Array; //             0 … 1
  readonly value: readonly Float64Array[]; // of each component
  readonly weight: Float64Array; //           1; less for what looks wrong; 0 leaves it out
  /** Correlation of the value's noise with that of the last one before it that has weight; 0: none. */
  readonly rho: Float64Array;
}

/** log τ² at knots, evenly spaced along the rows. */
export interface Looseness {
  readonly rowsPerKnot: number;
  readonly logTau2: Float64Array; // 2 or more
}

export interface Smoothed {
  readonly line: readonly Float64Array[]; // nodes of each component
  readonly inverse: Banded; //               covariance of neighbouring nodes
}

/** The same looseness everywhere. @param count of rows @param rowsPerKnot about how many */
export function evenLooseness(count: number, rowsPerKnot: number, tau2: number): Looseness {
  const spans = Math.max(1, Math.round(count / rowsPerKnot));
  return { rowsPerKnot: count / spans, logTau2: new Float64Array(spans + 1).fill(Math.log(tau2)) };
}

/** Rows of the plain third derivative. */
export function thirdDerivative(nodes: number, h: number, components: number): PenaltyRows {
  const coefficient = new Float64Array(4 * (nodes - 3));
  const h3 = h * h * h;
  for (let j = 0; j < nodes - 3; j++) coefficient.set([-1 / h3, 3 / h3, -3 / h3, 1 / h3], 4 * j);
  const none = new Float64Array(nodes - 3);
  return { h, coefficient, target: Array.from({ length: components }, () => none) };
}

/** h/τ² of each row. */
function rowPrecision({ rowsPerKnot, logTau2 }: Looseness, h: number, out: Float64Array): void {
  const precision = logTau2.map((log) => h * Math.exp(-log));
  const ratio = logTau2.map((log, k) => Math.exp((log - (logTau2[k + 1] ?? log)) / rowsPerKnot));
  let knot = -1;
  let p = 0;
  for (let j = 0; j < out.length; j++) {
    const here = Math.min(Math.floor(j / rowsPerKnot), logTau2.length - 2);
    if (here !== knot) {
      knot = here;
      p = precision[knot] * ratio[knot] ** (j - knot * rowsPerKnot);
    }
    out[j] = p;
    p *= ratio[knot];
  }
}

/** Half band that holds the penalty and the correlation of neighbouring values. */
function bandOf({ at, rho, weight }: Values): number {
  let b = 3;
  let last = -1;
  for (let i = 0; i < at.length; i++) {
    if (weight[i] === 0) continue;
    if (rho[i] > 0 && last >= 0) b = Math.max(b, Math.abs(at[i] - at[last]) + 1);
    last = i;
  }
  return b;
}

/** The line for a known noise (standard deviation `sigma`) and looseness, and the factor of the nodes' precision. */
export function solveLine(
  rows: PenaltyRows,
  values: Values,
  sigma: number,
  looseness: Looseness,
): { readonly factor: Banded; readonly line: readonly Float64Array[] } {
  const { coefficient, target } = rows;
  const count = target[0].length;
  const nodes = count + 3;
  const factor = bandedZeros(nodes, bandOf(values));
  const { entry } = factor;
  const w = factor.b + 1;
  const line = values.value.map(() => new Float64Array(nodes));
  const precision = new Float64Array(count);
  rowPrecision(looseness, rows.h, precision);
  for (let j = 0; j < count; j++) {
    for (let k = 0; k < 4; k++) {
      const c = precision[j] * coefficient[4 * j + k];
      for (let m = 0; m <= k; m++) entry[(j + k) * w + k - m] += c * coefficient[4 * j + m];
      for (let p = 0; p < line.length; p++) line[p][j + k] -= c * target[p][j];
    }
  }
  addValues(values, sigma, factor, line);
  // Fewer values than the penalty leaves free would leave the line without a hold.
  for (let j = 0; j < nodes; j++) entry[j * w] += LEAST_PRECISION;
  factorise(factor);
  for (const column of line) {
    solveLower(factor, column);
    solveUpper(factor, column);
  }
  return { factor, line };
}

const LEAST_PRECISION = 1e-9; // [1/m²]

/** Adds each value, less what the one before it tells of its noise: (d − ρ d') / √(1 − ρ²) is independent. */
function addValues(values: Values, sigma: number, { b, entry }: Banded, line: readonly Float64Array[]): void {
  const { at, part, value, weight, rho } = values;
  const w = b + 1;
  const node = new Int32Array(4);
  const share = new Float64Array(4);
  let last = -1;
  for (let i = 0; i < at.length; i++) {
    if (weight[i] === 0) continue;
    const r = last >= 0 ? rho[i] : 0;
    const scale = weight[i] / (sigma * sigma * (1 - r * r));
    node[0] = at[i];
    node[1] = at[i] + 1;
    share[0] = 1 - part[i];
    share[1] = part[i];
    if (r > 0) {
      node[2] = at[last];
      node[3] = at[last] + 1;
      share[2] = -r * (1 - part[last]);
      share[3] = -r * part[last];
    }
    const terms = r > 0 ? 4 : 2;
    for (let k = 0; k < terms; k++) {
      for (let m = 0; m < terms; m++) {
        const d = node[k] - node[m];
        if (d >= 0) entry[node[k] * w + d] += scale * share[k] * share[m];
      }
      for (let p = 0; p < line.length; p++) {
        line[p][node[k]] += scale * share[k] * (r > 0 ? value[p][i] - r * value[p][last] : value[p][i]);
      }
    }
    last = i;
  }
}

/** As `solveLine`, and how well the line is known. */
export function smooth(rows: PenaltyRows, values: Values, sigma: number, looseness: Looseness): Smoothed {
  const { factor, line } = solveLine(rows, values, sigma, looseness);
  const inverse = bandedZeros(factor.n, factor.b);
  inverseInBand(factor, inverse);
  return { line, inverse };
}

/** Variance of the line at a value. */
export function varianceAt({ inverse: { b, entry } }: Smoothed, at: number, part: number): number {
  const q = 1 - part;
  const i = at * (b + 1);
  const j = i + b + 1;
  return q * q * entry[i] + 2 * q * part * entry[j + 1] + part * part * entry[j];
}

/**
 * Log of the restricted likelihood of the values, but for a constant: how well this noise and looseness explain them.
 * (Patterson & Thompson 1971; as an evidence, MacKay 1992; from memory.)
 */
export function logEvidence(rows: PenaltyRows, values: Values, sigma: number, looseness: Looseness): number {
  const { factor, line } = solveLine(rows, values, sigma, looseness);
  const { coefficient, target, h } = rows;
  const count = target[0].length;
  const precision = new Float64Array(count);
  rowPrecision(looseness, h, precision);
  const components = line.length;
  let sum = 0;
  for (let j = 0; j < count; j++) {
    sum += 0.5 * components * Math.log(precision[j]);
    for (let p = 0; p < components; p++) {
      let g = target[p][j];
      for (let k = 0; k < 4; k++) g += coefficient[4 * j + k] * line[p][j + k];
      sum -= 0.5 * precision[j] * g * g;
    }
  }
  for (let j = 0; j < factor.n; j++) sum -= components * Math.log(factor.entry[j * (factor.b + 1)]);
  const { at, part, value, weight, rho } = values;
  let last = -1;
  for (let i = 0; i < at.length; i++) {
    if (weight[i] === 0) continue;
    const r = last >= 0 ? rho[i] : 0;
    const variance = sigma * sigma * (1 - r * r);
    for (let p = 0; p < components; p++) {
      const away = (k: number) => value[p][k] - (1 - part[k]) * line[p][at[k]] - part[k] * line[p][at[k] + 1];
      const e = away(i) - (r > 0 ? r * away(last) : 0);
      sum -= 0.5 * (Math.log(variance) + (weight[i] * e * e) / variance);
    }
    last = i;
  }
  return sum;
}

/** Rows' worth of evidence that holds τ² of a knot to what a place without any bend has (no source). */
const HOLD = 0.5;

/**
 * One step of the fixed point for log τ²: at each knot, what was found of g over what the values can tell of it.
 * @param still log τ² of a place without any bend
 * @returns the greatest change of log τ²
 */
export function updateLooseness(
  rows: PenaltyRows,
  { line, inverse }: Smoothed,
  looseness: Looseness,
  still: number,
): number {
  const { coefficient, target, h } = rows;
  const { rowsPerKnot, logTau2 } = looseness;
  const count = target[0].length;
  const precision = new Float64Array(count);
  rowPrecision(looseness, h, precision);
  const told = new Float64Array(logTau2.length);
  const found = new Float64Array(logTau2.length);
  const z = inverse.entry;
  const w = inverse.b + 1;
  for (let j = 0; j < count; j++) {
    const c0 = coefficient[4 * j];
    const c1 = coefficient[4 * j + 1];
    const c2 = coefficient[4 * j + 2];
    const c3 = coefficient[4 * j + 3];
    const i0 = j * w;
    const i1 = i0 + w;
    const i2 = i1 + w;
    const i3 = i2 + w;
    const variance =
      c0 * c0 * z[i0] +
      c1 * (c1 * z[i1] + 2 * c0 * z[i1 + 1]) +
      c2 * (c2 * z[i2] + 2 * (c1 * z[i2 + 1] + c0 * z[i2 + 2])) +
      c3 * (c3 * z[i3] + 2 * (c2 * z[i3 + 1] + c1 * z[i3 + 2] + c0 * z[i3 + 3]));
    let square = 0;
    for (let p = 0; p < line.length; p++) {
      const n = line[p];
      const g = target[p][j] + c0 * n[j] + c1 * n[j + 1] + c2 * n[j + 2] + c3 * n[j + 3];
      square += g * g;
    }
    const at = j / rowsPerKnot;
    const knot = Math.min(Math.floor(at), logTau2.length - 2);
    const f = at - knot;
    const t = line.length * Math.max(0, 1 - precision[j] * variance);
    told[knot] += (1 - f) * t;
    told[knot + 1] += f * t;
    found[knot] += (1 - f) * precision[j] * square;
    found[knot + 1] += f * precision[j] * square;
  }
  let most = 0;
  for (let k = 0; k < logTau2.length; k++) {
    const change = Math.log((found[k] + HOLD * Math.exp(still - logTau2[k])) / (told[k] + HOLD));
    const step = Math.max(-LARGEST_STEP, Math.min(LARGEST_STEP, change));
    logTau2[k] += step;
    most = Math.max(most, Math.abs(step));
  }
  return most;
}

const LARGEST_STEP = 3;
