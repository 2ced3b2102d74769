import { sampleRoad } from '../src/track/road.ts';
import type { RoadTable } from '../src/track/road-table.ts';
import { Car } from '../src/vehicle/car.ts';
import type { CarSpec } from '../src/vehicle/car-spec.ts';
import { carWith, type Row, roadTable } from '../tests/helpers/build.ts';

/** The same numbers between 0 and 1 in every run: a 32-bit multiplicative sequence. */
function sequence(seed: number): () => number {
  let x = seed >>> 0;
  return () => {
    x = (Math.imul(x, 1664525) + 1013904223) >>> 0; // constants of Numerical Recipes, "quick and dirty"
    return x / 2 ** 32;
  };
}

/** An invented winding road: straights, bends of 12 to 350 m radius with easements, grades to 7 %, two surfaces. */
export function windingRoad(km: number): RoadTable {
  const next = sequence(11);
  const rows: Row[] = [{ s: 0 }];
  let s = 0;
  let surface = 'gravel';
  while (s < km * 1000 - 600) {
    const grade = (next() - 0.5) * 0.14;
    if (next() < 0.05) surface = surface === 'gravel' ? 'asphalt' : 'gravel';
    s += 30 + 250 * next() ** 2;
    rows.push({ s, grade, surface });
    const radius = next() < 0.15 ? 12 + 10 * next() : next() < 0.5 ? 25 + 55 * next() : 80 + 270 * next();
    const k = (next() < 0.5 ? -1 : 1) / radius;
    const easement = 10 + Math.min(30, radius / 5);
    s += easement;
    rows.push({ s, grade, k, surface });
    s += Math.max(4, (0.3 + next()) * radius - easement);
    rows.push({ s, grade, k, surface });
    s += easement;
    rows.push({ s, grade, surface });
  }
  rows.push({ s: km * 1000, surface });
  return roadTable(rows);
}

/** A point mass: constant power, air, rolling, brakes, grip of two surfaces; no gears. */
export const plainCar: CarSpec = carWith({
  mass: 1390,
  dragArea: 0.74,
  tyre: {
    radius: null,
    grip: new Map([
      ['gravel', { across: 0.62, along: 0.62 }],
      ['asphalt', { across: 0.95, along: 1 }],
    ]),
  },
  engine: { kind: 'constant-power', power: 150e3 },
  brakeForce: 17e3,
});

/** The same with an engine table, six gears, rotating inertias, downforce and shifts. */
export function gearedCar(change: { readonly mass?: number; readonly finalDrive?: number } = {}): CarSpec {
  const radius = 0.31;
  const gears = [3.08, 2.19, 1.68, 1.33, 1.08, 0.9];
  const finalDrive = change.finalDrive ?? 4.3;
  const rpm = (x: number) => (x * Math.PI) / 30;
  return {
    ...plainCar,
    mass: change.mass ?? 1390,
    tyre: { ...plainCar.tyre, radius },
    rotating: { engine: 0.14, gearbox: [0, 0, 0, 0, 0, 0], finalDrive: 0, wheels: 4.2 },
    downforceArea: 0.3,
    engine: {
      kind: 'torque',
      speed: Float64Array.of(1000, 2000, 3000, 4000, 5000, 6000, 7000, 7400).map(rpm),
      value: Float64Array.of(120, 190, 260, 330, 345, 318, 260, 225),
      idle: rpm(1000),
      launch: rpm(4000),
      limit: rpm(7400),
    },
    driveline: {
      driven: 'all',
      drivenLoad: 1,
      gearing: gears.map((ratio) => (ratio * finalDrive) / radius),
      ratios: { gears, finalDrive },
      efficiency: [0.88, 0.88, 0.88, 0.88, 0.88, 0.88],
      shift: 0.12,
    },
  };
}

/** The solver's car on a road's surfaces, in air of 1.2 kg/m³; `rolling` is a factor on what resists its wheels. */
export function carOn(table: RoadTable, spec: CarSpec, rolling = 1): Car {
  const surfaces = table.surfaceNames.map((name) => ({
    name,
    grip: 1,
    rollingResistance: rolling * (name === 'gravel' ? 0.028 : 0.013),
  }));
  return new Car(spec, surfaces, 1.2);
}

export { sampleRoad };
