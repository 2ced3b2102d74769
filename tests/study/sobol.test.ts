import { erf } from 'mathjs';
import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../src/numbers/random.ts';
import { MOST_DIMENSIONS, normalQuantile, sobol } from '../../src/study/sobol.ts';

describe('the scrambled Sobol points', () => {
  // The definition of a (0,1)-sequence in base 2, which every coordinate is to be (Joe & Kuo 2008; Niederreiter 1992).
  it('put one of 2^m points in a row into each of 2^m even parts, in every coordinate', () => {
    for (const seed of [1, 77]) {
      const point = sobol(MOST_DIMENSIONS, seed);
      for (const m of [3, 6, 9]) {
        for (const block of [0, 5]) {
          const points = Array.from({ length: 2 ** m }, (_, k) => point(block * 2 ** m + k));
          for (let d = 0; d < MOST_DIMENSIONS; d++)
            expect(new Set(points.map((p) => Math.floor(p[d] * 2 ** m))).size).toBe(2 ** m);
        }
      }
    }
  });

  // Property A of Sobol (1976), which Joe & Kuo's numbers have: the first 2^d points in d coordinates lie one in each of
  // the 2^d boxes that come of halving every side.
  it('put one of the first 2^d points into each of 2^d boxes', () => {
    for (let d = 1; d <= 12; d++) {
      const point = sobol(d, 3);
      const boxes = new Set<string>();
      for (let k = 0; k < 2 ** d; k++) boxes.add(Array.from(point(k), (x) => Math.floor(2 * x)).join(''));
      expect(boxes.size).toBe(2 ** d);
    }
  });

  it('are the same for the same seed, and others for others', () => {
    expect(sobol(3, 5)(11)).toEqual(sobol(3, 5)(11));
    expect(sobol(3, 5)(11)).not.toEqual(sobol(3, 6)(11));
    expect(() => sobol(MOST_DIMENSIONS + 1, 1)).toThrow(RangeError);
  });

  // Known integral: the mean of Σ xᵢ² + x₁x₂x₃ over the unit cube in 6 dimensions is 6/3 + 1/8.
  it('bring a mean nearer than random points do, and the more so the more there are', () => {
    const value = (x: ArrayLike<number>) => {
      let sum = x[0] * x[1] * x[2];
      for (let d = 0; d < 6; d++) sum += x[d] * x[d];
      return sum;
    };
    const truth = 2 + 1 / 8;
    const error = (n: number, draw: (seed: number) => (k: number) => ArrayLike<number>) => {
      let squares = 0;
      const seeds = 40;
      for (let seed = 1; seed <= seeds; seed++) {
        const point = draw(seed);
        let sum = 0;
        for (let k = 0; k < n; k++) sum += value(point(k));
        squares += (sum / n - truth) ** 2;
      }
      return Math.sqrt(squares / seeds);
    };
    const plain = (seed: number) => {
      const random = randomFrom(seed);
      return () => Array.from({ length: 6 }, random);
    };
    const even = (seed: number) => sobol(6, seed);
    const ratios = [64, 1024].map((n) => error(n, plain) / error(n, even));
    expect(ratios[0]).toBeGreaterThan(4);
    // Random: n^−1/2. Here: near n^−1 or better, so the lead grows at least as n^0.3.
    expect(ratios[1] / ratios[0]).toBeGreaterThan(16 ** 0.3);
  });
});

describe('the normal quantile', () => {
  it('undoes the error function of another library, to the stated relative error', () => {
    for (const p of [1e-6, 0.001, 0.02, 0.02425, 0.1, 0.3, 0.5, 0.7, 0.9, 0.97575, 0.98, 0.999, 1 - 1e-6]) {
      const z = normalQuantile(p);
      const back = 0.5 * (1 + erf(z / Math.SQRT2));
      // dΦ = φ(z) dz
      const slope = Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
      expect(Math.abs(back - p)).toBeLessThan(slope * 1.2e-9 * Math.max(1, Math.abs(z)) + 1e-13);
    }
  });
});
