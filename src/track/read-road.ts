/** A road table, whichever of the three kinds it is: the columns in its header tell. */
import type { Place } from '../input/diagnostic.ts';
import type { Faults } from '../input/faults.ts';
import { type FileAccess, TABLE_LIMIT } from '../input/file-access.ts';
import { nearest } from '../input/nearest.ts';
import { readSource, type Source } from '../input/source.ts';
import { type Rows, readRows } from '../input/table.ts';
import { type ColumnNames, checkColumns, type Header, readHeader } from '../input/table-header.ts';
import { buildElements } from './read-elements.ts';
import { buildPoints } from './read-points.ts';
import { buildStations } from './read-stations.ts';
import { allowedColumns, elementColumns, pointColumns, stationColumns } from './road-columns.ts';
import type { RoadTable } from './road-table.ts';

/** What a stage says about its road table. */
export interface RoadOptions {
  /** Where it says `closed: true`; null where it does not. */
  readonly closedAt: Place | null;
  readonly columns: ColumnNames | null;
}

/** A road with the places that later faults point to. */
export interface PlacedRoad {
  readonly road: RoadTable;
  readonly surfacePlaces: ReadonlyMap<string, Place>; // where each surface is first written
}

export type RoadKind = keyof typeof allowedColumns;

/** The kind of a header's road table, or null where it is none. */
export function roadKind(columns: readonly (string | null)[]): RoadKind | null {
  if (columns.includes('station_m')) return 'stations';
  if (columns.includes('length_m')) return 'elements';
  if (columns.includes('x_m') && columns.includes('y_m')) return 'points';
  return null;
}

export const roadColumnNames: readonly string[] = [...new Set(Object.values(allowedColumns).flat())];

/** Reads a road table file. @returns null where it has errors; all are reported */
export function readRoad(
  path: string,
  files: FileAccess,
  options: RoadOptions,
  faults: Faults,
  namedAt: Place | null,
): PlacedRoad | null {
  const source = readSource(path, files, TABLE_LIMIT, faults, namedAt);
  return source === null ? null : roadFrom(source, options, faults);
}

const kinds = {
  stations: {
    what: 'a stations table',
    specs: stationColumns,
    required: ['station_m', 'curvature_1pm', 'surface'],
    build: buildStations,
  },
  elements: {
    what: 'an elements table',
    specs: elementColumns,
    required: ['length_m', 'radius_m', 'surface'],
    build: buildElements,
  },
  points: { what: 'a points table', specs: pointColumns, required: ['x_m', 'y_m'], build: buildPoints },
} as const;

const EXAMPLE = 'station_m,curvature_1pm,surface (a road) or engine_rpm,torque_Nm (an engine)';

/** As `readRoad`, for text already at hand. */
export function roadFrom(source: Source, options: RoadOptions, faults: Faults): PlacedRoad | null {
  const header = readHeader(source, roadColumnNames, EXAMPLE, options.columns, faults);
  if (header === null) return null;
  const kind = roadKind(header.columns);
  if (kind === null) {
    reportUnknownKind(header, faults);
    return null;
  }
  const { what, specs, required, build } = kinds[kind];
  const stranger = (name: string) => `leave it out with \`columns: {${name}: ignore}\` in the stage`;
  if (!checkColumns(header, allowedColumns[kind], required, options.columns, what, faults, stranger))
    return null;
  const rows: Rows = readRows(header, specs, faults);
  return build(header, rows, options, faults);
}

function reportUnknownKind(header: Header, faults: Faults): void {
  const keys = ['station_m', 'length_m', 'x_m', 'y_m'];
  const near = header.columns.map((name) =>
    name === null || roadColumnNames.includes(name) ? null : nearest(name, keys),
  );
  const at = near.findIndex((name) => name !== null);
  const degrees = header.columns.some((name) => name !== null && /^(lat|lon|lng)/i.test(name));
  let help = 'docs/files.md shows each kind; `columns: {theirs: ours}` in the stage renames columns';
  if (degrees)
    help = 'points are read in metres of a plane grid, x_m and y_m; convert latitude and longitude first';
  else if (at !== -1)
    help = `did you mean ${near[at]}? \`columns: {${header.columns[at]}: ${near[at]}}\` in the stage renames a column`;
  faults.error(
    'road/kind',
    at === -1 || degrees ? header.whole : header.place(at),
    'the header tells no kind of road table; expected a column station_m, or length_m, or x_m and y_m',
    help,
  );
}
