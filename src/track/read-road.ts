/** A road table, whichever of the three kinds it is: the columns in its header tell. */
import type { Place } from '../input/diagnostic.ts';
import type { Faults } from '../input/faults.ts';
import { type FileAccess, TABLE_LIMIT } from '../input/file-access.ts';
import { nearest } from '../input/nearest.ts';
import { readSource, type Source, wholeFile } from '../input/source.ts';
import { readRows } from '../input/table.ts';
import { type ColumnNames, checkColumns, type Header, readHeader } from '../input/table-header.ts';
import { readOpenDrive } from './open-drive.ts';
import { chainOf, type NamedRoads } from './open-drive-chain.ts';
import { tabulate } from './open-drive-road.ts';
import { buildElements, elementsKind } from './read-elements.ts';
import { buildPoints, pointsKind } from './read-points.ts';
import { buildStations, stationsKind } from './read-stations.ts';
import { allowedColumns, elementColumns, pointColumns, stationColumns } from './road-columns.ts';
import { openRows, type TableOptions } from './road-rows.ts';
import type { RoadTable } from './road-table.ts';
import type { LaidSurface } from './surface-ranges.ts';

/** What a stage says about its road table. */
export interface RoadOptions extends TableOptions {
  /** The roads of an OpenDRIVE file that make the stage; absent where it does not say. */
  readonly roads?: NamedRoads | undefined;
  readonly columns: ColumnNames | null;
}

/** A road with the places that later faults point to. */
export interface PlacedRoad {
  readonly road: RoadTable;
  readonly surfacePlaces: ReadonlyMap<string, Place>; // where each surface is first written
  readonly hasSurfaces: boolean; // false: the table has no column for them
  readonly laid?: ReadonlyMap<string, LaidSurface>; // what its names stand for, where not for themselves
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
    ...stationsKind,
    specs: stationColumns,
    required: ['station_m', 'curvature_1pm', 'surface'],
    build: buildStations,
  },
  elements: {
    ...elementsKind,
    specs: elementColumns,
    required: ['length_m', 'radius_m', 'surface'],
    build: buildElements,
  },
  points: { ...pointsKind, specs: pointColumns, required: ['x_m', 'y_m'], build: buildPoints },
} as const;

const EXAMPLE = 'station_m,curvature_1pm,surface (a road) or engine_rpm,torque_Nm (an engine)';

/** As `readRoad`, for text already at hand. */
export function roadFrom(source: Source, options: RoadOptions, faults: Faults): PlacedRoad | null {
  if (/\.xodr$/i.test(source.file) || /^\s*</.test(source.text.slice(0, 100)))
    return fromOpenDrive(source, options, faults);
  if (options.roads !== undefined) {
    faults.error(
      'road/roads',
      options.roads.place(0),
      `\`roads\` names roads of an OpenDRIVE file; ${source.file} is a table`,
      'leave `roads` out',
    );
  }
  const header = readHeader(source, roadColumnNames, EXAMPLE, options.columns, faults);
  if (header === null) return null;
  const name = roadKind(header.columns);
  if (name === null) {
    reportUnknownKind(header, faults);
    return null;
  }
  if (name === 'stations' && reportNoCurvature(header, faults)) return null;
  const kind = kinds[name];
  const stranger = (column: string) => `leave it out with \`columns: {${column}: ignore}\` in the stage`;
  const required = kind.required.filter((column) => column !== 'surface' || !options.surfacesElsewhere);
  if (!checkColumns(header, allowedColumns[name], required, options.columns, kind.what, faults, stranger))
    return null;
  const rows = openRows(header, readRows(header, kind.specs, faults), kind, options, faults);
  const road = kind.build(rows, faults);
  if (road === null) return null;
  const hasSurfaces = rows.has('surface');
  const assumptions =
    hasSurfaces || options.surfacesElsewhere
      ? road.assumptions
      : [...road.assumptions, `The road table has no column surface: ${kind.surface} throughout.`];
  return { road: { ...road, assumptions }, surfacePlaces: rows.surfaces.firstUse, hasSurfaces };
}

function fromOpenDrive(source: Source, options: RoadOptions, faults: Faults): PlacedRoad | null {
  const { file } = source;
  if (options.closedAt !== null) {
    faults.error(
      'road/closed',
      options.closedAt,
      `\`closed: true\` needs a points table; ${file} is an OpenDRIVE file`,
      'leave `closed` out: the stage then runs from the start of the first road to the end of the last',
    );
  }
  for (const name of options.columns?.names.keys() ?? []) {
    faults.error(
      'road/columns',
      options.columns!.place(name),
      `\`columns\` renames columns of a table; ${file} is an OpenDRIVE file`,
      'leave `columns` out',
    );
  }
  const roads = readOpenDrive(source, faults);
  const chain = roads === null ? null : chainOf(roads, options.roads ?? null, file, faults);
  const read = chain === null ? null : tabulate(chain, file, faults);
  if (read === null) return null;
  const surfacePlaces = new Map([...read.laid.values()].map(({ surface }) => [surface, wholeFile(file)]));
  return { ...read, surfacePlaces };
}

const isDegrees = (name: string | null) => name !== null && /^(lat|lon|lng)/i.test(name);
const surveyHelp = (file: string) =>
  `\`splitcast survey ${file} --out FOLDER\` makes a stage from latitude and longitude`;

/** Says what to do with a stations table that tells its bends in another way. @returns whether it does */
function reportNoCurvature({ columns, place, source }: Header, faults: Faults): boolean {
  if (columns.includes('curvature_1pm')) return false;
  const radius = columns.indexOf('radius_m');
  const degrees = columns.findIndex(isDegrees);
  if (radius !== -1) {
    faults.error(
      'road/kind',
      place(radius),
      'radius_m is no column of a stations table, which has curvature_1pm',
      'write 1/radius in a column curvature_1pm: 0.02 for a left-hand bend of 50 m, -0.02 for a right-hand one, 0 where straight',
    );
  } else if (degrees !== -1) {
    faults.error(
      'road/kind',
      place(degrees),
      `a stations table has curvature_1pm; ${columns[degrees]} is a position`,
      surveyHelp(source.file),
    );
  } else return false;
  return true;
}

function reportUnknownKind(header: Header, faults: Faults): void {
  const keys = ['station_m', 'length_m', 'x_m', 'y_m'];
  const near = header.columns.map((name) =>
    name === null || roadColumnNames.includes(name) ? null : nearest(name, keys),
  );
  const at = near.findIndex((name) => name !== null);
  const degrees = header.columns.some(isDegrees);
  let help = 'docs/files.md shows each kind; `columns: {theirs: ours}` in the stage renames columns';
  if (degrees) help = surveyHelp(header.source.file);
  else if (at !== -1)
    help = `did you mean ${near[at]}? \`columns: {${header.columns[at]}: ${near[at]}}\` in the stage renames a column`;
  faults.error(
    'road/kind',
    at === -1 || degrees ? header.whole : header.place(at),
    'the header tells no kind of road table; expected a column station_m, or length_m, or x_m and y_m',
    help,
  );
}
