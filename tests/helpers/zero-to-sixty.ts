/**
 * Forecasts of 0 to 60 mph for the 400 cars of the open data set of vega-datasets (cars.json) that state power and
 * weight, from those two numbers alone: all else is one typical car of the years 1970 to 1982, chosen beforehand.
 */
import { readFileSync } from 'node:fs';
import { timeStage } from '../../src/sim/time-stage.ts';
import type { CarSpec } from '../../src/vehicle/car-spec.ts';
import { carWith, gripOf, roadTable, stageOn } from './build.ts';

export interface Forecast {
  readonly name: string;
  readonly weight: number; //    as stated [lb]
  readonly power: number; //     as stated [hp]
  readonly measured: number; //  0 to 60 mph as stated [s]
  readonly forecast: number; //  [s]
  readonly year: number;
  readonly cylinders: number;
  readonly origin: string;
}

const POUND = 0.45359237; // [kg]
const HORSEPOWER = 745.7; // [W]
const SIXTY = 26.8224; //    60 mph [m/s]
const RPM = (2 * Math.PI) / 60; // [rad/s]

/** What the data do not say. */
export const TYPICAL = {
  load: 136, //          [kg] driver and instruments, 300 lb on top of the weight as stated (common practice, no source)
  grip: 0.85, //         peak, dry asphalt: 0.8 to 0.9 (Wong, Theory of Ground Vehicles)
  drivenLoad: 0.5, //    share of the weight on the driven axle under way (common practice, no source)
  dragArea: 0.9, //      [m²] Cd 0.45 × 2.0 m² (cars of the 1970s, from memory)
  rolling: 0.013, //     asphalt (Wong; Bosch Automotive Handbook)
  airDensity: 1.225, //  [kg/m³] ISO 2533, sea level
  efficiency: 0.85, //   engine to wheels: a gearbox and axle with hypoid gears (common practice, no source)
  shift: 0.5, //         [s] without drive at each change (common practice, no source)
  radius: 0.3, //        [m] (from memory: 13 to 14 inch wheels)
  finalDrive: 3.6, //    (from memory)
  gears: [3.5, 2.1, 1.4, 1.0], // four speeds, the last direct (from memory)
  ratedRpm: 5000, //     engine speed of the stated power (from memory)
  launchRpm: 2500, //    half of it (common practice, no source)
  // Full-load power over rated power by engine speed over rated speed: torque is greatest at some 55 % of rated speed,
  // a fifth over that at rated power (from memory: engines with carburettors).
  curve: [
    [0.2, 0.2],
    [0.4, 0.46],
    [0.55, 0.66],
    [0.7, 0.82],
    [0.85, 0.94],
    [1.0, 1.0],
    [1.1, 0.97],
  ],
} as const;

/** Forecasts for all cars that state power and weight, in the order of the file. */
export function forecastAll(): Forecast[] {
  const file = new URL('../../node_modules/vega-datasets/data/cars.json', import.meta.url);
  const rows = JSON.parse(readFileSync(file, 'utf8')) as Record<string, string | number | null>[];
  return rows
    .filter((row) => row['Horsepower'] !== null)
    .map((row) => {
      const weight = Number(row['Weight_in_lbs']);
      const power = Number(row['Horsepower']);
      return {
        name: String(row['Name']),
        weight,
        power,
        measured: Number(row['Acceleration']),
        forecast: zeroToSixty(typicalCar(weight * POUND + TYPICAL.load, power * HORSEPOWER)),
        year: Number(String(row['Year']).slice(0, 4)),
        cylinders: Number(row['Cylinders']),
        origin: String(row['Origin']),
      };
    });
}

function typicalCar(mass: number, power: number): CarSpec {
  const { radius, finalDrive, gears, ratedRpm, launchRpm, curve, efficiency } = TYPICAL;
  const rated = ratedRpm * RPM;
  return carWith({
    mass,
    // Wong's mass factor 1.04 + 0.0025 ξ², ξ the ratio from engine to wheels, as inertias.
    rotating: {
      engine: 0.0025 * mass * radius ** 2,
      gearbox: gears.map(() => 0),
      finalDrive: 0,
      wheels: 0.04 * mass * radius ** 2,
    },
    tyre: { radius, grip: gripOf(TYPICAL.grip) },
    dragArea: TYPICAL.dragArea,
    engine: {
      kind: 'power',
      speed: Float64Array.from(curve, ([share]) => share * rated),
      value: Float64Array.from(curve, ([, share]) => share * power),
      idle: curve[0][0] * rated,
      launch: launchRpm * RPM,
      limit: curve[curve.length - 1][0] * rated,
    },
    driveline: {
      driven: 'rear',
      drivenLoad: TYPICAL.drivenLoad,
      gearing: gears.map((ratio) => (ratio * finalDrive) / radius),
      ratios: { gears, finalDrive },
      efficiency: gears.map(() => efficiency),
      shift: TYPICAL.shift,
    },
  });
}

const road = roadTable([{ s: 0 }, { s: 800 }]);

function zeroToSixty(car: CarSpec): number {
  const surfaces = new Map([['asphalt', { grip: 1, rollingResistance: TYPICAL.rolling, roughness: null }]]);
  const { v2, dt, nodes } = timeStage(car, stageOn(road, { airDensity: TYPICAL.airDensity, surfaces })).run;
  let time = 0;
  for (let i = 0; i + 1 < nodes; i++) {
    if (v2[i + 1] >= SIXTY ** 2)
      return time + (dt[i] * (SIXTY - Math.sqrt(v2[i]))) / (Math.sqrt(v2[i + 1]) - Math.sqrt(v2[i]));
    time += dt[i];
  }
  throw new Error(`60 mph is not reached within ${road.s[1]} m`);
}
