import fc from 'fast-check';
import { type StageForecast, type TimeOptions, timeStage } from '../../src/sim/time-stage.ts';
import type { Stage } from '../../src/track/stage.ts';
import type { CarSpec } from '../../src/vehicle/car-spec.ts';
import { RUNS } from './arbitrary.ts';

/**
 * Runs a property with the seed that stands in the test's name; a failure prints seed, path and counterexample.
 * SHRINK=1 in the environment looks for the smallest counterexample, which can take minutes.
 */
export function holds<T>(
  arbitrary: fc.Arbitrary<T>,
  seed: number,
  predicate: (value: T) => void,
  numRuns = RUNS,
): void {
  fc.assert(fc.property(arbitrary, predicate), {
    seed,
    numRuns,
    endOnFailure: process.env['SHRINK'] === undefined,
  });
}

/** A forecast, or a skipped case where car and stage do not go together (too steep, too slippery, too fast a start). */
export function forecastOf(
  spec: CarSpec,
  stage: Stage,
  options: TimeOptions = {},
): StageForecast & { time: number } {
  let forecast: StageForecast;
  try {
    forecast = timeStage(spec, stage, options);
  } catch (error) {
    if ((error as Error).name !== 'StageError') throw error;
    fc.pre(false);
    throw error;
  }
  fc.pre(forecast.time !== null);
  return forecast as StageForecast & { time: number };
}

/** Upshifts of a forecast. */
export const upshifts = (forecast: StageForecast): number =>
  forecast.sectors.reduce((sum, sector) => sum + sector.upshifts, 0);

/**
 * How far a time may be off [s]: the grid error measured by halving the step, at most four times what the default step
 * may have (5e-5), and 0.1 ms per shift (issue 2).
 */
export function tolerance(spec: CarSpec, stage: Stage, forecast: StageForecast & { time: number }): number {
  const finer = forecastOf(spec, stage, { step: 0.5 });
  const grid = Math.min((4 / 3) * Math.abs(finer.time - forecast.time), 2e-4 * forecast.time);
  return grid + 1e-4 * (1 + Math.max(upshifts(forecast), upshifts(finer)));
}
