import type { Road } from '../track/road.ts';
import type { Car } from '../vehicle/car.ts';
import { meanForce, reserve, reserveAhead } from '../vehicle/envelope.ts';
import { StageError } from './stage-error.ts';
import { BEND, BRAKE_FORCE, BRAKE_GRIP, type Workspace } from './workspace.ts';

/** A force that grows over a cell by more than this factor has just come off the limit: the cell is done in parts. */
export const STEEP = 2.2;

/**
 * Fills brakeV2 from the finish back to the start: the greatest speed² from which the car can still be slowed for
 * all that follows, never over limitV2; and brakeHeld, what holds a car that follows it.
 *
 * Over a cell b grows backward by 2 h × (mean brake force + mean resistance) / mass factor. Where the tyres limit,
 * the force at the far end depends on the speed there; that equation is solved in closed form (`reserveAhead`),
 * so the step stays stable where the car is held at the limit of a long bend.
 * The gear under braking is the lowest whose change-up speed is not passed.
 * @throws StageError where even the brakes cannot hold the car back
 */
export function brakeSweep(ws: Workspace, road: Road, car: Car): void {
  const last = road.s.length - 1;
  ws.brakeV2[last] = ws.limitV2[last];
  // One call a braking, not one for the road: V8 compiles a short function that is called often with its
  // types known, but enters a long loop half way, where it must take every carried number as an object.
  for (let i = last; i > 0; ) i = brakeBack(ws, road, car, i);
}

/** Fills brakeV2 and brakeHeld back from node `from` to where a bend holds the car again. @returns that node */
function brakeBack(ws: Workspace, road: Road, car: Car, from: number): number {
  const { s, normal, normalPerV2, lateral, lateralPerV2, along, surface } = road;
  const { muAcross, ellipse2, rolling, r0, r1, r2, brake, downforce, massFactor, upV2, sameMassFactor } = car;
  const { limitV2, brakeV2, brakeHeld } = ws;
  const top = car.gears - 1;
  const brake2 = brake * brake;
  let i = from;
  let braking = false;
  let eNear = -1; // force per mass at the near end (towards the finish); −1: not known
  let gear = top;
  for (i--; i >= 0; i--) {
    let h = s[i + 1] - s[i];
    let bNear = brakeV2[i + 1];
    const limit = limitV2[i];
    if (h === 0) {
      brakeV2[i] = bNear < limit ? bNear : limit;
      brakeHeld[i] = BEND;
      eNear = -1;
      continue;
    }
    const id = surface[i];
    const crr = rolling[id];
    const n0 = normal[i];
    const n1 = normalPerV2[i] + downforce;
    let n0Near = normal[i + 1];
    let n1Near = normalPerV2[i + 1] + downforce;
    let gNear = along[i + 1];
    if (!sameMassFactor) {
      while (gear < top && bNear > upV2[gear]) gear++;
      while (gear > 0 && bNear <= upV2[gear - 1]) gear--;
    }
    let perMass = 1 / massFactor[gear];
    let load = n0Near + n1Near * bNear;
    let resist = r0 + r2 * bNear + (load > 0 ? crr * load : 0) + gNear;
    if (r1 !== 0) resist += r1 * Math.sqrt(bNear);
    if (bNear + 2 * h * resist * perMass >= limit) {
      brakeV2[i] = limit;
      brakeHeld[i] = BEND;
      eNear = -1;
      if (braking) return i;
      continue;
    }
    const mu = muAcross[id];
    const e2 = ellipse2[id];
    const y0 = lateral[i];
    const y1 = lateralPerV2[i];
    let y0Near = lateral[i + 1];
    let y1Near = lateralPerV2[i + 1];
    let b: number;
    let e: number;
    let held: number;
    let portion = 1; // of what is left of the cell, done in this turn
    let splits = 0;
    for (;;) {
      let n0Far = n0;
      let n1Far = n1;
      let y0Far = y0;
      let y1Far = y1;
      let gFar = along[i];
      if (portion < 1) {
        n0Far = n0Near + portion * (n0 - n0Near);
        n1Far = n1Near + portion * (n1 - n1Near);
        y0Far = y0Near + portion * (y0 - y0Near);
        y1Far = y1Near + portion * (y1 - y1Near);
        gFar = gNear + portion * (gFar - gNear);
      }
      if (eNear < 0) {
        const left = reserve(mu, e2, n0Near, n1Near, y0Near, y1Near, bNear);
        eNear = left < brake2 ? Math.sqrt(left) : brake;
      }
      const step = 2 * h * portion * perMass;
      const bGuess = bNear + step * (eNear + resist);
      load = n0Far + n1Far * bGuess;
      let resistFar = r0 + r2 * bGuess + (load > 0 ? crr * load : 0) + gFar;
      if (r1 !== 0) resistFar += r1 * Math.sqrt(bGuess > 0 ? bGuess : 0);
      const base = bNear + 0.5 * step * (resist + resistFar);
      e = brake;
      held = BRAKE_FORCE;
      b = brake < Infinity ? base + step * meanForce(eNear, brake) : base;
      if (brake === Infinity || reserve(mu, e2, n0Far, n1Far, y0Far, y1Far, b) < brake2) {
        held = BRAKE_GRIP;
        let c = base + 0.5 * step * eNear;
        let k = 0.5 * step;
        e = reserveAhead(mu, e2, n0Far, n1Far, y0Far, y1Far, c, k);
        const sum = e + eNear;
        if (splits < 2 && portion === 1 && e > STEEP * eNear) {
          portion = splits === 0 ? 1 / 16 : 0.2; // ends at 1/16 and 1/4 of the cell
          splits++;
          continue;
        }
        if (sum > 0) {
          c = base + (step * eNear * (2 * (eNear + 0.5 * e))) / (3 * sum);
          k = (step * (2 * (e + 0.5 * eNear))) / (3 * sum);
          e = reserveAhead(mu, e2, n0Far, n1Far, y0Far, y1Far, c, k);
        }
        if (e < brake) b = c + k * e;
        else e = brake; // b stands as the brakes alone give it
        if (b < 0) {
          // The mean of both ends finds no way to hold the car; the far end alone may (implicit Euler: first order, but stable).
          c = bNear + step * (resistFar < resist ? resistFar : resist);
          e = reserveAhead(mu, e2, n0Far, n1Far, y0Far, y1Far, c, step);
          if (e > brake) e = brake;
          b = c + step * e;
        }
      }
      let done = portion;
      if (!sameMassFactor && gear < top && b > upV2[gear] && bNear < upV2[gear]) {
        // The car changes down within the cell: go on from there with the next gear's mass factor.
        done *= (upV2[gear] - bNear) / (b - bNear);
        b = upV2[gear];
        gear++;
        perMass = 1 / massFactor[gear];
        e = -1;
      } else if (portion === 1) break;
      bNear = b;
      eNear = e;
      h *= 1 - done;
      n0Near += done * (n0 - n0Near);
      n1Near += done * (n1 - n1Near);
      y0Near += done * (y0 - y0Near);
      y1Near += done * (y1 - y1Near);
      gNear += done * (along[i] - gNear);
      load = n0Near + n1Near * bNear;
      resist = r0 + r2 * bNear + (load > 0 ? crr * load : 0) + gNear;
      if (r1 !== 0) resist += r1 * Math.sqrt(bNear);
      portion = 1;
    }
    if (b < limit) {
      braking = true;
      brakeV2[i] = b;
      brakeHeld[i] = held;
      eNear = e;
      if (!(b >= 0)) {
        throw new StageError(
          s[i],
          'the car cannot be held back: grip and brakes are less than the slope pulls',
          'check grade_pct and the grip of the surface there, and the force of the brakes',
        );
      }
    } else {
      brakeV2[i] = limit;
      brakeHeld[i] = BEND;
      eNear = -1;
      if (braking) return i;
    }
  }
  return 0;
}
