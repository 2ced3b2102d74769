/**
 * Points that fill a box more evenly than random ones.
 *
 * Sobol' sequence (1967) with the direction numbers of Joe & Kuo, SIAM J. Sci. Comput. 30(5), 2008 (from memory; the
 * property that they are to have is tested), each coordinate scrambled by Owen's nested permutation in its form with a
 * hash: Burley, J. Computer Graphics Techniques 9(4), 2020, after Laine & Karras (2011).
 */

/** Degree, coefficients and first direction numbers of each coordinate after the first. */
const TABLE: readonly (readonly [number, number, readonly number[]])[] = [
  [1, 0, [1]],
  [2, 1, [1, 3]],
  [3, 1, [1, 3, 1]],
  [3, 2, [1, 1, 1]],
  [4, 1, [1, 1, 3, 3]],
  [4, 4, [1, 3, 5, 13]],
  [5, 2, [1, 1, 5, 5, 17]],
  [5, 4, [1, 1, 5, 5, 5]],
  [5, 7, [1, 1, 7, 11, 19]],
  [5, 11, [1, 1, 5, 1, 1]],
  [5, 13, [1, 1, 1, 3, 11]],
  [5, 14, [1, 3, 5, 5, 31]],
  [6, 1, [1, 3, 3, 9, 7, 49]],
  [6, 13, [1, 1, 1, 15, 21, 21]],
  [6, 16, [1, 3, 1, 13, 27, 49]],
  [6, 19, [1, 1, 1, 15, 7, 5]],
  [6, 22, [1, 3, 1, 15, 13, 25]],
  [6, 25, [1, 1, 5, 5, 19, 61]],
  [7, 1, [1, 3, 7, 11, 23, 15, 103]],
  [7, 4, [1, 3, 7, 13, 13, 15, 69]],
];

/** Coordinates that there are direction numbers for. */
export const MOST_DIMENSIONS = TABLE.length + 1;

const BITS = 32;

function directions(dimension: number): Uint32Array {
  const v = new Uint32Array(BITS);
  if (dimension === 0) {
    for (let i = 0; i < BITS; i++) v[i] = 2 ** (BITS - 1 - i);
    return v;
  }
  const [degree, coefficients, first] = TABLE[dimension - 1];
  for (let i = 0; i < degree; i++) v[i] = first[i] * 2 ** (BITS - 1 - i);
  for (let i = degree; i < BITS; i++) {
    let word = v[i - degree] ^ (v[i - degree] >>> degree);
    for (let k = 1; k < degree; k++) if ((coefficients >> (degree - 1 - k)) & 1) word ^= v[i - k];
    v[i] = word;
  }
  return v;
}

function reverseBits(x: number): number {
  let y = x;
  y = ((y >>> 1) & 0x55555555) | ((y & 0x55555555) << 1);
  y = ((y >>> 2) & 0x33333333) | ((y & 0x33333333) << 2);
  y = ((y >>> 4) & 0x0f0f0f0f) | ((y & 0x0f0f0f0f) << 4);
  y = ((y >>> 8) & 0x00ff00ff) | ((y & 0x00ff00ff) << 8);
  return ((y >>> 16) | (y << 16)) >>> 0;
}

/** Owen's permutation of the bits, each decided by those above it (Burley's constants). */
function scramble(x: number, seed: number): number {
  let y = reverseBits(x);
  y ^= Math.imul(y, 0x3d20adea);
  y = (y + seed) | 0;
  y = Math.imul(y, (seed >>> 16) | 1);
  y ^= Math.imul(y, 0x05526c56);
  y ^= Math.imul(y, 0x53a22864);
  return reverseBits(y >>> 0);
}

/** Spreads a seed: SplitMix32's finisher. */
function mixed(seed: number, dimension: number): number {
  let z = (seed + Math.imul(dimension + 1, 0x9e3779b9)) | 0;
  z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
  z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
  return (z ^ (z >>> 16)) >>> 0;
}

/**
 * The scrambled sequence: `point(k)` has `dimensions` coordinates above 0 and below 1. Any 2^m points from k = 0 on
 * have in each coordinate one in each of 2^m even parts.
 * @throws RangeError for more dimensions than there are direction numbers for
 */
export function sobol(dimensions: number, seed: number): (k: number) => Float64Array {
  if (dimensions > MOST_DIMENSIONS)
    throw new RangeError(`at most ${MOST_DIMENSIONS} dimensions, got ${dimensions}`);
  const tables = Array.from({ length: dimensions }, (_, d) => directions(d));
  const seeds = tables.map((_, d) => mixed(seed, d));
  return (k) => {
    const point = new Float64Array(dimensions);
    for (let d = 0; d < dimensions; d++) {
      let word = 0;
      for (let i = 0, bits = k; bits > 0; i++, bits = Math.floor(bits / 2))
        if (bits % 2 === 1) word ^= tables[d][i];
      point[d] = (scramble(word >>> 0, seeds[d]) + 0.5) / 2 ** BITS;
    }
    return point;
  };
}

/**
 * The normal quantile: z with Φ(z) = p, relative error 1.15e-9.
 * Source: P. J. Acklam's rational approximation (2000; from memory, tested against an error function).
 */
export function normalQuantile(p: number): number {
  const a = [
    -39.69683028665376, 220.9460984245205, -275.9285104469687, 138.357751867269, -30.66479806614716,
    2.506628277459239,
  ];
  const b = [
    -54.47609879822406, 161.5858368580409, -155.6989798598866, 66.80131188771972, -13.28068155288572,
  ];
  const c = [
    -0.007784894002430293, -0.3223964580411365, -2.400758277161838, -2.549732539343734, 4.374664141464968,
    2.938163982698783,
  ];
  const d = [0.007784695709041462, 0.3224671290700398, 2.445134137142996, 3.754408661907416];
  const tail = (q: number) =>
    (((((c[0] * q + c[1]) * q + c[2]) * q + c[3]) * q + c[4]) * q + c[5]) /
    ((((d[0] * q + d[1]) * q + d[2]) * q + d[3]) * q + 1);
  if (p < 0.02425) return tail(Math.sqrt(-2 * Math.log(p)));
  if (p > 1 - 0.02425) return -tail(Math.sqrt(-2 * Math.log(1 - p)));
  const q = p - 0.5;
  const r = q * q;
  return (
    ((((((a[0] * r + a[1]) * r + a[2]) * r + a[3]) * r + a[4]) * r + a[5]) * q) /
    (((((b[0] * r + b[1]) * r + b[2]) * r + b[3]) * r + b[4]) * r + 1)
  );
}
