/**
 * Symmetric positive definite matrices whose entries lie in a band about the diagonal: Cholesky factor, solution,
 * draws, and the inverse within the band, each in O(n b²) or less.
 *
 * Sources: Golub & Van Loan, Matrix Computations, section 4.3 (from memory); for the inverse, Takahashi, Fagan & Chin
 * (1973) and, for splines, Hutchinson & de Hoog (1985), Numerische Mathematik 47, 99–106 (from memory).
 */

/** n rows of b + 1 entries: `entry[i (b + 1) + k]` is that of row i and column i − k. */
export interface Banded {
  readonly n: number;
  readonly b: number; // half band: entries off the diagonal on either side
  readonly entry: Float64Array; // (n (b + 1))
}

export const bandedZeros = (n: number, b: number): Banded => ({ n, b, entry: new Float64Array(n * (b + 1)) });

/**
 * Replaces the matrix by its lower Cholesky factor L.
 * @throws RangeError where it is not positive definite
 */
export function factorise({ n, b, entry }: Banded): void {
  const w = b + 1;
  for (let i = 0; i < n; i++) {
    const row = i * w;
    const first = Math.max(0, i - b);
    for (let j = first; j <= i; j++) {
      const other = j * w;
      let sum = entry[row + i - j];
      for (let m = Math.max(first, j - b); m < j; m++) sum -= entry[row + i - m] * entry[other + j - m];
      if (j < i) entry[row + i - j] = sum / entry[other];
      else if (sum > 0) entry[row] = Math.sqrt(sum);
      else throw new RangeError(`the matrix is not positive definite at row ${i} of ${n}`);
    }
  }
}

/** Replaces x by L⁻¹ x. */
export function solveLower({ n, b, entry }: Banded, x: Float64Array): void {
  const w = b + 1;
  for (let i = 0; i < n; i++) {
    let sum = x[i];
    const most = Math.min(b, i);
    for (let k = 1; k <= most; k++) sum -= entry[i * w + k] * x[i - k];
    x[i] = sum / entry[i * w];
  }
}

/** Replaces x by L⁻ᵀ x: from independent normal numbers, a draw whose covariance is the inverse of the matrix. */
export function solveUpper({ n, b, entry }: Banded, x: Float64Array): void {
  const w = b + 1;
  for (let i = n - 1; i >= 0; i--) {
    x[i] /= entry[i * w];
    const most = Math.min(b, i);
    for (let k = 1; k <= most; k++) x[i - k] -= entry[i * w + k] * x[i];
  }
}

/** The entries of the inverse that lie within the band, from the factor; written into `out`, of the same shape. */
export function inverseInBand({ n, b, entry }: Banded, out: Banded): void {
  const w = b + 1;
  const z = out.entry;
  for (let i = n - 1; i >= 0; i--) {
    const last = Math.min(n - 1, i + b);
    const pivot = entry[i * w];
    for (let j = last; j >= i; j--) {
      let sum = i === j ? 1 / pivot : 0;
      for (let m = i + 1; m <= last; m++) {
        sum -= entry[m * w + m - i] * (m >= j ? z[m * w + m - j] : z[j * w + j - m]);
      }
      z[j * w + j - i] = sum / pivot;
    }
  }
}
