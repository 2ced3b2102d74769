/** A road given at stations: rows along it, linear between neighbours; two rows at one station make a step. */
import type { Place } from '../input/diagnostic.ts';
import type { Faults } from '../input/faults.ts';
import type { Rows } from '../input/table.ts';
import type { Header } from '../input/table-header.ts';
import type { PlacedRoad } from './read-road.ts';
import { warnCrossfallSteps } from './road-warnings.ts';
import { readSurfaces } from './surface-names.ts';

const RAD = Math.PI / 180;

/** Builds the road. @returns null where a row is wrong (reported) */
export function buildStations(
  header: Header,
  rows: Rows,
  options: { readonly closedAt: Place | null },
  faults: Faults,
): PlacedRoad | null {
  const { file } = header.source;
  const { n } = rows;
  const before = faults.errors;
  const { surface, surfaceNames, firstUse } = readSurfaces(header, rows, faults);
  const station = rows.numbers('station_m');
  const percent = rows.has('grade_pct') ? rows.numbers('grade_pct') : new Float64Array(n);
  const fall = rows.has('crossfall_deg') ? rows.numbers('crossfall_deg') : new Float64Array(n);
  const place = (i: number, column: string) =>
    faults.full(file, `road/${column}`) ? header.whole : rows.place(i, column);

  if (options.closedAt !== null) {
    faults.error(
      'road/closed',
      options.closedAt,
      `\`closed: true\` needs a points table; ${header.source.file} is a stations table`,
      'leave `closed` out: the stage then runs from the first row to the last',
    );
  }
  if (n < 2 && rows.whole) {
    faults.error(
      'road/rows',
      header.whole,
      `the table has ${n === 0 ? 'no rows' : 'one row'}, expected 2 or more`,
      'write a row at the start and one at the finish',
    );
  }
  if (rows.has('x_m') !== rows.has('y_m')) {
    const [has, misses] = rows.has('x_m') ? ['x_m', 'y_m'] : ['y_m', 'x_m'];
    faults.error(
      'table/column',
      header.whole,
      `there is a column ${has} but no ${misses}`,
      'give both or neither',
    );
  }
  for (let i = 1; i < n; i++) {
    if (station[i] < station[i - 1]) {
      faults.error(
        'road/station_m',
        place(i, 'station_m'),
        `station_m falls from ${station[i - 1]} to ${station[i]} m; expected it to rise`,
        'sort the rows along the road',
      );
    } else if (station[i] === station[i - 1]) {
      if (i >= 2 && station[i] === station[i - 2]) {
        faults.error(
          'road/station_m',
          place(i, 'station_m'),
          `station ${station[i]} m is written more than twice`,
          'two rows with one station make a step; leave the others out',
        );
      } else if (Math.abs(percent[i] - percent[i - 1]) > 0)
        refuseGradeStep(i, station, percent, place(i, 'grade_pct'), faults);
    }
  }
  if (n >= 2 && station[n - 1] === station[0]) {
    faults.error(
      'road/station_m',
      place(n - 1, 'station_m'),
      'the road has no length: its last station is its first',
      'write a row at the start and one at the finish',
    );
  }
  if (!rows.whole || faults.errors > before) return null;

  const grade = percent.map((p) => p / 100);
  const s = station.map((x) => x - station[0]);
  const crossfall = fall.map((degrees) => degrees * RAD);
  let verticalCurvature: Float64Array | null = null;
  if (rows.has('vertical_curvature_1pm')) {
    verticalCurvature = rows.numbers('vertical_curvature_1pm').slice();
    warnVerticalCurvature(
      s,
      grade,
      verticalCurvature,
      (i) => rows.place(i, 'vertical_curvature_1pm'),
      faults,
    );
  }
  if (rows.has('crossfall_deg'))
    warnCrossfallSteps(
      fall,
      (i) => station[i] === station[i - 1],
      (i) => rows.place(i, 'crossfall_deg'),
      faults,
    );

  const assumptions = [
    'The road is given at stations: linear between rows, distances along the surface, curvature as the lateral acceleration has it.',
  ];
  if (!rows.has('grade_pct'))
    assumptions.push('The road table has no column grade_pct: the road is taken as level.');
  if (!rows.has('crossfall_deg'))
    assumptions.push('The road table has no column crossfall_deg: the road is taken as level across.');
  return {
    surfacePlaces: firstUse,
    road: {
      s,
      curvature: rows.numbers('curvature_1pm').slice(),
      curvatureIn: 'surface',
      grade,
      crossfall,
      verticalCurvature,
      surface,
      surfaceNames,
      xy:
        rows.has('x_m') && rows.has('y_m')
          ? { x: rows.numbers('x_m').slice(), y: rows.numbers('y_m').slice() }
          : null,
      z: rows.has('z_m') ? rows.numbers('z_m').slice() : null,
      width: rows.has('width_m') ? rows.numbers('width_m').slice() : null,
      assumptions,
    },
  };
}

/** Says which rows to write instead: a vertical curve of up to 20 m, held by half of each neighbouring gap. */
function refuseGradeStep(
  i: number,
  station: Float64Array,
  percent: Float64Array,
  place: ReturnType<Rows['place']>,
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
  place: (i: number) => ReturnType<Rows['place']>,
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
    place(at),
    `vertical_curvature_1pm is ${round(mean)} 1/m on average up to this row, the change of grade_pct gives ${round(derived)} 1/m (${count === 1 ? 'here only' : `worst of ${count} places`})`,
    'the column stands as given; leave it out to have it derived from the grade',
  );
}
