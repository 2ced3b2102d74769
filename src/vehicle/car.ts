import type { CarSpec, EngineSpec } from './car-spec.ts';
import type { SurfaceGrip } from './surface-grip.ts';

/**
 * A car in the numbers that the solver reads, all per unit of mass, for one list of surfaces and one air.
 *
 * One class, every field set in the constructor in one order: cars of differing hidden classes would cost the
 * solver's loops a factor of four.
 *
 * Drive in gear g at speed v is f = alpha + beta v + gamma / v on the piece whose upper edge is the first at
 * or above v. Pieces of gear g are firstPiece[g] … firstPiece[g+1] − 1.
 */
export class Car {
  readonly mass: number; //                  [kg]
  readonly r0: number; //                    resistance r0 + r1 v + r2 v² [m/s², 1/s, 1/m]
  readonly r1: number;
  readonly r2: number;
  readonly downforce: number; //             ρ ClA / 2m [1/m]
  readonly brake: number; //                 most the brakes apply [m/s²], Infinity where the tyres alone limit
  readonly drivenShare: number; //           share of the ellipse that drive may use [–]
  readonly muAcross: Float64Array; //        (surfaces) [–], the driver's pace and the surface's factor in
  readonly ellipse2: Float64Array; //        (surfaces) (grip along / grip across)² [–]
  readonly rolling: Float64Array; //         (surfaces) rolling resistance per normal load [–]
  readonly gears: number; //                 number of gears, 1 or more
  readonly massFactor: Float64Array; //      (gears) [–]
  readonly sameMassFactor: boolean;
  readonly limitV2: Float64Array; //         (gears) speed² at the limiter [m²/s²]
  readonly upV2: Float64Array; //            (gears) speed² above which the next gear pulls harder, or the limiter
  readonly gearing: Float64Array; //         (gears) engine radians per metre [rad/m]; 0 with constant power
  readonly firstPiece: Int32Array; //        (gears + 1)
  readonly edge: Float64Array; //            (pieces) upper edge [m/s]
  readonly alpha: Float64Array; //           (pieces) [m/s²]
  readonly beta: Float64Array; //            (pieces) [1/s]
  readonly gamma: Float64Array; //           (pieces) [m²/s³]
  readonly hyperbolic: boolean; //           some gamma is not 0
  readonly shift: number; //                 [s]

  /** @throws RangeError where a surface of the list has no grip in the car's tyre. */
  constructor(spec: CarSpec, surfaces: readonly SurfaceGrip[], airDensity: number) {
    const { mass, driveline } = spec;
    this.mass = mass;
    const load = spec.roadLoad;
    this.r0 = load ? load.f0 / mass : 0;
    this.r1 = load ? load.f1 / mass : 0;
    this.r2 = load
      ? (load.f2 * airDensity) / load.airDensity / mass
      : (airDensity * spec.dragArea) / (2 * mass);
    this.downforce = (airDensity * spec.downforceArea) / (2 * mass);
    this.brake = spec.brakeForce === null ? Number.POSITIVE_INFINITY : spec.brakeForce / mass;
    this.drivenShare = driveline.drivenLoad;
    this.muAcross = new Float64Array(surfaces.length);
    this.ellipse2 = new Float64Array(surfaces.length);
    this.rolling = new Float64Array(surfaces.length);
    for (let i = 0; i < surfaces.length; i++) {
      const { name, grip, rollingResistance } = surfaces[i];
      const tyre = spec.tyre.grip.get(name);
      if (!tyre) throw new RangeError(`the tyre of "${spec.name}" has no grip for the surface "${name}"`);
      this.muAcross[i] = tyre.across * grip * spec.pace;
      this.ellipse2[i] = (tyre.along / tyre.across) ** 2;
      this.rolling[i] = rollingResistance - (load ? load.assumedRolling : 0);
    }
    const gears = Math.max(1, driveline.gearing.length);
    this.gears = gears;
    this.massFactor = massFactors(spec, gears);
    this.sameMassFactor = this.massFactor.every((m) => m === this.massFactor[0]);
    const pieces = drivePieces(spec);
    this.firstPiece = pieces.first;
    this.edge = Float64Array.from(pieces.edge);
    this.alpha = Float64Array.from(pieces.alpha);
    this.beta = Float64Array.from(pieces.beta);
    this.gamma = Float64Array.from(pieces.gamma);
    this.hyperbolic = this.gamma.some((c) => c !== 0);
    this.gearing = new Float64Array(gears);
    this.limitV2 = new Float64Array(gears).fill(Number.POSITIVE_INFINITY);
    if (spec.engine.kind !== 'constant-power') {
      for (let g = 0; g < gears; g++) {
        this.gearing[g] = driveline.gearing[g];
        this.limitV2[g] = (spec.engine.limit / driveline.gearing[g]) ** 2;
      }
    }
    this.shift = driveline.shift;
    this.upV2 = this.limitV2.slice();
    for (let g = 0; g + 1 < gears; g++) this.upV2[g] = changeUpV2(this, g);
  }
}

/** Full-load drive per mass in gear g at speed v [m/s²]; 0 above the limiter and where the engine would stall. */
export function fullDrive(car: Car, g: number, v: number): number {
  if (v * v > car.limitV2[g] * (1 + 1e-12)) return 0;
  let p = car.firstPiece[g];
  const last = car.firstPiece[g + 1] - 1;
  while (p < last && v > car.edge[p]) p++;
  return car.alpha[p] + car.beta[p] * v + (car.gamma[p] === 0 ? 0 : car.gamma[p] / v);
}

/**
 * Mass factor 1 + J/(m r²) per gear, J the rotating inertias referred to the wheel.
 * Source: Gillespie, Fundamentals of Vehicle Dynamics (SAE 1992), ch. 2: (Ie + It)(Nt Nf)² + Id Nf² + Iw.
 */
function massFactors({ mass, massFactor, rotating, tyre, driveline }: CarSpec, gears: number): Float64Array {
  const factors = new Float64Array(gears).fill(massFactor ?? 1);
  if (!rotating) return factors;
  const r = tyre.radius ?? Number.POSITIVE_INFINITY;
  const shaft = driveline.ratios ? driveline.ratios.finalDrive / r : 0;
  for (let g = 0; g < gears; g++) {
    const engine = (rotating.engine + (rotating.gearbox[g] ?? 0)) * (driveline.gearing[g] ?? 0) ** 2;
    factors[g] = 1 + (engine + rotating.finalDrive * shaft ** 2 + rotating.wheels / r ** 2) / mass;
  }
  return factors;
}

interface Pieces {
  readonly first: Int32Array;
  readonly edge: number[];
  readonly alpha: number[];
  readonly beta: number[];
  readonly gamma: number[];
}

function drivePieces({ mass, engine, driveline }: CarSpec): Pieces {
  const gears = Math.max(1, driveline.gearing.length);
  const pieces: Pieces = { first: new Int32Array(gears + 1), edge: [], alpha: [], beta: [], gamma: [] };
  const push = (edge: number, alpha: number, beta: number, gamma: number) => {
    pieces.edge.push(edge);
    pieces.alpha.push(alpha);
    pieces.beta.push(beta);
    pieces.gamma.push(gamma);
  };
  for (let g = 0; g < gears; g++) {
    pieces.first[g] = pieces.edge.length;
    const efficiency = driveline.efficiency[g] / mass;
    if (engine.kind === 'constant-power') {
      push(Number.POSITIVE_INFINITY, 0, 0, engine.power * efficiency);
      continue;
    }
    const radPerM = driveline.gearing[g];
    const { speed, value } = engine;
    if (g === 0) push(engine.launch / radPerM, torqueAt(engine, engine.launch) * radPerM * efficiency, 0, 0);
    else push(engine.idle / radPerM, 0, 0, 0);
    const lowest = g === 0 ? engine.launch : engine.idle;
    for (let i = 0; i + 1 < speed.length && speed[i] < engine.limit; i++) {
      if (speed[i + 1] <= lowest) continue;
      const slope = (value[i + 1] - value[i]) / (speed[i + 1] - speed[i]);
      const zero = value[i] - slope * speed[i]; // the line's value at standstill
      const edge = Math.min(speed[i + 1], engine.limit) / radPerM;
      // torque: F = (zero + slope ω) n η with ω = n v; power: F = (zero + slope n v) η / v
      if (engine.kind === 'torque')
        push(edge, zero * radPerM * efficiency, slope * radPerM ** 2 * efficiency, 0);
      else push(edge, slope * radPerM * efficiency, 0, zero * efficiency);
    }
  }
  pieces.first[gears] = pieces.edge.length;
  return pieces;
}

function torqueAt(engine: Exclude<EngineSpec, { kind: 'constant-power' }>, speed: number): number {
  const { speed: at, value } = engine;
  let i = 0;
  while (i + 2 < at.length && speed > at[i + 1]) i++;
  const y = value[i] + ((value[i + 1] - value[i]) * (speed - at[i])) / (at[i + 1] - at[i]);
  return engine.kind === 'torque' ? y : y / speed;
}

/** Speed² above which gear g + 1 gives at least as much acceleration as gear g up to the limiter of g. */
function changeUpV2(car: Car, g: number): number {
  const gain = (v: number) =>
    fullDrive(car, g, v) / car.massFactor[g] - fullDrive(car, g + 1, v) / car.massFactor[g + 1];
  const limit = Math.sqrt(car.limitV2[g]);
  if (gain(limit) > 0) return car.limitV2[g];
  // Scan down to the last piece end where g still pulls harder, then halve: gain is smooth between piece ends.
  const ends = [...car.edge.subarray(car.firstPiece[g], car.firstPiece[g + 2])]
    .filter((v) => v < limit)
    .sort((a, b) => b - a);
  let high = limit;
  for (const end of ends) {
    if (gain(end) <= 0) {
      high = end;
      continue;
    }
    let low = end;
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      if (gain(middle) > 0) low = middle;
      else high = middle;
    }
    return high * high;
  }
  return high * high;
}
