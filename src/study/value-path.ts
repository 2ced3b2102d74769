/** Where a value stands in a hand-written file, as text: `driveline.gears[2]` is the second of the gears. */
import { isSection } from '../input/fields.ts';

/** Keys and, in lists, places counted from 0. */
export type ValuePath = readonly (string | number)[];

/** Reads a path as written. @returns null where it is none */
export function parsePath(text: string): ValuePath | null {
  const path: (string | number)[] = [];
  for (const part of text.trim().split('.')) {
    const found = /^([^[\]]+)((?:\[\d+\])*)$/.exec(part);
    if (found === null) return null;
    path.push(found[1].trim());
    for (const [, index] of found[2].matchAll(/\[(\d+)\]/g)) {
      if (Number(index) < 1) return null;
      path.push(Number(index) - 1);
    }
  }
  return path.some((step) => step === '') ? null : path;
}

/** A path as it is written. */
export function pathText(path: ValuePath): string {
  return path
    .map((step, i) => (typeof step === 'number' ? `[${step + 1}]` : `${i > 0 ? '.' : ''}${step}`))
    .join('');
}

const own = (value: unknown, step: string | number): unknown => {
  if (typeof step === 'number') return Array.isArray(value) ? value[step] : undefined;
  return isSection(value) && Object.hasOwn(value, step) ? value[step] : undefined;
};

/** What stands at a path, undefined where nothing does. */
export function valueAt(data: unknown, path: ValuePath): unknown {
  let value = data;
  for (const step of path) value = own(value, step);
  return value;
}

/** The data with another value at a path; sections on the way are made, what is not touched is shared. */
export function withValue(data: unknown, path: ValuePath, value: unknown): unknown {
  if (path.length === 0) return value;
  const [step, ...rest] = path;
  const inner = withValue(own(data, step), rest, value);
  if (typeof step === 'number') {
    const items = Array.isArray(data) ? [...data] : [];
    items[step] = inner;
    return items;
  }
  // A key such as __proto__ must become a key.
  const section = Object.assign(Object.create(null) as Record<string, unknown>, isSection(data) ? data : {});
  section[step] = inner;
  return section;
}

/** The paths of all values that are no sections, lists item by item and also as a whole. */
export function allPaths(data: unknown, base: ValuePath = []): string[] {
  if (Array.isArray(data))
    return [pathText(base), ...data.flatMap((item, i) => allPaths(item, [...base, i]))];
  if (isSection(data)) {
    const inner = Object.entries(data).flatMap(([key, value]) => allPaths(value, [...base, key]));
    return base.length === 0 ? inner : [pathText(base), ...inner];
  }
  return [pathText(base)];
}
