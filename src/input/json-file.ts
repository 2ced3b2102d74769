/** A JSON file: its data, and where in the text a part of it stands. */
import { type ParseErrorCode, visit } from 'jsonc-parser';
import type { Place } from './diagnostic.ts';
import type { Faults } from './faults.ts';
import { type Source, wholeFile } from './source.ts';

export interface JsonFile {
  readonly source: Source;
  readonly data: unknown;
  /** Where the values at these paths stand, found in one pass over the text. */
  places(paths: readonly (readonly PropertyKey[])[]): Place[];
}

// Formats of positions nest some ten deep; a bound for what walks the text. No source.
const MOST_NESTED = 100;

/** Reads JSON. @returns null where it is none; the first fault is reported */
export function parseJson(source: Source, faults: Faults): JsonFile | null {
  const deep = tooDeep(source.text);
  if (deep !== -1) {
    faults.error(
      'json/depth',
      source.place(deep, deep + 1),
      `lists or objects lie more than ${MOST_NESTED} deep in each other here`,
      'is it the right file?',
    );
    return null;
  }
  try {
    const data: unknown = JSON.parse(source.text);
    return { source, data, places: (paths) => placesOf(source, paths) };
  } catch {
    reportSyntax(source, faults);
    return null;
  }
}

function tooDeep(text: string): number {
  let depth = 0;
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i);
    if (c === 34) {
      for (i++; i < text.length && text.charCodeAt(i) !== 34; i++) if (text.charCodeAt(i) === 92) i++;
    } else if (c === 91 || c === 123) {
      if (++depth > MOST_NESTED) return i;
    } else if (c === 93 || c === 125) depth--;
  }
  return -1;
}

// ParseErrorCode is a const enum, which this project's compiler settings do not read: its numbers, by the package's types.
const WORDS: Readonly<Record<number, readonly [string, string]>> = {
  1: ['this is no value', 'values are numbers, "texts", true, false, null, [lists] and {objects}'],
  2: ['this is no number', 'write numbers with a decimal point, such as -3.25'],
  3: ['a key in quotes is missing here', 'write "key": value'],
  4: ['a value is missing here', 'write a value, or leave the comma before it out'],
  5: ['a colon is missing here', 'write "key": value'],
  6: ['a comma is missing here', 'put commas between the items'],
  7: ['a brace is not closed before this', 'close it with }'],
  8: ['a bracket is not closed before this', 'close it with ]'],
  9: ['there is more text after the end', 'leave it out'],
  10: ['comments are not read in JSON', 'leave it out'],
  11: ['a comment is not closed', 'leave it out'],
  12: ['the quote opened here is not closed', 'close it with "'],
  13: ['a number is cut off here', 'write it out'],
  14: ['this is no character code', 'write \\u and four digits 0 to f'],
  15: ['no character is written like this', 'write \\\\ where \\ itself is meant'],
  16: ['a character like this may not stand in a text', 'leave it out'],
};

function reportSyntax(source: Source, faults: Faults): void {
  const { text } = source;
  let first: { code: number; start: number; end: number } | null = null;
  const onError = (code: ParseErrorCode, start: number, length: number) => {
    first ??= { code, start, end: start + length };
  };
  visit(text, { onError }, { disallowComments: true, allowTrailingComma: false });
  const { code, start, end } = (first as { code: number; start: number; end: number } | null) ?? {
    code: 0,
    start: 0,
    end: 1,
  };
  const last = text.trimEnd().length;
  if (start >= last) {
    const help = 'it was cut off: copy it again from where it came from';
    faults.error('json/syntax', source.place(last - 1, last), 'the file ends before it is complete', help);
    return;
  }
  const [message, help] = WORDS[code] ?? ['this is no JSON', 'export the file again'];
  faults.error('json/syntax', source.place(start, end), message, help);
}

const STOP = new Error('all is found');

function placesOf(source: Source, paths: readonly (readonly PropertyKey[])[]): Place[] {
  if (paths.length === 0) return [];
  const wanted = new Map<string, number[]>();
  for (const [i, path] of paths.entries()) {
    const key = path.join('\n');
    wanted.set(key, [...(wanted.get(key) ?? []), i]);
  }
  const places: Place[] = paths.map(() => wholeFile(source.file));
  let missing = wanted.size;
  const found = (path: readonly PropertyKey[], offset: number, length: number) => {
    const indices = wanted.get(path.join('\n'));
    if (indices === undefined) return;
    for (const i of indices) places[i] = source.place(offset, offset + length);
    if (--missing === 0) throw STOP;
  };
  try {
    visit(source.text, {
      onObjectBegin: (offset, length, _line, _char, path) => found(path(), offset, length),
      onArrayBegin: (offset, length, _line, _char, path) => found(path(), offset, length),
      onLiteralValue: (_value, offset, length, _line, _char, path) => found(path(), offset, length),
    });
  } catch (error) {
    if (error !== STOP) throw error;
  }
  return places;
}
