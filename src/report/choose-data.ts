/** A choice as data: full precision, units in the names. */
import type { Tried } from '../study/choose.ts';
import type { Study } from '../study/study.ts';
import { totalTime } from '../study/totals.ts';
import type { ChooseReport } from './choose-text.ts';
import { CAUTION } from './forecast-text.ts';
import { csvCell } from './rank-data.ts';

const finite = (x: number) => (Number.isFinite(x) ? x : null);

function triedData(study: Study, { setUp, time, outcome, broken }: Tried): Record<string, unknown> {
  return {
    changes: setUp.changes.map((i) => study.event.changes!.changes[i].name),
    settings: Object.fromEntries(setUp.settings),
    time_s: finite(time),
    time_by_condition_s: Object.fromEntries(
      study.event.conditions.map(({ name }) => [
        name ?? 'as written',
        finite(totalTime(study, outcome, name)),
      ]),
    ),
    mass_kg: finite(outcome.mass),
    power_to_mass_W_per_kg: finite(outcome.powerToMass),
    broken,
  };
}

export function chooseData(
  study: Study,
  { chosen, words, leans, free, flips }: ChooseReport,
): Record<string, unknown> {
  const data = (tried: Tried) => triedData(study, tried);
  return {
    event: study.event.name,
    caution: CAUTION,
    base: data(chosen.base),
    best: chosen.best === null ? null : data(chosen.best),
    runners_up: chosen.runnersUp.map(data),
    combinations: chosen.count,
    tried: chosen.tried,
    exact: chosen.exact,
    search_ends_s: chosen.chains.map(finite),
    limits: chosen.prices.map(({ limit, gain, best }) => ({
      limit: limit.name,
      step: limit.step,
      gain_s: gain,
      best: data(best),
    })),
    least_regret:
      chosen.leastRegret === null
        ? null
        : { ...data(chosen.leastRegret.tried), regret_s: chosen.leastRegret.regret },
    best_by_condition: chosen.byCondition.map(data),
    best_by_loop: chosen.byLoop.map(({ loop, tried }) => ({ loop, ...data(tried) })),
    settings: words.map(({ path, label, unit, from, to, openBelow, openAbove, most }) => ({
      path,
      best: label,
      unit,
      unnoticed_from: from,
      unnoticed_to: to,
      open_below: openBelow,
      open_above: openAbove,
      most_lost_s: finite(most),
    })),
    lean_on_each_other: leans.map(({ a, b, beyond }) => ({ a, b, beyond_sum_s: beyond })),
    free_ratios:
      free === null
        ? null
        : { gears: free.gears, final_drive: free.finalDrive, gain_s: free.gain, tried: free.tried },
    surfaces: flips,
  };
}

/** One row a set-up: the choice, then the runners-up. */
export function* chooseRows(study: Study, { chosen }: ChooseReport): Generator<string> {
  yield 'place,changes,settings,time_s,gain_s,mass_kg,power_to_mass_W_per_kg\n';
  const rows = chosen.best === null ? [] : [chosen.best, ...chosen.runnersUp];
  for (const [i, { setUp, time, outcome }] of rows.entries()) {
    const changes = setUp.changes.map((c) => study.event.changes!.changes[c].name).join(' + ');
    const settings = setUp.settings.map(([path, value]) => `${path}=${value}`).join('; ');
    yield `${[i + 1, csvCell(changes), csvCell(settings), time, chosen.base.time - time, outcome.mass, outcome.powerToMass].join(',')}\n`;
  }
}
