import { describe, expect, it } from 'vitest';
import { pairs } from '../helpers/arbitrary.ts';
import { excesses } from '../helpers/cells.ts';
import { forecastOf, holds } from '../helpers/check.ts';

describe('no limit is exceeded at any station', () => {
  it('tyres, brakes, drive in the recorded gear, limiter, shifts (seed 2001)', () => {
    holds(pairs, 2001, ({ spec, stage }) => {
      expect(excesses(spec, stage, forecastOf(spec, stage), true)).toEqual([]);
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

  // Fails with a mass factor per gear: the brake sweep and the drive sweep ask in different gears whether the car
  // could follow the bend's limit by coasting, so it rides the limit where that takes up to 0.2 m/s² of the tyres.
  it.fails('with the mass factor of the recorded gear where no drive is used (seed 2003)', () => {
    holds(pairs, 2003, ({ spec, stage }) => {
      expect(excesses(spec, stage, forecastOf(spec, stage), false)).toEqual([]);
    });
  });
});
