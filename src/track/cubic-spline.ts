/**
 * The interpolating cubic spline: twice continuously differentiable, one cubic between neighbouring knots.
 *
 * Stored by its second derivatives at the knots, which solve one tridiagonal system (cyclic where the spline is
 * periodic). Open ends are "not-a-knot": the third derivative is continuous at the second and the last but one
 * knot, so the order of accuracy holds up to the ends, where natural ends would force the second derivative to 0.
 * Source: de Boor, A Practical Guide to Splines, chapter IV (from memory).
 */

/** n knots, n ≥ 4. The arrays share one index. A periodic spline has value[n−1] = value[0]. */
export interface CubicSpline {
  readonly knot: Float64Array; //   (n) parameter u, strictly increasing
  readonly value: Float64Array; //  (n) value at each knot
  readonly second: Float64Array; // (n) second derivative in u at each knot
}

/** Lays the spline with not-a-knot ends. @param knot (n) strictly increasing, n ≥ 4 */
export function splineNotAKnot(knot: Float64Array, value: Float64Array): CubicSpline {
  const n = knot.length;
  const m = n - 2; // unknowns: the second derivatives at the inner knots
  const { sub, diag, sup, rhs } = innerRows(knot, value);
  const hFirst = knot[1] - knot[0];
  const hSecond = knot[2] - knot[1];
  const hLast = knot[n - 1] - knot[n - 2];
  const hBefore = knot[n - 2] - knot[n - 3];
  // The end values, M₀ = M₁ + (M₁ − M₂) h₀/h₁ and its mirror image, put into the first and the last row.
  diag[0] += hFirst * (1 + hFirst / hSecond);
  sup[0] -= hFirst * (hFirst / hSecond);
  diag[m - 1] += hLast * (1 + hLast / hBefore);
  sub[m - 1] -= hLast * (hLast / hBefore);
  solveTridiagonal(sub, diag, sup, rhs);
  const second = new Float64Array(n);
  second.set(rhs, 1);
  second[0] = second[1] + (second[1] - second[2]) * (hFirst / hSecond);
  second[n - 1] = second[n - 2] + (second[n - 2] - second[n - 3]) * (hLast / hBefore);
  return { knot, value, second };
}

/** Lays the periodic spline. @param knot (n) strictly increasing, n ≥ 4 @param value (n) last equal to first */
export function splinePeriodic(knot: Float64Array, value: Float64Array): CubicSpline {
  const n = knot.length;
  const m = n - 1; // unknowns: every knot but the last, which is the first again
  const hFirst = knot[1] - knot[0];
  const hLast = knot[n - 1] - knot[n - 2];
  const inner = innerRows(knot, value);
  const sub = new Float64Array(m);
  const diag = new Float64Array(m);
  const sup = new Float64Array(m);
  const second = new Float64Array(n);
  sub.set(inner.sub, 1);
  diag.set(inner.diag, 1);
  sup.set(inner.sup, 1);
  second.set(inner.rhs, 1);
  diag[0] = 2 * (hLast + hFirst);
  sup[0] = hFirst;
  second[0] = 6 * ((value[1] - value[0]) / hFirst - (value[n - 1] - value[n - 2]) / hLast);
  // The two corners hLast are taken out as the rank-one term g·(1, 0 … 0, hLast/γ)ᵀ with g = (γ, 0 … 0, hLast)ᵀ
  // (Sherman & Morrison 1950, Ann. Math. Statist. 21(1), 124–127); γ = −diag[0] keeps the rest dominant.
  const gamma = -diag[0];
  const g = new Float64Array(m);
  g[0] = gamma;
  g[m - 1] = hLast;
  diag[0] -= gamma;
  diag[m - 1] -= (hLast * hLast) / gamma;
  const rhs = second.subarray(0, m);
  solveTridiagonal(sub, diag.slice(), sup, rhs);
  solveTridiagonal(sub, diag, sup, g);
  const share = (rhs[0] + (hLast / gamma) * rhs[m - 1]) / (1 + g[0] + (hLast / gamma) * g[m - 1]);
  for (let i = 0; i < m; i++) rhs[i] -= share * g[i];
  second[n - 1] = second[0];
  return { knot, value, second };
}

/** Value at u in the cell between knots i and i + 1. */
export function splineValue({ knot, value, second }: CubicSpline, i: number, u: number): number {
  const h = knot[i + 1] - knot[i];
  const a = (knot[i + 1] - u) / h;
  const b = (u - knot[i]) / h;
  const bend = (a * (a * a - 1) * second[i] + b * (b * b - 1) * second[i + 1]) * ((h * h) / 6);
  return a * value[i] + b * value[i + 1] + bend;
}

/** First derivative in u in the cell between knots i and i + 1. */
export function splineSlope({ knot, value, second }: CubicSpline, i: number, u: number): number {
  const h = knot[i + 1] - knot[i];
  const a = (knot[i + 1] - u) / h;
  const b = (u - knot[i]) / h;
  return (
    (value[i + 1] - value[i]) / h + ((3 * b * b - 1) * second[i + 1] - (3 * a * a - 1) * second[i]) * (h / 6)
  );
}

/** Second derivative in u in the cell between knots i and i + 1. */
export function splineSecond({ knot, second }: CubicSpline, i: number, u: number): number {
  const b = (u - knot[i]) / (knot[i + 1] - knot[i]);
  return second[i] + b * (second[i + 1] - second[i]);
}

/** Rows that make the first derivative continuous at the inner knots: (n − 2) each. */
function innerRows(knot: Float64Array, value: Float64Array) {
  const m = knot.length - 2;
  const sub = new Float64Array(m);
  const diag = new Float64Array(m);
  const sup = new Float64Array(m);
  const rhs = new Float64Array(m);
  for (let i = 0; i < m; i++) {
    const before = knot[i + 1] - knot[i];
    const after = knot[i + 2] - knot[i + 1];
    sub[i] = before;
    diag[i] = 2 * (before + after);
    sup[i] = after;
    rhs[i] = 6 * ((value[i + 2] - value[i + 1]) / after - (value[i + 1] - value[i]) / before);
  }
  return { sub, diag, sup, rhs };
}

/** Solves in place: `rhs` becomes the answer, `diag` is used up. Without pivots, since the rows are dominant. */
function solveTridiagonal(sub: Float64Array, diag: Float64Array, sup: Float64Array, rhs: Float64Array): void {
  const m = diag.length;
  for (let i = 1; i < m; i++) {
    const factor = sub[i] / diag[i - 1];
    diag[i] -= factor * sup[i - 1];
    rhs[i] -= factor * rhs[i - 1];
  }
  rhs[m - 1] /= diag[m - 1];
  for (let i = m - 2; i >= 0; i--) rhs[i] = (rhs[i] - sup[i] * rhs[i + 1]) / diag[i];
}
