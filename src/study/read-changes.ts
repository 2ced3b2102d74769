/** A file of changes that could be made to a car, and of settings that could be moved. */
import * as z from 'zod';
import type { Place } from '../input/diagnostic.ts';
import type { Faults } from '../input/faults.ts';
import {
  either,
  fault,
  isSection,
  list,
  named,
  plain,
  quantity,
  section,
  shown,
  text,
} from '../input/fields.ts';
import type { FileAccess } from '../input/file-access.ts';
import { anyQuantity } from '../input/quantity.ts';
import { readKeys } from '../input/report-issues.ts';
import { readYaml, type YamlFile } from '../input/yaml-file.ts';
import { isArithmetic, workOut } from './arithmetic.ts';
import type { Edit } from './edit.ts';
import { parsePath, pathText, type ValuePath } from './value-path.ts';

/** One change that can be made or left. */
export interface Change {
  readonly name: string;
  readonly group: string | null; //      of the changes of one group, at most one can be made
  readonly car: string | null; //        a whole car file that takes the place of the event's
  readonly edits: readonly Edit[];
  readonly takes: ReadonlyMap<string, number>; // what it counts against limits: cost, hours, points
  readonly assumption: string | null;
  readonly place: Place;
}

/** A value that can be moved over steps, or several that move together. */
export interface Setting {
  /** The path of the value, or, where several move together, a name of the writer's choice. */
  readonly name: string;
  /** What each option sets, where several values move together; then `options` counts from 1. Else null. */
  readonly steps: readonly (readonly Edit[])[] | null;
  readonly options: readonly (number | string)[]; // as they would be written, in order
  readonly labels: readonly string[]; //             for people
  readonly place: Place;
}

export interface Changes {
  readonly file: string;
  readonly changes: readonly Change[];
  readonly settings: readonly Setting[];
}

// More is no list that people write by hand. Common practice, no source.
const MOST_CHANGES = 200;
// Common practice, no source: a finer grid than this is a slip in the step.
const MOST_OPTIONS = 1000;

const anything = z.unknown();
const byPath = named(anything, 'values by their path', '{driveline.final_drive: 4.3}');

const volume = (example: string) => quantity('volume', { above: 0, max: 30_000, example });

const change = section(
  {
    change: text('the name of the change', 'Long final drive'),
    group: text('the name of a group', 'final drive').optional(),
    car: text("a whole car's file", 'car-gravel.yaml').optional(),
    set: byPath.optional(),
    add: named(anything, 'amounts by path', '{mass: -12 kg}').optional(),
    scale: named(anything, 'factors by path', '{air.drag_area: 0.97}').optional(),
    displacement: section(
      { from: volume('1600 cm^3'), to: volume('1720 cm^3') },
      'from and to',
      '{from: 1600 cm^3, to: 1720 cm^3}',
    ).optional(),
    takes: named(
      plain('an amount', { min: 0, max: 1e9, example: '850' }),
      'amounts that count against limits',
      '{cost: 850, hours: 3}',
    ).optional(),
  },
  'change and what it does',
  '{change: Long final drive, set: {driveline.final_drive: 4.3}}',
);

const whole = (what: string, example: string) =>
  z.unknown().transform((value, ctx): number => {
    if (typeof value === 'number' && Number.isInteger(value) && value >= 1 && value <= 500) return value;
    return fault(ctx, 'value/range', (key, write) => ({
      message: `${key} is ${shown(value)}, expected ${what}, a whole number from 1 to 500`,
      help: `write, for example, ${write(example)}`,
    }));
  });

type RangeEntry =
  | { readonly from?: unknown; readonly to?: unknown; readonly step?: unknown }
  | { readonly values: readonly unknown[] }
  | { readonly steps: readonly ReadonlyMap<string, unknown>[] }
  | { readonly teeth: { readonly driving: readonly number[]; readonly driven: readonly number[] } };

const fromTo = section(
  { from: anything.optional(), to: anything.optional(), step: anything.optional() },
  'from, to and step',
  '{from: 4.2, to: 5.0, step: 0.1}',
);
const listed = section(
  { values: list(anything, 'a list of values', '[4.1, 4.3, 4.6]') },
  'values',
  '{values: [4.1, 4.3, 4.6]}',
);
const stepped = section(
  { steps: list(byPath, 'a list of steps', '[{air.downforce_area: 0.2 m^2, air.drag_area: 0.76 m^2}]') },
  'steps',
  '{steps: [{air.downforce_area: 0.2 m^2, air.drag_area: 0.76 m^2}]}',
);
const toothed = section(
  {
    teeth: section(
      {
        driving: list(whole('a number of teeth', '9'), 'a list of teeth counts', '[8, 9]'),
        driven: list(whole('a number of teeth', '41'), 'a list of teeth counts', '[37, 41]'),
      },
      'driving and driven',
      '{driving: [8, 9], driven: [37, 41]}',
    ),
  },
  'teeth',
  '{teeth: {driving: [8, 9], driven: [37, 41]}}',
);
const range = either<RangeEntry>((value) => {
  if (isSection(value) && 'values' in value) return listed;
  if (isSection(value) && 'steps' in value) return stepped;
  return isSection(value) && 'teeth' in value ? toothed : fromTo;
});

const shape = {
  changes: list(
    change,
    'a list of changes',
    '[{change: Long final drive, set: {driveline.final_drive: 4.3}}]',
  ).optional(),
  ranges: named(
    range,
    'ranges by path',
    '{driveline.final_drive: {from: 4.2, to: 5.0, step: 0.1}}',
  ).optional(),
};

/** Reads a file of changes. @returns null where it has errors; all are reported */
export function readChanges(
  path: string,
  files: FileAccess,
  faults: Faults,
  namedAt: Place | null,
): Changes | null {
  const yaml = readYaml(path, files, faults, namedAt);
  if (yaml === null) return null;
  const before = faults.errors;
  const read = readKeys(yaml, shape, faults);
  const given = read.changes ?? [];
  if (given.length > MOST_CHANGES)
    faults.error(
      'change/many',
      yaml.place(['changes'], 'key'),
      `there are ${given.length} changes, at most ${MOST_CHANGES} are read`,
      'a value that is moved over many steps is one range: see `ranges` in docs/study.md',
    );
  const changes = given.slice(0, MOST_CHANGES).map((entry, i) => changeFrom(entry, i, yaml, faults));
  checkNames(changes, faults);
  const settings: Setting[] = [];
  for (const [name, entry] of read.ranges ?? []) {
    const setting = settingFrom(name, entry, yaml, faults);
    if (setting !== null) settings.push(setting);
  }
  checkMovedTwice(changes, settings, faults);
  if (faults.errors === before && changes.length === 0 && settings.length === 0)
    faults.error(
      'change/none',
      yaml.place([], 'key'),
      'the file has neither changes nor ranges',
      'write `changes:` with a list of changes; docs/study.md shows a whole file',
    );
  return faults.errors > before ? null : { file: path, changes, settings };
}

type Entry = z.output<typeof change>;

function changeFrom(entry: Entry, i: number, yaml: YamlFile, faults: Faults): Change {
  const place = yaml.place(['changes', i, 'change']);
  const edits: Edit[] = [];
  for (const op of ['set', 'add', 'scale'] as const) {
    for (const [name, value] of entry[op] ?? []) {
      const path = readPath(name, yaml.place(['changes', i, op, name], 'key'), faults);
      if (path === null) continue;
      edits.push({
        op,
        path,
        value,
        place: (within, part) => yaml.place(['changes', i, op, name, ...within], part),
      });
    }
  }
  let assumption: string | null = null;
  if (entry.displacement) {
    const { from, to } = entry.displacement;
    const factor = Number((to / from).toPrecision(15));
    edits.push({
      op: 'scale',
      path: ['engine', 'torque'],
      value: factor,
      place: (_, part) => yaml.place(['changes', i, 'displacement'], part),
    });
    assumption = `${entry.change}: torque goes with the displacement (x ${factor.toFixed(3)}) at every speed, the mean effective pressure staying as it is.`;
  }
  if (
    edits.length === 0 &&
    entry.car === undefined &&
    entry.set === undefined &&
    entry.add === undefined &&
    entry.scale === undefined
  )
    faults.error(
      'change/nothing',
      place,
      `${shown(entry.change)} changes nothing`,
      'write set, add, scale, displacement or car with it, such as `set: {driveline.final_drive: 4.3}`',
    );
  return {
    name: entry.change,
    group: entry.group ?? null,
    car: entry.car ?? null,
    edits,
    takes: entry.takes ?? new Map(),
    assumption,
    place,
  };
}

/** Reads a path where a file gives it; a text that is none is reported. */
export function readPath(name: string, place: Place, faults: Faults): ValuePath | null {
  const path = parsePath(name);
  if (path === null)
    faults.error(
      'change/path',
      place,
      `\`${shown(name)}\` is no path to a value`,
      'write keys with points between them, places in a list in brackets, counted from 1: `driveline.gears[2]`',
    );
  return path;
}

/** Whether two changes can be made together. */
export const compatible = (a: Change, b: Change): boolean => a.group === null || a.group !== b.group;

function checkNames(changes: readonly Change[], faults: Faults): void {
  const seen = new Map<string, Change>();
  for (const change of changes) {
    const before = seen.get(change.name);
    if (before !== undefined)
      faults.error(
        'change/twice',
        change.place,
        `the name ${shown(change.name)} is taken by the change in line ${before.place.line}`,
        'give each change a name of its own',
      );
    seen.set(change.name, change);
  }
  for (const [i, a] of changes.entries()) {
    for (const b of changes.slice(0, i)) {
      if (!compatible(a, b)) continue;
      if (a.car !== null && b.car !== null)
        faults.error(
          'change/group',
          a.place,
          `${shown(a.name)} and ${shown(b.name)} are both whole cars, but not of one group`,
          'give both the same `group:`, since one excludes the other',
        );
      for (const edit of a.edits) {
        if (edit.op !== 'set') continue;
        const other = b.edits.find((e) => e.op === 'set' && pathText(e.path) === pathText(edit.path));
        if (other === undefined) continue;
        faults.error(
          'change/group',
          edit.place([], 'key'),
          `${shown(b.name)} sets ${pathText(edit.path)} too, but is not of the same group`,
          'give both the same `group:`, since one excludes the other',
        );
      }
    }
  }
}

function settingFrom(name: string, entry: RangeEntry, yaml: YamlFile, faults: Faults): Setting | null {
  const at = (...within: (string | number)[]) => yaml.place(['ranges', name, ...within]);
  const place = yaml.place(['ranges', name], 'key');
  if ('steps' in entry) {
    const steps = entry.steps.map((step, k) =>
      [...step].flatMap(([text, value]): Edit[] => {
        const here = ['ranges', name, 'steps', k, text];
        const path = readPath(text, yaml.place(here, 'key'), faults);
        if (path === null) return [];
        const place: Edit['place'] = (within, part) => yaml.place([...here, ...within], part);
        return [{ op: 'set', path, value, place }];
      }),
    );
    const options = steps.map((_, k) => k + 1);
    return { name, steps, options, labels: options.map((k) => `step ${k} of ${steps.length}`), place };
  }
  const path = readPath(name, place, faults);
  if (path === null) return null;
  const setting = { name: pathText(path), steps: null, place };
  if ('teeth' in entry) {
    const pairs = entry.teeth.driving.flatMap((a) => entry.teeth.driven.map((b) => ({ a, b })));
    pairs.sort((x, y) => x.b / x.a - y.b / y.a || x.a - y.a);
    const each = pairs.filter(({ a, b }, i) => i === 0 || b / a !== pairs[i - 1].b / pairs[i - 1].a);
    return {
      ...setting,
      options: each.map(({ a, b }) => b / a),
      labels: each.map(({ a, b }) => `${b}/${a}`),
    };
  }
  if ('values' in entry) {
    for (const [i, value] of entry.values.entries()) {
      if (typeof value === 'number' || typeof value === 'string') continue;
      faults.error(
        'range/values',
        at('values', i),
        `a value of the range of ${name} is ${shown(value)}; expected a number or a quantity`,
        'whole sections are exchanged by changes of one group',
      );
      return null;
    }
    const labels = (entry.values as (number | string)[]).map(String);
    const options: (number | string)[] = [];
    for (const [i, value] of (entry.values as (number | string)[]).entries()) {
      const result = isArithmetic(value) ? workOut(value, undefined) : ({ ok: true, value } as const);
      if (!result.ok) {
        faults.error(
          'change/arithmetic',
          at('values', i),
          `a value of the range of ${name} is \`${shown(value)}\`, where ${result.fault}`,
          'write, for example, `= 41 / 9`',
        );
        return null;
      }
      options.push(result.value);
    }
    return { ...setting, options, labels };
  }
  const options = gridOf(entry.from, entry.to, entry.step);
  if (typeof options === 'string') {
    faults.error(
      'range/steps',
      place,
      `the range of ${name} ${options}`,
      'write all three in one kind of unit, such as `{from: 4.2, to: 5.0, step: 0.1}` or `{from: 9 kN, to: 17 kN, step: 1 kN}`',
    );
    return null;
  }
  return { ...setting, options, labels: options.map(String) };
}

/** What a range moves and a change sets would be set twice. */
function checkMovedTwice(changes: readonly Change[], settings: readonly Setting[], faults: Faults): void {
  for (const setting of settings) {
    const paths = setting.steps?.[0].map(({ path }) => pathText(path)) ?? [setting.name];
    for (const { name, edits } of changes) {
      const edit = edits.find(({ op, path }) => op === 'set' && paths.includes(pathText(path)));
      if (edit === undefined) continue;
      faults.error(
        'range/twice',
        setting.place,
        `the range moves ${pathText(edit.path)}, which the change ${shown(name)} sets in line ${edit.place([], 'key').line}`,
        'keep one of the two; a change of a value with a price of its own belongs below `changes:`',
      );
    }
  }
}

/**
 * The values from one to another by steps, each as it would be written, in the unit of the first.
 * @returns or what is wrong, a clause that follows "the range of …"
 */
export function gridOf(from: unknown, to: unknown, step: unknown): readonly (number | string)[] | string {
  const read = [from, to, step].map((value) => {
    if (typeof value === 'number' && Number.isFinite(value))
      return { value, unit: '', dimensions: '', si: value };
    return typeof value === 'string' ? anyQuantity(value) : null;
  });
  const names = ['from', 'to', 'step'];
  const wrong = read.indexOf(null);
  if (wrong !== -1) {
    const value = [from, to, step][wrong];
    return value === undefined || value === null
      ? `has no \`${names[wrong]}\``
      : `has \`${names[wrong]}: ${shown(value)}\`, which is neither a number nor a quantity`;
  }
  const [a, b, s] = read as { value: number; unit: string; dimensions: string; si: number }[];
  if (a.dimensions !== b.dimensions || a.dimensions !== s.dimensions)
    return 'mixes kinds of units, or numbers with and without one';
  const zero = a.unit === '' ? 0 : anyQuantity(`0 ${a.unit}`)!.si;
  const one = a.unit === '' ? 1 : anyQuantity(`1 ${a.unit}`)!.si - zero;
  const end = a.unit === b.unit ? b.value : (b.si - zero) / one;
  const stepZero = s.unit === '' ? 0 : anyQuantity(`0 ${s.unit}`)!.si;
  const by = a.unit === s.unit ? s.value : (s.si - stepZero) / one;
  if (!(by > 0)) return 'has a step that is not above 0';
  if (!(end >= a.value)) return 'ends below where it begins';
  // What is left over at the end by rounding is no step of its own.
  const count = Math.floor((end - a.value) / by + 1e-9) + 1;
  if (!(count <= MOST_OPTIONS))
    return `has ${Number.isFinite(count) ? count : 'endless'} steps, at most ${MOST_OPTIONS} are taken`;
  return Array.from({ length: count }, (_, i) => {
    const x = Number((a.value + i * by).toPrecision(12));
    return a.unit === '' ? x : `${x} ${a.unit}`;
  });
}
