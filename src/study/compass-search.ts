/**
 * A search for the least value without derivatives: tries a step either way along each axis, goes to the best, and
 * halves the steps where none is better. Source: Kolda, Lewis & Torczon, SIAM Review 45(3), 2003 (compass search).
 * It ends at a point that is better than its neighbours, which need not be the best of all.
 */
export interface CompassTask {
  readonly start: readonly number[];
  readonly value: number; //            at the start
  readonly step: readonly number[]; //  first step along each axis
  readonly least: readonly number[]; // bounds
  readonly most: readonly number[];
  readonly halvings: number; //         of the steps, before the search ends
  /** The values at points; all points of one round are asked for together. */
  readonly evaluate: (points: readonly (readonly number[])[]) => Promise<readonly number[]>;
}

// A bound on the rounds, far beyond what a search from the best of a grid takes. No source.
const MOST_ROUNDS = 400;

export async function compassSearch(
  task: CompassTask,
): Promise<{ readonly at: number[]; readonly value: number; readonly tried: number }> {
  let at = [...task.start];
  let { value } = task;
  let tried = 0;
  let scale = 1;
  let halvings = 0;
  for (let round = 0; round < MOST_ROUNDS && halvings <= task.halvings; round++) {
    const points = at.flatMap((x, d) =>
      [-1, 1].flatMap((sign) => {
        const moved = Math.min(Math.max(x + sign * scale * task.step[d], task.least[d]), task.most[d]);
        return moved === x ? [] : [at.with(d, moved)];
      }),
    );
    const values = await task.evaluate(points);
    tried += points.length;
    let best = -1;
    for (const [i, v] of values.entries()) if (v < (best === -1 ? value : values[best])) best = i;
    if (best === -1) {
      scale /= 2;
      halvings++;
    } else {
      at = points[best];
      value = values[best];
    }
  }
  return { at, value, tried };
}
