import { describe, expect, it } from 'vitest';
import { wholePercent } from '../../src/report/forecast-text.ts';
import { clock } from '../../src/report/numbers.ts';

describe('clock', () => {
  it.each([
    [0, '0:00.00'],
    [41.076, '0:41.08'],
    [59.996, '1:00.00'],
    [423.4, '7:03.40'],
    [3723, '62:03.00'],
  ])('%s s is %s', (seconds, text) => {
    expect(clock(seconds)).toBe(text);
  });
});

describe('wholePercent', () => {
  it('adds up to 100 where plain rounding would not', () => {
    expect(wholePercent([1 / 3, 1 / 3, 1 / 3])).toEqual([34, 33, 33]);
    expect(wholePercent([0.005, 0.005, 0.99])).toEqual([1, 0, 99]);
  });
});
