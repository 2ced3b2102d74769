import { describe, expect, it } from 'vitest';
import { normalFrom, randomFrom, xoshiro128 } from '../../src/numbers/random.ts';

describe('xoshiro128**', () => {
  // The reference code run from the state 1, 2, 3, 4 (from memory, the fifth was not remembered; the first is
  // rotl(2·5, 7)·9).
  it('gives the published sequence', () => {
    const next = xoshiro128([1, 2, 3, 4]);
    const got = Array.from({ length: 10 }, next);
    expect(got.slice(0, 4)).toEqual([11520, 0, 5927040, 70819200]);
    expect(got.slice(5)).toEqual([1637235492, 1287239034, 3734860849, 3729100597, 4258142804]);
  });
});

describe('randomFrom', () => {
  it('repeats itself from the same seed, and not from another', () => {
    const take = (seed: number) => Array.from({ length: 5 }, randomFrom(seed));
    expect(take(7)).toEqual(take(7));
    expect(take(7)).not.toEqual(take(8));
  });

  // Mean 1/2 and variance 1/12 of the even distribution, within five standard errors of 100,000 numbers.
  it('is even from 0 to 1', () => {
    const values = Array.from({ length: 100_000 }, randomFrom(1));
    expect(values.every((x) => x >= 0 && x < 1)).toBe(true);
    const mean = values.reduce((sum, x) => sum + x, 0) / values.length;
    const variance = values.reduce((sum, x) => sum + (x - 0.5) ** 2, 0) / values.length;
    expect(Math.abs(mean - 0.5)).toBeLessThan(5 * Math.sqrt(1 / 12 / values.length));
    expect(Math.abs(variance - 1 / 12)).toBeLessThan(5 * Math.sqrt(1 / 180 / values.length));
  });
});

describe('normalFrom', () => {
  // Moments 0, 1, 0, 3 within five standard errors (variances of the sample moments: 1, 2, 15, 96 over n).
  it('has the moments of the normal distribution', () => {
    const n = 100_000;
    const values = Array.from({ length: n }, normalFrom(randomFrom(3)));
    const moment = (p: number) => values.reduce((sum, x) => sum + x ** p, 0) / n;
    expect(Math.abs(moment(1))).toBeLessThan(5 * Math.sqrt(1 / n));
    expect(Math.abs(moment(2) - 1)).toBeLessThan(5 * Math.sqrt(2 / n));
    expect(Math.abs(moment(3))).toBeLessThan(5 * Math.sqrt(15 / n));
    expect(Math.abs(moment(4) - 3)).toBeLessThan(5 * Math.sqrt(96 / n));
  });
});
