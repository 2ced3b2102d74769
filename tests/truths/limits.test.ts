import { describe, expect, it } from 'vitest';
import { pairs } from '../helpers/arbitrary.ts';
import { excesses } from '../helpers/cells.ts';
import { forecastOf, holds } from '../helpers/check.ts';

describe('no limit is exceeded at any station', () => {
  // Fails: a shift made early at the limiter is undone at the next node and made again; and with a mass factor per gear
  // the car rides the bend's limit where only coasting in another gear would follow it (0.1 m/s² too much).
  it.fails('tyres, brakes, drive in the recorded gear, limiter, shifts (seed 2001)', () => {
    holds(pairs, 2001, ({ spec, stage }) => {
      const forecast = forecastOf(spec, stage);
      expect(excesses(spec, stage, forecast, true)).toEqual([]);
    });
  });

  it('the same on a coarse and a fine grid (seed 2002)', () => {
    holds(
      pairs,
      2002,
      ({ spec, stage }) => {
        for (const step of [2, 0.3]) {
          expect(excesses(spec, stage, forecastOf(spec, stage, { step }), true)).toEqual([]);
        }
      },
      60,
    );
  });
});
