/** An event: the car, the stages in running order, the weather they may meet, the limits, and what is not known well. */
import * as z from 'zod';
import type { Place } from '../input/diagnostic.ts';
import { Faults } from '../input/faults.ts';
import { either, isSection, list, named, plain, quantity, section, shown, text } from '../input/fields.ts';
import { beside, type FileAccess } from '../input/file-access.ts';
import { nearest } from '../input/nearest.ts';
import { anyQuantity } from '../input/quantity.ts';
import { readKeys } from '../input/report-issues.ts';
import { wholeFile } from '../input/source.ts';
import { readYaml, type YamlFile } from '../input/yaml-file.ts';
import { type Changes, readChanges, readPath } from './read-changes.ts';
import { MOST_DIMENSIONS } from './sobol.ts';
import { allPaths, parsePath, pathText, type ValuePath, valueAt } from './value-path.ts';

/** One stage of a loop as the event names it. */
export interface EventStage {
  readonly file: string;
  readonly load: number; // [kg] on board there beyond the car's mass; less than nothing where fuel is used up
  readonly place: Place;
}

/** Stages between two services, driven with one set-up. */
export interface Loop {
  readonly name: string;
  readonly stages: readonly EventStage[];
}

/** A bound on a set-up: `name` is mass [kg], power_to_mass [W/kg], or what changes take. */
export interface Limit {
  readonly name: string;
  readonly least: number | null;
  readonly most: number | null;
  readonly step: number; // by which its price is asked
  readonly place: Place;
}

/** A value of the car, or of the stages (its path begins with `stage`), that is known only so far. */
export interface Uncertain {
  readonly path: ValuePath;
  readonly how: 'normal' | 'even';
  /** `scale`: the value times 1 + x; `add`: x in `unit` is added. */
  readonly op: 'scale' | 'add';
  readonly middle: number; // of x
  readonly size: number; //   standard deviation of x, or half its range
  readonly unit: string;
  readonly place: Place;
}

/** An event as read. Stages and car are named, not read; the changes are. */
export interface EventSpec {
  readonly name: string;
  readonly file: string;
  readonly car: YamlFile;
  readonly carPath: string;
  readonly loops: readonly Loop[];
  /** Weights by name, adding up to 1; one without a name where the event gives none. */
  readonly conditions: readonly {
    readonly name: string | null;
    readonly weight: number;
    readonly place: Place;
  }[];
  readonly changes: Changes | null;
  readonly limits: readonly Limit[];
  readonly uncertain: readonly Uncertain[];
}

const stageName = text("a stage's file", 'tarven-moor.yaml');
const load = quantity('mass', { min: -1000, max: 5000, example: '25 kg' });
const loaded = section(
  { stage: stageName, load: load.optional() },
  'stage and load',
  '{stage: tarven-moor.yaml, load: 25 kg}',
);
const stage = either<{ stage: string; load?: number | undefined }>((value) =>
  isSection(value) ? loaded : stageName.transform((file) => ({ stage: file })),
);
const stages = list(stage, 'a list of stages', '[aldervane-wood.yaml, tarven-moor.yaml]');
const loop = section(
  { loop: text('the name of the loop', 'Morning'), stages },
  'loop and stages',
  '{loop: Morning, stages: [aldervane-wood.yaml, tarven-moor.yaml]}',
);

const amount = (name: string, example: string): z.ZodType<number> => {
  if (name === 'mass') return quantity('mass', { min: 0, max: 60_000, example: '1360 kg' });
  if (name === 'power_to_mass') return quantity('powerPerMass', { min: 0, max: 10_000, example: '160 W/kg' });
  return plain('an amount', { min: 0, max: 1e9, example });
};
const limits = either<Record<string, { least?: number; most?: number; step?: number }>>(
  (value) =>
    section(
      Object.fromEntries(
        Object.keys(isSection(value) ? value : {}).map((name) => [
          name,
          section(
            {
              least: amount(name, '2').optional(),
              most: amount(name, '3000').optional(),
              step: amount(name, '250').optional(),
            },
            'least or most',
            name === 'mass' ? '{least: 1360 kg}' : '{most: 3000}',
          ),
        ]),
      ),
      'limits by name',
      '{mass: {least: 1360 kg}, cost: {most: 3000}}',
    ) as z.ZodType<Record<string, { least?: number; most?: number; step?: number }>>,
);

const spread = section(
  { sd: z.unknown().optional(), range: z.unknown().optional() },
  'sd or range',
  '{sd: 4 %}',
);

const shape = {
  event: text('the name of the event', 'Tarvenmoor'),
  car: text("the car's file", 'car.yaml'),
  changes: text('the file of changes', 'changes.yaml').optional(),
  loops: list(loop, 'a list of loops', '[{loop: Morning, stages: [aldervane-wood.yaml]}]').optional(),
  stages: stages.optional(),
  conditions: named(
    plain('a weight', { min: 0, max: 1000, example: '0.6' }),
    'weights by the name of the condition',
    '{dry: 0.6, wet: 0.4}',
  ).optional(),
  limits: limits.optional(),
  uncertain: named(spread, 'how far values are known, by path', '{pace: {sd: 0.02}}').optional(),
};

/** The keys an event file may have. */
export const eventKeys: readonly string[] = Object.keys(shape);

/** Reads an event with its changes. @returns null where there are errors; all are reported */
export function readEventFile(path: string, files: FileAccess, faults: Faults): EventSpec | null {
  const yaml = readYaml(path, files, faults, null);
  if (yaml === null) return null;
  if (isOther(yaml, faults)) return null;
  const read = readKeys(yaml, shape, faults);
  const loops = loopsOf(yaml, read, faults);
  const conditions = conditionsOf(yaml, read.conditions, faults);
  const carPath = read.car === undefined ? null : beside(path, read.car);
  const car = carPath === null ? null : readYaml(carPath, files, faults, yaml.place(['car']));
  const changesBefore = faults.errors;
  const changes =
    read.changes === undefined
      ? null
      : readChanges(beside(path, read.changes), files, faults, yaml.place(['changes']));
  const changesFailed = faults.errors > changesBefore;
  const limitList = limitsOf(yaml, read.limits ?? {}, changes, changesFailed, faults);
  const given = read.uncertain ?? new Map();
  const drawsStages = [...given.keys()].some((name) => parsePath(name)?.[0] === 'stage');
  const stages = drawsStages ? stageFiles(loops, files) : [];
  const uncertain = car === null ? [] : uncertainOf(yaml, given, car, stages, faults);
  if (faults.failed || car === null || carPath === null) return null;
  return {
    name: read.event!,
    file: path,
    car,
    carPath,
    loops,
    conditions,
    changes,
    limits: limitList,
    uncertain,
  };
}

/** A car, a stage or a file of changes in place of an event is one fault and not one for each of its keys. */
function isOther(yaml: YamlFile, faults: Faults): boolean {
  if (Object.hasOwn(yaml.data, 'event')) return false;
  const kinds = { tyre: 'a car', road: 'a stage', ranges: 'a file of changes' } as const;
  const changes = Array.isArray(yaml.data['changes']);
  const key = Object.keys(kinds).find((name) => Object.hasOwn(yaml.data, name));
  if (key === undefined && !changes) return false;
  faults.error(
    'event/kind',
    wholeFile(yaml.source.file),
    `the file is ${key === undefined ? kinds.ranges : kinds[key as keyof typeof kinds]}, expected an event`,
    'give the event file, which begins with `event: NAME` and names the car and the stages: docs/study.md',
  );
  return true;
}

type Keys = ReturnType<typeof readKeys<typeof shape>>;

function loopsOf(yaml: YamlFile, read: Keys, faults: Faults): Loop[] {
  const { file } = yaml.source;
  const has = (key: string) => Object.hasOwn(yaml.data, key);
  if (has('loops') && has('stages'))
    faults.error(
      'event/both',
      yaml.place(['stages'], 'key'),
      'stages and loops are both given',
      'give `stages:` where one set-up serves all of them, else `loops:`',
    );
  if (!has('loops') && !has('stages'))
    faults.error(
      'key/missing',
      yaml.place([], 'key'),
      'stages is missing; expected the stages in running order',
      'write `stages: [aldervane-wood.yaml, tarven-moor.yaml]`, or `loops:` where there are services between',
    );
  const entries = (list: NonNullable<Keys['stages']>, at: (string | number)[]) =>
    list.map(({ stage, load }, i) => ({
      file: beside(file, stage),
      load: load ?? 0,
      place: yaml.place([...at, i]),
    }));
  const loops: Loop[] = [];
  for (const [i, { loop, stages }] of (read.loops ?? []).entries()) {
    if (loops.some(({ name }) => name === loop))
      faults.error(
        'event/twice',
        yaml.place(['loops', i, 'loop']),
        `there is a loop ${shown(loop)} before this one`,
        'give each loop a name of its own',
      );
    loops.push({ name: loop, stages: entries(stages, ['loops', i, 'stages']) });
  }
  if (read.stages !== undefined) loops.push({ name: 'all stages', stages: entries(read.stages, ['stages']) });
  return loops;
}

function conditionsOf(yaml: YamlFile, given: Keys['conditions'], faults: Faults): EventSpec['conditions'] {
  if (given === undefined) return [{ name: null, weight: 1, place: yaml.place([], 'key') }];
  const sum = [...given.values()].reduce((a, b) => a + b, 0);
  if (!(sum > 0))
    faults.error(
      'event/weights',
      yaml.place(['conditions'], 'key'),
      'the weights of the conditions add up to 0',
      'write how likely each is, such as `conditions: {dry: 0.6, wet: 0.4}`',
    );
  return [...given].map(([name, weight]) => ({
    name,
    weight: weight / sum,
    place: yaml.place(['conditions', name], 'key'),
  }));
}

function limitsOf(
  yaml: YamlFile,
  given: Readonly<Record<string, { least?: number; most?: number; step?: number }>>,
  changes: Changes | null,
  changesFailed: boolean,
  faults: Faults,
): Limit[] {
  const taken = [...new Set((changes?.changes ?? []).flatMap(({ takes }) => [...takes.keys()]))];
  return Object.entries(given).map(([name, { least, most, step }]) => {
    const place = yaml.place(['limits', name], 'key');
    if (least === undefined && most === undefined)
      faults.error(
        'event/limit',
        place,
        `limits.${name} bounds nothing`,
        'write `least` or `most` with it, such as `{most: 3000}`',
      );
    if (least !== undefined && most !== undefined && least > most)
      faults.error('event/limit', place, `limits.${name} has a least above its most`, 'exchange the two');
    if (!changesFailed && name !== 'mass' && name !== 'power_to_mass' && !taken.includes(name)) {
      const near = nearest(name, [...taken, 'mass', 'power_to_mass']);
      const where = changes === null ? '; the event names no changes' : ` in ${changes.file}`;
      faults.error(
        'event/limit',
        place,
        `no change takes any ${shown(name)}${where}`,
        near === null
          ? `limits are mass, power_to_mass and what changes list below \`takes:\`${taken.length > 0 ? ` (${taken.join(', ')})` : ''}`
          : `did you mean ${near}?`,
      );
    }
    // A tenth of the limit: the price of a limit is asked over a step that one might negotiate. No source.
    return { name, least: least ?? null, most: most ?? null, step: step ?? (most ?? least ?? 0) / 10, place };
  });
}

function uncertainOf(
  yaml: YamlFile,
  given: ReadonlyMap<string, { readonly sd?: unknown; readonly range?: unknown }>,
  car: YamlFile,
  stages: readonly YamlFile[],
  faults: Faults,
): Uncertain[] {
  const list: Uncertain[] = [];
  if (given.size > MOST_DIMENSIONS)
    faults.error(
      'event/uncertain',
      yaml.place(['uncertain'], 'key'),
      `${given.size} values are uncertain, at most ${MOST_DIMENSIONS} are drawn`,
      'leave out those that matter least',
    );
  for (const [name, entry] of given) {
    const place = yaml.place(['uncertain', name], 'key');
    const path = readPath(name, place, faults);
    if (path === null) continue;
    const ofStage = path[0] === 'stage';
    const held = (ofStage ? stages : [car]).map(({ data }) => valueAt(data, ofStage ? path.slice(1) : path));
    const now = held.find((value) => value !== undefined && value !== null);
    if (now === undefined) {
      // A stage file that cannot be read has its own fault.
      if (ofStage && stages.length === 0) continue;
      const known = ofStage
        ? stages.flatMap(({ data }) => allPaths(data).map((text) => `stage.${text}`))
        : allPaths(car.data);
      const near = nearest(pathText(path), known);
      const where = ofStage ? 'the stage files' : car.source.file;
      faults.error(
        'change/path',
        place,
        ofStage
          ? `no stage of the event has a value ${pathText(path.slice(1))}`
          : `the car has no value ${pathText(path)} in ${where}`,
        near === null ? `write it into ${where} first` : `did you mean ${near}?`,
      );
      continue;
    }
    const found = ofStage && Array.isArray(entry.range) ? TWO_ENDS : spreadOf(entry, now);
    if (typeof found === 'string') {
      faults.error(
        'event/uncertain',
        yaml.place(['uncertain', name]),
        `${pathText(path)} ${found}`,
        `write \`{sd: 4 %}\` or \`{sd: 8 kg}\` (a standard deviation)${ofStage ? ', or `{range: 3 %}` (so much more or less)' : ', `{range: 3 %}` (so much more or less), or `{range: [0.90, 0.96]}`'}`,
      );
      continue;
    }
    list.push({ path, place, ...found });
  }
  return list;
}

const TWO_ENDS = 'has a range from one value to another, but each stage has its own value';

/** The files of the stages that can be read; the others are reported where stages are read. */
function stageFiles(loops: readonly Loop[], files: FileAccess): YamlFile[] {
  const names = new Set(loops.flatMap(({ stages }) => stages.map(({ file }) => file)));
  return [...names].flatMap((name) => readYaml(name, files, new Faults(), null) ?? []);
}

type Spread = Omit<Uncertain, 'path' | 'place'>;

/** What `sd` or `range` says, or what is wrong with it (a clause after the path). */
function spreadOf(
  { sd, range }: { readonly sd?: unknown; readonly range?: unknown },
  now: unknown,
): Spread | string {
  if ((sd === undefined) === (range === undefined)) return 'needs one of sd and range';
  const how = sd !== undefined ? 'normal' : 'even';
  const given = sd ?? range;
  const percent = typeof given === 'string' ? /^\s*(\d+(?:\.\d+)?)\s*%\s*$/.exec(given) : null;
  if (percent !== null) return { how, op: 'scale', middle: 0, size: Number(percent[1]) / 100, unit: '' };
  const held = typeof now === 'string' ? anyQuantity(now) : null;
  const unit = held?.unit ?? '';
  if (typeof now !== 'number' && held === null)
    return 'is no single number, so its spread is a share, such as 4 %';
  /** In the unit that the car file writes. */
  const inUnit = (value: unknown, difference: boolean): number | null => {
    if (typeof value === 'number') return held === null && Number.isFinite(value) ? value : null;
    const quantity = typeof value === 'string' ? anyQuantity(value) : null;
    if (quantity === null || held === null || quantity.dimensions !== held.dimensions) return null;
    const zero = anyQuantity(`0 ${held.unit}`)!.si;
    const from = difference ? anyQuantity(`0 ${quantity.unit}`)!.si : zero;
    return (quantity.si - from) / (anyQuantity(`1 ${held.unit}`)!.si - zero);
  };
  const expected = held === null ? 'a number without a unit' : `an amount in ${held.unit} or the like`;
  if (how === 'even' && Array.isArray(given)) {
    const ends = given.length === 2 ? given.map((value) => inUnit(value, false)) : [null, null];
    const [from, to] = ends;
    if (from === null || to === null || from === undefined || to === undefined)
      return `has a range that is not two of ${expected}`;
    if (!(to > from)) return 'has a range that ends at or below where it begins';
    const value = held?.value ?? (now as number);
    return { how, op: 'add', middle: (from + to) / 2 - value, size: (to - from) / 2, unit };
  }
  const size = inUnit(given, true);
  if (size === null)
    return `has ${how === 'normal' ? 'an sd' : 'a range'} of ${shown(given)}, expected a share in %, or ${expected}`;
  if (!(size > 0))
    return `has ${how === 'normal' ? 'an sd' : 'a range'} of ${shown(given)}, expected more than 0`;
  return { how, op: 'add', middle: 0, size, unit };
}
