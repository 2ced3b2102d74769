/**
 * One recorded drive along a road, or one surveyed line, in metres on a plane.
 *
 * n points in the order of travel, n ≥ 1; the arrays share one index.
 */
export interface Pass {
  readonly x: Float64Array; //             (n) east [m]
  readonly y: Float64Array; //             (n) north [m]
  readonly z: Float64Array; //             (n) height [m], NaN where it was not recorded
  readonly time: Float64Array; //          (n) seconds since the first point [s], NaN where it was not recorded
  readonly begins: Uint8Array; //          (n) 1 where a part (segment) of the recording begins: a gap may lie before it
  readonly width: Float64Array | null; //  (n) width of the road [m], where the source gives it
}
