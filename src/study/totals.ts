/** Sums of an outcome's sectors. */
import type { Outcome } from './set-up.ts';
import type { Study } from './study.ts';

/** Time of each course [s], added up in the order of its sectors, as the forecast of one stage is. */
export function courseTimes(study: Study, outcome: Outcome): number[] {
  return study.courses.map(({ first, sectors }) => {
    let time = 0;
    for (let k = first; k < first + sectors; k++) time += outcome.sectors[k];
    return time;
  });
}

/**
 * Expected time over all stages [s]: each condition by its weight.
 * @param condition only this one, for certain
 */
export function totalTime(study: Study, outcome: Outcome, condition?: string | null): number {
  let total = 0;
  for (const [c, time] of courseTimes(study, outcome).entries()) {
    const course = study.courses[c];
    if (condition === undefined) total += course.weight === 0 ? 0 : course.weight * time;
    else if (course.condition === condition) total += time;
  }
  return total;
}
