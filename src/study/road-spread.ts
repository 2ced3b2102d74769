/** How far a forecast moves with what a survey leaves open: a car timed on roads that fit the data as well. */
import { randomFrom } from '../numbers/random.ts';
import { StageError } from '../sim/stage-error.ts';
import { timeStage } from '../sim/time-stage.ts';
import type { RoadTable } from '../track/road-table.ts';
import type { Stage } from '../track/stage.ts';
import type { CarSpec } from '../vehicle/car-spec.ts';

export interface RoadSpread {
  readonly time: number | null; // on the fitted road [s]; null where the car cannot finish
  readonly low: number; //         5 % of the drawn roads are faster [s]
  readonly high: number; //        5 % are slower [s]
  readonly draws: number; //       roads drawn
  readonly finished: number; //    of them, those that the car finishes
}

/** Roads drawn: their 5 % and 95 % quantiles then stand still to about a tenth of the spread. No source. */
export const DRAWS = 40;

/**
 * Times the car on the stage's own road and on drawn ones.
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
  const times: number[] = [];
  for (let k = 0; k < draws; k++) {
    const road = draw(random);
    const drawn = timeOf(car, {
      ...stage,
      road,
      splits: stage.splits.filter((at) => at < road.s[road.s.length - 1]),
    });
    if (drawn !== null) times.push(drawn);
  }
  times.sort((a, b) => a - b);
  return { time, low: quantile(times, 0.05), high: quantile(times, 0.95), draws, finished: times.length };
}

function timeOf(car: CarSpec, stage: Stage): number | null {
  try {
    return timeStage(car, stage).time;
  } catch (error) {
    if (error instanceof StageError) return null;
    throw error;
  }
}

/** Linear between the sorted values (type 7 of Hyndman & Fan 1996); NaN where there are none. */
function quantile(sorted: readonly number[], p: number): number {
  const at = p * (sorted.length - 1);
  const i = Math.floor(at);
  return sorted.length === 0 ? Number.NaN : sorted[i] + (at - i) * ((sorted[i + 1] ?? sorted[i]) - sorted[i]);
}
