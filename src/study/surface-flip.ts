/** At what share of loose surface another car becomes the better one. */
import type { StageForecast } from '../sim/time-stage.ts';
import type { Course } from './study.ts';

/** Time per metre [s/m] of one car on loose and on hard surfaces, expected over the conditions; NaN where there is none. */
export interface Pace {
  readonly loose: number;
  readonly hard: number;
}

/** Names of surfaces that are laid; all others are loose. */
const HARD = /asphalt|tarmac|concrete|cobble|paved|sett/i;

/** Share of the road that is loose, by length, as driven. */
export function looseShare(courses: readonly Course[], runs: readonly StageForecast[]): number {
  const [loose, hard] = lengths(courses, runs);
  return loose / (loose + hard);
}

function lengths(courses: readonly Course[], runs: readonly StageForecast[]): [number, number] {
  let loose = 0;
  let hard = 0;
  for (const [c, { weight }] of courses.entries()) {
    const { s, surface, surfaceNames } = runs[c].run.road;
    for (let i = 0; i + 1 < s.length; i++) {
      const h = weight * (s[i + 1] - s[i]);
      if (HARD.test(surfaceNames[surface[i]])) hard += h;
      else loose += h;
    }
  }
  return [loose, hard];
}

export function paceOf(courses: readonly Course[], runs: readonly StageForecast[]): Pace {
  const [looseLength, hardLength] = lengths(courses, runs);
  let loose = 0;
  let hard = 0;
  for (const [c, { weight }] of courses.entries()) {
    const { road, dt, nodes } = runs[c].run;
    for (let i = 0; i + 1 < nodes; i++) {
      if (HARD.test(road.surfaceNames[road.surface[i]])) hard += weight * dt[i];
      else loose += weight * dt[i];
    }
  }
  return { loose: loose / looseLength, hard: hard / hardLength };
}

/**
 * The share of loose road at which two cars take equally long, each keeping its pace on either kind of surface; null
 * where one of them is the faster at any share, or a kind of surface is not there.
 */
export function flipShare(a: Pace, b: Pace): number | null {
  // x loose + (1 − x) hard is the same for both.
  const hard = b.hard - a.hard;
  const loose = b.loose - a.loose;
  const x = hard / (hard - loose);
  return x > 0 && x < 1 ? x : null;
}
