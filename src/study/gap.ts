/** Where on the road the time between two runs is made. */
import type { StageForecast } from '../sim/time-stage.ts';
import type { Study } from './study.ts';

/** A stretch of a stage and what is gained over it. */
export interface Stretch {
  readonly stage: string;
  readonly from: number; // station [m]
  readonly to: number;
  readonly gain: number; // expected over the conditions [s]
}

/** Length that stretches are told by [m]: a bend with its braking and its way out. No source. */
export const STRETCH = 200;
/** How many are listed. */
const LISTED = 3;

/**
 * Time gained up to each node [s], of two runs over the same nodes.
 * @returns (nodes of the road) NaN from where either run ends
 */
export function gapByStation(before: StageForecast, after: StageForecast): Float64Array {
  const { s } = before.run.road;
  const gap = new Float64Array(s.length).fill(Number.NaN);
  const nodes = Math.min(before.run.nodes, after.run.nodes);
  let sum = 0;
  for (let i = 0; i < nodes; i++) {
    gap[i] = sum;
    sum += before.run.dt[i] - after.run.dt[i];
  }
  return gap;
}

/** The stretches where most is gained, or, where the whole is a loss, lost. */
export function topStretches(
  study: Study,
  before: readonly StageForecast[],
  after: readonly StageForecast[],
): Stretch[] {
  const bins = new Map<string, { stage: string; length: number; gains: Float64Array }>();
  let total = 0;
  for (const [c, { stage, weight }] of study.courses.entries()) {
    const { s } = before[c].run.road;
    const length = s[s.length - 1];
    const count = Math.max(1, Math.ceil(length / STRETCH));
    let bin = bins.get(stage.file);
    if (bin === undefined) {
      bin = { stage: stage.name, length, gains: new Float64Array(count) };
      bins.set(stage.file, bin);
    }
    const gap = gapByStation(before[c], after[c]);
    for (let i = 0; i + 1 < s.length; i++) {
      const gain = weight * (gap[i + 1] - gap[i]);
      if (!Number.isFinite(gain)) break;
      bin.gains[Math.min(count - 1, Math.floor(s[i] / STRETCH))] += gain;
      total += gain;
    }
  }
  const sign = total < 0 ? -1 : 1;
  const all = [...bins.values()].flatMap(({ stage, length, gains }) =>
    Array.from(
      gains,
      (gain, k): Stretch => ({
        stage,
        from: k * STRETCH,
        to: Math.min(length, (k + 1) * STRETCH),
        gain,
      }),
    ),
  );
  return all
    .filter(({ gain }) => sign * gain > 0)
    .sort((a, b) => sign * (b.gain - a.gain))
    .slice(0, LISTED);
}
