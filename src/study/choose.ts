/** The best changes and settings that go together, inside the limits. */
import { randomFrom } from '../numbers/random.ts';
import type { Limit } from './read-event.ts';
import { BASE, type Evaluate, type Outcome, type SetUp, setUpKey } from './set-up.ts';
import type { Study } from './study.ts';
import { totalTime } from './totals.ts';
import { parsePath, valueAt } from './value-path.ts';
import { type Candidate, type Found, type Score, type Variable, variableSearch } from './variable-search.ts';
import { numberOf } from './vary.ts';

/** A set-up that was tried. */
export interface Tried {
  readonly setUp: SetUp;
  readonly outcome: Outcome;
  readonly time: number; //    expected [s]
  readonly broken: readonly string[]; // limits
}

/** What would be gained if a limit were relaxed by its step. */
export interface Price {
  readonly limit: Limit;
  readonly gain: number; // [s], 0 where the limit does not hold anything back
  readonly best: Tried;
}

export interface Chosen {
  readonly base: Tried;
  readonly best: Tried | null; //             null where nothing keeps the limits
  readonly runnersUp: readonly Tried[];
  readonly prices: readonly Price[];
  /** The set-up that loses least against the best of each condition, whichever comes; null with one condition. */
  readonly leastRegret: {
    readonly tried: Tried;
    readonly regret: number;
    readonly bestsRegret: number;
  } | null;
  /** Best of each condition, in the order of the event. */
  readonly byCondition: readonly Tried[];
  /** Best of each loop, were it driven alone. */
  readonly byLoop: readonly { readonly loop: string; readonly tried: Tried }[];
  readonly count: number; //      combinations there are
  readonly tried: number; //      that were timed
  readonly cannotBe: number; //   of these, whose values do not go together
  readonly exact: boolean;
  /** Best time of each chain of the search [s]; empty where all combinations were tried. */
  readonly chains: readonly number[];
}

export interface ChooseOptions {
  readonly exactUpTo: number; // combinations that are all tried
  readonly chains: number;
  readonly patience: number;
  readonly seed: number;
}

/** One variable of the choice: a group, a change of its own, or a setting. */
interface Part extends Variable {
  readonly changes: readonly number[]; // option k > 0 is changes[k − 1]; empty for a setting
  readonly setting: number; //            −1 for changes
}

/** What can be chosen, part by part. */
export function partsOf(study: Study): Part[] {
  const { changes, settings } = study.event.changes ?? { changes: [], settings: [] };
  const parts: Part[] = [];
  const groups = new Map<string, number[]>();
  for (const [i, { group }] of changes.entries()) {
    if (group === null) parts.push({ size: 2, kind: 'choice', changes: [i], setting: -1 });
    else {
      const members = groups.get(group) ?? [];
      members.push(i);
      groups.set(group, members);
    }
  }
  for (const members of groups.values())
    parts.push({ size: members.length + 1, kind: 'choice', changes: members, setting: -1 });
  for (const [i, { options }] of settings.entries())
    parts.push({ size: options.length, kind: 'steps', changes: [], setting: i });
  return parts;
}

export const combinations = (parts: readonly Variable[]) => parts.reduce((n, { size }) => n * size, 1);

export function setUpOf(study: Study, parts: readonly Part[], at: Candidate): SetUp {
  const changes: number[] = [];
  const settings: (readonly [string, number | string])[] = [];
  for (const [d, part] of parts.entries()) {
    if (part.setting === -1) {
      if (at[d] > 0) changes.push(part.changes[at[d] - 1]);
    } else {
      const { name, options } = study.event.changes!.settings[part.setting];
      settings.push([name, options[at[d]]] as const);
    }
  }
  return { changes: changes.sort((a, b) => a - b), settings, draw: null };
}

/** Every combination, the last part running fastest. */
export function allCandidates(parts: readonly Variable[]): Candidate[] {
  let found: number[][] = [[]];
  for (const { size } of parts)
    found = found.flatMap((at) => Array.from({ length: size }, (_, k) => [...at, k]));
  return found;
}

/** The options nearest to the car as it stands, no change made. */
function startOf(study: Study, parts: readonly Part[]): Candidate {
  return parts.map(({ setting }) => {
    if (setting === -1) return 0;
    const { name, steps, options } = study.event.changes!.settings[setting];
    if (steps !== null) return Math.floor(options.length / 2);
    const now = valueAt(study.event.car.data, parsePath(name)!);
    const x = typeof now === 'number' || typeof now === 'string' ? numberOf(now).x : Number.NaN;
    let nearest = 0;
    const off = (k: number) => Math.abs(numberOf(options[k]).x - x);
    for (const k of options.keys()) if (off(k) < off(nearest)) nearest = k;
    return nearest;
  });
}

/** The set-ups of an exact choice; null where there are too many to try all. */
export function chooseSetUps(study: Study, exactUpTo: number): SetUp[] | null {
  const parts = partsOf(study);
  if (combinations(parts) > exactUpTo) return null;
  const all = allCandidates(parts).map((at) => setUpOf(study, parts, at));
  // What breaks a budget even after any one of the limits has been relaxed is of no use to anyone.
  const useful = all.filter((setUp) => {
    const over = budgetsBroken(study, setUp, null);
    return over.length === 0 || (over.length === 1 && budgetsBroken(study, setUp, over[0]).length === 0);
  });
  return [BASE, ...useful.filter((setUp) => setUpKey(setUp) !== setUpKey(BASE))];
}

const isOfCar = (name: string) => name === 'mass' || name === 'power_to_mass';

/** Limits on what changes take that a set-up breaks. @param relaxed one limit that is relaxed by its step */
function budgetsBroken(study: Study, setUp: SetUp, relaxed: Limit | null): Limit[] {
  return brokenBy(study, setUp, null, relaxed);
}

function brokenBy(study: Study, setUp: SetUp, outcome: Outcome | null, relaxed: Limit | null): Limit[] {
  return study.event.limits.filter((limit) => {
    if (outcome === null && isOfCar(limit.name)) return false;
    return study.excess(setUp, outcome, limit, limit === relaxed ? limit.step : 0) > 0;
  });
}

/** How far limits are broken, each counted in its own size. */
function brokenness(study: Study, setUp: SetUp, outcome: Outcome, relaxed: Limit | null): number {
  let sum = 0;
  for (const limit of study.event.limits) {
    const over = study.excess(setUp, outcome, limit, limit === relaxed ? limit.step : 0);
    if (over > 0) sum += over / Math.max(1e-9, Math.abs(limit.most ?? limit.least ?? 1));
  }
  return sum;
}

/** What has been tried so far, and how more is. */
class Trials {
  readonly known = new Map<string, Tried>();
  readonly #study: Study;
  readonly #evaluate: Evaluate;

  constructor(study: Study, evaluate: Evaluate) {
    this.#study = study;
    this.#evaluate = evaluate;
  }

  async all(setUps: readonly SetUp[]): Promise<Tried[]> {
    const fresh = setUps.filter((setUp) => !this.known.has(setUpKey(setUp)));
    const outcomes = await this.#evaluate(fresh);
    for (const [i, setUp] of fresh.entries()) {
      const outcome = outcomes[i];
      this.known.set(setUpKey(setUp), {
        setUp,
        outcome,
        time: outcome.fault === null ? totalTime(this.#study, outcome) : Number.POSITIVE_INFINITY,
        broken: brokenBy(this.#study, setUp, outcome, null).map(({ name }) => name),
      });
    }
    return setUps.map((setUp) => this.known.get(setUpKey(setUp))!);
  }
}

/** One chain of the search: where it begins, and what it looks for. */
interface Chain {
  readonly start: Candidate;
  readonly seed: number;
  readonly relaxed: Limit | null;
  readonly value: (tried: Tried) => number; // the less, the better
  readonly patience: number;
}

async function runChain(
  study: Study,
  parts: readonly Part[],
  trials: Trials,
  { start, seed, relaxed, value, patience }: Chain,
): Promise<Found> {
  const [base] = await trials.all([BASE]);
  return await variableSearch({
    variables: parts,
    start,
    random: randomFrom(seed),
    patience,
    evaluate: async (candidates) => {
      const setUps = candidates.map((at) => setUpOf(study, parts, at));
      // What a budget forbids needs no solving.
      const allowed = setUps.map((setUp) => budgetsBroken(study, setUp, relaxed).length === 0);
      await trials.all(setUps.filter((_, i) => allowed[i]));
      return setUps.map((setUp, i): Score => {
        if (!allowed[i]) return { broken: 1 + brokenness(study, setUp, base.outcome, relaxed), value: 0 };
        const tried = trials.known.get(setUpKey(setUp))!;
        if (tried.outcome.fault !== null) return { broken: 1e6, value: 0 };
        return { broken: brokenness(study, setUp, tried.outcome, relaxed), value: value(tried) };
      });
    },
  });
}

/** The starts of a search for the best: the car as it stands, then places drawn at random. */
function startsOf(study: Study, parts: readonly Part[], { chains, seed, patience }: ChooseOptions): Chain[] {
  const random = randomFrom(seed);
  return Array.from({ length: chains }, (_, c) => ({
    start: c === 0 ? startOf(study, parts) : parts.map(({ size }) => Math.floor(random() * size)),
    seed: seed + 1 + c,
    relaxed: null,
    value: ({ time }) => time,
    patience,
  }));
}

/**
 * Runs every n-th start of a search, from the k-th on, for what it tries: with what all shares tried known, the whole
 * search solves little that is new.
 */
export async function chooseShare(
  study: Study,
  evaluate: Evaluate,
  options: ChooseOptions,
  k: number,
  n: number,
): Promise<void> {
  const parts = partsOf(study);
  const trials = new Trials(study, evaluate);
  for (const [c, start] of startsOf(study, parts, options).entries())
    if (c % n === k - 1) await runChain(study, parts, trials, start);
}

export async function choose(study: Study, evaluate: Evaluate, options: ChooseOptions): Promise<Chosen> {
  const parts = partsOf(study);
  const trials = new Trials(study, evaluate);
  const [base] = await trials.all([BASE]);
  const count = combinations(parts);
  const plan = chooseSetUps(study, options.exactUpTo);
  const chains: number[] = [];
  if (plan !== null) await trials.all(plan);
  else {
    let best: Chain | null = null;
    for (const from of startsOf(study, parts, options)) {
      const { at, score } = await runChain(study, parts, trials, from);
      const time = score.broken === 0 ? score.value : Number.POSITIVE_INFINITY;
      if (best === null || time < Math.min(...chains)) best = { ...from, start: at, patience: 1 };
      chains.push(time);
    }
    const { seed } = options;
    for (const { name } of study.event.conditions.length > 1 ? study.event.conditions : []) {
      const value = ({ outcome }: Tried) => totalTime(study, outcome, name);
      await runChain(study, parts, trials, { ...best!, seed: seed + 101, value });
    }
    for (const relaxed of study.event.limits)
      await runChain(study, parts, trials, { ...best!, seed: seed + 102, relaxed });
  }
  return conclude(study, trials.known, base, { count, exact: plan !== null, chains });
}

function conclude(
  study: Study,
  known: ReadonlyMap<string, Tried>,
  base: Tried,
  how: Pick<Chosen, 'count' | 'exact' | 'chains'>,
): Chosen {
  const all = [...known.values()];
  const sound = all.filter(({ outcome }) => outcome.fault === null);
  const allowed = sound.filter(({ broken, time }) => broken.length === 0 && Number.isFinite(time));
  allowed.sort((a, b) => a.time - b.time || a.setUp.changes.length - b.setUp.changes.length);
  const best = allowed[0] ?? null;
  const least = (list: readonly Tried[], value: (tried: Tried) => number) =>
    list.reduce((a, b) => (value(b) < value(a) ? b : a));
  const prices =
    best === null
      ? []
      : study.event.limits.map((limit): Price => {
          const relaxed = sound.filter(
            ({ setUp, outcome }) => brokenBy(study, setUp, outcome, limit).length === 0,
          );
          const found = least([best, ...relaxed], ({ time }) => time);
          return { limit, gain: best.time - found.time, best: found };
        });
  const { conditions } = study.event;
  const timeIn = ({ outcome }: Tried, name: string | null) => totalTime(study, outcome, name);
  const byCondition =
    best === null || conditions.length < 2
      ? []
      : conditions.map(({ name }) => least(allowed, (tried) => timeIn(tried, name)));
  let leastRegret: Chosen['leastRegret'] = null;
  if (best !== null && byCondition.length > 0) {
    const regret = (tried: Tried) =>
      Math.max(...conditions.map(({ name }, c) => timeIn(tried, name) - timeIn(byCondition[c], name)));
    const tried = least(allowed, regret);
    leastRegret = { tried, regret: regret(tried), bestsRegret: regret(best) };
  }
  const loops = [...new Set(study.courses.map(({ loop }) => loop))];
  const byLoop =
    best === null || loops.length < 2
      ? []
      : loops.map((loop) => ({
          loop,
          tried: least(allowed, ({ outcome }) => loopTime(study, outcome, loop)),
        }));
  return {
    base,
    best,
    runnersUp: bestOfOthers(allowed),
    prices,
    leastRegret,
    byCondition,
    byLoop,
    ...how,
    tried: all.length,
    cannotBe: all.length - sound.length,
  };
}

/** How many runners-up are named. */
const RUNNERS = 5;

/** The best set-up of each other set of changes: one more step of a setting is no runner-up. */
function bestOfOthers(sorted: readonly Tried[]): Tried[] {
  const seen = new Set<string>();
  return sorted
    .filter(({ setUp }) => {
      const key = setUp.changes.join();
      if (seen.has(key)) return false;
      seen.add(key);
      return true;
    })
    .slice(1, 1 + RUNNERS);
}

/** Expected time of one loop [s]. */
export function loopTime(study: Study, outcome: Outcome, loop: string): number {
  let sum = 0;
  for (const { loop: name, weight, first, sectors } of study.courses) {
    if (name !== loop || weight === 0) continue;
    for (let k = first; k < first + sectors; k++) sum += weight * outcome.sectors[k];
  }
  return sum;
}
