/**
 * Changes of single values in a hand-written file. They are made in the parsed file, which then goes through the
 * ordinary reader: a changed value is checked as if it stood there, and faults point to where the change is written.
 */
import type { Place } from '../input/diagnostic.ts';
import type { Faults } from '../input/faults.ts';
import { isSection, shown } from '../input/fields.ts';
import { nearest } from '../input/nearest.ts';
import { anyQuantity, takeApart } from '../input/quantity.ts';
import type { YamlFile } from '../input/yaml-file.ts';
import { isArithmetic, workOut } from './arithmetic.ts';
import { allPaths, pathText, type ValuePath, valueAt, withValue } from './value-path.ts';

/** One value to be set, added to or scaled. */
export interface Edit {
  readonly op: 'set' | 'add' | 'scale';
  readonly path: ValuePath;
  readonly value: unknown; // as written
  /** A file that does not state the value is left as it is. */
  readonly whereStated?: true;
  /** Where the change is written; `within` is the path inside a value that is a section or list. */
  readonly place: (within: ValuePath, part: 'key' | 'value') => Place;
}

/** A file with its changes made, and the factor on its engine's table. */
export interface Edited {
  readonly yaml: YamlFile;
  readonly torque: number;
}

/** The keys that name the engine's full-load table: scaling one scales the table's values. */
const TABLES = ['engine.torque', 'engine.power'];

/** Sums and products of decimal numbers as they would be written: 0.1 + 0.2 is 0.3. */
const tidy = (x: number) => Number(x.toPrecision(15));

/**
 * Makes the edits in turn. Faults of the edits themselves are reported here, those of the values by the reader.
 * @param what the file in a sentence, such as "the car"
 */
export function applyEdits(base: YamlFile, edits: readonly Edit[], what: string, faults: Faults): Edited {
  let data: unknown = base.data;
  let torque = 1;
  for (const edit of edits) {
    const here = edit.place([], 'value');
    const name = pathText(edit.path);
    const now = valueAt(data, edit.path);
    if (edit.op !== 'set' && (now === undefined || now === null)) {
      if (!edit.whereStated) reportUnwritten(base, data, edit, what, faults);
      continue;
    }
    const value = worked(edit.value, now, name, edit, [], faults);
    if (value === undefined) continue;
    if (edit.op === 'set') {
      const reached = edit.path.slice(0, -1).every((_, i) => {
        const above = valueAt(data, edit.path.slice(0, i + 1));
        return above === undefined || above === null || typeof above === 'object';
      });
      const last = edit.path.at(-1);
      const items = typeof last === 'number' ? valueAt(data, edit.path.slice(0, -1)) : null;
      if (!reached || (typeof last === 'number' && !(Array.isArray(items) && last < items.length)))
        reportUnwritten(base, data, edit, what, faults);
      else data = withValue(data, edit.path, value);
    } else if (edit.op === 'add') {
      const sum = added(now, value);
      if (sum === null)
        faults.error(
          'change/add',
          here,
          `${shown(value)} cannot be added to ${name}, which is ${shown(now)}`,
          'write an amount in a unit of the same kind; what has several values is scaled, or set',
        );
      else data = withValue(data, edit.path, sum);
    } else if (typeof value !== 'number') {
      faults.error(
        'change/scale',
        here,
        `the factor on ${name} is ${shown(value)}; expected a pure number`,
        'write 1.03 for 3 % more, 0.97 for 3 % less',
      );
    } else if (TABLES.includes(name) && takeApart(String(now)).is === 'text') torque *= value;
    else {
      const product = scaled(now, value);
      if (product === null)
        faults.error(
          'change/scale',
          here,
          `${name} is ${shown(now)}, which cannot be scaled`,
          'name a number, a quantity, or a section or list of such',
        );
      else data = withValue(data, edit.path, product);
    }
  }
  const yaml: YamlFile = {
    source: base.source,
    data: data as Record<string, unknown>,
    place: (path, part) => placeOf(base, edits, path, part ?? 'value'),
  };
  return { yaml, torque };
}

/** The value with arithmetic worked out, in sections and lists too; undefined where it is wrong (reported). */
function worked(
  value: unknown,
  now: unknown,
  name: string,
  edit: Edit,
  within: ValuePath,
  faults: Faults,
): unknown {
  if (Array.isArray(value)) {
    const items = value.map((item, i) => worked(item, valueAt(now, [i]), name, edit, [...within, i], faults));
    return items.includes(undefined) ? undefined : items;
  }
  if (isSection(value)) {
    const section = Object.create(null) as Record<string, unknown>;
    for (const [key, part] of Object.entries(value)) {
      const inner = worked(part, valueAt(now, [key]), `${name}.${key}`, edit, [...within, key], faults);
      if (inner === undefined) return undefined;
      section[key] = inner;
    }
    return section;
  }
  if (!isArithmetic(value)) return value;
  const result = workOut(value, now);
  if (result.ok) return result.value;
  faults.error(
    'change/arithmetic',
    edit.place(within, 'value'),
    `${name} is \`${shown(value)}\`, where ${result.fault}`,
    'write, for example, `= 41 / 9`, `= now * 1.05` or `= now + 2 * 1.5 kg`; `now` is the value before the change',
  );
  return undefined;
}

function reportUnwritten(base: YamlFile, data: unknown, edit: Edit, what: string, faults: Faults): void {
  const name = pathText(edit.path);
  const known = allPaths(data);
  const last = edit.path.at(-1);
  const list = typeof last === 'number' ? valueAt(data, edit.path.slice(0, -1)) : null;
  if (Array.isArray(list)) {
    faults.error(
      'change/path',
      edit.place([], 'key'),
      `${what} has no value ${name} in ${base.source.file}`,
      `${pathText(edit.path.slice(0, -1))} has ${list.length} entries, counted from 1`,
    );
    return;
  }
  const near = nearest(name, known);
  // The last key that is written, to say what lies below it.
  let depth = edit.path.length - 1;
  while (depth > 0 && valueAt(data, edit.path.slice(0, depth)) === undefined) depth--;
  const above = pathText(edit.path.slice(0, depth));
  const below = known.filter((path) => path !== above && (above === '' || path.startsWith(above)));
  const some = below.filter((path) => !/[.[]/.test(path.slice(above.length + 1)));
  const there = `; ${above === '' ? base.source.file : `\`${above}\``} has ${some.slice(0, 12).join(', ')}`;
  faults.error(
    'change/path',
    edit.place([], 'key'),
    `${what} has no value ${name} in ${base.source.file}`,
    near !== null
      ? `did you mean ${near}?`
      : `write it into ${base.source.file} first${some.length > 0 ? there : ''}`,
  );
}

/** A number and a number, or two quantities of one kind, in the unit of the first; null where they do not fit. */
function added(now: unknown, by: unknown): unknown {
  if (typeof now === 'number') return typeof by === 'number' ? tidy(now + by) : null;
  if (typeof now !== 'string' || typeof by !== 'string') return null;
  const a = anyQuantity(now);
  const b = anyQuantity(by);
  if (a === null || b === null || a.dimensions !== b.dimensions) return null;
  if (a.unit === b.unit) return `${tidy(a.value + b.value)} ${a.unit}`;
  const one = anyQuantity(`1 ${a.unit}`)!.si - anyQuantity(`0 ${a.unit}`)!.si;
  // What is added is a difference: 5 degC is 5 K and not 278.15 K.
  const zero = anyQuantity(`0 ${b.unit}`)!.si;
  return `${tidy(a.value + (b.si - zero) / one)} ${a.unit}`;
}

/** Every number below times a factor; null where something is no number. */
function scaled(now: unknown, by: number): unknown {
  if (typeof now === 'number') return tidy(now * by);
  if (typeof now === 'string') {
    const quantity = anyQuantity(now);
    return quantity === null ? null : `${tidy(quantity.value * by)} ${quantity.unit}`;
  }
  if (Array.isArray(now)) {
    const items = now.map((item) => scaled(item, by));
    return items.length === 0 || items.includes(null) ? null : items;
  }
  if (!isSection(now)) return null;
  const section = Object.create(null) as Record<string, unknown>;
  for (const [key, value] of Object.entries(now)) {
    section[key] = scaled(value, by);
    if (section[key] === null) return null;
  }
  return section;
}

/** The place of a value: where the last edit of it (or of what holds it) is written, else in the file. */
function placeOf(
  base: YamlFile,
  edits: readonly Edit[],
  path: readonly PropertyKey[],
  part: 'key' | 'value',
): Place {
  for (const edit of edits.toReversed()) {
    if (edit.path.length > path.length || edit.path.some((step, i) => step !== path[i])) continue;
    return edit.place(path.slice(edit.path.length) as ValuePath, part);
  }
  return base.place(path, part);
}

/**
 * Moves faults that the reader found in a file that is sound without the edits: they are the edits' doing.
 * @param file the file as it was read before
 */
export function blame(found: Faults, file: string, edits: readonly Edit[], faults: Faults): void {
  for (const d of found.all()) {
    if (d.file !== file || edits.length === 0) {
      // Paths in a change are taken as if they stood in the file.
      const missing = d.code === 'file/missing' && edits.length > 0;
      faults.add(missing ? { ...d, help: `the path is taken from the folder of ${file}` } : d);
      continue;
    }
    const at = d.line > 0 ? ` (${d.file}:${d.line}:${d.col})` : '';
    faults.add({ ...d, ...edits[0].place([], 'key'), message: `with this change, ${d.message}${at}` });
  }
}
