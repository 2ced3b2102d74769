/** The call list of pace notes: what is called where, as the scale understands it. */
import { Faults } from '../input/faults.ts';
import { type FileAccess, TABLE_LIMIT } from '../input/file-access.ts';
import { readSource } from '../input/source.ts';
import { type NumberColumn, type Rows, readRows } from '../input/table.ts';
import { checkColumns, type Header, readHeader } from '../input/table-header.ts';
import type { ModifierMeaning, PaceNoteScale } from './pace-notes-scale.ts';
import { type CalledBend, CallReader, type ReadCall } from './pace-notes-words.ts';
import { grade } from './road-columns.ts';

/** One call. */
export interface Call {
  readonly at: number; //                  where what it calls begins [m] from the start line
  readonly text: string; //                as written
  readonly bend: CalledBend | null; //     null: the road goes straight on
  readonly crest: ModifierMeaning | null; // a crest or dip whose top or bottom lies here
  readonly grade: number | null; //        [–] from here on; null: as before
  readonly surface: string | null; //      from here on; null: as before
}

export interface CallList {
  readonly calls: readonly Call[]; // in the order of travel, the finish not among them
  readonly finish: number; //         [m]
}

const columns: Readonly<Record<string, NumberColumn>> = {
  distance_m: {
    unit: 'm',
    min: 0,
    max: 1e6,
    help: 'metres from the start line to where the bend begins, rising from row to row',
  },
  grade_pct: { ...grade, empty: Number.NaN },
};
const ALLOWED = [...Object.keys(columns), 'call', 'surface', 'note'];

/** Calls closer than this are one place on the road [m]. Common practice, no source. */
const LEAST_GAP = 1;

/** Reads a call list. @returns null where it has errors; all are reported */
export function readCalls(
  path: string,
  files: FileAccess,
  scale: PaceNoteScale,
  all: Faults,
): CallList | null {
  const faults = new Faults();
  const list = callsFrom(path, files, scale, faults);
  all.take(faults);
  return faults.failed ? null : list;
}

function callsFrom(path: string, files: FileAccess, scale: PaceNoteScale, faults: Faults): CallList | null {
  const source = readSource(path, files, TABLE_LIMIT, faults, null);
  if (source === null) return null;
  const header = readHeader(source, ALLOWED, 'distance_m,call', null, faults);
  if (header === null) return null;
  const stranger = () => 'remarks belong into a column note';
  if (!checkColumns(header, ALLOWED, ['distance_m', 'call'], null, 'a call list', faults, stranger))
    return null;
  const rows = readRows(header, columns, faults);
  const distance = rows.numbers('distance_m');
  const texts = rows.texts('call');
  const read = texts.map((text, i) => new CallReader(text, rows, i, header, scale, faults).read());
  if (!rows.whole) return null;
  checkDistances(rows, distance, header, faults);
  checkFinish(rows, read, header, faults);
  if (faults.failed) return null;
  const optional = (name: string) => (rows.has(name) ? rows.numbers(name) : null);
  const percent = optional('grade_pct');
  const surface = rows.has('surface') ? rows.texts('surface') : null;
  const n = rows.n - 1;
  return {
    finish: Math.round(distance[n] * 1000) / 1000,
    calls: Array.from({ length: n }, (_, i) => ({
      at: Math.round(distance[i] * 1000) / 1000, // as a table has it
      text: texts[i],
      bend: read[i].bend,
      crest: read[i].crest,
      grade: percent === null || Number.isNaN(percent[i]) ? null : percent[i] / 100,
      surface: surface === null || surface[i] === '' ? null : surface[i],
    })),
  };
}

function checkDistances(rows: Rows, distance: Float64Array, header: Header, faults: Faults): void {
  for (let i = 1; i < rows.n; i++) {
    const gap = distance[i] - distance[i - 1];
    if (gap >= LEAST_GAP) continue;
    const full = faults.full(header.source.file, 'notes/distance');
    faults.error(
      'notes/distance',
      full ? header.whole : rows.place(i, 'distance_m'),
      gap < 0
        ? `distance_m falls from ${distance[i - 1]} to ${distance[i]} m; expected it to rise`
        : `the calls at ${distance[i - 1]} and ${distance[i]} m are less than ${LEAST_GAP} m apart`,
      gap < 0 ? 'sort the calls along the road' : 'put them into one call, such as `left 4 over crest`',
    );
  }
}

function checkFinish(rows: Rows, read: readonly ReadCall[], header: Header, faults: Faults): void {
  const at = read.findIndex((call) => call.finish);
  if (at === -1) {
    faults.error(
      'notes/finish',
      rows.n === 0 ? header.whole : rows.place(rows.n - 1, 'call'),
      'the call list has no finish',
      'write it as the last call, such as `8420,finish`, so that the length of the stage is known',
    );
  } else if (at < rows.n - 1) {
    faults.error(
      'notes/finish',
      rows.place(at + 1, 'call'),
      'there is a call after the finish',
      'leave it out, or move the finish to the end',
    );
  } else if (rows.n > 0 && rows.numbers('distance_m')[at] < LEAST_GAP) {
    faults.error(
      'notes/finish',
      rows.place(at, 'distance_m'),
      'the finish lies at the start line',
      'distances count from the start line, in metres',
    );
  }
}
