/**
 * Pace notes made into a road of elements: each call begins where it is called, and the gap up to the next is closed
 * with a straight, so that distances add up.
 *
 * A bend of turn ψ winds in over a share e of its length, runs from curvature k₁ to k₂, and winds out over e again,
 * curvature linear in each part: ψ = (1 − e) L (k₁ + k₂)/2 gives its length L. A crest or dip of length L and radius R
 * in side view is a hump of three parabolas, L/4, L/2 and L/4 long, each of curvature ±1/R; its grades are ±L/(4R).
 */
import type { Call, CallList } from './pace-notes-calls.ts';
import type { PaceNoteScale, RadiusRange } from './pace-notes-scale.ts';

/** Which end of the radius ranges a road is built with. */
export const RADII = ['tight', 'middle', 'wide'] as const;
export type Radii = (typeof RADII)[number];

/** The radius taken of a range [m]; the middle is the geometric mean, since speed goes with the root of the radius. */
export function radiusOf([tight, wide]: RadiusRange, radii: Radii): number {
  return radii === 'tight' ? tight : radii === 'wide' ? wide : Math.sqrt(tight * wide);
}

/** One row of an elements table. */
export interface ElementRow {
  readonly from: number; //                    [m] from the start line
  readonly to: number; //                      [m]
  readonly startCurvature: number; //          [1/m], positive to the left
  readonly endCurvature: number; //            [1/m]
  readonly grade: number; //                   [–]
  readonly verticalCurve: number | null; //    length that rounds the change of grade at its start [m]; null: default
  readonly surface: string;
  readonly note: string;
}

/** A call whose bend or crest was cut to fit before what comes next. */
export interface Shortened {
  readonly call: Call;
  readonly wanted: number; // [m]
  readonly given: number; //  [m]
}

export interface NotedRoad {
  readonly rows: readonly ElementRow[];
  readonly shortened: readonly Shortened[];
}

/** Lays the calls out as a road. @param surface where no call has named one yet */
export function roadOfNotes(list: CallList, scale: PaceNoteScale, radii: Radii, surface: string): NotedRoad {
  const shortened: Shortened[] = [];
  const pieces = layBends(list, scale, radii, shortened);
  const grades = layGrades(list, radii, shortened);
  return { rows: cutRows(list, pieces, grades, surface), shortened };
}

/** A stretch over which curvature is linear. */
interface Piece {
  readonly from: number;
  readonly to: number;
  readonly k0: number;
  readonly k1: number;
}

function layBends(
  { calls, finish }: CallList,
  scale: PaceNoteScale,
  radii: Radii,
  shortened: Shortened[],
): Piece[] {
  const pieces: Piece[] = [];
  let reached = 0;
  const lay = (to: number, k0: number, k1: number) => {
    if (to - reached < LEAST) return;
    pieces.push({ from: reached, to, k0, k1 });
    reached = to;
  };
  for (const [i, call] of calls.entries()) {
    lay(call.at, 0, 0);
    if (call.bend === null) continue;
    const { side, bend, end, endFactor, turn } = call.bend;
    const radius = radiusOf(bend.radius, radii);
    const k0 = side / radius;
    const k1 = side / (end === null ? radius * endFactor : radiusOf(end.radius, radii));
    const wanted = turn / ((1 - scale.easing) * Math.abs((k0 + k1) / 2));
    const gap = (calls[i + 1]?.at ?? finish) - call.at;
    const length = Math.min(wanted, gap);
    if (length < wanted) shortened.push({ call, wanted, given: length });
    const ease = scale.easing * length;
    lay(call.at + ease, 0, k0);
    lay(call.at + length - ease, k0, k1);
    lay(call.at + length, k1, 0);
  }
  lay(finish, 0, 0);
  return pieces;
}

/** Shorter rows are left out, their length falls to the next [m]; an elements table takes 0.01 m. */
const LEAST = 0.02;

/** From here on this grade, the change rounded over `curve` metres (null: the default of an elements table). */
interface GradeChange {
  readonly at: number;
  readonly grade: number;
  readonly curve: number | null;
}

/** Shorter crests than this are left out [m]: no car feels them. No source. */
const LEAST_CREST = 4;

function layGrades({ calls, finish }: CallList, radii: Radii, shortened: Shortened[]): GradeChange[] {
  const changes: GradeChange[] = [];
  let grade = 0;
  // Calls that change the road's height; each has room up to half way to its neighbours.
  const events = calls.filter((call) => call.crest !== null || call.grade !== null);
  for (const [i, call] of events.entries()) {
    const before = grade;
    const after = call.grade ?? grade;
    grade = after;
    if (call.crest === null) {
      changes.push({ at: call.at, grade: after, curve: null });
      continue;
    }
    const from = i === 0 ? 0 : (events[i - 1].at + call.at) / 2;
    const to = i === events.length - 1 ? finish : (call.at + events[i + 1].at) / 2;
    const room = 2 * Math.min(call.at - from, to - call.at);
    const wanted = call.crest.length;
    // A multiple of 0.08 m, so that its eighths are whole centimetres in the table.
    const length = Math.floor(Math.min(wanted, room) / 0.08 + 1e-9) * 0.08;
    const given = length < LEAST_CREST ? 0 : length;
    if (given < wanted - 0.08) shortened.push({ call, wanted, given });
    if (given === 0) {
      if (call.grade !== null) changes.push({ at: call.at, grade: after, curve: null });
      continue;
    }
    const sign = call.crest.over === null ? -1 : 1;
    const radius = radiusOf((call.crest.over ?? call.crest.through)!, radii);
    // What the road's own change of grade does to the hump's middle parabola already, the hump need not do.
    const rise = Math.max(0, (given / (2 * radius) - sign * (before - after)) / 2);
    changes.push(
      { at: call.at - (3 * given) / 8, grade: before + sign * rise, curve: given / 4 },
      { at: call.at, grade: after - sign * rise, curve: given / 2 },
      { at: call.at + (3 * given) / 8, grade: after, curve: given / 4 },
    );
  }
  return changes;
}

/** Cuts the road wherever curvature, grade or surface changes. */
function cutRows(
  { calls, finish }: CallList,
  pieces: readonly Piece[],
  grades: readonly GradeChange[],
  surface: string,
): ElementRow[] {
  const rows: ElementRow[] = [];
  let from = 0;
  let piece = 0;
  let change = -1;
  let call = -1;
  let on = calls.find((named) => named.surface !== null)?.surface ?? surface;
  for (const to of stationsOf(calls, finish, pieces, grades)) {
    const near = from + LEAST;
    while (piece + 1 < pieces.length && pieces[piece].to < near) piece++;
    let curve: number | null = null;
    while (change + 1 < grades.length && grades[change + 1].at < near) curve = grades[++change].curve;
    let note = '';
    while (call + 1 < calls.length && calls[call + 1].at < near) {
      on = calls[++call].surface ?? on;
      note = calls[call].text;
    }
    rows.push({
      from,
      to,
      startCurvature: curvatureAt(pieces[piece], from),
      endCurvature: curvatureAt(pieces[piece], to),
      grade: change === -1 ? 0 : grades[change].grade,
      verticalCurve: curve,
      surface: on,
      note,
    });
    from = to;
  }
  return rows;
}

/** Ends of the rows, rising, to the millimetre. Changes of grade keep their place, since their curves just touch. */
function stationsOf(
  calls: readonly Call[],
  finish: number,
  pieces: readonly Piece[],
  grades: readonly GradeChange[],
): number[] {
  const kept = new Set([...grades.map((g) => g.at), finish].map(millimetres));
  const others = [...pieces.map((p) => p.to), ...calls.map((c) => c.at)].map(millimetres);
  const ends: number[] = [];
  for (const at of [...new Set([...kept, ...others])].sort((a, b) => a - b)) {
    if (at < LEAST || at > finish) continue;
    const last = ends.at(-1) ?? 0;
    if (at - last >= LEAST) ends.push(at);
    else if (kept.has(at)) ends[ends.length - 1] = at;
  }
  return ends;
}

function curvatureAt({ k0, k1, from, to }: Piece, at: number): number {
  if (at < from + LEAST) return k0;
  return at > to - LEAST ? k1 : k0 + ((k1 - k0) * (at - from)) / (to - from);
}

const millimetres = (x: number): number => Math.round(x * 1000) / 1000;
