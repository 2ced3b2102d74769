/** The rows of a table as columns: one array a quantity, all with one index. */
import { parse } from 'csv-parse/sync';
import type { Place } from './diagnostic.ts';
import type { Faults } from './faults.ts';
import type { Source } from './source.ts';
import { cellsOf, type Header } from './table-header.ts';

/** What a cell of a column may hold. Bounds are in the unit that the column's name carries. */
export interface NumberColumn {
  readonly unit: string;
  readonly min: number;
  readonly max: number;
  readonly help: string;
  /** What an empty cell stands for; absent: an empty cell is an error, never 0. */
  readonly empty?: number;
  /** Words that stand for a number. */
  readonly words?: Readonly<Record<string, number>>;
}

export interface Rows {
  readonly n: number;
  readonly has: (column: string) => boolean;
  readonly numbers: (column: string) => Float64Array; // (n)
  readonly texts: (column: string) => readonly string[]; // (n)
  readonly place: (row: number, column: string) => Place;
  /** False where a cell is wrong (reported): the numbers are then not to be relied on. */
  readonly whole: boolean;
}

// A row of ours holds a dozen cells; the longest note fits. Common practice, no source.
const LONGEST_ROW = 10_000;

// After so many wrong cells the rest is not read: it is the whole table that is wrong. No source.
const MOST_WRONG = 1000;
const STOP = new Error('too many faults');

const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;

/**
 * Reads the rows below a header.
 * @param specs what each numeric column may hold; columns not named here are text
 */
export function readRows(
  header: Header,
  specs: Readonly<Record<string, NumberColumn>>,
  faults: Faults,
): Rows {
  const { source, columns } = header;
  const bodyStart = source.lineStart(header.line + 1);
  const body = header.line > 0 && bodyStart > 0 ? source.text.slice(bodyStart) : '';
  let most = 1;
  let whole = true;
  for (let from = 0, to = 0; from <= body.length; from = to + 1) {
    to = body.indexOf('\n', from);
    if (to === -1) to = body.length;
    if (to - from > LONGEST_ROW) {
      const place = source.place(bodyStart + from, bodyStart + from + 1);
      const help = 'is this a road or engine table? docs/files.md shows whole ones';
      faults.error('table/long-row', place, `the row is longer than ${LONGEST_ROW} characters`, help);
      whole = false;
    }
    most++;
  }

  const spec = columns.map((name) => (name === null ? undefined : specs[name]));
  const numbers = columns.map((_, i) => (spec[i] === undefined ? null : new Float64Array(most)));
  const texts = columns.map((name, i) => (name === null || spec[i] !== undefined ? null : ([] as string[])));
  const lines = new Int32Array(most);
  let n = 0;

  const cellPlace = (line: number, index: number): Place => {
    const cell = cellsOf(source.line(line))[index];
    const start = source.lineStart(line);
    return cell === undefined
      ? source.place(start, source.text.length)
      : source.place(start + cell.start, start + cell.end);
  };
  let wrongRows = 0;
  const wrong = (code: string, line: number, index: number, message: string, help: string) => {
    if (++wrongRows > MOST_WRONG) throw STOP;
    whole = false;
    faults.error(code, faults.full(source.file, code) ? header.whole : cellPlace(line, index), message, help);
  };

  const takeRow = (cells: readonly string[], line: number): void => {
    if (cells.length !== columns.length) {
      if (++wrongRows > MOST_WRONG) throw STOP;
      const more = cells.length > columns.length;
      const place = faults.full(source.file, 'table/cells')
        ? header.whole
        : source.place(source.lineStart(line), source.text.length);
      whole = false;
      faults.error(
        'table/cells',
        place,
        `the row has ${count(cells.length, 'cell')}, the header names ${count(columns.length, 'column')}`,
        more ? 'are there commas inside numbers? write 0.5, not 0,5' : 'an empty cell still needs its comma',
      );
      return;
    }
    lines[n] = line;
    for (let i = 0; i < columns.length; i++) {
      const column = numbers[i];
      if (column !== null) column[n] = takeNumber(cells[i], i, line);
      else texts[i]?.push(cells[i]);
    }
    n++;
  };

  const takeNumber = (cell: string, i: number, line: number): number => {
    const { unit, min, max, help, empty, words } = spec[i]!;
    const x = NUMBER.test(cell) ? Number(cell) : Number.NaN;
    if (x >= min && x <= max) return x;
    const name = columns[i]!;
    const range = `expected ${unitRange(min, max, unit)}`;
    if (cell === '') {
      if (empty !== undefined) return empty;
      wrong('table/empty-cell', line, i, `${name} is empty, ${range}`, help);
    } else if (words !== undefined && Object.hasOwn(words, cell.toLowerCase()))
      return words[cell.toLowerCase()];
    else if (/^[+-]?\d+,\d+$/.test(cell)) {
      wrong(
        'table/comma',
        line,
        i,
        `${name} is ${cell}, which has a comma in its number`,
        `write ${cell.replace(',', '.')} without quotes`,
      );
    } else if (Number.isNaN(x))
      wrong('table/number', line, i, `${name} is ${short(cell)}, which is no number; ${range}`, help);
    else wrong('table/range', line, i, `${name} is ${cell}, ${range}`, help);
    return Number.NaN;
  };

  const reportQuote = (error: { readonly code?: string; readonly lines?: number }): void => {
    const { code, lines: at } = error;
    if (typeof code !== 'string' || typeof at !== 'number') throw error;
    whole = false;
    const open = code === 'CSV_QUOTE_NOT_CLOSED';
    const line = open ? firstOddQuote(source, header.line + 1) : Math.max(1, header.line + at);
    const quote = source.lineStart(line) + Math.max(0, source.line(line).indexOf('"'));
    faults.error(
      'table/quote',
      source.place(quote, open ? source.text.length : quote + 1),
      open ? 'a quote (") opened here is not closed' : 'there is a quote (") inside a cell here',
      open
        ? 'close it in the same cell, or leave it out'
        : 'leave it out, or put the whole cell in quotes and write each quote inside it twice',
    );
  };

  try {
    parse(whole ? body : '', {
      comment: '#',
      comment_no_infix: true,
      record_delimiter: ['\r\n', '\n'],
      relax_column_count: true,
      skip_empty_lines: true,
      skip_records_with_empty_values: true,
      trim: true,
      on_record: (cells: string[], { lines: at }: { lines: number }) => {
        if (cells.some((cell) => cell.includes('\n'))) {
          const line = header.line + at - cells.join('').split('\n').length + 1;
          wrong(
            'table/quote',
            line,
            0,
            'a quote opened in this row closes on a later line',
            'close the quote on the same line',
          );
        } else takeRow(cells, header.line + at);
        return null;
      },
    });
  } catch (error) {
    if (error !== STOP) reportQuote(error as { code?: string; lines?: number });
  }

  const index = (column: string) => columns.indexOf(column);
  return {
    n,
    whole,
    has: (column) => columns.includes(column),
    numbers: (column) => numbers[index(column)]!.subarray(0, n),
    texts: (column) => texts[index(column)]!,
    place: (row, column) => cellPlace(lines[row], index(column)),
  };
}

/** The first line from `line` on whose quotes do not come in pairs. */
function firstOddQuote(source: Source, line: number): number {
  const lines = source.text.split('\n');
  for (let i = line - 1; i < lines.length; i++) {
    if (!lines[i].startsWith('#') && lines[i].split('"').length % 2 === 0) return i + 1;
  }
  return line;
}

const count = (n: number, what: string) => `${n} ${what}${n === 1 ? '' : 's'}`;

const short = (cell: string) => (cell.length > 40 ? `${cell.slice(0, 39)}…` : cell);

function unitRange(min: number, max: number, unit: string): string {
  const tail = unit === '' ? '' : ` ${unit}`;
  if (min === Number.NEGATIVE_INFINITY && max === Number.POSITIVE_INFINITY)
    return `a number${tail === '' ? '' : ` in${tail}`}`;
  return `${min} to ${max}${tail}`;
}
