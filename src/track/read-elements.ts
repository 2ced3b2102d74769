/**
 * A road given by its elements: straights, arcs and transitions one after another, as road plans state them.
 *
 * Lengths run along the surface, radii are in plan. Where the grade changes from row to row a parabolic vertical
 * curve rounds it: over its length the grade is linear in distance.
 */
import type { Faults } from '../input/faults.ts';
import { levelAssumptions, type RoadRows } from './road-rows.ts';
import type { RoadTable } from './road-table.ts';
import { warnCrossfallSteps } from './road-warnings.ts';

const RAD = Math.PI / 180;
/** Length of a vertical curve that the table does not give [m]; shorter where the neighbours leave less. */
const DEFAULT_CURVE = 40;

/** What sets an elements table apart. */
export const elementsKind = {
  what: 'an elements table',
  least: 1,
  fewHelp: 'write a row for each straight, arc and transition',
  closable: false,
  surface: '',
};

/** Builds the road. @returns null where a row is wrong (reported) */
export function buildElements(rows: RoadRows, faults: Faults): RoadTable | null {
  const { n, surfaces } = rows;
  const length = rows.column('length_m', 0);
  const radius = rows.column('radius_m', Number.NaN);
  const endRadius = rows.column('end_radius_m', Number.NaN);
  const percent = rows.column('grade_pct', 0);
  const fall = rows.column('crossfall_deg', 0);
  checkRadii(rows, radius, endRadius, faults);
  if (!rows.sound()) return null;

  const start = new Float64Array(n + 1);
  for (let i = 0; i < n; i++) start[i + 1] = start[i] + length[i];
  const curves = verticalCurves(start, percent, rows, faults);
  if (!rows.sound()) return null;

  warnCrossfallSteps(fall, () => true, rows, faults);
  const assumptions = [
    'The road is given by elements: lengths along the surface, radii in plan; crossfall changes at once from row to row.',
  ];
  const byDefault = curves.filter((c) => !c.given).length;
  if (byDefault > 0) {
    assumptions.push(
      `Where the grade changes it is rounded by a parabolic vertical curve; ${byDefault} of ${curves.length} take the default length of ${DEFAULT_CURVE} m, or less where the neighbours leave less.`,
    );
  }
  const profile = gradeProfile(start[n], percent, curves);
  const curvatureAt = (i: number) => {
    const first = inverse(radius[i]);
    return [first, Number.isNaN(endRadius[i]) ? first : inverse(endRadius[i])] as const;
  };
  return {
    ...layRows(start, profile, curvatureAt, (i) => fall[i] * RAD, surfaces.surface),
    curvatureIn: 'plan',
    verticalCurvature: null,
    surfaceNames: surfaces.surfaceNames,
    xy: null,
    z: null,
    width: null,
    assumptions: [...assumptions, ...levelAssumptions(rows)],
  };
}

function checkRadii(rows: RoadRows, radius: Float64Array, endRadius: Float64Array, faults: Faults): void {
  const check = (i: number, name: string, value: number, straight: string) => {
    if (!(Math.abs(value) < 1)) return; // an empty cell is NaN here
    faults.error(
      'road/radius',
      rows.place(i, name, 'road/radius'),
      `${name} is ${value}, expected a radius of 1 m or more to either side`,
      `positive to the left, negative to the right; ${straight}`,
    );
  };
  for (let i = 0; i < rows.n; i++) {
    check(i, 'radius_m', radius[i], 'leave the cell empty for a straight');
    check(i, 'end_radius_m', endRadius[i], 'write inf for a transition to a straight');
  }
}

/** Curvature of a radius; of an empty or infinite one 0. */
const inverse = (radius: number): number => (Number.isFinite(radius) ? 1 / radius : 0);

/** A parabolic vertical curve: the grade goes over from one row's to the next between at − half and at + half. */
interface VerticalCurve {
  readonly row: number; // whose start it rounds
  readonly at: number; // [m]
  readonly half: number; // [m]
  readonly given: boolean;
}

function verticalCurves(
  start: Float64Array,
  percent: Float64Array,
  rows: RoadRows,
  faults: Faults,
): VerticalCurve[] {
  const { n } = rows;
  const given = rows.column('vertical_curve_m', Number.NaN);
  const changes: number[] = [];
  for (let i = 1; i < n; i++) if (percent[i] !== percent[i - 1]) changes.push(i);
  const at = (j: number) => start[changes[j]];
  // Stretch of one grade before change j; j = changes.length is the stretch to the finish.
  const stretch = (j: number) => (j < changes.length ? at(j) : start[n]) - (j > 0 ? at(j - 1) : 0);
  const halfGiven = (j: number) => (j >= 0 && j < changes.length ? given[changes[j]] / 2 : Number.NaN);

  return changes.map((row, j) => {
    const own = halfGiven(j);
    const isGiven = !Number.isNaN(own);
    const room = (whole: number, otherEnd: number) => {
      if (isGiven) return whole - (Number.isNaN(otherEnd) ? 0 : otherEnd);
      return Number.isNaN(otherEnd) ? whole / 2 : Math.min(whole / 2, whole - otherEnd);
    };
    const most = Math.min(room(stretch(j), halfGiven(j - 1)), room(stretch(j + 1), halfGiven(j + 1)));
    if (isGiven && own > most + 1e-9) {
      faults.error(
        'road/vertical-curve',
        rows.place(row, 'vertical_curve_m', 'road/vertical-curve'),
        `a vertical curve of ${2 * own} m does not fit: between the changes of grade before and after there is room for ${Number(Math.max(0, 2 * most).toFixed(2))} m`,
        'shorten it, or the vertical curve next to it',
      );
    } else if (!isGiven && !(most > 0)) {
      faults.error(
        'road/vertical-curve',
        rows.place(row, 'grade_pct', 'road/vertical-curve'),
        'the vertical curves next to this change of grade leave no room to round it',
        'shorten their vertical_curve_m',
      );
    }
    return { row, at: at(j), half: isGiven ? own : Math.min(DEFAULT_CURVE / 2, most), given: isGiven };
  });
}

/** Corners of the grade over distance: linear between them. */
interface GradeProfile {
  readonly s: readonly number[];
  readonly grade: readonly number[]; // tan θ
}

function gradeProfile(end: number, percent: Float64Array, curves: readonly VerticalCurve[]): GradeProfile {
  const s = [0];
  const grade = [percent[0] / 100];
  for (const { row, at, half } of curves) {
    s.push(at - half, at + half);
    grade.push(percent[row - 1] / 100, percent[row] / 100);
  }
  s.push(end);
  grade.push(grade.at(-1)!);
  return { s, grade };
}

const NEAR = 1e-6; // [m] corners closer than this to a row's end are taken as that end

function layRows(
  start: Float64Array,
  profile: GradeProfile,
  curvatureAt: (i: number) => readonly [number, number],
  crossfallAt: (i: number) => number,
  surfaceAt: Int32Array,
) {
  const s: number[] = [];
  const curvature: number[] = [];
  const grade: number[] = [];
  const crossfall: number[] = [];
  const surface: number[] = [];
  let corner = 0; // first corner not passed
  const gradeAt = (at: number): number => {
    let i = corner;
    while (i < profile.s.length - 1 && profile.s[i] < at) i++;
    const j = Math.max(0, i - 1);
    const span = profile.s[i] - profile.s[j];
    return span > 0
      ? profile.grade[j] + ((profile.grade[i] - profile.grade[j]) * (at - profile.s[j])) / span
      : profile.grade[i];
  };
  const push = (at: number, k: number, phi: number, on: number) => {
    const last = s.length - 1;
    if (
      last >= 0 &&
      s[last] === at &&
      curvature[last] === k &&
      crossfall[last] === phi &&
      surface[last] === on
    )
      return;
    s.push(at);
    curvature.push(k);
    grade.push(gradeAt(at));
    crossfall.push(phi);
    surface.push(on);
  };
  for (let i = 0; i + 1 < start.length; i++) {
    const [from, to] = [start[i], start[i + 1]];
    const [k0, k1] = curvatureAt(i);
    const phi = crossfallAt(i);
    push(from, k0, phi, surfaceAt[i]);
    for (; corner < profile.s.length && profile.s[corner] < to - NEAR; corner++) {
      const at = profile.s[corner];
      if (at > from + NEAR) push(at, k0 + ((k1 - k0) * (at - from)) / (to - from), phi, surfaceAt[i]);
    }
    push(to, k1, phi, surfaceAt[i]);
  }
  return {
    s: Float64Array.from(s),
    curvature: Float64Array.from(curvature),
    grade: Float64Array.from(grade),
    crossfall: Float64Array.from(crossfall),
    surface: Int32Array.from(surface),
  };
}
