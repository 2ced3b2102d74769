/** What gears could give if every ratio were to be had: the bound on what a gear set from real wheels may reach. */
import { compassSearch } from './compass-search.ts';
import type { Evaluate, SetUp } from './set-up.ts';
import type { Study } from './study.ts';
import { totalTime } from './totals.ts';
import { pathText } from './value-path.ts';

export interface FreeRatios {
  readonly gears: readonly number[]; // with the final drive of the set-up
  readonly finalDrive: number;
  readonly gain: number; //             over the set-up [s]
  readonly tried: number;
}

/** First step of the search as a share of each ratio, and how often it is halved. */
const STEP = 0.04;
const HALVINGS = 3;
/** Farthest that a ratio may go from the set-up's, as a factor. No source. */
const FARTHEST = 2;

/** Whether the event's changes or ranges touch the gears at all. */
export function asksForGears(study: Study): boolean {
  const { changes, settings } = study.event.changes ?? { changes: [], settings: [] };
  const names = [
    ...changes.flatMap(({ edits }) => edits.map(({ path }) => pathText(path))),
    ...settings.map(({ name }) => name),
  ];
  return names.some((name) => /^driveline\.(gears|final_drive)/.test(name));
}

/** @returns null where the car of the set-up has no gear ratios */
export async function freeRatios(study: Study, evaluate: Evaluate, setUp: SetUp): Promise<FreeRatios | null> {
  const { ratios } = study.car(setUp).driveline;
  if (ratios === null) return null;
  const { gears, finalDrive } = ratios;
  const settingsAt = (at: readonly number[]) =>
    at.map((ratio, g) => [`driveline.gears[${g + 1}]`, Number(ratio.toPrecision(10))] as const);
  const timesOf = async (points: readonly (readonly number[])[]) =>
    (
      await evaluate(points.map((at) => ({ ...setUp, settings: [...setUp.settings, ...settingsAt(at)] })))
    ).map((outcome) => (outcome.fault === null ? totalTime(study, outcome) : Number.POSITIVE_INFINITY));
  const [value] = (await evaluate([setUp])).map((outcome) => totalTime(study, outcome));
  const found = await compassSearch({
    start: gears,
    value,
    step: gears.map((ratio) => STEP * ratio),
    least: gears.map((ratio) => ratio / FARTHEST),
    most: gears.map((ratio) => ratio * FARTHEST),
    halvings: HALVINGS,
    evaluate: timesOf,
  });
  return { gears: found.at, finalDrive, gain: value - found.value, tried: found.tried };
}
