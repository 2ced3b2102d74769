/** Values moved over a grid, the best of them, how flat it is there, and a finer search round it. */
import { compassSearch } from './compass-search.ts';
import type { Evaluate, Outcome, SetUp } from './set-up.ts';
import { BASE } from './set-up.ts';
import type { Study } from './study.ts';
import { totalTime } from './totals.ts';

/** A value and what it is moved over. */
export interface Axis {
  readonly path: string;
  readonly values: readonly (number | string)[];
}

export interface Point {
  readonly at: readonly number[]; //            place on each axis
  readonly values: readonly (number | string)[];
  readonly time: number; //                     expected [s], Infinity where the car cannot finish
  readonly outcome: Outcome;
}

/** How far one value may be moved from the best before a stated time is lost, the others staying. */
export interface Flat {
  readonly path: string;
  readonly from: number; //   in the unit of the axis, between grid values by the straight line
  readonly to: number;
  readonly openBelow: boolean; // the grid ends before so much is lost
  readonly openAbove: boolean;
}

export interface Varied {
  readonly axes: readonly Axis[];
  readonly points: readonly Point[]; //  the last axis runs fastest
  readonly best: Point;
  readonly flat: readonly Flat[];
  readonly refined: {
    readonly values: readonly (number | string)[];
    readonly time: number;
    readonly tried: number;
  } | null;
  readonly baseTime: number; //          of the car as it stands [s]
}

/** Time that may be lost unnoticed [s]: less than what a driver repeats. Common practice, no source. */
export const UNNOTICED = 0.05;

export const gridSize = (axes: readonly Axis[]) => axes.reduce((n, { values }) => n * values.length, 1);

/** The set-ups of a grid, the last axis running fastest. */
export function gridSetUps(axes: readonly Axis[]): SetUp[] {
  return gridPlaces(axes).map((at) => setUpAt(axes, at));
}

function gridPlaces(axes: readonly Axis[]): number[][] {
  let places: number[][] = [[]];
  for (const { values } of axes) places = places.flatMap((at) => values.map((_, i) => [...at, i]));
  return places;
}

const setUpAt = (axes: readonly Axis[], at: readonly number[]): SetUp => ({
  ...BASE,
  settings: axes.map(({ path, values }, d) => [path, values[at[d]]] as const),
});

/**
 * Tries a grid and refines round its best.
 * @param fineness the finer search ends at this share of each axis's step; null: no finer search
 */
export async function vary(
  study: Study,
  evaluate: Evaluate,
  axes: readonly Axis[],
  fineness: number | null,
): Promise<Varied> {
  const places = gridPlaces(axes);
  const outcomes = await evaluate(places.map((at) => setUpAt(axes, at)));
  const points = places.map(
    (at, i): Point => ({
      at,
      values: at.map((k, d) => axes[d].values[k]),
      time: outcomes[i].fault === null ? totalTime(study, outcomes[i]) : Number.POSITIVE_INFINITY,
      outcome: outcomes[i],
    }),
  );
  let best = points[0];
  for (const point of points) if (point.time < best.time) best = point;
  const baseTime = totalTime(study, (await evaluate([BASE]))[0]);
  const flat = axes.map((axis, d) => flatness(axis, d, points, best));
  const refined =
    fineness === null || best.time === Number.POSITIVE_INFINITY
      ? null
      : await refine(study, evaluate, axes, best, fineness);
  return { axes, points, best, flat, refined, baseTime };
}

/** The number of a value as written, and its unit; NaN where it begins with none. */
export function numberOf(value: number | string): { readonly x: number; readonly unit: string } {
  if (typeof value === 'number') return { x: value, unit: '' };
  const found = /^\s*([-+]?[\d.]+(?:[eE][-+]?\d+)?)\s*(.*)$/.exec(value);
  return found === null ? { x: Number.NaN, unit: '' } : { x: Number(found[1]), unit: found[2].trim() };
}

const written = (x: number, unit: string): number | string => (unit === '' ? x : `${x} ${unit}`);

function flatness({ path, values }: Axis, d: number, points: readonly Point[], best: Point): Flat {
  const line = points.filter(({ at }) => at.every((k, other) => other === d || k === best.at[other]));
  const most = best.time + UNNOTICED;
  const x = values.map((value) => numberOf(value).x);
  const end = (step: 1 | -1): { at: number; open: boolean } => {
    let i = best.at[d];
    for (; line[i + step] !== undefined; i += step) {
      const [a, b] = [line[i].time, line[i + step].time];
      if (b <= most) continue;
      return {
        at: Number.isFinite(b) ? x[i] + ((most - a) / (b - a)) * (x[i + step] - x[i]) : x[i],
        open: false,
      };
    }
    return { at: x[i], open: true };
  };
  const below = end(-1);
  const above = end(1);
  return { path, from: below.at, to: above.at, openBelow: below.open, openAbove: above.open };
}

async function refine(
  study: Study,
  evaluate: Evaluate,
  axes: readonly Axis[],
  best: Point,
  fineness: number,
): Promise<Varied['refined']> {
  const moved = axes
    .map(({ values }, d) => ({ d, x: values.map((value) => numberOf(value).x) }))
    .filter(({ x }) => x.length > 1);
  const settingsAt = (at: readonly number[]): (readonly [string, number | string])[] =>
    axes.map(({ path, values }, d) => {
      const i = moved.findIndex((m) => m.d === d);
      const value = best.values[d];
      return [
        path,
        i === -1 ? value : written(Number(at[i].toPrecision(12)), numberOf(values[0]).unit),
      ] as const;
    });
  const found = await compassSearch({
    start: moved.map(({ d, x }) => x[best.at[d]]),
    value: best.time,
    step: moved.map(({ x }) => (x.at(-1)! - x[0]) / (x.length - 1) / 2),
    least: moved.map(({ x }) => Math.min(...x)),
    most: moved.map(({ x }) => Math.max(...x)),
    halvings: Math.max(0, Math.ceil(Math.log2(0.5 / fineness))),
    evaluate: async (points) =>
      (await evaluate(points.map((at) => ({ ...BASE, settings: settingsAt(at) })))).map((outcome) =>
        outcome.fault === null ? totalTime(study, outcome) : Number.POSITIVE_INFINITY,
      ),
  });
  return { values: settingsAt(found.at).map(([, value]) => value), time: found.value, tried: found.tried };
}
