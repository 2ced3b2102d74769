/** The fit on roads that are known: a few seeds; the whole table is written by scripts/measure-fit.mjs. */

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readCar } from '../../src/index.ts';
import { quantile } from '../../src/track/survey/median.ts';
import { type FitCase, fitErrors } from '../helpers/fit-accuracy.ts';
import { FIT_CASES, head } from '../helpers/fit-table.ts';

const car = readCar('stages/tarvenmoor/car.yaml');
const seeds = [401, 402, 403, 404, 405];
const white = { correlation: 0, offset: 0 };

describe('the fit on known roads', () => {
  // The aims: time within 0.5 % at 1 m and 0.5 m, within 2 % at 5 m and 1 m, median over seeds; length within 0.2 %.
  it.each<[string, FitCase, number]>([
    ['1 m, no noise', { ...white, spacing: 1, noise: 0, passes: 1 }, 0.005],
    ['1 m, noise 0.5 m', { ...white, spacing: 1, noise: 0.5, passes: 1 }, 0.005],
    ['5 m, noise 1 m', { ...white, spacing: 5, noise: 1, passes: 1 }, 0.02],
    ['5 m, noise 1 m, three passes', { ...white, spacing: 5, noise: 1, passes: 3, offset: 1 }, 0.02],
  ])('%s', (_, how, aim) => {
    const all = seeds.map((seed) => fitErrors(car, how, seed, 0));
    expect(all.every((e) => !e.refused)).toBe(true);
    const median = (pick: (e: (typeof all)[number]) => number) =>
      quantile(
        Float64Array.from(all, (e) => Math.abs(pick(e))),
        0.5,
      );
    expect(median((e) => e.time)).toBeLessThan(aim);
    expect(median((e) => e.length)).toBeLessThan(0.002);
  });

  it('says by drawn roads how far the time may be off', () => {
    const how = { ...white, spacing: 5, noise: 1, passes: 1 };
    const all = seeds.map((seed) => fitErrors(car, how, seed, 20));
    // One of five may lie outside of what is to hold 90 %: two do with a chance of 8 %.
    expect(all.filter((e) => e.low <= 0 && e.high >= 0).length).toBeGreaterThanOrEqual(4);
    // And it says something: the quantiles lie within a tenth of the time.
    expect(
      quantile(
        Float64Array.from(all, (e) => e.high - e.low),
        0.5,
      ),
    ).toBeLessThan(0.1);
  });
});

it('docs/validation.md has a row for each case', () => {
  const docs = readFileSync(new URL('../../docs/validation.md', import.meta.url), 'utf8');
  const rows = docs
    .slice(docs.indexOf(head) + head.length)
    .split('\n\n')[0]
    .trim()
    .split('\n');
  expect(
    rows.map((row) =>
      row
        .split('|')
        .slice(1, 5)
        .map((cell) => cell.trim()),
    ),
  ).toEqual(
    FIT_CASES.map(({ spacing, noise, correlation, passes }) => [
      String(spacing),
      String(noise),
      correlation > 0 ? `over ${correlation} m` : 'white',
      String(passes),
    ]),
  );
});
