import type { Road } from '../track/road.ts';
import type { Car } from '../vehicle/car.ts';
import { meanForce, reserve, reserveAhead } from '../vehicle/envelope.ts';
import { STEEP } from './brake-sweep.ts';
import { AIR, BEND, DRIVE, LIMITER, SHIFT, TRACTION, type Workspace } from './workspace.ts';

/** Where a stretch of driving begins and, filled in by `driveSweep`, how it ended. */
export class Stretch {
  from = 0; //       node
  v2 = 0; //         speed² there
  gear = 0; //       gear engaged there, from 0
  end = 0; //        node to end at at the latest
  to = 0; //         node at which it ended: on the brakes for long enough to reach any gear, or where the road ends
  drove = false; //  not all of it was braking
  stopped = -1; //   station at which the car came to a stand [m], −1 if it did not
}

/** `held` of a cell in which what holds the car changes; its parts are in `parts`. */
export const DIVIDED = 16;

const NOTHING = 0;
const MEETS = 1;
const CHANGES_UP = 2;
const REACHES_LIMITER = 3;
const SHIFT_ENDS = 4;
const SPLITS = 5;
const REACHES_EDGE = 6;
const PLANNED = 7;

/**
 * Drives from a node at full drive, never over brakeV2, through bends and brakings, until the car has braked for long
 * enough to have any gear again. Fills v2, dt, gear, held, parts and changes over the stretch; node `from` of v2 is
 * set to the start's speed².
 *
 * Over a cell b grows by 2 h × (mean drive − mean resistance) / mass factor: drive at the end from a predicted
 * speed, or, where the tyres limit, from the closed form of `reserveAhead`. What happens within a cell is located
 * on the line that b follows and the rest of the cell is done anew: meeting brakeV2, a shift's begin and end,
 * reaching the limiter.
 *
 * @param usePlan change gear as ws.plan says; else by rule: up at the car's change-up speed, on the brakes down to
 *   the lowest gear whose change-up speed is not passed
 */
export function driveSweep(ws: Workspace, road: Road, car: Car, stretch: Stretch, usePlan: boolean): void {
  const { s, normal, normalPerV2, lateral, lateralPerV2, along, surface } = road;
  const { muAcross, ellipse2, rolling, r0, r1, r2, downforce, massFactor, upV2, limitV2, shift } = car;
  const { edge, alpha, beta, gamma, hyperbolic, firstPiece, drivenShare } = car;
  const { brakeV2, brakeHeld, v2, dt, held, parts, plan, changes } = ws;
  const gearOut = ws.gear;
  const share2 = drivenShare * drivenShare;
  const top = car.gears - 1;
  const downAt = shift === 0 ? 1 : CHANGE_DOWN;
  const last = stretch.end;
  const planGear = plan.gear;
  const planStation = plan.station;
  const planned = usePlan ? plan.count : 0; // changes of gear in the plan
  const brakedEnough = BRAKED_ENOUGH + shift * top;
  let next = 0; // the next change of gear in the plan
  let gear = stretch.gear;
  let shiftLeft = 0; // [s] still without drive
  let braked = 0; // time on the brakes so far [s]
  let perMass = 0;
  let piece = 0;
  let pieceFirst = 0;
  let pieceLast = 0;
  let engaged = -1; // gear that these four are of
  let b = stretch.v2;
  let v = Math.sqrt(b);
  let e = -1; // drive force per mass that the car has at this point; −1: not known
  v2[stretch.from] = b;
  stretch.stopped = -1;
  stretch.drove = false;
  let i = stretch.from;
  cells: for (; i < last; i++) {
    const h = s[i + 1] - s[i];
    const bLast = brakeV2[i + 1];
    if (h === 0) {
      if (b > bLast) {
        b = bLast;
        v = Math.sqrt(b);
      }
      v2[i + 1] = b;
      dt[i] = 0;
      gearOut[i] = gear;
      held[i] = BEND;
      e = -1;
      continue;
    }
    const id = surface[i];
    const mu = muAcross[id];
    const crr = rolling[id];
    const e2 = ellipse2[id] * share2;
    const n0End = normal[i + 1];
    const n1End = normalPerV2[i + 1] + downforce;
    const y0End = lateral[i + 1];
    const y1End = lateralPerV2[i + 1];
    const gEnd = along[i + 1];
    // The same at the start of what is left of the cell, h · left.
    let n0Here = normal[i];
    let n1Here = normalPerV2[i] + downforce;
    let y0Here = lateral[i];
    let y1Here = lateralPerV2[i];
    let gHere = along[i];
    let bBrake = brakeV2[i];
    let left = 1;
    let portion = 1; // of what is left of the cell, done in this turn
    let splits = 0;
    const brakedBefore = braked;

    if (!usePlan && shiftLeft === 0) {
      const share = braked > 0 ? 1 : downAt;
      while (gear > 0 && b < share * upV2[gear - 1]) {
        gear--;
        changes.push(s[i], gear);
      }
    }
    gearOut[i] = gear;
    let time = 0;
    let heldFirst = -1;
    let divided = false;
    for (let turn = 0; turn < MOST_EVENTS; turn++) {
      if (gear !== engaged) {
        engaged = gear;
        perMass = 1 / massFactor[gear];
        pieceFirst = firstPiece[gear];
        pieceLast = firstPiece[gear + 1] - 1;
        piece = pieceFirst;
        e = -1;
        if (time === 0) gearOut[i] = gear;
      }
      const hLeft = h * left * portion;
      let n0 = n0End;
      let n1 = n1End;
      let y0 = y0End;
      let y1 = y1End;
      let g = gEnd;
      let bEnd = bLast;
      if (portion < 1) {
        n0 = n0Here + portion * (n0End - n0Here);
        n1 = n1Here + portion * (n1End - n1Here);
        y0 = y0Here + portion * (y0End - y0Here);
        y1 = y1Here + portion * (y1End - y1Here);
        g = gHere + portion * (gEnd - gHere);
        bEnd = bBrake + portion * (bLast - bBrake);
      }
      const limiter = limitV2[gear];
      let changeAt = Infinity;
      if (gear < top) {
        if (!usePlan) changeAt = upV2[gear];
        else if (next < planned && planGear[next] > gear && planStation[next] < s[i + 1] + LOOK)
          changeAt = limiter;
      }
      let load = n0Here + n1Here * b;
      let resist = r0 + r2 * b + (load > 0 ? crr * load : 0) + gHere;
      if (r1 !== 0) resist += r1 * v;
      const step = 2 * hLeft * perMass;
      const coast = b - step * resist;
      let bNext: number;
      let eNext = -1;
      let heldNow: number;
      let bTarget = Infinity;
      let isEdge = false;
      let tyreLeft = 0;
      let braking = false;
      if (turn === 0 && coast > bEnd && b >= bBrake) {
        // On the braking line, and even without drive the car would be too fast: it brakes.
        let slower = b - 0.5 * step * resist;
        load = n0 + n1 * coast;
        slower -= 0.5 * step * (r0 + r1 * v + r2 * coast + (load > 0 ? crr * load : 0) + g);
        braking = slower > bEnd;
      }
      if (braking) {
        bNext = bEnd;
        heldNow = brakeHeld[i];
        changeAt = Infinity;
      } else if (shiftLeft === 0 && b <= limiter) {
        if (e < 0) {
          while (piece < pieceLast && v > edge[piece]) piece++;
          while (piece > pieceFirst && v <= edge[piece - 1]) piece--;
          e = alpha[piece] + beta[piece] * v;
          if (hyperbolic) e = v > 0 ? e + gamma[piece] / v : gamma[piece] > 0 ? HUGE : e;
          const tyre = e2 === 0 ? 0 : reserve(mu, e2, n0Here, n1Here, y0Here, y1Here, b);
          if (tyre < e * e) e = Math.sqrt(tyre);
        }
        while (piece < pieceLast && v >= edge[piece]) piece++;
        while (piece > pieceFirst && v < edge[piece - 1]) piece--;
        const pieceHere = piece;
        let bGuess = b + step * (e - resist);
        if (bGuess < 0) bGuess = 0;
        if (bGuess > 5 * b && portion === 1 && hLeft > h * FIRST_PART) {
          // From rest, or nearly: parts that grow, since the force follows v and not v².
          const part = (3 * b) / (step * (e - resist));
          portion = Math.min(1, Math.max(part, (h * FIRST_PART) / hLeft));
          if (portion < 1) continue;
        }
        const vGuess = Math.sqrt(bGuess);
        while (piece < pieceLast && vGuess > edge[piece]) piece++;
        while (piece > pieceFirst && vGuess <= edge[piece - 1]) piece--;
        let drive = alpha[piece] + beta[piece] * vGuess;
        if (hyperbolic) drive = vGuess > 0 ? drive + gamma[piece] / vGuess : gamma[piece] > 0 ? HUGE : drive;
        load = n0 + n1 * bGuess;
        let resistNext = r0 + r2 * bGuess + (load > 0 ? crr * load : 0) + g;
        if (r1 !== 0) resistNext += r1 * vGuess;
        const drift = b - 0.5 * step * (resist + resistNext);
        bNext = drift + step * meanForce(e, drive);
        eNext = drive;
        heldNow = DRIVE;
        // The first speed at which the drive changes its course: a row of the table, the change up, the limiter.
        bTarget = edge[pieceHere] * edge[pieceHere];
        isEdge = pieceHere < pieceLast;
        if (changeAt <= bTarget) {
          bTarget = changeAt;
          isEdge = false;
        }
        if (limiter <= bTarget) {
          bTarget = limiter;
          isEdge = false;
        }
        let located = false;
        if (bTarget > b && (bGuess > bTarget || bNext > bTarget)) {
          const vT = Math.sqrt(bTarget);
          let eT = alpha[pieceHere] + beta[pieceHere] * vT;
          if (hyperbolic) eT += gamma[pieceHere] / vT;
          load = n0 + n1 * bTarget;
          let resistT = r0 + r2 * bTarget + (load > 0 ? crr * load : 0) + g;
          if (r1 !== 0) resistT += r1 * vT;
          const gain = step * (meanForce(e, eT) - 0.5 * (resist + resistT));
          if (gain > bTarget - b && reserve(mu, e2, n0, n1, y0, y1, bTarget) >= eT * eT) {
            bNext = b + gain;
            located = true;
          }
        }
        if (!located) isEdge = false;
        tyreLeft = reserve(mu, e2, n0, n1, y0, y1, bNext);
        if (!located && tyreLeft < drive * drive) {
          let c = drift + 0.5 * step * e;
          let k = 0.5 * step;
          let tyre = reserveAhead(mu, e2, n0, n1, y0, y1, c, k);
          const sum = tyre + e;
          if (splits < 2 && portion === 1 && tyre > STEEP * e) {
            portion = splits === 0 ? 1 / 16 : 0.2; // ends at 1/16 and 1/4 of the cell
            splits++;
            continue;
          }
          if (sum > 0) {
            c = drift + (step * e * (2 * (e + 0.5 * tyre))) / (3 * sum);
            k = (step * (2 * (tyre + 0.5 * e))) / (3 * sum);
            tyre = reserveAhead(mu, e2, n0, n1, y0, y1, c, k);
          }
          if (tyre < drive) {
            bNext = c + k * tyre;
            eNext = tyre;
            // The greater part of the ellipse says whether the bend holds the car or the drive wants more grip.
            const held1 = mu * (n0 + n1 * bNext);
            heldNow = 2 * tyre * tyre < e2 * held1 * held1 ? BEND : TRACTION;
          }
        }
        if (b === limiter && bNext >= limiter) {
          // On the limiter: drive is cut so that the speed stands, but a descent may still push the car on.
          heldNow = LIMITER;
          eNext = -1;
          bNext = coast > limiter ? coast : limiter;
        }
      } else {
        load = n0 + n1 * (coast > 0 ? coast : 0);
        let resistNext = r0 + r2 * coast + (load > 0 ? crr * load : 0) + g;
        if (r1 !== 0) resistNext += r1 * (coast > 0 ? Math.sqrt(coast) : 0);
        bNext = b - 0.5 * step * (resist + resistNext);
        heldNow = shiftLeft > 0 ? SHIFT : LIMITER;
      }

      // The line that b follows to the cell's end: its own, or brakeV2 where it is on that.
      let event = NOTHING;
      let f = 1;
      let bAt = bNext;
      if (bNext > bEnd) {
        const room = bBrake - b;
        if (room <= 0) {
          heldNow = brakeHeld[i];
          bAt = bEnd;
          eNext = -1;
        } else {
          event = MEETS;
          f = room / (room + bNext - bEnd);
          bAt = b + f * (bNext - b);
        }
      }
      if (shiftLeft > 0) {
        // no drive to change with
      } else if (isEdge && bAt > bTarget) {
        event = REACHES_EDGE;
        f *= (bTarget - b) / (bAt - b);
        bAt = bTarget;
      } else if (b > changeAt || (b === changeAt && bAt >= b)) {
        event = CHANGES_UP;
        f = 0;
        bAt = b;
      } else if (bAt > changeAt) {
        event = CHANGES_UP;
        f *= (changeAt - b) / (bAt - b);
        bAt = changeAt;
      } else if (bAt > limiter && b < limiter) {
        event = REACHES_LIMITER;
        f *= (limiter - b) / (bAt - b);
        bAt = limiter;
      } else if (b > limiter && bAt < limiter) {
        event = REACHES_LIMITER; // from above, the slope having pushed the car over it
        f *= (limiter - b) / (bAt - b);
        bAt = limiter;
      }
      if (next < planned && shiftLeft === 0) {
        const way = planStation[next] - (s[i + 1] - h * left);
        if (way < f * hLeft) {
          event = PLANNED;
          const share = way > 0 ? way / (f * hLeft) : 0;
          bAt = b + share * (bAt - b);
          f *= share;
        }
      }
      if (bAt < 0) {
        stretch.stopped = s[i + 1] - h * left + hLeft * f * (b / (b - bAt));
        v2[i + 1] = 0;
        dt[i] = Infinity;
        held[i] = heldNow;
        break cells;
      }
      if (event === NOTHING && portion < 1) event = SPLITS;
      const distance = f * hLeft;
      let vAt = Math.sqrt(bAt);
      let part = distance > 0 ? (2 * distance) / (v + vAt) : 0;
      if (shiftLeft > 0) {
        if (part >= shiftLeft) {
          // The shift ends on the way, after its time at the acceleration of this line.
          const a = (bAt - b) / (2 * distance);
          const d = shiftLeft * (v + 0.5 * a * shiftLeft);
          f = d / hLeft;
          bAt = b + 2 * a * d;
          vAt = Math.sqrt(bAt);
          part = shiftLeft;
          event = SHIFT_ENDS;
        } else shiftLeft -= part;
      }
      if (!(part < Infinity)) {
        stretch.stopped = s[i + 1] - h * left;
        v2[i + 1] = 0;
        dt[i] = Infinity;
        held[i] = heldNow;
        break cells;
      }
      time += part;
      if (braking) braked += part;
      const on = f;
      if (n1Here < 0 || n1 < 0) {
        // Part of the way may be in the air: where the load, linear on the way, is below 0.
        const from = n0Here + n1Here * b;
        const to = n0Here + on * (n0 - n0Here) + (n1Here + on * (n1 - n1Here)) * bAt;
        if (from <= 0 || to <= 0) {
          const inAir = from <= 0 ? (to <= 0 ? 1 : from / (from - to)) : to / (to - from);
          if (inAir < 1) {
            divided = true;
            if (part > 0) {
              if (from > 0) parts.push(i, heldNow, part * (1 - inAir));
              parts.push(i, AIR, part * inAir);
              if (from <= 0) parts.push(i, heldNow, part * (1 - inAir));
              if (heldFirst < 0) heldFirst = from > 0 ? heldNow : AIR;
            }
            part = 0;
          } else heldNow = AIR;
        }
      }
      if (part > 0) {
        if (heldFirst < 0) heldFirst = heldNow;
        if (event !== NOTHING || divided) {
          divided = true;
          parts.push(i, heldNow, part);
        }
      }
      b = bAt;
      v = vAt;
      if (event === NOTHING) {
        e = eNext;
        if (heldNow === DRIVE) {
          e = alpha[piece] + beta[piece] * v;
          if (hyperbolic) e = v > 0 ? e + gamma[piece] / v : gamma[piece] > 0 ? HUGE : e;
          if (tyreLeft < e * e) e = Math.sqrt(tyreLeft);
        }
        break;
      }
      const done = f * portion;
      n0Here += done * (n0End - n0Here);
      n1Here += done * (n1End - n1Here);
      y0Here += done * (y0End - y0Here);
      y1Here += done * (y1End - y1Here);
      gHere += done * (gEnd - gHere);
      bBrake += done * (bLast - bBrake);
      left *= 1 - done;
      portion = 1;
      e = -1;
      if (event === MEETS) {
        b = bBrake; // the same but for rounding
      } else if (event === CHANGES_UP || event === PLANNED) {
        const to = event === PLANNED ? planGear[next] : gear + 1;
        changes.push(s[i + 1] - h * left, to);
        next++; // without a plan this counts nothing
        if (to > gear) shiftLeft = shift;
        if (to < gear || shift === 0) gear = to;
      } else if (event === SHIFT_ENDS) {
        shiftLeft = 0;
        gear++;
      }
    }
    v2[i + 1] = b;
    dt[i] = time;
    held[i] = divided ? heldFirst + DIVIDED : heldFirst < 0 ? BEND : heldFirst;
    if (braked > brakedBefore) {
      if (braked >= brakedEnough && !usePlan) {
        i++;
        break;
      }
      continue;
    }
    stretch.drove = true;
    braked = 0;
  }
  stretch.to = i;
}

/** Braking for this long [s], and a shift for every gear, leaves the car free in its gear. */
const BRAKED_ENOUGH = 0.2;
/** A gear is left downward, where no plan says otherwise, below this share of its change-up speed². */
const CHANGE_DOWN = 0.8;
/** A planned shift that comes within this distance after the limiter is made at the limiter [m]. */
const LOOK = 3;
/** First part of a cell that begins at rest. */
const FIRST_PART = 1 / 256;
/** More cannot happen in one cell; bounds the loop against rounding. */
const MOST_EVENTS = 300;
/** Stands for the endless force of constant power at rest [m/s²]. */
const HUGE = 1e6;
