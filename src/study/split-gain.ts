/** A gain split by loop, by condition, and by sector. */
import type { Gain } from './rank.ts';
import type { Study } from './study.ts';

type Split = Pick<Gain, 'byCourse' | 'bySector'>;

/** Expected gain over the stages of each loop [s]. */
export function gainByLoop(study: Study, { byCourse }: Split): ReadonlyMap<string, number> {
  const loops = new Map<string, number>();
  for (const [c, { loop, weight }] of study.courses.entries())
    loops.set(loop, (loops.get(loop) ?? 0) + weight * byCourse[c]);
  return loops;
}

/** Gain over all stages were a condition there for certain [s]. */
export function gainByCondition(study: Study, { byCourse }: Split): ReadonlyMap<string | null, number> {
  const conditions = new Map<string | null, number>();
  for (const [c, { condition }] of study.courses.entries())
    conditions.set(condition, (conditions.get(condition) ?? 0) + byCourse[c]);
  return conditions;
}

/** Expected gain of each sector [s], stage by stage in running order. */
export function gainBySector(
  study: Study,
  { bySector }: Split,
): { readonly loop: string; readonly stage: string; readonly sectors: readonly number[] }[] {
  const sums = new Map<string, { loop: string; stage: string; sectors: number[] }>();
  for (const { stage, loop, first, sectors, weight } of study.courses) {
    const key = JSON.stringify([loop, stage.file]);
    let sum = sums.get(key);
    if (sum === undefined) {
      sum = { loop, stage: stage.name, sectors: new Array<number>(sectors).fill(0) };
      sums.set(key, sum);
    }
    for (let k = 0; k < sectors; k++) sum.sectors[k] += weight * bySector[first + k];
  }
  return [...sums.values()];
}
