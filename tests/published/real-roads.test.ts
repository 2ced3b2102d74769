/**
 * Two real closed roads, known by their surveyed centre lines only: an asphalt car from a standing start round each.
 * No time is known to compare with; what must hold of any right answer is asserted, and the bends are printed to be
 * looked at.
 */
import { describe, expect, it } from 'vitest';
import { memoryFiles } from '../../src/input/file-access.ts';
import { type StageForecast, timeStage } from '../../src/sim/time-stage.ts';
import { readStage } from '../../src/track/read-stage.ts';
import { G } from '../../src/track/road.ts';
import { readCar } from '../../src/vehicle/read-car.ts';
import { sharedTables } from '../helpers/shared-data.ts';

const GRIP = { across: 0.95, along: 1.0 };

// An invented car such as takes part in asphalt events: some 8 kg/kW, four driven wheels.
const files = (table: string) =>
  memoryFiles({
    'road.csv': table,
    'stage.yaml': `stage: a real road
road: road.csv
columns: {w_tr_right_m: ignore, w_tr_left_m: ignore}
closed: true
`,
    'engine.csv': `engine_rpm,torque_Nm
1000,110
2000,180
3000,260
4000,300
5000,305
6000,275
7000,225
7400,195
`,
    'car.yaml': `car: asphalt car
mass: 1350 kg
rotating: {engine: 0.14 kg m^2, wheels: 4.2 kg m^2}
tyre: {radius: 0.31 m, grip: {asphalt: {across: ${GRIP.across}, along: ${GRIP.along}}}}
air: {drag_area: 0.74 m^2}
engine: {torque: engine.csv, idle: 1000 rpm, launch: 4000 rpm, limit: 7400 rpm}
driveline: {driven: all, gears: [3.08, 2.19, 1.68, 1.33, 1.08, 0.90], final_drive: 4.3, efficiency: 0.88, shift: 0.12 s}
brakes: {force: 17 kN}
`,
  });

/** Length of the closed polygon through the points of a table [m]. */
function polygonLength(table: string): number {
  const points = table
    .trim()
    .split('\n')
    .filter((line) => !line.startsWith('#'))
    .map((line) => line.split(',').map(Number));
  return points.reduce((sum, [x, y], i) => {
    const [nextX, nextY] = points[(i + 1) % points.length];
    return sum + Math.hypot(nextX - x, nextY - y);
  }, 0);
}

interface Bend {
  readonly at: number; //     station of the tightest place [m]
  readonly radius: number; // there [m], positive to the left
  readonly angle: number; //  turned from end to end [deg]
  readonly speed: number; //  least [km/h]
}

/** Stretches that turn one way tighter than 300 m, and by 10 deg or more. */
function bendsOf({ run }: StageForecast): Bend[] {
  const { road, nodes, v2 } = run;
  const bends: Bend[] = [];
  for (let i = 0; i + 1 < nodes; i++) {
    if (Math.abs(road.curvature[i]) < 1 / 300) continue;
    const way = Math.sign(road.curvature[i]);
    let [angle, tightest, least] = [0, i, v2[i]];
    for (; i + 1 < nodes && road.curvature[i] * way >= 1 / 300; i++) {
      angle += ((road.curvature[i] + road.curvature[i + 1]) / 2) * (road.s[i + 1] - road.s[i]);
      if (road.curvature[i] * way > road.curvature[tightest] * way) tightest = i;
      least = Math.min(least, v2[i]);
    }
    const degrees = (angle * 180) / Math.PI;
    if (Math.abs(degrees) < 10) continue;
    const speed = Math.sqrt(least) * 3.6;
    bends.push({ at: road.s[tightest], radius: 1 / road.curvature[tightest], angle: degrees, speed });
  }
  return bends;
}

const tables = sharedTables('centrelines/');
if (tables.length === 0) it.skip('real roads are left out: no ../shared/data/centrelines/*.csv', () => {});

describe.each(tables.map((table, i) => ({ road: `road ${i + 1}`, table })))('$road', ({ road, table }) => {
  const access = files(table);
  const stage = readStage('stage.yaml', access);
  const car = readCar('car.yaml', access);
  const forecast = timeStage(car, stage);
  const { run } = forecast;

  it('is as long as the polygon of its points, and turns once round', () => {
    expect(Math.abs(forecast.length / polygonLength(table) - 1)).toBeLessThan(0.003);
    let turned = 0;
    for (let i = 0; i + 1 < run.nodes; i++) {
      turned +=
        ((run.road.curvature[i] + run.road.curvature[i + 1]) / 2) * (run.road.s[i + 1] - run.road.s[i]);
    }
    expect(Math.abs(turned) / (2 * Math.PI)).toBeCloseTo(1, 2);
  });

  it('never asks more of the tyres than they have', () => {
    for (let i = 0; i < run.nodes; i++) {
      const across = (run.v2[i] * Math.abs(run.road.curvature[i])) / (GRIP.across * G);
      const ax =
        i + 1 < run.nodes ? (run.v2[i + 1] - run.v2[i]) / (2 * (run.road.s[i + 1] - run.road.s[i])) : 0;
      expect(across).toBeLessThan(1 + 1e-9);
      // Slowing down includes what is no tyre force: drag and rolling, together under 0.15 g for this car.
      expect(Math.abs(ax)).toBeLessThan((GRIP.along + 0.15) * G);
    }
  });

  it('is driven at a believable pace', () => {
    const kmh = (forecast.length / forecast.time!) * 3.6;
    const bends = bendsOf(forecast);
    console.log(
      [
        `${road}: ${forecast.length.toFixed(1)} m, ${forecast.time!.toFixed(3)} s, mean ${kmh.toFixed(1)} km/h, ` +
          `greatest ${(forecast.sectors[0].maxSpeed * 3.6).toFixed(1)} km/h`,
        ...bends.map(({ at, radius, angle, speed }) =>
          [
            `  ${at.toFixed(0).padStart(5)} m`,
            `${radius > 0 ? 'left ' : 'right'} ${Math.abs(radius).toFixed(0).padStart(3)} m`,
            `${Math.abs(angle).toFixed(0).padStart(3)} deg`,
            `${speed.toFixed(0).padStart(3)} km/h`,
          ].join('  '),
        ),
      ].join('\n'),
    );
    // Circuits of this kind are lapped by road cars at 90 to 150 km/h (common practice, no source).
    expect(kmh).toBeGreaterThan(90);
    expect(kmh).toBeLessThan(150);
    for (const { radius, speed } of bends) {
      expect(Math.abs(radius)).toBeGreaterThan(8);
      expect(speed).toBeGreaterThan(25);
    }
  });
});
