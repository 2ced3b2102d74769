/** The first line of a table: which columns it has, and under which names we know them. */
import type { Place } from './diagnostic.ts';
import type { Faults } from './faults.ts';
import { nearest } from './nearest.ts';
import type { Source } from './source.ts';

/** One cell of a line: its text without quotes, and where it stands in the line. */
export interface Cell {
  readonly text: string;
  readonly start: number;
  readonly end: number;
}

/** Names that a stage gives to the columns of its road table: `ignore` leaves a column out. */
export interface ColumnNames {
  readonly names: ReadonlyMap<string, string>;
  /** Where the stage says so, to report a name that the table does not have. */
  place(theirs: string): Place;
}

export interface Header {
  readonly source: Source;
  readonly columns: readonly (string | null)[]; // our names; null: left out
  readonly cells: readonly Cell[];
  readonly line: number;
  readonly place: (column: number) => Place;
  /** The header as a whole. */
  readonly whole: Place;
}

/** Takes a line apart at its commas; quoted cells may hold commas. */
export function cellsOf(line: string): Cell[] {
  const cells: Cell[] = [];
  const pattern = /\s*(?:"((?:[^"]|"")*)"\s*|([^,]*))(?:,|$)/gy;
  for (let at = 0; at <= line.length; ) {
    pattern.lastIndex = at;
    const found = pattern.exec(line);
    if (found === null) {
      cells.push({ text: line.slice(at), start: at, end: line.length });
      break;
    }
    const text = found[1] !== undefined ? found[1].replaceAll('""', '"') : found[2].trim();
    const lead = found[0].length - found[0].trimStart().length;
    const body = found[0].replace(/,$/, '').trim();
    cells.push({ text, start: at + lead, end: at + lead + body.length });
    at = pattern.lastIndex;
    if (!found[0].endsWith(',')) break;
  }
  return cells;
}

/**
 * Finds the header: the first line that is neither empty nor a comment, or a first line `# a,b` that names columns.
 * @param known every column name that some table of ours may have
 * @param example a header to show where there is none
 * @returns null where there is none or the cells are not separated by commas; the fault is reported
 */
export function readHeader(
  source: Source,
  known: readonly string[],
  example: string,
  rename: ColumnNames | null,
  faults: Faults,
): Header | null {
  const ours = (name: string): string => rename?.names.get(name) ?? name;
  const isKnown = (cell: Cell) => known.includes(ours(cell.text)) || rename?.names.has(cell.text) === true;

  let line = 1;
  let start = 0;
  let cells: Cell[] | null = null;
  for (; start <= source.text.length && cells === null; line++) {
    const next = source.text.indexOf('\n', start);
    const end = next === -1 ? source.text.length : next;
    // A line longer than this is no header; more of it would only cost time. No source.
    const text = source.text.slice(start, Math.min(end, start + 10_000)).replace(/\r$/, '');
    if (text.startsWith('#')) {
      if (line === 1) {
        const lead = text.length - text.replace(/^#\s*/, '').length;
        const commented = cellsOf(text.slice(lead)).map((c) => ({
          ...c,
          start: c.start + lead,
          end: c.end + lead,
        }));
        if (commented.filter(isKnown).length >= 2) cells = commented;
      }
    } else if (text.trim() !== '') cells = cellsOf(text);
    if (cells === null) start = end + 1;
  }
  line--;
  if (cells === null) {
    faults.error(
      'table/empty',
      source.place(0, 0),
      'the table holds no header and no rows',
      'docs/files.md shows a whole example of each table',
    );
    return null;
  }
  const headerCells = cells;
  const place = (i: number) => source.place(start + headerCells[i].start, start + headerCells[i].end);
  const whole = source.place(start + cells[0].start, start + cells.at(-1)!.end);
  if (cells.length === 1 && /[;\t]/.test(cells[0].text)) {
    const by = cells[0].text.includes(';') ? 'semicolons' : 'tabs';
    faults.error(
      'table/separator',
      whole,
      `the cells are separated by ${by}, expected commas`,
      'save the table again as CSV with commas between cells and decimal points in numbers (0.5, not 0,5)',
    );
    return null;
  }
  if (/^[-+.]?\d/.test(cells[0].text)) {
    faults.error(
      'table/header',
      whole,
      'the first line holds numbers, expected the names of the columns',
      `put a line such as ${example} above it`,
    );
    return null;
  }
  return {
    source,
    cells,
    line,
    place,
    whole,
    columns: cells.map((c) => (ours(c.text) === 'ignore' ? null : ours(c.text))),
  };
}

/** The unit of our column where theirs differs from it in the unit alone, as `power_hp` from `power_kW`; else null. */
function unitInstead(theirs: string, ours: string): string | null {
  const [stem, unit] = ours.split(/_(?=[^_]*$)/);
  return unit !== undefined && theirs.startsWith(`${stem}_`) ? unit : null;
}

/** Checks the names against those that this kind of table may and must have. @returns whether all is well */
export function checkColumns(
  header: Header,
  allowed: readonly string[],
  required: readonly string[],
  rename: ColumnNames | null,
  what: string,
  faults: Faults,
  strangers: (name: string) => string,
): boolean {
  const before = faults.errors;
  const seen = new Set<string>();
  for (const [i, name] of header.columns.entries()) {
    if (name === null) continue;
    if (name === '') {
      faults.error(
        'table/column',
        header.place(i),
        `column ${i + 1} has no name`,
        'name it, or leave the column out',
      );
    } else if (!allowed.includes(name)) {
      const left = allowed.filter((a) => !header.columns.includes(a));
      const near = nearest(name, left) ?? left.find((a) => unitInstead(name, a) !== null) ?? null;
      const unit = near === null ? null : unitInstead(name, near);
      faults.error(
        'table/column',
        header.place(i),
        `${name} is not a column of ${what}`,
        near === null
          ? `the columns are ${allowed.join(', ')}; ${strangers(name)}`
          : `did you mean ${near}${unit === null ? '' : `, with values in ${unit}`}? If not: ${strangers(name)}`,
      );
    } else if (seen.has(name)) {
      faults.error('table/column', header.place(i), `there are two columns ${name}`, 'leave one of them out');
    }
    seen.add(name);
  }
  for (const name of required) {
    if (!seen.has(name)) {
      faults.error(
        'table/column',
        header.whole,
        `the column ${name} is missing`,
        `${what} has the columns ${required.join(', ')}, and may have ${allowed.filter((a) => !required.includes(a)).join(', ')}`,
      );
    }
  }
  for (const theirs of rename?.names.keys() ?? []) {
    if (header.cells.some((c) => c.text === theirs)) continue;
    const names = header.cells.map((c) => c.text);
    const near = nearest(theirs, names);
    faults.error(
      'table/column',
      rename!.place(theirs),
      `${header.source.file} has no column ${theirs}`,
      near === null ? `its columns are ${names.join(', ')}` : `did you mean ${near}?`,
    );
  }
  return faults.errors === before;
}
