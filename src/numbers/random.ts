/**
 * Random numbers that are the same in every run of the same seed.
 *
 * xoshiro128**: Blackman & Vigna (2021), Scrambled linear pseudorandom number generators, ACM Trans. Math. Softw.
 * 47(4); period 2¹²⁸ − 1. Its state is filled by SplitMix32, as its authors advise for seeds that are alike (from
 * memory).
 */

/** Numbers of 32 bits from a state of four words, not all zero; the state is copied. */
export function xoshiro128(state: readonly [number, number, number, number]): () => number {
  let [a, b, c, d] = state;
  return () => {
    const times5 = Math.imul(b, 5);
    const result = Math.imul((times5 << 7) | (times5 >>> 25), 9);
    const t = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= t;
    d = (d << 11) | (d >>> 21);
    return result >>> 0;
  };
}

/** Even numbers from 0 to below 1, of 32 bits. @param seed a whole number */
export function randomFrom(seed: number): () => number {
  let x = seed | 0;
  const word = () => {
    x = (x + 0x9e3779b9) | 0;
    let z = Math.imul(x ^ (x >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return z ^ (z >>> 16);
  };
  const next = xoshiro128([word(), word(), word(), word()]);
  return () => next() / 2 ** 32;
}

/** Numbers of the normal distribution (mean 0, variance 1), by Marsaglia's polar method (1964). */
export function normalFrom(random: () => number): () => number {
  let kept = Number.NaN;
  return () => {
    if (!Number.isNaN(kept)) {
      const value = kept;
      kept = Number.NaN;
      return value;
    }
    for (;;) {
      const p = 2 * random() - 1;
      const q = 2 * random() - 1;
      const r2 = p * p + q * q;
      if (r2 >= 1 || r2 === 0) continue;
      const scale = Math.sqrt((-2 * Math.log(r2)) / r2);
      kept = q * scale;
      return p * scale;
    }
  };
}
