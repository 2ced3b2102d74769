import { G, type Road } from '../track/road.ts';
import { type Car, fullDrive } from '../vehicle/car.ts';
import { cornerLimit } from '../vehicle/envelope.ts';
import { StageError } from './stage-error.ts';
import type { Workspace } from './workspace.ts';

/**
 * Fills limitV2: the speed² that the tyres can carry at each node, at most `cap`.
 * @throws StageError where the crossfall alone takes more than the grip
 */
export function limitSweep(ws: Workspace, road: Road, car: Car, cap: number): void {
  const { normal, normalPerV2, lateral, lateralPerV2, surface } = road;
  const { muAcross, downforce } = car;
  const { limitV2 } = ws;
  const nodes = road.s.length;
  for (let i = 0; i < nodes; i++) {
    const limit = cornerLimit(
      muAcross[surface[i]],
      normal[i],
      normalPerV2[i] + downforce,
      lateral[i],
      lateralPerV2[i],
    );
    limitV2[i] = limit < cap ? limit : cap;
    if (!(limit >= 0)) {
      const angle = (Math.atan(Math.abs(lateral[i]) / normal[i]) * 180) / Math.PI;
      throw new StageError(
        road.s[i],
        `the crossfall of ${angle.toFixed(1)} deg is steeper than the grip holds`,
        `the car slides off sideways at any speed; check crossfall_deg there, or the grip of ${road.surfaceNames[surface[i]]}`,
      );
    }
  }
}

/**
 * A speed² that the car can pass nowhere on this road unless it starts faster: above the largest at which full
 * drive still overcomes the resistance on the steepest descent, and above the limiter in the last gear.
 */
export function speedCap(road: Road, car: Car, startV2: number): number {
  let steepest = 0;
  for (let i = 0; i < road.along.length; i++) if (road.along[i] < steepest) steepest = road.along[i];
  // A road load counts the rolling of asphalt; a surface that rolls easier gives some back, at most 3 g of load.
  const givenBack = Math.min(0, ...car.rolling) * 3 * G;
  let cap = 1;
  for (let v = 1; v < CAP_SPEED; v *= 1.1) {
    let drive = 0;
    for (let g = 0; g < car.gears; g++) drive = Math.max(drive, fullDrive(car, g, v));
    if (drive - car.r0 - car.r1 * v - car.r2 * v * v - steepest - givenBack > 0) cap = v * v * 1.21;
  }
  const geared = car.limitV2[car.gears - 1];
  return Math.max(cap, Number.isFinite(geared) ? geared * 1.01 : 0, startV2);
}

/** No car on a road is faster [m/s]; keeps numbers finite where a car has neither drag nor limiter. */
const CAP_SPEED = 1000;
