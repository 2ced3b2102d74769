/**
 * A road as written: rows along it, linear between neighbours. Two rows with the same station make a step.
 *
 * n rows, n ≥ 2; the arrays share one index. Signs follow ISO 8855: x forward, y left, z up.
 */
export interface RoadTable {
  readonly s: Float64Array; //          (n) distance along the surface from the first row [m], s[0] = 0, never falling
  readonly curvature: Float64Array; //  (n) [1/m], positive to the left; see `curvatureIn`
  /** `surface`: v²k is the lateral acceleration in the road's plane. `plan`: seen from above, times cos²θ to get that. */
  readonly curvatureIn: 'surface' | 'plan';
  readonly grade: Float64Array; //      (n) tan θ [–], positive uphill
  readonly crossfall: Float64Array; //  (n) φ [rad], positive where the road falls to the right
  /** (n) dθ/ds [1/m], positive in a dip; null: the derivative of the grade angle between rows */
  readonly verticalCurvature: Float64Array | null;
  readonly surface: Int32Array; //      (n) index into `surfaceNames`, holds from its row on
  readonly surfaceNames: readonly string[];
  /** (n) position in plan [m], where the source gives it; null where it does not */
  readonly xy: { readonly x: Float64Array; readonly y: Float64Array } | null;
  readonly z: Float64Array | null; //     (n) height [m], where the source gives it; null where it does not
  readonly width: Float64Array | null; // (n) width between the road's edges [m], linear between rows; null: not given
  /** How the table was read and what was assumed, one sentence each, for the output. */
  readonly assumptions: readonly string[];
}
