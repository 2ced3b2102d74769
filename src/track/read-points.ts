/** A road given as surveyed points of its centre line, through which a curve with continuous curvature is laid. */

import type { Place } from '../input/diagnostic.ts';
import type { Faults } from '../input/faults.ts';
import { wholeFile } from '../input/source.ts';
import type { Rows } from '../input/table.ts';
import type { Header } from '../input/table-header.ts';
import { fitCentreline } from './centreline.ts';
import type { PlacedRoad } from './read-road.ts';
import { readSurfaces } from './surface-names.ts';

const LEAST_POINTS = 4; // a cubic needs four
const SURFACE = 'asphalt'; // where the table has no column: most surveyed centre lines are of paved roads

/** Builds the road. @returns null where a row is wrong (reported) */
export function buildPoints(
  header: Header,
  rows: Rows,
  options: { readonly closedAt: Place | null },
  faults: Faults,
): PlacedRoad | null {
  const { file } = header.source;
  const closed = options.closedAt !== null;
  const before = faults.errors;
  const surfaces = rows.has('surface') ? readSurfaces(header, rows, faults) : null;
  const x = rows.numbers('x_m').slice();
  const y = rows.numbers('y_m').slice();
  const z = rows.has('z_m') ? rows.numbers('z_m').slice() : null;
  const width = readWidth(header, rows, faults);
  const { n } = rows;
  const joined = closed && n > 1 && x[0] === x[n - 1] && y[0] === y[n - 1];
  if (n - (joined ? 1 : 0) < LEAST_POINTS && rows.whole) {
    faults.error(
      'road/rows',
      header.whole,
      `the table has ${n} points, expected ${LEAST_POINTS} or more`,
      'a curve is laid through the points; give one every 5 to 20 m',
    );
  }
  for (let i = 1; i < n; i++) {
    if (x[i] !== x[i - 1] || y[i] !== y[i - 1]) continue;
    const place = faults.full(file, 'road/point-twice') ? header.whole : rows.place(i, 'x_m');
    faults.error(
      'road/point-twice',
      place,
      `the point ${x[i]}, ${y[i]} is the same as in the row above`,
      'leave one of the two rows out',
    );
  }
  if (!rows.whole || faults.errors > before) return null;

  const surfaceNames = surfaces?.surfaceNames ?? [SURFACE];
  try {
    const road = fitCentreline(
      { x, y, z, width, surface: surfaces?.surface ?? null },
      { closed, surfaceNames },
    );
    const assumptions = [...road.assumptions];
    if (surfaces === null) assumptions.push(`The road table has no column surface: ${SURFACE} throughout.`);
    const surfacePlaces = surfaces?.firstUse ?? new Map([[SURFACE, header.whole]]);
    return { road: { ...road, assumptions }, surfacePlaces };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    faults.error(
      'road/curve',
      wholeFile(file),
      `no curve can be laid through the points: ${error.message}`,
      'are the points in the order of travel?',
    );
    return null;
  }
}

/** Width of the road [m]: one column, or what lies to the left and to the right of the points added up; null: none. */
function readWidth(header: Header, rows: Rows, faults: Faults): Float64Array | null {
  const [left, right] = [rows.has('width_left_m'), rows.has('width_right_m')];
  if (left !== right) {
    const [has, misses] = left ? ['width_left_m', 'width_right_m'] : ['width_right_m', 'width_left_m'];
    faults.error(
      'table/column',
      header.whole,
      `there is a column ${has} but no ${misses}`,
      'give both, or the whole width as width_m',
    );
  }
  if (left && rows.has('width_m')) {
    faults.error(
      'table/column',
      header.whole,
      'the width is given twice: as width_m, and as width_left_m with width_right_m',
      'leave one of the two out',
    );
  }
  if (rows.has('width_m')) return rows.numbers('width_m').slice();
  if (!left || !right) return null;
  const onRight = rows.numbers('width_right_m');
  return rows.numbers('width_left_m').map((w, i) => w + onRight[i]);
}
