/** A road table from a curve in plan and heights over it. */
import type { RoadTable } from '../road-table.ts';
import type { Curve } from './curve.ts';

export interface TableParts {
  readonly surface: string;
  readonly width: Float64Array | null; // (m) at each node [m]
  readonly assumptions: readonly string[];
}

/**
 * A row at every node. Grade and vertical curvature are differences of the heights: with z over plan distance p,
 * tan θ = z' and dθ/ds = cos³θ z''.
 * @param z (m) height of each node [m]; null: the road is level
 */
export function tableOf(curve: Curve, z: Float64Array | null, parts: TableParts): RoadTable {
  const { x, y, h, curvature } = curve;
  const m = x.length;
  const s = new Float64Array(m);
  const grade = new Float64Array(m);
  const verticalCurvature = new Float64Array(m);
  for (let j = 0; j < m; j++) {
    if (z !== null) {
      const mid = Math.max(1, Math.min(m - 2, j));
      const second = (z[mid + 1] - 2 * z[mid] + z[mid - 1]) / (h * h);
      grade[j] = (z[mid + 1] - z[mid - 1]) / (2 * h) + second * (j - mid) * h;
      verticalCurvature[j] = second * (1 + grade[j] * grade[j]) ** -1.5;
    }
    if (j > 0) s[j] = s[j - 1] + Math.hypot(h, z === null ? 0 : z[j] - z[j - 1]);
  }
  return {
    s,
    curvature: curvature.slice(),
    curvatureIn: 'plan',
    grade,
    crossfall: new Float64Array(m),
    verticalCurvature: z === null ? null : verticalCurvature,
    surface: new Int32Array(m),
    surfaceNames: [parts.surface],
    xy: { x: x.slice(), y: y.slice() },
    z: z === null ? null : z.slice(),
    width: parts.width,
    assumptions: parts.assumptions,
  };
}
