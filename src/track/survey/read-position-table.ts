/** Positions in a CSV table: latitude and longitude, or metres of a plane. */
import type { Faults } from '../../input/faults.ts';
import { nearest } from '../../input/nearest.ts';
import type { Source } from '../../input/source.ts';
import { type NumberColumn, readRows } from '../../input/table.ts';
import { type Header, readHeader } from '../../input/table-header.ts';
import { height, position, width } from '../road-columns.ts';
import {
  HIGHEST,
  LATITUDE,
  LONGITUDE,
  LOWEST,
  MOST_POINTS,
  type Recording,
  RecordingBuilder,
} from './recording.ts';

const ANY = Number.POSITIVE_INFINITY;

const columns: Readonly<Record<string, NumberColumn>> = {
  lat_deg: {
    unit: 'degrees',
    min: -LATITUDE,
    max: LATITUDE,
    help: 'decimal degrees on WGS 84, such as 46.52337, south negative',
  },
  lon_deg: {
    unit: 'degrees',
    min: -LONGITUDE,
    max: LONGITUDE,
    help: 'decimal degrees on WGS 84, such as 7.21234, west negative',
  },
  x_m: position,
  y_m: position,
  z_m: {
    ...height,
    min: -ANY,
    max: ANY,
    help: `metres above sea level; empty, or beyond ${LOWEST} to ${HIGHEST} m, where not known`,
    empty: Number.NaN,
    words: { nan: Number.NaN },
  },
  time_s: {
    unit: 's',
    min: -ANY,
    max: ANY,
    help: 'seconds, counted from any moment; empty where not known',
    empty: Number.NaN,
  },
  width_m: width,
};

/** Other names that people and receivers give to these columns; all are read without case. */
const ALSO: Readonly<Record<string, readonly string[]>> = {
  lat_deg: ['lat', 'latitude'],
  lon_deg: ['lon', 'lng', 'long', 'longitude'],
  x_m: ['x', 'easting', 'easting_m'],
  y_m: ['y', 'northing', 'northing_m'],
  z_m: ['z', 'height', 'height_m', 'ele', 'elevation', 'elevation_m', 'altitude', 'altitude_m', 'alt'],
  time_s: [],
  width_m: ['width'],
};

const ours = new Map<string, string>();
for (const [name, others] of Object.entries(ALSO))
  for (const other of [name, ...others]) ours.set(other, name);
const allNames = [...ours.keys()];

/** Reads a table of positions as one recording. @returns null where it is not to be used (reported) */
export function readPositionTable(source: Source, faults: Faults): Recording | null {
  const read = readHeader(
    source,
    [...allNames, ...allNames.map((name) => name.toUpperCase())],
    'lat_deg,lon_deg,z_m (degrees) or x_m,y_m,z_m (metres)',
    null,
    faults,
  );
  if (read === null) return null;
  const before = faults.errors;
  const { header, left } = withOurNames(read, faults);
  const has = (name: string) => header.columns.includes(name);
  const degrees = has('lat_deg') || has('lon_deg');
  const [east, north] = degrees ? ['lon_deg', 'lat_deg'] : ['x_m', 'y_m'];
  if (!has(east) || !has(north)) {
    const missing = has(east) ? north : has(north) ? east : null;
    faults.error(
      'table/column',
      header.whole,
      missing === null ? 'the header names no positions' : `the column ${missing} is missing`,
      'positions are lat_deg and lon_deg in degrees on WGS 84, or x_m and y_m in metres of a plane; z_m (height), time_s and width_m may be given',
    );
  } else if (degrees && (has('x_m') || has('y_m'))) {
    faults.error(
      'table/column',
      header.whole,
      'the header names both degrees and metres',
      'leave lat_deg and lon_deg out, or x_m and y_m',
    );
  }
  if (faults.errors > before) return null;

  // Counted before the cells are read, which takes a hundred times as long.
  if (hasMoreLines(source.text, MOST_POINTS + header.line)) {
    faults.error(
      'survey/points',
      header.whole,
      `the table has more than ${MOST_POINTS} rows`,
      'cut it to the road, or keep fewer points a second',
    );
    return null;
  }
  const rows = readRows(header, columns, faults);
  if (!rows.whole) return null;
  if (rows.n < 2) {
    faults.error(
      'survey/empty',
      header.whole,
      `the table has ${rows.n === 0 ? 'no rows' : 'one row'}`,
      'write a row for each point, in the order of travel',
    );
    return null;
  }
  const builder = new RecordingBuilder();
  const x = rows.numbers(east);
  const y = rows.numbers(north);
  const z = has('z_m') ? rows.numbers('z_m') : null;
  const time = has('time_s') ? rows.numbers('time_s') : null;
  for (let i = 0; i < rows.n; i++) builder.add(x[i], y[i], z?.[i] ?? Number.NaN, time?.[i] ?? Number.NaN);
  const remarks = left.length > 0 ? [`Columns not read: ${left.join(', ')}.`] : [];
  return builder.build(
    {
      name: '',
      what: 'table',
      place: header.whole,
      degrees,
      width: has('width_m') ? rows.numbers('width_m').slice() : null,
    },
    remarks,
  );
}

/** Whether a text has more than so many lines, its last line end not counted. */
function hasMoreLines(text: string, most: number): boolean {
  let lines = 1;
  for (let at = text.indexOf('\n'); at !== -1 && at < text.length - 1; at = text.indexOf('\n', at + 1)) {
    if (++lines > most) return true;
  }
  return false;
}

/** The header with our names; columns that mean nothing to us are left out and named, likely slips are refused. */
function withOurNames(
  read: Header,
  faults: Faults,
): { readonly header: Header; readonly left: readonly string[] } {
  const names = read.cells.map((cell) => ours.get(cell.text.toLowerCase()) ?? null);
  const left: string[] = [];
  for (const [i, name] of names.entries()) {
    const written = read.cells[i].text;
    if (name === null) {
      const free = Object.keys(columns).filter((column) => !names.includes(column));
      const near = nearest(
        written,
        free.flatMap((column) => [column, ...ALSO[column]]).filter((known) => known.length > 3),
      );
      if (near === null) left.push(written);
      else
        faults.error(
          'table/column',
          read.place(i),
          `${written} is not a column of positions`,
          `did you mean ${near}? If not, rename the column: others are left out`,
        );
    } else if (names.indexOf(name) !== i) {
      faults.error(
        'table/column',
        read.place(i),
        `${read.cells[names.indexOf(name)].text} and ${written} both stand for ${name}`,
        'leave one of them out',
      );
    }
  }
  return { header: { ...read, columns: names }, left };
}
