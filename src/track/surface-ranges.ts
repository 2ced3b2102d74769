/** Stretches of a stage whose surface, grip or roughness its stage file gives in place of its road table. */
import type * as z from 'zod';
import type { Faults } from '../input/faults.ts';
import { fault, list, quantity, section, text } from '../input/fields.ts';
import type { YamlFile } from '../input/yaml-file.ts';
import type { RoadTable } from './road-table.ts';
import type { Roughness } from './stage.ts';
import { gripFactor, roughness } from './surface-fields.ts';

/** One stretch; what it leaves out stays as the road table or `surfaces` has it. */
export interface SurfaceRange {
  readonly from: number; //                   [m] from the first row
  readonly to: number; //                     [m]; Infinity: to the finish
  readonly surface: string | undefined;
  readonly grip: number | undefined; //       factor on the tyre's grip [–]
  readonly roughness: Roughness | undefined; // ISO 8608 class
}

/** A surface as it lies somewhere on the road: by its name alone, or with a stretch's own grip or roughness. */
export interface LaidSurface {
  readonly surface: string;
  readonly grip?: number | undefined;
  readonly roughness?: Roughness | undefined;
}

const EXAMPLE = '{from: 1.2 km, to: 1.8 km, surface: mud, grip: 0.9}';

const range = section(
  {
    from: quantity('length', { min: 0, example: '1.2 km' }).optional(),
    to: quantity('length', { above: 0, example: '1.8 km' }).optional(),
    surface: text('the name of a surface', 'gravel').optional(),
    grip: gripFactor.optional(),
    roughness: roughness.optional(),
  },
  'from, to and what changes there',
  EXAMPLE,
).transform((read, ctx): SurfaceRange => {
  const { from = 0, to = Number.POSITIVE_INFINITY } = read;
  if (!(to > from)) {
    return fault(
      ctx,
      'stage/ranges',
      () => ({
        message: `the range ends at ${km(to)}, which is not beyond its start at ${km(from)}`,
        help: 'distances count from the start line in the direction of travel',
      }),
      ['to'],
    );
  }
  if (read.surface === undefined && read.grip === undefined && read.roughness === undefined) {
    return fault(ctx, 'stage/ranges', () => ({
      message: 'the range says nothing of the road: expected surface, grip or roughness beside from and to',
      help: `write, for example, \`${EXAMPLE}\``,
    }));
  }
  return { from, to, surface: read.surface, grip: read.grip, roughness: read.roughness };
});

/** The key `ranges` of a stage file. */
export const ranges: z.ZodType<SurfaceRange[]> = list(range, 'a list of ranges', `[${EXAMPLE}]`);

/** A road, and what each of its surface names stands for. */
export interface LaidRoad {
  readonly road: RoadTable;
  readonly laid: ReadonlyMap<string, LaidSurface>;
}

/** What lies where a range is laid over a surface: another surface brings nothing of the one below with it. */
function laidOver(below: LaidSurface, range: SurfaceRange | undefined): LaidSurface {
  if (range === undefined) return below;
  const { surface, grip, roughness: unevenness } = range;
  if (surface !== undefined) return { surface, grip, roughness: unevenness };
  return { ...below, grip: grip ?? below.grip, roughness: unevenness ?? below.roughness };
}

/** Ends closer to a row, to each other or to the finish than this are one place [m]. */
const NEAR = 1e-6;
/** The road's nodes hold a surface in one byte. */
const MOST_SURFACES = 250;

/**
 * Lays the ranges over a road.
 * @param road with what its surface names stand for, and whether its table names surfaces at all; if not, the ranges
 * must name one everywhere
 * @returns the road with a row at each end of a range, and what each of its surface names stands for; null where the
 * ranges overlap, leave a gap they may not leave, or do not lie on the road (all reported)
 */
export function layRanges(
  { road, laid: standing, hasSurfaces }: LaidRoad & { readonly hasSurfaces: boolean },
  given: readonly SurfaceRange[],
  yaml: YamlFile,
  faults: Faults,
): LaidRoad | null {
  const end = road.s[road.s.length - 1];
  const before = faults.errors;
  const order = given.map((_, i) => i).sort((a, b) => given[a].from - given[b].from || a - b);
  checkEnds(end, given, yaml, faults);
  checkOverlaps(given, order, yaml, faults);
  if (!hasSurfaces && faults.errors === before) checkGaps(end, given, order, yaml, faults);
  if (faults.errors > before) return null;

  const cuts = order.flatMap((i) => [given[i].from, given[i].to]).filter((at) => at < end - NEAR);
  const cut = withRowsAt(road, cuts);
  const rows = cut.s.length;
  const surface = new Int32Array(rows);
  const laid = new Map<string, LaidSurface>();
  const index = new Map<string, number>();
  let next = 0;
  for (let i = 0; i < rows; i++) {
    const s = Math.min(cut.s[i], end - 2 * NEAR); // the last row goes with the stretch before it
    while (next < order.length && given[order[next]].to <= s + NEAR) next++;
    const here = next < order.length ? given[order[next]] : undefined;
    const within = here !== undefined && here.from <= s + NEAR ? here : undefined;
    const base = standing.get(cut.surfaceNames[cut.surface[i]])!;
    const as = laidOver(base, within);
    const name = laidName(as);
    if (!index.has(name)) {
      index.set(name, laid.size);
      laid.set(name, as);
    }
    surface[i] = index.get(name)!;
  }
  if (laid.size > MOST_SURFACES) {
    faults.error(
      'stage/ranges',
      yaml.place(['ranges'], 'key'),
      `the ranges make ${laid.size} different surfaces, expected at most ${MOST_SURFACES}`,
      'use the same few values of grip in ranges that are alike',
    );
    return null;
  }
  return { road: { ...cut, surface, surfaceNames: [...laid.keys()] }, laid };
}

/** How much of the road the ranges cover, in a sentence. */
export function rangeAssumption(given: readonly SurfaceRange[], end: number): string[] {
  if (given.length === 0) return [];
  const metres = given.reduce((sum, { from, to }) => sum + Math.min(to, end) - from, 0);
  const count = given.length === 1 ? 'One range' : `${given.length} ranges`;
  return [
    `${count} of the stage file, ${(metres / 1000).toFixed(2)} km in all, stand${given.length === 1 ? 's' : ''} over the surface of the road table.`,
  ];
}

/** A laid surface as the output names it: `gravel`, or `gravel (grip 0.8, roughness E)`. */
export function laidName({ surface, grip, roughness: unevenness }: LaidSurface): string {
  const own = [
    grip === undefined ? null : `grip ${grip}`,
    unevenness === undefined ? null : `roughness ${unevenness}`,
  ].filter((part) => part !== null);
  return own.length === 0 ? surface : `${surface} (${own.join(', ')})`;
}

function checkEnds(end: number, given: readonly SurfaceRange[], yaml: YamlFile, faults: Faults): void {
  for (const [i, { from, to }] of given.entries()) {
    const [key, at] = from >= end - NEAR ? (['from', from] as const) : (['to', to] as const);
    if (at === Number.POSITIVE_INFINITY || at <= end + NEAR) continue;
    faults.error(
      'stage/ranges',
      yaml.place(['ranges', i, key]),
      `the range ${key === 'from' ? 'begins' : 'ends'} at ${km(at)}, beyond the finish: the road is ${km(end)} long`,
      key === 'from'
        ? 'distances count from the start line; is the unit right?'
        : 'leave `to` out for a range up to the finish',
    );
  }
}

function checkOverlaps(
  given: readonly SurfaceRange[],
  order: readonly number[],
  yaml: YamlFile,
  faults: Faults,
): void {
  let last = order[0];
  for (const i of order.slice(1)) {
    if (given[i].from < given[last].to - NEAR) {
      for (const [one, other] of [
        [last, i],
        [i, last],
      ]) {
        faults.error(
          'stage/range-overlap',
          yaml.place(['ranges', one]),
          `item ${one + 1} of ranges, ${stretch(given[one])}, overlaps item ${other + 1}, ${stretch(given[other])}`,
          'let one end where the other begins',
        );
      }
    }
    if (given[i].to > given[last].to) last = i;
  }
}

function checkGaps(
  end: number,
  given: readonly SurfaceRange[],
  order: readonly number[],
  yaml: YamlFile,
  faults: Faults,
): void {
  const refuse = (from: number, to: number, before: number | null) =>
    faults.error(
      'stage/range-gap',
      before === null ? yaml.place(['ranges'], 'key') : yaml.place(['ranges', before]),
      `no range names the surface from ${km(from)} to ${km(to)}, and the road table has no column surface`,
      `add \`{from: ${km(from)}, to: ${km(to)}, surface: gravel}\` to ranges, or a column surface to the road table`,
    );
  let reached = 0;
  for (const i of order) {
    if (given[i].surface === undefined) continue;
    if (given[i].from > reached + NEAR) refuse(reached, given[i].from, i);
    reached = given[i].to;
  }
  if (reached < end - NEAR) refuse(reached, end, null);
}

/** The road with a row at each of the stations, which rise; values between rows as the road has them. */
function withRowsAt(road: RoadTable, stations: readonly number[]): RoadTable {
  const source: number[] = []; // row to copy, or whose stretch to divide
  const share: number[] = []; // how far along that stretch
  let j = 0;
  const upTo = (limit: number, row: number) => {
    for (; j < stations.length && stations[j] < limit; j++) {
      const [from, to] = [road.s[row], road.s[row + 1]];
      if (stations[j] < from + NEAR || stations[j] > to - NEAR) continue;
      const f = (stations[j] - from) / (to - from);
      if (source.at(-1) === row && share.at(-1) === f) continue; // where one range ends another may begin
      source.push(row);
      share.push(f);
    }
  };
  for (let row = 0; row < road.s.length; row++) {
    source.push(row);
    share.push(0);
    if (row + 1 < road.s.length) upTo(road.s[row + 1], row);
  }
  const column = (values: Float64Array) =>
    Float64Array.from(source, (row, i) =>
      share[i] === 0 ? values[row] : values[row] + share[i] * (values[row + 1] - values[row]),
    );
  const optional = (values: Float64Array | null) => (values === null ? null : column(values));
  return {
    ...road,
    s: column(road.s),
    curvature: column(road.curvature),
    grade: column(road.grade),
    crossfall: column(road.crossfall),
    verticalCurvature: optional(road.verticalCurvature),
    surface: Int32Array.from(source, (row) => road.surface[row]),
    xy: road.xy === null ? null : { x: column(road.xy.x), y: column(road.xy.y) },
    z: optional(road.z),
    width: optional(road.width),
  };
}

const km = (metres: number) =>
  metres === Number.POSITIVE_INFINITY ? 'the finish' : `${Number((metres / 1000).toFixed(6))} km`;
const stretch = ({ from, to }: SurfaceRange) => `${km(from)} to ${km(to)}`;
