/** What each change is worth alone: gains over the base car, how sure they are, where and why they are made. */

import type { StageForecast } from '../sim/time-stage.ts';
import { HELD_BY } from '../sim/workspace.ts';
import { type Stretch, topStretches } from './gap.ts';
import { compatible } from './read-changes.ts';
import { BASE, type Evaluate, type Outcome, type SetUp } from './set-up.ts';
import type { Study } from './study.ts';
import { courseTimes, totalTime } from './totals.ts';

/** Share of the draws that an interval holds; as much lies below as above. */
export const INTERVAL = 0.9;
/** Two changes are told apart where one is the better in at least this share of the draws. */
export const TOLD_APART = 0.95;

export interface Gain {
  readonly name: string;
  readonly change: number; //                 place in the changes
  readonly group: string | null;
  readonly gain: number; //                   [s], positive where the change is faster; −Infinity where it cannot finish
  readonly byCourse: readonly number[]; //    [s], unweighted
  readonly bySector: Float64Array; //         [s], as `Outcome.sectors`
  readonly interval: readonly [number, number] | null; // of the gain [s]; null without draws
  readonly chance: number | null; //          that it gains at all
  readonly draws: Float64Array; //            gain in each draw [s]
  readonly takes: ReadonlyMap<string, number>;
  readonly mass: number; //                   [kg]
  /** Gain by what held the car, in the order of HELD_BY [s]; adds up to the gain. */
  readonly why: Float64Array;
  readonly stretches: readonly Stretch[];
  readonly breaks: readonly string[]; //      limits that it breaks alone
  readonly fault: string | null;
}

export interface Pair {
  readonly a: number; //    places in `Ranking.gains`
  readonly b: number;
  readonly gain: number; // of both together [s]
  readonly more: number; // beyond the sum of the two [s]
}

export interface Ranking {
  readonly base: Outcome;
  readonly baseTime: number; //              expected, over the conditions [s]
  readonly gains: readonly Gain[]; //        best first
  /** Places in `gains`, the better first, of each two that cannot be told apart; null without draws. */
  readonly ties: readonly (readonly [number, number])[] | null;
  readonly pairs: readonly Pair[] | null;
  readonly draws: number;
}

/** The set-ups that a ranking needs, base first, then each change; the values as they stand, then draw by draw. */
export function rankSetUps(study: Study, draws: number): SetUp[] {
  const changes = study.event.changes?.changes ?? [];
  const alone: SetUp[] = [BASE, ...changes.map((_, i) => ({ ...BASE, changes: [i] }))];
  const all = [...alone];
  for (let draw = 0; draw < draws; draw++) for (const setUp of alone) all.push({ ...setUp, draw });
  return all;
}

/** The set-ups of all pairs of changes that can be made together. */
export function pairSetUps(study: Study): SetUp[] {
  const changes = study.event.changes?.changes ?? [];
  return changes.flatMap((a, i) =>
    changes.slice(i + 1).flatMap((b, k) => (compatible(a, b) ? [{ ...BASE, changes: [i, i + 1 + k] }] : [])),
  );
}

/**
 * Ranks the changes of a study's event.
 * @param draws from what is uncertain, the same for the base and every change; 0: nominal gains only
 */
export async function rank(
  study: Study,
  evaluate: Evaluate,
  draws: number,
  withPairs: boolean,
): Promise<Ranking> {
  const changes = study.event.changes?.changes ?? [];
  const taken = study.event.uncertain.length > 0 ? draws : 0;
  const outcomes = await evaluate(rankSetUps(study, taken));
  const row = changes.length + 1;
  const [base] = outcomes;
  const baseTime = totalTime(study, base);
  const baseRuns = study.forecasts(BASE, study.car(BASE));
  const gains = changes.map((change, i): Gain => {
    const outcome = outcomes[i + 1];
    const drawn = new Float64Array(taken);
    for (let k = 0; k < taken; k++) {
      const at = row * (k + 1);
      drawn[k] = gainOf(totalTime(study, outcomes[at]), totalTime(study, outcomes[at + i + 1]));
    }
    const sorted = drawn.toSorted();
    const tail = (1 - INTERVAL) / 2;
    const gain =
      outcome.fault === null ? gainOf(baseTime, totalTime(study, outcome)) : Number.NEGATIVE_INFINITY;
    const baseByCourse = courseTimes(study, base);
    const why = new Float64Array(HELD_BY.length);
    let stretches: Stretch[] = [];
    if (Number.isFinite(gain)) {
      const setUp = { ...BASE, changes: [i] };
      const runs = study.forecasts(setUp, study.car(setUp));
      for (const [c, course] of study.courses.entries()) addWhy(why, baseRuns[c], runs[c], course.weight);
      stretches = topStretches(study, baseRuns, runs);
    }
    return {
      name: change.name,
      change: i,
      group: change.group,
      gain,
      byCourse: courseTimes(study, outcome).map((time, c) => gainOf(baseByCourse[c], time)),
      bySector: base.sectors.map((time, s) => gainOf(time, outcome.sectors[s])),
      interval: taken === 0 ? null : [quantile(sorted, tail), quantile(sorted, 1 - tail)],
      chance: taken === 0 ? null : drawn.filter((g) => g > 0).length / taken,
      draws: drawn,
      takes: change.takes,
      mass: outcome.mass,
      why,
      stretches,
      breaks: study.broken({ ...BASE, changes: [i] }, outcome).map(({ name }) => name),
      fault: outcome.fault,
    };
  });
  gains.sort((a, b) => b.gain - a.gain || a.change - b.change);
  const ties = taken === 0 ? null : tiesOf(gains);
  const pairs = withPairs ? await pairsOf(study, evaluate, baseTime, gains) : null;
  return { base, baseTime, gains, ties, pairs, draws: taken };
}

/** A gain, where neither or one of the times may be endless. */
const gainOf = (before: number, after: number): number => {
  if (after === Number.POSITIVE_INFINITY) return before === after ? 0 : Number.NEGATIVE_INFINITY;
  return before - after;
};

function addWhy(why: Float64Array, before: StageForecast, after: StageForecast, weight: number): void {
  for (const [sign, { sectors }] of [[1, before] as const, [-1, after] as const])
    for (const { held } of sectors) for (let h = 0; h < why.length; h++) why[h] += sign * weight * held[h];
}

function tiesOf(gains: readonly Gain[]): (readonly [number, number])[] {
  return gains.flatMap((a, i) =>
    gains.slice(i + 1).flatMap((b, k) => (toldApart(a, b) ? [] : [[i, i + 1 + k] as const])),
  );
}

/** Whether one change is better than another in nearly all draws. */
function toldApart(a: Gain, b: Gain): boolean {
  const n = a.draws.length;
  let better = 0;
  for (let k = 0; k < n; k++) better += a.draws[k] > b.draws[k] ? 1 : a.draws[k] === b.draws[k] ? 0.5 : 0;
  return better / n >= TOLD_APART;
}

async function pairsOf(
  study: Study,
  evaluate: Evaluate,
  baseTime: number,
  gains: readonly Gain[],
): Promise<Pair[]> {
  const setUps = pairSetUps(study);
  const outcomes = await evaluate(setUps);
  const at = (change: number) => gains.findIndex((gain) => gain.change === change);
  const pairs = setUps.flatMap(({ changes: [first, second] }, i): Pair[] => {
    const gain =
      outcomes[i].fault === null ? gainOf(baseTime, totalTime(study, outcomes[i])) : Number.NEGATIVE_INFINITY;
    if (!Number.isFinite(gain)) return [];
    const a = at(first);
    const b = at(second);
    return [{ a, b, gain, more: gain - gains[a].gain - gains[b].gain }];
  });
  return pairs.sort((x, y) => Math.abs(y.more) - Math.abs(x.more) || x.a - y.a || x.b - y.b);
}

/**
 * The value below which a share of sorted values lies, linear between them. Definition 6 of Hyndman & Fan, American
 * Statistician 50(4), 1996 (Weibull, Gumbel): one more value drawn alike lies below the k-th of n in k of n + 1 cases,
 * so that an interval between two such holds it as often as it says.
 */
export function quantile(sorted: Float64Array, share: number): number {
  const last = sorted.length - 1;
  const at = Math.min(Math.max(share * (sorted.length + 1) - 1, 0), last);
  const i = Math.floor(at);
  const [low, high] = [sorted[i], sorted[Math.min(i + 1, last)]];
  return low === high ? low : low + (at - i) * (high - low);
}
