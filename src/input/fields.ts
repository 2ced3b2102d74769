/**
 * Fields of hand-written files as zod schemas. Each says what is wrong in words that name the key, what was read,
 * what is expected with its unit, and what to write; `report-issues.ts` puts place and key to them.
 */
import * as z from 'zod';
import { nearest } from './nearest.ts';
import { type Kind, type KindName, kinds, readQuantity, takeApart, unitScale, unitsOf } from './quantity.ts';

// zod otherwise tries `new Function`, which a strict content security policy reports.
z.config({ jitless: true });

/** How a fault is worded once the key is known: `key` for sentences, `write` for the line to write. */
export type Say = (
  key: string,
  write: (example: string) => string,
  below: string, // " below `tyre:`" for a key of a section, else ""
) => { message: string; help: string };

export interface FieldFault {
  readonly code: string;
  readonly say: Say;
  readonly mark: 'key' | 'value';
}

type Context = z.RefinementCtx;

/** Reports a fault of the value that is being read, or of a part of it. */
export function fault(
  ctx: Context,
  code: string,
  say: Say,
  path: readonly PropertyKey[] = [],
  mark: 'key' | 'value' = 'value',
): never {
  const params: FieldFault = { code, say, mark };
  ctx.issues.push({
    code: 'custom',
    message: code,
    params: { ...params },
    input: undefined,
    path: [...path],
  });
  return z.NEVER;
}

/** What was read, short enough for a sentence. */
export function shown(value: unknown): string {
  if (Array.isArray(value)) return 'a list';
  if (typeof value === 'object' && value !== null) return 'a section with keys';
  if (typeof value === 'string' && value === '') return 'an empty text';
  const text = String(value).replace(/\s+/g, ' ');
  return text.length > 40 ? `${text.slice(0, 39)}…` : text;
}

const describeRead = (key: string, value: unknown) => `${key} is ${shown(value)}`;

/** Absent or empty: reported alike by every field that must be there. */
function absent(ctx: Context, value: unknown, what: string, example: string): boolean {
  if (value !== undefined && value !== null) return false;
  const state = value === undefined ? 'is missing' : 'has no value';
  fault(ctx, 'key/missing', (key, write, below) => ({
    message: `${key} ${state}; expected ${what}`,
    help: `write ${write(example)}${value === undefined ? below : ''}`,
  }));
  return true;
}

export interface Bounds {
  readonly min?: number; //    in the unit the kind is shown in
  readonly max?: number;
  readonly above?: number; //  as min, not reached
  readonly example: string; // as it would be written
  readonly why?: string; //    said in the help line where a value is out of bounds
}

const expectedRange = ({ min, max, above }: Bounds, unit: string): string => {
  const from = above !== undefined ? `more than ${above}` : min !== undefined ? `${min}` : null;
  const tail = unit === '' ? '' : ` ${unit}`;
  if (from !== null && max !== undefined)
    return above !== undefined ? `${from} and at most ${max}${tail}` : `${from} to ${max}${tail}`;
  if (from !== null) return above !== undefined ? `${from}${tail}` : `${from}${tail} or more`;
  return `at most ${max}${tail}`;
};

const outside = (x: number, { min, max, above }: Bounds): boolean =>
  !(
    x >= (min ?? Number.NEGATIVE_INFINITY) &&
    x <= (max ?? Number.POSITIVE_INFINITY) &&
    x > (above ?? Number.NEGATIVE_INFINITY)
  );

/** A number with its unit as text, in SI. Bounds are in the unit that the kind is shown in. */
export function quantity(kindName: KindName, bounds: Bounds): z.ZodType<number> {
  const kind: Kind = kinds[kindName];
  return z.unknown().transform((value, ctx): number => {
    if (absent(ctx, value, kind.a, bounds.example)) return z.NEVER;
    const units = `(units: ${unitsOf(kindName)})`;
    if (typeof value !== 'string' && typeof value !== 'number') {
      return fault(ctx, 'unit/number', (key, write) => ({
        message: `${describeRead(key, value)}; expected ${kind.a}`,
        help: `write ${write(bounds.example)} ${units}`,
      }));
    }
    const read = readQuantity(String(value), kindName, bounds.example);
    if (!read.ok) {
      return fault(ctx, read.code, (key, write) => ({
        message: `${describeRead(key, value)}, which ${read.fault}`,
        help: `write ${write(read.write ?? bounds.example)} ${units}`,
      }));
    }
    const scale = unitScale(kind);
    const offset = kindName === 'temperature' ? 273.15 : 0;
    // A bound written in one unit and read in another may differ in the last digit.
    const inUnit = Number(((read.si - offset) / scale).toPrecision(12));
    if (outside(inUnit, bounds)) {
      return fault(ctx, 'value/range', (key, write) => ({
        message: `${describeRead(key, value)}, expected ${expectedRange(bounds, kind.unit)}`,
        help: bounds.why ?? `write, for example, ${write(bounds.example)}`,
      }));
    }
    return read.si;
  });
}

/** A pure number: a ratio, a factor, a share. */
export function plain(what: string, bounds: Bounds): z.ZodType<number> {
  return z.unknown().transform((value, ctx): number => {
    if (absent(ctx, value, what, bounds.example)) return z.NEVER;
    if (typeof value === 'number' && !Number.isFinite(value)) {
      return fault(ctx, 'value/range', (key, write) => ({
        message: `${describeRead(key, value)}, expected ${expectedRange(bounds, '')}`,
        help: `write, for example, ${write(bounds.example)}`,
      }));
    }
    if (typeof value === 'string') {
      const written = takeApart(value);
      if (written.is === 'comma') {
        return fault(ctx, 'unit/comma', (key, write) => ({
          message: `${describeRead(key, value)}, which has a comma; expected ${what} with a decimal point`,
          help: `write ${write(value.trim().replace(',', '.'))}`,
        }));
      }
      if (written.is === 'quantity') {
        const percent = written.unit === '%';
        const number = percent ? Number((written.value / 100).toPrecision(12)) : written.value;
        return fault(ctx, 'unit/unwanted', (key, write) => ({
          message: `${describeRead(key, value)}; expected ${what}, a number without a unit`,
          help: `write ${write(Number.isFinite(number) ? String(number) : bounds.example)}`,
        }));
      }
      if (written.is === 'number') {
        return fault(ctx, 'value/kind', (key, write) => ({
          message: `${key} is the text '${shown(value)}'; expected ${what}`,
          help: `write it without quotes: ${write(value.trim())}`,
        }));
      }
    }
    if (typeof value !== 'number') {
      return fault(ctx, 'value/kind', (key, write) => ({
        message: `${describeRead(key, value)}; expected ${what}`,
        help: `write, for example, ${write(bounds.example)}`,
      }));
    }
    if (outside(value, bounds)) {
      return fault(ctx, 'value/range', (key, write) => ({
        message: `${describeRead(key, value)}, expected ${expectedRange(bounds, '')}`,
        help: bounds.why ?? `write, for example, ${write(bounds.example)}`,
      }));
    }
    return value;
  });
}

/** A name or path: text that is not empty. A number is taken as its text, so a car may be called 205. */
export function text(what: string, example: string): z.ZodType<string> {
  return z.unknown().transform((value, ctx): string => {
    if (absent(ctx, value, what, example)) return z.NEVER;
    if (typeof value === 'number') return String(value);
    if (typeof value !== 'string' || value.trim() === '') {
      return fault(ctx, 'value/kind', (key, write) => ({
        message: `${describeRead(key, value)}; expected ${what}`,
        help: `write, for example, ${write(example)}`,
      }));
    }
    return value.trim();
  });
}

/** One of a few words. */
export function oneOf<const T extends string>(
  words: readonly T[],
  what = `one of ${words.join(', ')}`,
): z.ZodType<T> {
  return z.unknown().transform((value, ctx): T => {
    if (absent(ctx, value, what, words[0])) return z.NEVER;
    const found = words.find((word) => word === value);
    if (found !== undefined) return found;
    const near = typeof value === 'string' ? nearest(value, words) : null;
    return fault(ctx, 'value/choice', (key, write) => ({
      message: `${describeRead(key, value)}, expected ${what}`,
      help: near === null ? `write, for example, ${write(words[0])}` : `did you mean ${write(near)}?`,
    }));
  });
}

/** true or false. */
export const truth: z.ZodType<boolean> = z.unknown().transform((value, ctx): boolean => {
  if (typeof value === 'boolean') return value;
  return fault(ctx, 'value/kind', (key, write) => ({
    message: `${describeRead(key, value)}, expected true or false`,
    help: `write ${write('true')} or ${write('false')}`,
  }));
});

/** A list, each item read by `item`. */
export function list<T>(
  item: z.ZodType<T>,
  what: string,
  example: string,
  check?: (items: T[], ctx: Context) => void,
) {
  return z.unknown().transform((value, ctx): T[] => {
    if (absent(ctx, value, what, example)) return z.NEVER;
    if (!Array.isArray(value)) {
      return fault(ctx, 'value/kind', (key, write) => ({
        message: `${describeRead(key, value)}; expected ${what}`,
        help: `write ${write(example)}`,
      }));
    }
    if (value.length === 0) {
      return fault(ctx, 'value/kind', (key, write) => ({
        message: `${key} is an empty list; expected ${what}`,
        help: `write, for example, ${write(example)}`,
      }));
    }
    const items = pass(z.array(item), value, ctx);
    if (items === undefined) return z.NEVER;
    check?.(items, ctx);
    return items;
  });
}

type Output<S extends Record<string, z.ZodType>> = { [K in keyof S]: z.output<S[K]> };

/** A section with these keys and no others. */
export function section<S extends Record<string, z.ZodType>>(
  shape: S,
  what: string,
  example: string,
): z.ZodType<Output<S>> {
  return z.unknown().transform((value, ctx): Output<S> => {
    if (absent(ctx, value, `a section with ${what}`, example)) return z.NEVER;
    if (!isSection(value)) {
      return fault(ctx, 'value/kind', (key, write) => ({
        message: `${describeRead(key, value)}; expected a section with ${what}`,
        help: `write ${write(example)}`,
      }));
    }
    unknownKeys(value, Object.keys(shape), ctx);
    const read = pass(z.object(shape), value, ctx);
    return read === undefined ? z.NEVER : (read as Output<S>);
  });
}

/** A section whose keys are names of the writer's choice, each read by `item`. */
export function named<T>(item: z.ZodType<T>, what: string, example: string): z.ZodType<Map<string, T>> {
  return z.unknown().transform((value, ctx): Map<string, T> => {
    if (absent(ctx, value, what, example)) return z.NEVER;
    if (!isSection(value) || Object.keys(value).length === 0) {
      return fault(ctx, 'value/kind', (key, write) => ({
        message: isSection(value)
          ? `${key} is empty; expected ${what}`
          : `${describeRead(key, value)}; expected ${what}`,
        help: `write ${write(example)}`,
      }));
    }
    const read = new Map<string, T>();
    for (const [name, part] of Object.entries(value)) {
      const result = item.safeParse(part);
      if (result.success) read.set(name, result.data);
      else passOn(result.error.issues, ctx, [name]);
    }
    return read;
  });
}

/** A value that may be written in more than one form: `pick` chooses the schema by what is there. */
export function either<T>(pick: (value: unknown) => z.ZodType<T>): z.ZodType<T> {
  return z.unknown().transform((value, ctx): T => {
    const read = pass(pick(value), value, ctx);
    return read === undefined ? z.NEVER : read;
  });
}

export const isSection = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** Reports each key that is not known, with the nearest one that is. */
export function unknownKeys(value: Record<string, unknown>, known: readonly string[], ctx: Context): void {
  for (const name of Object.keys(value)) {
    if (known.includes(name)) continue;
    fault(
      ctx,
      'key/unknown',
      (key) => {
        const near = nearest(name, known);
        return {
          message: `${key} is not a key here`,
          help: near === null ? `the keys are ${known.join(', ')}` : `did you mean ${near}?`,
        };
      },
      [name],
      'key',
    );
  }
}

function pass<T>(schema: z.ZodType<T>, value: unknown, ctx: Context): T | undefined {
  const result = schema.safeParse(value);
  if (result.success) return result.data;
  passOn(result.error.issues, ctx, []);
  return undefined;
}

function passOn(issues: readonly z.core.$ZodIssue[], ctx: Context, path: readonly PropertyKey[]): void {
  for (const issue of issues) {
    if (issue.code !== 'custom') throw new Error(`field without a text of its own: ${issue.message}`);
    ctx.issues.push({
      code: 'custom',
      message: issue.message,
      params: issue.params ?? {},
      input: undefined,
      path: [...path, ...issue.path],
    });
  }
}
