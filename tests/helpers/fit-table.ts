/** The cases and the rows of the table "The fit of a road" in docs/validation.md. */
import { readCar } from '../../src/index.ts';
import { DRAWS } from '../../src/study/road-spread.ts';
import { quantile } from '../../src/track/survey/median.ts';
import { type FitCase, type FitErrors, fitErrors } from './fit-accuracy.ts';

/** Not those that the method was tried on (1 to 212, 301 to 312, 601 to 712). */
export const SEEDS = Array.from({ length: 12 }, (_, i) => 801 + i);

const white = { correlation: 0, offset: 0, passes: 1 };
const grid = [1, 5, 10].flatMap((spacing) =>
  [0, 0.5, 1, 3].map((noise): FitCase => ({ ...white, spacing, noise })),
);
/** Noise that hangs together over 30 m, as a receiver's does. */
const wander = [1, 5, 10].map((spacing): FitCase => ({ ...white, spacing, noise: 1, correlation: 30 }));
/** Three passes, each moved by about 1 m in x and in y. */
const three = [
  [1, 0.5],
  [5, 1],
  [5, 3],
  [10, 1],
].map(([spacing, noise]): FitCase => ({ ...white, spacing, noise, passes: 3, offset: 1 }));

export const FIT_CASES: readonly FitCase[] = [...grid, ...wander, ...three];

const heads = [
  'spacing [m]',
  'noise [m]',
  'kind',
  'passes',
  'time: median error',
  'worst',
  'mean',
  'length: median',
  'worst',
  'hairpin curvature',
  'spread holds',
  'spread: median',
  'refused',
];
const line = (cells: readonly string[]) => `| ${cells.join(' | ')} |\n`;
export const head = line(heads) + line(heads.map((name) => (name === 'kind' ? '---' : '--:')));

const percent = (share: number, sign = false) =>
  Number.isFinite(share) ? `${sign && share > 0 ? '+' : ''}${(100 * share).toFixed(2)} %` : '–';

/** One row of the table, with its line end left out. */
export function rowOf(k: number): string {
  const how = FIT_CASES[k];
  const car = readCar('stages/tarvenmoor/car.yaml');
  const all = SEEDS.map((seed) => fitErrors(car, how, seed, DRAWS));
  const column = (pick: (errors: FitErrors) => number) => Float64Array.from(all, pick);
  const size = (pick: (errors: FitErrors) => number) => column(pick).map(Math.abs);
  const time = size((e) => e.time);
  const length = size((e) => e.length);
  return line([
    String(how.spacing),
    String(how.noise),
    how.correlation > 0 ? `over ${how.correlation} m` : 'white',
    String(how.passes),
    percent(quantile(time, 0.5)),
    percent(quantile(time, 1)),
    percent(column((e) => e.time).reduce((sum, e) => sum + e, 0) / all.length, true),
    percent(quantile(length, 0.5)),
    percent(quantile(length, 1)),
    percent(
      quantile(
        column((e) => e.hairpins),
        0.5,
      ),
      true,
    ),
    `${all.filter((e) => e.low <= 0 && e.high >= 0).length} of ${all.length}`,
    `${percent(
      quantile(
        column((e) => e.low),
        0.5,
      ),
      true,
    )} to ${percent(
      quantile(
        column((e) => e.high),
        0.5,
      ),
      true,
    )}`,
    `${all.filter((e) => e.refused).length} of ${all.length}`,
  ]).trimEnd();
}
