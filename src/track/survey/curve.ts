/**
 * A curve in plan by evenly spaced nodes: its geometry, the foot of a point on it, and the same curve with even nodes
 * again after they were moved.
 */
import { splineNotAKnot, splineValue } from '../cubic-spline.ts';

/** m nodes, m ≥ 4, at distance h from one another. */
export interface Curve {
  readonly h: number; //              [m]
  readonly x: Float64Array; //         (m) [m]
  readonly y: Float64Array; //         (m) [m]
  readonly tx: Float64Array; //        (m) direction of travel, of length 1
  readonly ty: Float64Array; //        (m)
  readonly curvature: Float64Array; // (m) [1/m], positive to the left
}

/** Foot of a point on the curve: how far along it is, and how far to the left the point lies. */
export interface Foot {
  node: number; // nearest node
  u: number; //    distance along the curve from its first node [m]; beyond the ends, under 0 or over its length
  d: number; //    [m], positive to the left
}

/** Lays even nodes, about `spacing` apart, along a smooth curve through the points. @throws RangeError under 4 points */
export function evenCurve(px: Float64Array, py: Float64Array, spacing: number): Curve {
  const n = px.length;
  if (n < 4) throw new RangeError(`a curve needs 4 points or more, got ${n}`);
  const chord = new Float64Array(n);
  for (let i = 1; i < n; i++) chord[i] = chord[i - 1] + Math.hypot(px[i] - px[i - 1], py[i] - py[i - 1]);
  const sx = splineNotAKnot(chord, px);
  const sy = splineNotAKnot(chord, py);
  const cells = Math.max(4, Math.round(chord[n - 1] / spacing));
  const h = chord[n - 1] / cells;
  const x = new Float64Array(cells + 1);
  const y = new Float64Array(cells + 1);
  let i = 0;
  for (let j = 0; j <= cells; j++) {
    const at = j === cells ? chord[n - 1] : j * h;
    while (i < n - 2 && chord[i + 1] <= at) i++;
    x[j] = splineValue(sx, i, at);
    y[j] = splineValue(sy, i, at);
  }
  return curveThrough(x, y, h);
}

/** Geometry of even nodes: the curvature is the turn at a node over h, that of the ends is their neighbour's. */
export function curveThrough(x: Float64Array, y: Float64Array, h: number): Curve {
  const m = x.length;
  const tx = new Float64Array(m);
  const ty = new Float64Array(m);
  const curvature = new Float64Array(m);
  let ax = x[1] - x[0];
  let ay = y[1] - y[0];
  const first = Math.hypot(ax, ay);
  ax /= first;
  ay /= first;
  for (let j = 1; j < m - 1; j++) {
    let bx = x[j + 1] - x[j];
    let by = y[j + 1] - y[j];
    const length = Math.hypot(bx, by);
    bx /= length;
    by /= length;
    curvature[j] = Math.atan2(ax * by - ay * bx, ax * bx + ay * by) / h;
    const mid = Math.hypot(ax + bx, ay + by);
    tx[j] = (ax + bx) / mid;
    ty[j] = (ay + by) / mid;
    ax = bx;
    ay = by;
  }
  curvature[0] = curvature[1];
  curvature[m - 1] = curvature[m - 2];
  // From node to node the direction turns by κ h.
  turned(tx, ty, 0, tx[1], ty[1], -curvature[1] * h);
  turned(tx, ty, m - 1, tx[m - 2], ty[m - 2], curvature[m - 2] * h);
  return { h, x, y, tx, ty, curvature };
}

function turned(
  tx: Float64Array,
  ty: Float64Array,
  j: number,
  fromX: number,
  fromY: number,
  angle: number,
): void {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  tx[j] = c * fromX - s * fromY;
  ty[j] = s * fromX + c * fromY;
}

/**
 * Foot of the point, looked for downhill from the node `foot.node`, so that a part of the road that passes close by is
 * not taken for this one. At the ends the curve goes on as a circle.
 */
export function footOf({ h, x, y, tx, ty, curvature }: Curve, px: number, py: number, foot: Foot): void {
  const m = x.length;
  let j = Math.max(0, Math.min(m - 1, foot.node));
  let least = (px - x[j]) ** 2 + (py - y[j]) ** 2;
  for (const step of [1, -1]) {
    while (j + step >= 0 && j + step < m) {
      const next = (px - x[j + step]) ** 2 + (py - y[j + step]) ** 2;
      if (next >= least) break;
      least = next;
      j += step;
    }
  }
  // In the circle of the node's curvature, its frame being the tangent and the normal to the left.
  const k = curvature[j];
  const a = (px - x[j]) * tx[j] + (py - y[j]) * ty[j];
  const b = (py - y[j]) * tx[j] - (px - x[j]) * ty[j];
  const q = Math.sqrt((k * a) ** 2 + (1 - k * b) ** 2);
  const along = Math.abs(k) < 1e-9 ? a : Math.atan2(k * a, 1 - k * b) / k;
  foot.node = j;
  foot.u = j * h + along;
  foot.d = (2 * b - k * (a * a + b * b)) / (1 + q);
}

/**
 * Share of a move to the left by `n` at each node that bends the curve by no more than it can be trusted to: a node
 * stays well short of the centre of its bend, and a cell turns by less than half a right angle.
 */
export function safeShare({ h, curvature }: Curve, n: Float64Array): number {
  let most = 0;
  for (let j = 0; j < n.length; j++) {
    most = Math.max(most, Math.abs(curvature[j] * n[j]) / 0.5);
    if (j > 0) most = Math.max(most, Math.abs(n[j] - n[j - 1]) / (0.7 * h));
  }
  return most > 1 ? 1 / most : 1;
}

/** The curve moved to its left by `n` at each node, with even nodes again. */
export function moved({ x, y, tx, ty }: Curve, n: Float64Array, spacing: number): Curve {
  return evenCurve(
    x.map((value, j) => value - n[j] * ty[j]),
    y.map((value, j) => value + n[j] * tx[j]),
    spacing,
  );
}
