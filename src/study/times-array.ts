/** Times of many set-ups as one array with named axes. */
import ndarray, { type NdArray } from 'ndarray';
import type { Outcome } from './set-up.ts';
import type { Study } from './study.ts';

/** What the axes of an array of times are, in order, and what stands at each place of them. */
export interface TimesArray {
  /** (set-ups, conditions, stages, sectors) [s]; NaN beyond a stage's last sector, Infinity where the car stops. */
  readonly times: NdArray<Float64Array>;
  readonly axes: readonly ['setUp', 'condition', 'stage', 'sector'];
  readonly conditions: readonly (string | null)[];
  readonly weights: readonly number[]; //            of the conditions
  /** Stages in running order, with the loop that each is driven in. */
  readonly stages: readonly {
    readonly loop: string;
    readonly stage: string;
    readonly sectorEnds: readonly number[];
  }[];
}

/**
 * Lays outcomes out as set-up x condition x stage x sector. Fix an axis to get a smaller array:
 * `times.pick(null, 0)` is set-up x stage x sector in the first condition.
 */
export function timesArray(study: Study, outcomes: readonly Outcome[]): TimesArray {
  const { conditions } = study.event;
  const stageCount = study.courses.length / conditions.length;
  const sectors = Math.max(...study.courses.map((course) => course.sectors));
  const shape = [outcomes.length, conditions.length, stageCount, sectors];
  const data = new Float64Array(shape.reduce((a, b) => a * b, 1)).fill(Number.NaN);
  const times = ndarray(data, shape);
  // Courses run through the conditions of a stage before the next stage.
  for (const [i, outcome] of outcomes.entries())
    for (const [c, { first, sectors: count }] of study.courses.entries())
      for (let k = 0; k < count; k++)
        times.set(i, c % conditions.length, Math.floor(c / conditions.length), k, outcome.sectors[first + k]);
  return {
    times,
    axes: ['setUp', 'condition', 'stage', 'sector'],
    conditions: conditions.map(({ name }) => name),
    weights: conditions.map(({ weight }) => weight),
    stages: study.courses
      .filter((_, c) => c % conditions.length === 0)
      .map(({ loop, stage }) => ({
        loop,
        stage: stage.name,
        sectorEnds: [...stage.splits, stage.road.s[stage.road.s.length - 1]],
      })),
  };
}
