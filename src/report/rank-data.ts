/** A ranking as data: full precision, units in the names. */
import { HELD_BY } from '../sim/workspace.ts';
import type { Ranking } from '../study/rank.ts';
import { gainByLoop, gainBySector } from '../study/split-gain.ts';
import type { Study } from '../study/study.ts';
import { CAUTION } from './forecast-text.ts';

/** JSON knows no infinity: null is a car that cannot finish. */
const finite = (x: number) => (Number.isFinite(x) ? x : null);

export function rankData(study: Study, ranking: Ranking): Record<string, unknown> {
  return {
    event: study.event.name,
    caution: CAUTION,
    base_time_s: ranking.baseTime,
    draws: ranking.draws,
    courses: study.courses.map(({ loop, stage, condition, weight, load }) => ({
      loop,
      stage: stage.name,
      condition,
      weight,
      load_kg: load,
      split_ends_m: [...stage.splits, stage.road.s.at(-1)],
    })),
    changes: ranking.gains.map((gain, i) => ({
      change: gain.name,
      group: gain.group,
      gain_s: finite(gain.gain),
      interval_from_s: gain.interval === null ? null : finite(gain.interval[0]),
      interval_to_s: gain.interval === null ? null : finite(gain.interval[1]),
      chance_of_gain: gain.chance,
      not_told_apart_from:
        ranking.ties?.flatMap((tie) =>
          tie.includes(i) ? [ranking.gains[tie[0] === i ? tie[1] : tie[0]].name] : [],
        ) ?? null,
      mass_kg: finite(gain.mass),
      takes: Object.fromEntries(gain.takes),
      gain_s_per_one: Object.fromEntries(
        [...gain.takes].map(([name, amount]) => [name, finite(gain.gain / amount)]),
      ),
      breaks: gain.breaks,
      gain_by_loop_s: numbers(gainByLoop(study, gain)),
      gain_by_course_s: gain.byCourse.map(finite),
      gain_by_sector_s: study.courses.map(({ first, sectors }) =>
        Array.from(gain.bySector.subarray(first, first + sectors), finite),
      ),
      gain_by_holding_s: Object.fromEntries(HELD_BY.map((name, h) => [name, gain.why[h]])),
      stretches: gain.stretches.map(({ stage, from, to, gain: x }) => ({
        stage,
        from_m: from,
        to_m: to,
        gain_s: x,
      })),
      fault: gain.fault,
    })),
    pairs:
      ranking.pairs?.map(({ a, b, gain, more }) => ({
        changes: [ranking.gains[a].name, ranking.gains[b].name],
        gain_s: gain,
        beyond_sum_s: more,
      })) ?? null,
  };
}

const numbers = (by: ReadonlyMap<string, number>) =>
  Object.fromEntries([...by].map(([name, x]) => [name, finite(x)]));

/** One row a change, best first; expected gains of each loop and sector to the right. */
export function* rankRows(study: Study, ranking: Ranking): Generator<string> {
  const attributes = [...new Set(ranking.gains.flatMap(({ takes }) => [...takes.keys()]))];
  const splits = [...new Set(study.courses.map(({ loop }) => `gain_s ${loop}`))];
  for (const { loop, stage, sectors } of ranking.gains.length === 0
    ? []
    : gainBySector(study, ranking.gains[0]))
    splits.push(...sectors.map((_, k) => `gain_s ${loop}: ${stage} sector ${k + 1}`));
  yield `${['rank', 'change', 'group', 'gain_s', 'interval_from_s', 'interval_to_s', 'chance_of_gain', 'mass_kg', ...attributes.map(csvCell), ...splits.map(csvCell)].join(',')}\n`;
  for (const [i, change] of ranking.gains.entries()) {
    const { name, group, gain, interval, chance, mass, takes } = change;
    const cells = [
      ...[gain, interval?.[0], interval?.[1], chance, mass, ...attributes.map((key) => takes.get(key))],
      ...gainByLoop(study, change).values(),
      ...gainBySector(study, change).flatMap(({ sectors }) => sectors),
    ];
    yield `${[i + 1, csvCell(name), csvCell(group ?? ''), ...cells.map((x) => finite(x ?? Number.NaN) ?? '')].join(',')}\n`;
  }
}

/** A text as a cell: in quotes where it needs them, and not to be taken for a formula. */
export function csvCell(text: string): string {
  const safe = /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
