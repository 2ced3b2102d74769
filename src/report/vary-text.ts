/** Values moved over a grid, for people: at most 100 columns. */
import { escaped } from '../input/render-diagnostic.ts';
import type { Study } from '../study/study.ts';
import { type Flat, numberOf, UNNOTICED, type Varied } from '../study/vary.ts';
import { wrapped } from './forecast-text.ts';
import { clock } from './numbers.ts';
import { closing, overview, seconds } from './study-text.ts';

/** Rows of a table for people; longer ones go to the CSV. */
const ROWS = 60;
/** Columns of a table of two values. */
const ACROSS = 10;

export function varyText(study: Study, varied: Varied): string {
  const { axes, best, baseTime, points } = varied;
  const title = `${escaped(study.event.name)}: ${axes.map(({ path }) => escaped(path)).join(' against ')}`;
  const lines = [title, '-'.repeat(Math.min(100, title.length)), ...overview(study)];
  lines.push(`The car as it stands: ${clock(baseTime)} expected.`, '');
  if (best.time === Number.POSITIVE_INFINITY)
    lines.push('With no value of the grid does the car finish.', '');
  else {
    if (axes.length === 1) lines.push(...oneLine(varied));
    else if (axes.length === 2 && axes[1].values.length <= ACROSS) lines.push(...square(varied));
    else lines.push(...longList(varied));
    lines.push('', ...bestLines(varied), '');
  }
  const failed = points.filter(({ outcome }) => outcome.fault !== null);
  if (failed.length > 0)
    lines.push(
      ...wrapped('', [
        `${failed.length} of ${points.length} do not go together, such as ${failed[0].values.join(', ')}: ${failed[0].outcome.fault}`,
      ]),
      '',
    );
  lines.push(...closing(study));
  return `${lines.join('\n')}\n`;
}

const shown = (value: number | string) => escaped(String(value));

/** A loss against the best; the best itself is marked. */
const loss = (time: number, best: number) =>
  time === best ? 'best' : time === Number.POSITIVE_INFINITY ? 'stops' : seconds(time - best);

function oneLine({ axes, points, best }: Varied): string[] {
  const [axis] = axes;
  const width = Math.max(escaped(axis.path).length, ...axis.values.map((value) => shown(value).length));
  const lines = [
    `${escaped(axis.path).padStart(width)}${'expected'.padStart(11)}${'behind, s'.padStart(11)}`,
  ];
  for (const { values, time } of points.slice(0, ROWS)) {
    const total = Number.isFinite(time) ? clock(time) : '';
    lines.push(
      `${shown(values[0]).padStart(width)}${total.padStart(11)}${loss(time, best.time).padStart(11)}`,
    );
  }
  if (points.length > ROWS) lines.push(`  and ${points.length - ROWS} more rows: --csv FILE has them all`);
  return lines;
}

function square({ axes, points, best }: Varied): string[] {
  const [down, across] = axes;
  const left = Math.max(8, ...down.values.map((value) => shown(value).length));
  const lines = [`Behind the best, s. Down: ${escaped(down.path)}, across: ${escaped(across.path)}`];
  lines.push(' '.repeat(left) + across.values.map((value) => shown(value).slice(0, 8).padStart(9)).join(''));
  for (const [i, value] of down.values.slice(0, ROWS).entries()) {
    const row = points.slice(i * across.values.length, (i + 1) * across.values.length);
    lines.push(
      shown(value).padStart(left) + row.map(({ time }) => loss(time, best.time).padStart(9)).join(''),
    );
  }
  if (down.values.length > ROWS)
    lines.push(`  and ${down.values.length - ROWS} more rows: --csv FILE has them all`);
  return lines;
}

function longList({ axes, points, best }: Varied): string[] {
  const sorted = points.toSorted((a, b) => a.time - b.time);
  const lines = [
    `The best ${Math.min(20, points.length)} of ${points.length}, by ${axes.map(({ path }) => escaped(path)).join(', ')}`,
  ];
  for (const { values, time } of sorted.slice(0, 20))
    lines.push(`${loss(time, best.time).padStart(8)}  ${values.map(shown).join('  ')}`.slice(0, 100));
  return lines;
}

function bestLines({ axes, best, flat, refined, baseTime }: Varied): string[] {
  const of = (values: readonly (number | string)[]) =>
    axes.map(({ path }, d) => `${path} ${values[d]}`).join(', ');
  const sentences = [
    `${of(best.values)}: ${clock(best.time)}, ${gained(baseTime - best.time)} the car as it stands.`,
  ];
  const lines = wrapped('Best:  ', sentences);
  if (refined !== null)
    lines.push(
      ...wrapped('Finer: ', [
        `${of(refined.values)}: ${gained(best.time - refined.time)} the best of the grid (compass search from there, ${refined.tried} more tried).`,
      ]),
    );
  for (const span of flat) lines.push(...wrapped('Flat:  ', [flatWords(span, axes, best.values)]));
  // Where a value matters and its best is the last that was tried, a better one may lie beyond.
  const edges = axes.filter(({ values }, d) => {
    const { openBelow, openAbove } = flat[d];
    return openBelow !== openAbove && (best.at[d] === 0 || best.at[d] === values.length - 1);
  });
  if (edges.length > 0)
    lines.push(
      ...wrapped('Edge:  ', [
        `the best has the last value of the grid in ${edges.map(({ path }) => escaped(path)).join(' and ')}; one beyond it may be better still: give a wider grid.`,
      ]),
    );
  return lines;
}

const gained = (x: number) =>
  Math.abs(x) < 0.005 ? 'as fast as' : `${Math.abs(x).toFixed(2)} s ${x > 0 ? 'faster' : 'slower'} than`;

function flatWords(
  { path, from, to, openBelow, openAbove }: Flat,
  axes: Varied['axes'],
  values: readonly (number | string)[],
): string {
  const { unit } = numberOf(values[axes.findIndex((axis) => axis.path === path)]);
  const tail = unit === '' ? '' : ` ${unit}`;
  const number = (x: number) => String(Number(x.toPrecision(4)));
  if (openBelow && openAbove) return `${path} costs less than ${UNNOTICED} s anywhere on the grid.`;
  if (openBelow)
    return `${path} up to ${number(to)}${tail} costs less than ${UNNOTICED} s; below the grid was not tried.`;
  if (openAbove)
    return `${path} from ${number(from)}${tail} on costs less than ${UNNOTICED} s; above the grid was not tried.`;
  return `${path} from ${number(from)} to ${number(to)}${tail} costs less than ${UNNOTICED} s.`;
}
