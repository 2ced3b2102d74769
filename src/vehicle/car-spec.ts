/** Grip of a tyre on one surface: coefficient of friction across and along [–]. */
export interface GripSpec {
  readonly across: number;
  readonly along: number;
}

/** Full-load curve over engine speed, linear between rows in the stated quantity; or the same power at every speed. */
export type EngineSpec =
  | {
      readonly kind: 'torque' | 'power';
      readonly speed: Float64Array; //  (n) [rad/s], rising, n ≥ 2
      readonly value: Float64Array; //  (n) torque [N m] or power [W]
      readonly idle: number; //         [rad/s] least engine speed with the clutch closed
      readonly launch: number; //       [rad/s] engine speed held while the clutch slips in first gear
      readonly limit: number; //        [rad/s] no drive above this
    }
  | { readonly kind: 'constant-power'; readonly power: number }; // [W]; no gears

/** Rotating inertias [kg m²]; `gearbox` has one entry a gear, turning at engine speed. */
export interface RotatingSpec {
  readonly engine: number;
  readonly gearbox: readonly number[];
  readonly finalDrive: number; // at the propeller shaft's speed
  readonly wheels: number; //     all wheels together
}

export interface DrivelineSpec {
  readonly driven: 'front' | 'rear' | 'all';
  readonly drivenLoad: number; // share of the weight on the driven axle [–], 1 where all are driven
  /**
   * Engine radians per metre of road in each gear [rad/m], falling; empty with constant power.
   * ratio × final drive / tyre radius, or from rpm per km/h.
   */
  readonly gearing: readonly number[];
  /** Gear ratios and final drive as written, where given as such (null: given as rpm per km/h, or no gears). */
  readonly ratios: { readonly gears: readonly number[]; readonly finalDrive: number } | null;
  readonly efficiency: readonly number[]; // one per gear (one entry with constant power) [–]
  readonly shift: number; // [s] without drive at each upshift
}

/** Coast-down road load F = f0 + f1 v + f2 v² [N, N s/m, N s²/m²]; it includes rolling on asphalt. */
export interface RoadLoadSpec {
  readonly f0: number;
  readonly f1: number;
  readonly f2: number;
  readonly airDensity: number; // [kg/m³] at which f2 was measured
  readonly assumedRolling: number; // crr of asphalt that f0 already holds
}

/** A car as read, in SI. */
export interface CarSpec {
  readonly name: string;
  readonly file: string;
  readonly mass: number; // [kg]
  readonly pace: number; // share of the tyre's grip that the driver uses [–]
  readonly massFactor: number | null; // one factor for all gears; null where `rotating` is given
  readonly rotating: RotatingSpec | null;
  readonly tyre: { readonly radius: number | null; readonly grip: ReadonlyMap<string, GripSpec> };
  readonly dragArea: number; //      Cd A [m²], 0 beside a road load
  readonly downforceArea: number; // Cl A [m²], positive presses the car down
  readonly roadLoad: RoadLoadSpec | null;
  readonly engine: EngineSpec;
  readonly driveline: DrivelineSpec;
  readonly brakeForce: number | null; // [N] most the brakes can apply at the tyres; null: the tyres alone limit
  readonly assumptions: readonly string[]; // one sentence each: defaults used, simpler models fallen back to
}
