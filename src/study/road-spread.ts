/** How far a forecast moves with what a survey leaves open: a car timed on roads that fit the data as well. */
import { randomFrom } from '../numbers/random.ts';
import { StageError } from '../sim/stage-error.ts';
import { timeStage } from '../sim/time-stage.ts';
import type { RoadTable } from '../track/road-table.ts';
import type { Stage } from '../track/stage.ts';
import type { CarSpec } from '../vehicle/car-spec.ts';

export interface RoadSpread {
  readonly time: number | null; // on the fitted road [s]; null where the car cannot finish
  readonly low: number; //         lower end of the range [s]
  readonly high: number; //        upper end [s]; Infinity where the car cannot finish on 5 % of the drawn roads
  readonly draws: number; //       roads drawn
  readonly finished: number; //    of them, those that the car finishes
}

/** Roads drawn: their 5 % and 95 % quantiles then stand still to about a tenth of the spread. No source. */
export const DRAWS = 40;

/**
 * The range reaches so far from the time on the fitted road at least, as a share of it: about what the fit errs on roads
 * recorded without any noise, for points tell nothing of what lies between them. Set on trial roads, no source.
 */
const LEAST_DOUBT = 0.005;

/**
 * Times the car on the stage's own road and on drawn ones, and gives the range that is to hold the time on the true road in
 * nine cases of ten. A drawn road on which the car cannot finish is slower than all others.
 * @param draw a road as likely as the fitted one, from numbers even on 0 … 1
 * @param seed the same seed draws the same roads
 * @throws StageError where the car and the fitted road do not go together
 */
export function roadSpread(
  car: CarSpec,
  stage: Stage,
  draw: (random: () => number) => RoadTable,
  seed: number,
  draws: number = DRAWS,
): RoadSpread {
  const { time } = timeStage(car, stage);
  const random = randomFrom(seed);
  const times = Array.from({ length: draws }, () => {
    const road = draw(random);
    const splits = stage.splits.filter((at) => at < road.s[road.s.length - 1]);
    return timeOf(car, { ...stage, road, splits }) ?? Infinity;
  });
  const finished = times.filter((t) => t < Infinity).length;
  return { time, ...rangeOf(time, times), draws, finished };
}

/**
 * The range from times on drawn roads: from their 5 % to their 95 % quantile, and the same moved so that their median is the
 * time on the fitted road; the range holds both, and `LEAST_DOUBT`.
 *
 * Drawn roads carry the noise twice, the fitted one once: their median lies off by what the noise of the points moves a time
 * (the bootstrap's estimate of bias: Efron & Tibshirani 1993, An Introduction to the Bootstrap, chapter 10, from memory). But
 * smoothing moves it the other way, and by how much the points do not tell. The first range is right where the fit
 * smooths too much, the second where the two cancel.
 * @param time on the fitted road [s]; null where the car cannot finish
 * @param times on drawn roads [s], Infinity where the car cannot finish; 1 or more
 */
export function rangeOf(time: number | null, times: readonly number[]): { low: number; high: number } {
  const sorted = times.toSorted((a, b) => a - b);
  const [low, middle, high] = [0.05, 0.5, 0.95].map((p) => quantile(sorted, p));
  if (time === null || middle === Infinity) return { low, high };
  return {
    low: Math.min(low, time + low - middle, (1 - LEAST_DOUBT) * time),
    high: Math.max(high, time + high - middle, (1 + LEAST_DOUBT) * time),
  };
}

function timeOf(car: CarSpec, stage: Stage): number | null {
  try {
    return timeStage(car, stage).time;
  } catch (error) {
    if (error instanceof StageError) return null;
    throw error;
  }
}

/** Linear between the sorted values (type 7 of Hyndman & Fan 1996). */
function quantile(sorted: readonly number[], p: number): number {
  const at = p * (sorted.length - 1);
  const i = Math.floor(at);
  if (at === i) return sorted[i];
  return sorted[i + 1] === Infinity ? Infinity : sorted[i] + (at - i) * (sorted[i + 1] - sorted[i]);
}
