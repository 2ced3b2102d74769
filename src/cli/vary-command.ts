/** `splitcast vary`: values moved over a grid. */
import { escaped } from '../input/render-diagnostic.ts';
import { varyChart } from '../report/vary-chart.ts';
import { varyData, varyRows } from '../report/vary-data.ts';
import { varyText } from '../report/vary-text.ts';
import { gridOf } from '../study/read-changes.ts';
import { BASE } from '../study/set-up.ts';
import type { Study } from '../study/study.ts';
import { parsePath, pathText, valueAt } from '../study/value-path.ts';
import { type Axis, gridSetUps, gridSize, vary } from '../study/vary.ts';
import { INPUT_FAULT, type Io } from './io.ts';
import { FlagError, runStudy, type StudyFlags, writeOut } from './study-run.ts';

export interface VaryFlags extends StudyFlags {
  readonly over: readonly string[];
  readonly fineness: string;
  readonly coarse?: true;
  readonly json?: true;
  readonly csv?: string;
  readonly chart?: string;
}

// A grid that a few cores work through within a day. No source.
const MOST_POINTS = 1_000_000;

export async function varyCommand(path: string, flags: VaryFlags, io: Io): Promise<number> {
  let axes: Axis[];
  let fineness: number | null;
  try {
    axes = flags.over.map(axisFrom);
    const twice = axes.find((axis, i) => axes.slice(0, i).some((before) => before.path === axis.path));
    if (twice !== undefined) throw new FlagError(`--over ${twice.path}: is given twice`);
    if (gridSize(axes) > MOST_POINTS)
      throw new FlagError(`--over: the grid has ${gridSize(axes)} points, at most ${MOST_POINTS} are tried`);
    if (flags.chart !== undefined && axes.length > 2)
      throw new FlagError(`--chart ${flags.chart}: one or two values can be drawn, got ${axes.length}`);
    fineness = flags.coarse ? null : finenessFrom(flags.fineness);
  } catch (error) {
    if (!(error instanceof FlagError)) throw error;
    io.err(`${error.message}\n`);
    return INPUT_FAULT;
  }
  return await runStudy(
    path,
    flags,
    (study) => {
      checkEnds(study, axes);
      return {
        name: `vary over ${JSON.stringify(axes.map(({ path: over, values }) => [over, values]))}`,
        plan: () => [...gridSetUps(axes), BASE],
        run: async (_, evaluate) => {
          const varied = await vary(study, evaluate, axes, fineness);
          if (flags.csv !== undefined) writeOut(flags.csv, varyRows(study, varied));
          if (flags.chart !== undefined) writeOut(flags.chart, [await varyChart(study, varied)]);
          return flags.json
            ? `${JSON.stringify(varyData(study, varied), null, 2)}\n`
            : varyText(study, varied);
        },
      };
    },
    io,
  );
}

function finenessFrom(text: string): number {
  const x = Number(text);
  if (text.trim() !== '' && x > 0 && x <= 0.5) return x;
  throw new FlagError(`--fineness ${text}: expected a share of the step, over 0 and at most 0.5`);
}

const number = (text: string): number | string => {
  const plain = text.trim();
  return plain !== '' && Number.isFinite(Number(plain)) ? Number(plain) : plain;
};

/** `PATH=from..to/step`, or `PATH=a,b,c`. @throws FlagError */
function axisFrom(text: string): Axis {
  const help =
    'help: write PATH=from..to/step, such as driveline.final_drive=4.2..5.0/0.1 or\n' +
    '      mass=1300kg..1400kg/20kg, or single values, PATH=4.1,4.3,4.6';
  const no = (what: string) => new FlagError(`--over ${text}: ${what}\n${help}`);
  const at = text.lastIndexOf('=');
  const path = at === -1 ? null : parsePath(text.slice(0, at));
  if (path === null)
    throw no(at === -1 ? 'there is no `=`' : 'what stands before the `=` is no path to a value');
  const given = text.slice(at + 1);
  const range = /^(.+?)\.\.(.+?)\/(.+)$/.exec(given);
  if (range === null) {
    const values = given.split(',').map(number);
    if (given.includes('..') || values.some((value) => !/^[-+.\d]/.test(String(value))))
      throw no('what stands after the `=` is no range and no list of numbers');
    return { path: pathText(path), values };
  }
  const values = gridOf(...(range.slice(1, 4).map(number) as [unknown, unknown, unknown]));
  if (typeof values === 'string') throw no(`it ${values}`);
  return { path: pathText(path), values };
}

/**
 * Refuses what no car can have, at either end of each axis, and the grip on a surface that the car does not know: it
 * finishes without that. @throws InputError, FlagError
 */
function checkEnds(study: Study, axes: readonly Axis[]): void {
  for (const { path, values } of axes) {
    const gripPath = (parsePath(path) ?? []).slice(0, 3);
    if (
      pathText(gripPath).startsWith('tyre.grip.') &&
      valueAt(study.event.car.data, gripPath) === undefined
    ) {
      const surfaces = [...study.car(BASE).tyre.grip.keys()];
      throw new FlagError(
        `--over ${path}: the car has no grip for ${gripPath[2]}\nhelp: it has ${surfaces.map(escaped).join(', ')}`,
      );
    }
    for (const value of [values[0], values.at(-1)!]) {
      const setUp = { ...BASE, settings: [[path, value] as const] };
      study.car(setUp);
      study.coursesOf(setUp);
    }
  }
}
