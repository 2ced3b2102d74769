/** How every kind of road table is opened: its columns, its surfaces, and the checks that all kinds share. */
import type { Place } from '../input/diagnostic.ts';
import type { Faults } from '../input/faults.ts';
import type { Rows } from '../input/table.ts';
import type { Header } from '../input/table-header.ts';
import { readSurfaces, type SurfaceColumn } from './surface-names.ts';

/** What a stage says about its road table. */
export interface TableOptions {
  /** Where it says `closed: true`; null where it does not. */
  readonly closedAt: Place | null;
  /** Whether it names surfaces itself, so that the table need not. */
  readonly surfacesElsewhere?: boolean;
}

/** What differs from kind to kind. */
export interface TableKind {
  readonly what: string; //       "a stations table"
  readonly least: number; //      rows that a road needs
  readonly fewHelp: string; //    said where it has fewer
  readonly closable: boolean; //  may be one lap
  readonly surface: string; //    of a table without the column; '' where the stage's ranges must name it
}

/** A table of n rows as its reader begins with it. */
export interface RoadRows {
  readonly header: Header;
  readonly n: number;
  readonly closed: boolean;
  readonly surfaces: SurfaceColumn;
  has(column: string): boolean;
  /** (n) the column, or `otherwise` in every row where the table has no such column */
  column(name: string, otherwise: number): Float64Array;
  /** (n) a copy of the column, or null where the table has no such column */
  optional(name: string): Float64Array | null;
  /** Where a cell stands; the header once so many faults of this code are known that more are only counted. */
  place(row: number, column: string, code: string): Place;
  /** Whether no fault has been found in the table so far. */
  sound(): boolean;
  /** Reports that the table has one of two columns that only make sense together. */
  both(a: string, b: string, help: string): void;
}

/** Opens the rows of a table. Faults are reported; `sound` tells whether there were any. */
export function openRows(
  header: Header,
  rows: Rows,
  kind: TableKind,
  options: TableOptions,
  faults: Faults,
): RoadRows {
  const { file } = header.source;
  const before = faults.errors;
  const { n } = rows;
  const closed = options.closedAt !== null;
  if (options.closedAt !== null && !kind.closable) {
    faults.error(
      'road/closed',
      options.closedAt,
      `\`closed: true\` needs a points table; ${file} is ${kind.what}`,
      'leave `closed` out: the stage then runs from the first row to the last',
    );
  }
  if (n < kind.least && rows.whole) {
    const count = n === 0 ? 'no rows' : n === 1 ? 'one row' : `${n} rows`;
    const message = `the table has ${count}, expected ${kind.least} or more`;
    faults.error('road/rows', header.whole, message, kind.fewHelp);
  }
  const surfaces = rows.has('surface')
    ? readSurfaces(header, rows, faults)
    : {
        surface: new Int32Array(n),
        surfaceNames: [kind.surface],
        firstUse: new Map([[kind.surface, header.whole]]),
      };
  return {
    header,
    n,
    closed,
    surfaces,
    has: rows.has,
    column: (name, otherwise) => (rows.has(name) ? rows.numbers(name) : new Float64Array(n).fill(otherwise)),
    optional: (name) => (rows.has(name) ? rows.numbers(name).slice() : null),
    place: (row, column, code) => (faults.full(file, code) ? header.whole : rows.place(row, column)),
    sound: () => rows.whole && faults.errors === before,
    both: (a, b, help) => {
      if (rows.has(a) === rows.has(b)) return;
      const [has, misses] = rows.has(a) ? [a, b] : [b, a];
      faults.error('table/column', header.whole, `there is a column ${has} but no ${misses}`, help);
    },
  };
}

/** What is assumed of a table without grade or crossfall, one sentence each. */
export function levelAssumptions(rows: RoadRows): string[] {
  const said: string[] = [];
  if (!rows.has('grade_pct'))
    said.push('The road table has no column grade_pct: the road is taken as level.');
  if (!rows.has('crossfall_deg'))
    said.push('The road table has no column crossfall_deg: the road is taken as level across.');
  return said;
}
