import { expect, it } from 'vitest';
import { BASE } from '../../src/study/set-up.ts';
import { timesArray } from '../../src/study/times-array.ts';
import { small } from './small-event.ts';

it('lays times out by set-up, condition, stage and sector', () => {
  const study = small();
  const setUps = [BASE, { ...BASE, changes: [2] }];
  const outcomes = setUps.map((setUp) => study.evaluate(setUp));
  const { times, axes, conditions, stages } = timesArray(study, outcomes);
  expect(axes).toEqual(['setUp', 'condition', 'stage', 'sector']);
  expect(times.shape).toEqual([2, 2, 3, 3]);
  expect(conditions).toEqual(['dry', 'wet']);
  expect(stages.map(({ loop, stage }) => `${loop}: ${stage}`)).toEqual([
    'Early: Kestrel Fell',
    'Early: Lane',
    'Late: Lane',
  ]);
  for (const [s, setUp] of setUps.entries()) {
    const forecasts = study.forecasts(setUp, study.car(setUp));
    for (const [c, { sectors }] of forecasts.entries())
      for (const [k, { time }] of sectors.entries())
        expect(times.get(s, c % 2, Math.floor(c / 2), k)).toBe(time);
  }
  expect(times.get(0, 0, 1, 2)).toBeNaN();
  expect(times.pick(null, 1).shape).toEqual([2, 3, 3]);
});
