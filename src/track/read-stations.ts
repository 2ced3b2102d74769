/** A road given at stations: rows along it, linear between neighbours; two rows at one station make a step. */
import type { Place } from '../input/diagnostic.ts';
import type { Faults } from '../input/faults.ts';
import { levelAssumptions, type RoadRows } from './road-rows.ts';
import type { RoadTable } from './road-table.ts';
import { warnCrossfallSteps } from './road-warnings.ts';

const RAD = Math.PI / 180;

/** What sets a stations table apart. */
export const stationsKind = {
  what: 'a stations table',
  least: 2,
  fewHelp: 'write a row at the start and one at the finish',
  closable: false,
  surface: '',
};

/** Builds the road. @returns null where a row is wrong (reported) */
export function buildStations(rows: RoadRows, faults: Faults): RoadTable | null {
  const { surfaces } = rows;
  const station = rows.column('station_m', 0);
  const percent = rows.column('grade_pct', 0);
  const fall = rows.column('crossfall_deg', 0);
  rows.both('x_m', 'y_m', 'give both or neither');
  checkStations(rows, station, percent, faults);
  if (!rows.sound()) return null;

  const grade = percent.map((p) => p / 100);
  const s = station.map((x) => x - station[0]);
  const verticalCurvature = rows.optional('vertical_curvature_1pm');
  if (verticalCurvature !== null) warnVerticalCurvature(s, grade, verticalCurvature, rows, faults);
  warnCrossfallSteps(fall, (i) => station[i] === station[i - 1], rows, faults);
  const x = rows.optional('x_m');
  const y = rows.optional('y_m');
  return {
    s,
    curvature: rows.column('curvature_1pm', 0).slice(),
    curvatureIn: 'surface',
    grade,
    crossfall: fall.map((degrees) => degrees * RAD),
    verticalCurvature,
    surface: surfaces.surface,
    surfaceNames: surfaces.surfaceNames,
    xy: x !== null && y !== null ? { x, y } : null,
    z: rows.optional('z_m'),
    width: rows.optional('width_m'),
    assumptions: [
      'The road is given at stations: linear between rows, distances along the surface, curvature as the lateral acceleration has it.',
      ...levelAssumptions(rows),
    ],
  };
}

function checkStations(rows: RoadRows, station: Float64Array, percent: Float64Array, faults: Faults): void {
  const { n } = rows;
  const refuse = (i: number, message: string, help: string) =>
    faults.error('road/station_m', rows.place(i, 'station_m', 'road/station_m'), message, help);
  for (let i = 1; i < n; i++) {
    if (station[i] < station[i - 1]) {
      refuse(
        i,
        `station_m falls from ${station[i - 1]} to ${station[i]} m; expected it to rise`,
        'sort the rows along the road',
      );
    } else if (station[i] !== station[i - 1]) continue;
    else if (i >= 2 && station[i] === station[i - 2]) {
      refuse(
        i,
        `station ${station[i]} m is written more than twice`,
        'two rows with one station make a step; leave the others out',
      );
    } else if (Math.abs(percent[i] - percent[i - 1]) > 0) {
      refuseGradeStep(i, station, percent, rows.place(i, 'grade_pct', 'road/grade_pct'), faults);
    }
  }
  if (n >= 2 && station[n - 1] === station[0])
    refuse(n - 1, 'the road has no length: its last station is its first', stationsKind.fewHelp);
}

/** Says which rows to write instead: a vertical curve of up to 20 m, held by half of each neighbouring gap. */
function refuseGradeStep(
  i: number,
  station: Float64Array,
  percent: Float64Array,
  place: Place,
  faults: Faults,
): void {
  const round = (x: number) => Number(x.toFixed(3));
  const gapBefore = i >= 2 ? station[i - 1] - station[i - 2] : 0;
  const gapAfter = i + 1 < station.length ? station[i + 1] - station[i] : 0;
  const half = round(Math.min(10, gapBefore / 2, gapAfter / 2));
  const [from, to] = [percent[i - 1], percent[i]];
  const rows = `station ${round(station[i] - half)} with grade_pct ${from}, ${station[i]} with ${round((from + to) / 2)}, ${round(station[i] + half)} with ${to}`;
  faults.error(
    'road/grade_pct',
    place,
    `grade_pct jumps from ${from} to ${to} at station ${station[i]} m; a car cannot follow a kink`,
    half > 0 ? `round it with rows at ${rows}` : 'leave one of the two rows out',
  );
}

// Radius in side view of about 500 m or a tenth of what is given; grades printed to 0.1 % at every metre give 0.001.
const TOLERANCE = 0.002;
const SHARE = 0.1;

function warnVerticalCurvature(
  s: Float64Array,
  grade: Float64Array,
  given: Float64Array,
  rows: RoadRows,
  faults: Faults,
): void {
  let worst = 0;
  let at = -1;
  let count = 0;
  for (let i = 1; i < s.length; i++) {
    if (!(s[i] > s[i - 1])) continue;
    const derived = (Math.atan(grade[i]) - Math.atan(grade[i - 1])) / (s[i] - s[i - 1]);
    const mean = (given[i] + given[i - 1]) / 2;
    const over = Math.abs(derived - mean) - TOLERANCE - SHARE * Math.max(Math.abs(derived), Math.abs(mean));
    if (over <= 0) continue;
    count++;
    if (over > worst) {
      worst = over;
      at = i;
    }
  }
  if (at === -1) return;
  const round = (x: number) => (Math.abs(x) < 5e-5 ? 0 : Number(x.toPrecision(2)));
  const derived = (Math.atan(grade[at]) - Math.atan(grade[at - 1])) / (s[at] - s[at - 1]);
  const mean = (given[at] + given[at - 1]) / 2;
  faults.warning(
    'road/vertical-curvature',
    rows.place(at, 'vertical_curvature_1pm', 'road/vertical-curvature'),
    `vertical_curvature_1pm is ${round(mean)} 1/m on average up to this row, the change of grade_pct gives ${round(derived)} 1/m (${count === 1 ? 'here only' : `worst of ${count} places`})`,
    'the column stands as given; leave it out to have it derived from the grade',
  );
}
