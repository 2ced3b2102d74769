/** What people have of a road, whatever the file: GPX, GeoJSON or a CSV table; the text tells which. */
import type { Faults } from '../../input/faults.ts';
import { type FileAccess, TABLE_LIMIT } from '../../input/file-access.ts';
import { readSource } from '../../input/source.ts';
import { readGeojson } from './read-geojson.ts';
import { readGpx } from './read-gpx.ts';
import { readPositionTable } from './read-position-table.ts';
import type { Recording } from './recording.ts';

/** Reads a file of positions. @returns its recordings, each of two points or more; what is wrong is reported */
export function readRecordings(path: string, files: FileAccess, faults: Faults): Recording[] {
  const source = readSource(path, files, TABLE_LIMIT, faults, null);
  if (source === null) return [];
  const first = /\S/.exec(source.text)?.[0];
  if (first === '<') return readGpx(source, faults);
  if (first === '{' || (first === '[' && /\.(?:geo)?json$/i.test(path))) return readGeojson(source, faults);
  const table = readPositionTable(source, faults);
  return table === null ? [] : [table];
}
