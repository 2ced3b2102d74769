/** Values moved over a grid as data: full precision, units in the names or beside the values. */
import type { Study } from '../study/study.ts';
import { courseTimes } from '../study/totals.ts';
import type { Varied } from '../study/vary.ts';
import { CAUTION } from './forecast-text.ts';
import { csvCell } from './rank-data.ts';

const finite = (x: number) => (Number.isFinite(x) ? x : null);

export function varyData(study: Study, varied: Varied): Record<string, unknown> {
  const { axes, points, best, flat, refined, baseTime } = varied;
  const named = (values: readonly (number | string)[]) =>
    Object.fromEntries(axes.map(({ path }, d) => [path, values[d]]));
  return {
    event: study.event.name,
    caution: CAUTION,
    base_time_s: baseTime,
    axes,
    best: { values: named(best.values), time_s: finite(best.time) },
    refined:
      refined === null ? null : { values: named(refined.values), time_s: refined.time, tried: refined.tried },
    flat: flat.map(({ path, from, to, openBelow, openAbove }) => ({
      path,
      from,
      to,
      open_below: openBelow,
      open_above: openAbove,
    })),
    points: points.map(({ values, time, outcome }) => ({
      values: named(values),
      time_s: finite(time),
      time_by_course_s: courseTimes(study, outcome).map(finite),
      fault: outcome.fault,
    })),
  };
}

/** One row a point of the grid: its values, the expected time, and the time over each stage and condition. */
export function* varyRows(study: Study, { axes, points }: Varied): Generator<string> {
  const courses = study.courses.map(({ loop, stage, condition }) =>
    csvCell([loop, stage.name, condition ?? '', 's'].filter((part) => part !== '').join(' ')),
  );
  yield `${[...axes.map(({ path }) => csvCell(path)), 'expected_s', ...courses].join(',')}\n`;
  for (const { values, time, outcome } of points)
    yield `${[...values.map((value) => csvCell(String(value))), finite(time) ?? '', ...courseTimes(study, outcome).map((x) => finite(x) ?? '')].join(',')}\n`;
}
