/** How close the fit comes to roads that are known: what docs/validation.md, "The fit of a road", is written from. */
import { timeStage } from '../../src/sim/time-stage.ts';
import { roadSpread } from '../../src/study/road-spread.ts';
import type { RoadTable } from '../../src/track/road-table.ts';
import { fitRoad } from '../../src/track/survey/fit-road.ts';
import { quantile } from '../../src/track/survey/median.ts';
import type { CarSpec } from '../../src/vehicle/car-spec.ts';
import { stageOn } from './build.ts';
import { type KnownRoad, knownRoad, type Recording, record } from './known-road.ts';

export interface FitCase extends Omit<Recording, 'seed'> {
  readonly passes: number;
}

/** Errors relative to the truth, as shares. */
export interface FitErrors {
  readonly length: number;
  readonly time: number;
  /** The range that is printed; `high` is Infinity where the car cannot finish on 5 % of the drawn roads. */
  readonly low: number;
  readonly high: number;
  /** Mean curvature over the middle of each hairpin, median over the hairpins; NaN where the road has none. */
  readonly hairpins: number;
  readonly refused: boolean;
}

/** Length of the roads [m]. */
const LENGTH = 3000;
/** Curvature from which on a bend counts as a hairpin [1/m]. */
const HAIRPIN = 1 / 15.5;

export function timeOn(car: CarSpec, road: RoadTable): number {
  const { time } = timeStage(car, stageOn(road), { step: 1 });
  if (time === null) throw new Error('the car does not reach the finish');
  return time;
}

/** @param draws how many roads are drawn for the spread; 0: none */
export function fitErrors(car: CarSpec, how: FitCase, seed: number, draws: number): FitErrors {
  const road = knownRoad(seed, LENGTH);
  const passes = Array.from({ length: how.passes }, (_, p) =>
    record(road, { ...how, seed: 1000 * seed + p + 1 }),
  );
  const fit = fitRoad(passes, { surface: 'gravel' });
  const { s } = road.table;
  const truth = timeOn(car, road.table);
  const time = timeOn(car, fit.table);
  const none = { low: Number.NaN, high: Number.NaN };
  const { low, high } =
    draws > 0 ? roadSpread(car, stageOn(fit.table), (random) => fit.draw(random), seed, draws) : none;
  return {
    length: fit.found.length / s[s.length - 1] - 1,
    time: time / truth - 1,
    low: low / truth - 1,
    high: high / truth - 1,
    hairpins: hairpinError(road, fit.table),
    refused: fit.refusal !== null,
  };
}

function hairpinError({ table, plan }: KnownRoad, got: RoadTable): number {
  if (table.xy === null || got.xy === null) return Number.NaN;
  const { x, y } = got.xy;
  const errors: number[] = [];
  let row = 0;
  while (row < plan.length) {
    let end = row;
    while (end < plan.length && Math.abs(table.curvature[end]) >= HAIRPIN) end++;
    const middle = (row + end) >> 1;
    const half = (plan[Math.max(row, end - 1)] - plan[row]) / 4;
    if (end > row && half > 2) {
      // The nearest row of the fit, and those about it.
      let near = 0;
      let least = Infinity;
      for (let j = 0; j < x.length; j++) {
        const distance = Math.hypot(x[j] - table.xy.x[middle], y[j] - table.xy.y[middle]);
        if (distance < least) [least, near] = [distance, j];
      }
      const within = got.curvature.filter((_, j) => Math.abs(got.s[j] - got.s[near]) <= half);
      const mean = within.reduce((sum, k) => sum + k, 0) / within.length;
      errors.push(mean / table.curvature[middle] - 1);
    }
    row = end + 1;
  }
  return quantile(Float64Array.from(errors), 0.5);
}
