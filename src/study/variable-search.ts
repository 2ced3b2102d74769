/**
 * A search over choices and stepped values at once, where not all combinations can be tried.
 *
 * Variable neighbourhood search (Hansen & Mladenović, European J. Operational Research 130, 2001): a descent to a
 * point that no move betters, then a jump of k random moves from the best so far, k growing while that does not help.
 * A move sets one variable to another choice or steps it; two choices are also exchanged for each other, since under
 * a budget neither may come before the other goes. Steps begin long and are halved, as in a compass search.
 * A point that breaks limits counts as worse than any that does not, by how much it breaks them.
 */

/** One variable: `steps` where its options have an order. */
export interface Variable {
  readonly size: number; // options 0 … size − 1
  readonly kind: 'choice' | 'steps';
}

export interface Score {
  readonly broken: number; // 0 where all limits are kept
  readonly value: number; //  the less, the better
}

export type Candidate = readonly number[];

export interface SearchTask {
  readonly variables: readonly Variable[];
  readonly start: Candidate;
  readonly random: () => number;
  /** Jumps in a row that may fail before the search ends. */
  readonly patience: number;
  /** Scores of candidates; all of one round are asked for together. */
  readonly evaluate: (candidates: readonly Candidate[]) => Promise<readonly Score[]>;
}

export interface Found {
  readonly at: Candidate;
  readonly score: Score;
}

export const better = (a: Score, b: Score): boolean =>
  a.broken !== b.broken ? a.broken < b.broken : a.value < b.value;

export async function variableSearch(task: SearchTask): Promise<Found> {
  const { variables, random, patience } = task;
  const [first] = await task.evaluate([task.start]);
  let best = await descend(task, { at: task.start, score: first });
  const free = variables.filter(({ size }) => size > 1).length;
  if (free === 0) return best;
  for (let failed = 0; failed < patience; ) {
    const k = Math.min(free, 2 + (failed % 4));
    const at = [...best.at];
    const order = shuffled(variables.length, random).filter((d) => variables[d].size > 1);
    for (const d of order.slice(0, k))
      at[d] = (at[d] + 1 + Math.floor(random() * (variables[d].size - 1))) % variables[d].size;
    const [score] = await task.evaluate([at]);
    const found = await descend(task, { at, score });
    if (better(found.score, best.score)) {
      best = found;
      failed = 0;
    } else failed++;
  }
  return best;
}

function shuffled(n: number, random: () => number): number[] {
  const order = Array.from({ length: n }, (_, i) => i);
  for (let i = n - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [order[i], order[j]] = [order[j], order[i]];
  }
  return order;
}

interface Move {
  readonly d: number;
  readonly to: number;
}

async function descend({ variables, evaluate }: SearchTask, from: Found): Promise<Found> {
  let here = from;
  let scale = Math.max(
    1,
    ...variables.map(({ kind, size }) => (kind === 'steps' ? Math.round(size / 4) : 1)),
  );
  for (;;) {
    const moves = singleMoves(variables, here.at, scale);
    const scores = await evaluate(moves.map(({ d, to }) => here.at.with(d, to)));
    const found = await takeMoves(evaluate, here, moves, scores);
    if (found !== null) here = found;
    else if (scale > 1) scale = Math.floor(scale / 2);
    else {
      const pairs = exchanges(variables, here.at);
      const exchanged = await evaluate(pairs);
      const i = bestOf(exchanged);
      if (i === -1 || !better(exchanged[i], here.score)) return here;
      here = { at: pairs[i], score: exchanged[i] };
    }
  }
}

function singleMoves(variables: readonly Variable[], at: Candidate, scale: number): Move[] {
  return variables.flatMap(({ kind, size }, d): Move[] => {
    if (kind === 'choice')
      return Array.from({ length: size }, (_, to) => ({ d, to })).filter(({ to }) => to !== at[d]);
    const step = Math.max(1, Math.min(scale, Math.round(size / 4)));
    return [at[d] - step, at[d] + step]
      .map((to) => Math.min(Math.max(to, 0), size - 1))
      .filter((to) => to !== at[d])
      .map((to) => ({ d, to }));
  });
}

/** The best single move, or all moves that help at once where that is better still; null where none helps. */
async function takeMoves(
  evaluate: SearchTask['evaluate'],
  here: Found,
  moves: readonly Move[],
  scores: readonly Score[],
): Promise<Found | null> {
  const helps = new Map<number, number>();
  for (const [i, { d }] of moves.entries()) {
    const before = helps.get(d);
    if (better(scores[i], before === undefined ? here.score : scores[before])) helps.set(d, i);
  }
  if (helps.size === 0) return null;
  const single = bestOf(scores);
  let best: Found = { at: here.at.with(moves[single].d, moves[single].to), score: scores[single] };
  if (helps.size > 1) {
    const all = [...here.at];
    for (const [d, i] of helps) all[d] = moves[i].to;
    const [score] = await evaluate([all]);
    if (better(score, best.score)) best = { at: all, score };
  }
  return best;
}

function bestOf(scores: readonly Score[]): number {
  let best = scores.length > 0 ? 0 : -1;
  for (let i = 1; i < scores.length; i++) if (better(scores[i], scores[best])) best = i;
  return best;
}

/** Candidates that differ in two choices, and those that differ by a step in two stepped values. */
function exchanges(variables: readonly Variable[], at: Candidate): Candidate[] {
  const moves = singleMoves(variables, at, 1);
  const found: Candidate[] = [];
  for (const [i, a] of moves.entries()) {
    for (const b of moves.slice(i + 1)) {
      if (a.d === b.d || variables[a.d].kind !== variables[b.d].kind) continue;
      found.push(at.with(a.d, a.to).with(b.d, b.to));
    }
  }
  return found;
}
