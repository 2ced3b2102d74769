import { inv, matrix, multiply } from 'mathjs';
import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../src/numbers/random.ts';
import {
  type Banded,
  bandedZeros,
  factorise,
  inverseInBand,
  solveLower,
  solveUpper,
} from '../../../src/track/survey/banded.ts';
import { boxLeastSquares } from '../../../src/track/survey/banded-box.ts';
import { quantile, spread } from '../../../src/track/survey/median.ts';

/** A positive definite matrix whose diagonal outweighs its rows. */
function banded(n: number, b: number, seed: number): Banded {
  const random = randomFrom(seed);
  const out = bandedZeros(n, b);
  for (let i = 0; i < n; i++) {
    out.entry[i * (b + 1)] = 2 * b + 1;
    for (let k = 1; k <= Math.min(b, i); k++) out.entry[i * (b + 1) + k] = 2 * random() - 1;
  }
  return out;
}

const dense = ({ n, b, entry }: Banded) =>
  Array.from({ length: n }, (_, i) =>
    Array.from({ length: n }, (_, j) => {
      const k = Math.abs(i - j);
      return k > b ? 0 : entry[Math.max(i, j) * (b + 1) + k];
    }),
  );

describe('banded matrices', () => {
  // mathjs is the second opinion.
  it.each([1, 3, 6])('of half band %d: solution and inverse agree with dense ones', (b) => {
    const n = 25;
    const full = banded(n, b, 5);
    const inverse = inv(matrix(dense(full)));
    const right = Float64Array.from({ length: n }, (_, i) => Math.sin(i));
    const expected = multiply(inverse, [...right]).toArray() as number[];
    factorise(full);
    solveLower(full, right);
    solveUpper(full, right);
    const within = bandedZeros(n, b);
    inverseInBand(full, within);
    for (let i = 0; i < n; i++) {
      expect(right[i]).toBeCloseTo(expected[i], 12);
      for (let k = 0; k <= Math.min(b, i); k++) {
        expect(within.entry[i * (b + 1) + k]).toBeCloseTo(inverse.get([i, i - k]), 12);
      }
    }
  });

  it('that are not positive definite are refused', () => {
    const flat = bandedZeros(3, 1);
    expect(() => factorise(flat)).toThrow('not positive definite');
  });
});

describe('boxLeastSquares', () => {
  // The conditions of Karush, Kuhn and Tucker: no force inside, and at a bound none that leads back in.
  it('leaves no force but at the bounds', () => {
    const n = 40;
    const h = banded(n, 2, 9);
    const g = Float64Array.from({ length: n }, (_, i) => 8 * Math.sin(0.7 * i));
    const low = new Float64Array(n).fill(-1);
    const high = new Float64Array(n).fill(0.5);
    const x = boxLeastSquares(h, g, low, high);
    const force = multiply(matrix(dense(h)), [...x]).toArray() as number[];
    let bound = 0;
    for (let i = 0; i < n; i++) {
      const f = force[i] + g[i];
      expect(x[i]).toBeGreaterThan(-1);
      expect(x[i]).toBeLessThan(0.5);
      if (x[i] < -1 + 1e-6) expect(f).toBeGreaterThan(-1e-6);
      else if (x[i] > 0.5 - 1e-6) expect(f).toBeLessThan(1e-6);
      else expect(Math.abs(f)).toBeLessThan(1e-6);
      if (x[i] < -1 + 1e-6 || x[i] > 0.5 - 1e-6) bound++;
    }
    expect(bound).toBeGreaterThan(5);
  });

  it('is the plain solution where no bound is met', () => {
    const h = banded(20, 2, 3);
    const g = Float64Array.from({ length: 20 }, (_, i) => Math.cos(i));
    const wide = new Float64Array(20).fill(100);
    const x = boxLeastSquares(
      h,
      g,
      wide.map((v) => -v),
      wide,
    );
    const force = multiply(matrix(dense(h)), [...x]).toArray() as number[];
    for (let i = 0; i < 20; i++) expect(force[i]).toBeCloseTo(-g[i], 6);
  });
});

describe('quantile and spread', () => {
  it('agree with sorting', () => {
    const random = randomFrom(2);
    const values = Float64Array.from({ length: 1001 }, () => Math.floor(50 * random()));
    const sorted = values.slice().sort();
    for (const k of [0, 100, 500, 1000]) expect(quantile(values, k / 1000)).toBe(sorted[k]);
    expect(quantile(Float64Array.of(1, Number.NaN, 2), 0.5)).toBe(1.5);
    expect(quantile(Float64Array.of(Number.NaN), 0.5)).toBeNaN();
  });

  it('hold against outliers', () => {
    expect(spread(Float64Array.of(-1, 1, -1, 1, 1e9))).toBeCloseTo(1 / 0.67449, 12);
  });
});
