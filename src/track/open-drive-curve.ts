/**
 * The plan geometry of ASAM OpenDRIVE: pieces of a reference line, each a line, arc, spiral, cubic or pair of cubics.
 *
 * Source: ASAM OpenDRIVE 1.7, chapter on the geometry of the reference line (from memory): x forward and y to the
 * left of the heading, angles in radians counterclockwise, curvature positive to the left; a spiral's curvature is
 * linear in arc length; poly3 is v(u) = a + b u + c u² + d u³ in axes u, v turned by the heading, and paramPoly3 gives
 * u(p) and v(p), p from 0 to 1 or to the length.
 */

import { integrate } from '../numbers/integrate.ts';

type Cubic = readonly [a: number, b: number, c: number, d: number];

export type Shape =
  | { readonly kind: 'spiral'; readonly start: number; readonly end: number } // curvatures [1/m]; equal for an arc
  | { readonly kind: 'poly3'; readonly v: Cubic }
  | { readonly kind: 'paramPoly3'; readonly u: Cubic; readonly v: Cubic; readonly end: number }; // end: of p

/** A piece of the reference line. */
export interface Geometry {
  readonly s: number; //       where it begins, as the file has it [m]
  readonly x: number; //       [m]
  readonly y: number; //       [m]
  readonly heading: number; // [rad]
  readonly length: number; //  as the file has it [m]
  readonly shape: Shape;
}

export interface PlanPoint {
  readonly x: number; //         [m]
  readonly y: number; //         [m]
  readonly heading: number; //   [rad]
  readonly curvature: number; // [1/m], positive to the left
}

/** A place on a piece, from which to go on. */
export interface OnCurve {
  readonly distance: number; //  from the piece's beginning, as the file has it [m]
  readonly parameter: number; // of the curve: the distance itself, u of a poly3, or p of a paramPoly3
  readonly u: number; //         along the heading [m]
  readonly v: number; //         to the left of it [m]
}

/** Where every piece begins. */
export const BEGIN: OnCurve = { distance: 0, parameter: 0, u: 0, v: 0 };

/** Goes on along a piece to a distance from its beginning [m]. */
export function goOn({ shape, length }: Geometry, distance: number, from: OnCurve): OnCurve {
  if (shape.kind === 'spiral') {
    const { start, end } = shape;
    if (start === end && start !== 0) {
      const [u, v] = [Math.sin(start * distance) / start, (1 - Math.cos(start * distance)) / start];
      return { distance, parameter: distance, u, v };
    }
    const turned = (p: number) => start * p + ((end - start) * p * p) / (2 * length);
    const turn = Math.max(Math.abs(start), Math.abs(end)) * Math.abs(distance - from.distance);
    const panels = Math.ceil(turn / PANEL_TURN) + 1;
    const u = from.u + integrate((p) => Math.cos(turned(p)), from.distance, distance, panels);
    const v = from.v + integrate((p) => Math.sin(turned(p)), from.distance, distance, panels);
    return { distance, parameter: distance, u, v };
  }
  const parameter =
    shape.kind === 'paramPoly3' ? (distance / length) * shape.end : forward(shape, distance, from);
  const u = shape.kind === 'poly3' ? parameter : value(shape.u, parameter);
  return { distance, parameter, u, v: value(shape.v, parameter) };
}

/** u of a poly3 at a distance, by Newton's method: arc length grows with u at a rate of 1 or more. */
function forward(shape: Polynomial, distance: number, from: OnCurve): number {
  const ahead = distance - from.distance;
  let u = from.parameter + ahead / rate(shape, from.parameter);
  for (let i = 0; i < 50; i++) {
    const step = (lengthBetween(shape, from.parameter, u) - ahead) / rate(shape, u);
    u -= step;
    if (Math.abs(step) < 1e-10) break;
  }
  return u;
}

/** Length of the curve in plan from one place to another [m]. */
export function planLength({ shape }: Geometry, from: OnCurve, to: OnCurve): number {
  return shape.kind === 'spiral'
    ? to.distance - from.distance
    : lengthBetween(shape, from.parameter, to.parameter);
}

/** Place, heading and curvature in the axes of the file. */
export function pointAt({ shape, x, y, heading, length }: Geometry, on: OnCurve): PlanPoint {
  const { parameter: p, u, v } = on;
  const [cos, sin] = [Math.cos(heading), Math.sin(heading)];
  const at = { x: x + u * cos - v * sin, y: y + u * sin + v * cos };
  if (shape.kind === 'spiral') {
    const { start, end } = shape;
    const slope = (end - start) / length;
    return { ...at, heading: heading + start * p + (slope * p * p) / 2, curvature: start + slope * p };
  }
  const [du, dv] = [slopeU(shape, p), slope(shape.v, p)];
  const [ddu, ddv] = [shape.kind === 'poly3' ? 0 : second(shape.u, p), second(shape.v, p)];
  return {
    ...at,
    heading: heading + Math.atan2(dv, du),
    curvature: (du * ddv - dv * ddu) / (du * du + dv * dv) ** 1.5,
  };
}

/** Where the piece ends. */
export function endOf(geometry: Geometry): PlanPoint {
  return pointAt(geometry, goOn(geometry, geometry.length, BEGIN));
}

/** Turn within one panel of the quadrature [rad]: its error is then below 1e-12 of the length. */
const PANEL_TURN = 0.25;

/** A bound for curves that no road follows; a road of 1000 km needs no more. */
const MOST_PANELS = 200_000;

type Polynomial = Exclude<Shape, { kind: 'spiral' }>;

const value = ([a, b, c, d]: Cubic, p: number) => a + p * (b + p * (c + p * d));
const slope = ([, b, c, d]: Cubic, p: number) => b + p * (2 * c + p * 3 * d);
const second = ([, , c, d]: Cubic, p: number) => 2 * c + 6 * d * p;
const slopeU = (shape: Polynomial, p: number) => (shape.kind === 'poly3' ? 1 : slope(shape.u, p));
const rate = (shape: Polynomial, p: number) => Math.hypot(slopeU(shape, p), slope(shape.v, p));

function lengthBetween(shape: Polynomial, from: number, to: number): number {
  const span = shape.kind === 'poly3' ? Math.abs(to - from) : Math.abs(to - from) * rate(shape, from);
  return integrate((p) => rate(shape, p), from, to, Math.min(Math.ceil(span / 5) + 1, MOST_PANELS));
}
