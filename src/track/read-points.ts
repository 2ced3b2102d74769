/** A road given as surveyed points of its centre line, through which a curve with continuous curvature is laid. */
import type { Faults } from '../input/faults.ts';
import { wholeFile } from '../input/source.ts';
import { fitCentreline } from './centreline.ts';
import type { RoadRows } from './road-rows.ts';
import type { RoadTable } from './road-table.ts';

/** What sets a points table apart. */
export const pointsKind = {
  what: 'a points table',
  least: 4, // a cubic needs four
  fewHelp: 'a curve is laid through the points; give one every 5 to 20 m',
  closable: true,
  surface: 'asphalt', // where the table has no column: most surveyed centre lines are of paved roads
};

/** Builds the road. @returns null where a row is wrong (reported) */
export function buildPoints(rows: RoadRows, faults: Faults): RoadTable | null {
  const { n, closed, header, surfaces } = rows;
  const x = rows.column('x_m', 0).slice();
  const y = rows.column('y_m', 0).slice();
  const z = rows.optional('z_m');
  const width = readWidth(rows, faults);
  for (let i = 1; i < n; i++) {
    if (x[i] !== x[i - 1] || y[i] !== y[i - 1]) continue;
    faults.error(
      'road/point-twice',
      rows.place(i, 'x_m', 'road/point-twice'),
      `the point ${x[i]}, ${y[i]} is the same as in the row above`,
      'leave one of the two rows out',
    );
  }
  if (!rows.sound()) return null;

  const { surface, surfaceNames } = surfaces;
  try {
    return fitCentreline({ x, y, z, width, surface }, { closed, surfaceNames });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    faults.error(
      'road/curve',
      wholeFile(header.source.file),
      `no curve can be laid through the points: ${error.message}`,
      'are the points in the order of travel?',
    );
    return null;
  }
}

/** Width of the road [m]: one column, or what lies to the left and to the right of the points added up; null: none. */
function readWidth(rows: RoadRows, faults: Faults): Float64Array | null {
  rows.both('width_left_m', 'width_right_m', 'give both, or the whole width as width_m');
  if (rows.has('width_m') && rows.has('width_left_m') && rows.has('width_right_m')) {
    faults.error(
      'table/column',
      rows.header.whole,
      'the width is given twice: as width_m, and as width_left_m with width_right_m',
      'leave one of the two out',
    );
  }
  const whole = rows.optional('width_m');
  const left = rows.optional('width_left_m');
  const right = rows.optional('width_right_m');
  return whole ?? (left !== null && right !== null ? left.map((w, i) => w + right[i]) : null);
}
