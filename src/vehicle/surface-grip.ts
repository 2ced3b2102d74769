/** A surface as the car meets it; `vehicle` knows no roads, so the names are all that ties the two. */
export interface SurfaceGrip {
  readonly name: string;
  readonly grip: number; //              factor on the tyre's grip [–]
  readonly rollingResistance: number; // [–]
}
