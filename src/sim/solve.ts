import type { Road } from '../track/road.ts';
import type { Car } from '../vehicle/car.ts';
import { brakeSweep } from './brake-sweep.ts';
import { Stretch } from './drive-sweep.ts';
import { planGears } from './gear-plan.ts';
import { limitSweep, speedCap } from './limit-sweep.ts';
import { BEND, type Workspace } from './workspace.ts';

/** Where a run begins, and with what. */
export interface StartState {
  readonly v2: number; //          speed² at the first node [m²/s²]
  readonly gear: number | null; // gear engaged, from 0; null: whichever is best
}

/** What a solve leaves beside the workspace's columns. */
export interface Solved {
  readonly stoppedAt: number; // station at which the car came to a stand [m], −1 if it finished
  readonly reached: number; //   nodes reached, the finish included
  readonly time: number; //      [s], Infinity where the car stopped
}

/**
 * The fastest run of a car along a road. Fills v2, dt, gear, held and parts of the workspace.
 *
 * Sweeps: what the bends allow; back from the finish, what the brakes allow; then forward, stretch of driving by
 * stretch of driving, what drive and gears allow, each stretch's gears judged by time. Braking joins the stretches.
 * On a fixed path the largest feasible v² everywhere is the fastest run but for shift times and mass factors.
 * Source: Verscheure et al., IEEE Trans. Automatic Control 54(10), 2009 (problem form, from memory).
 * @throws StageError where the road and the car do not go together
 */
export function solve(ws: Workspace, road: Road, car: Car, start: StartState): Solved {
  const nodes = road.s.length;
  ws.reserve(nodes);
  ws.parts.count = 0;
  limitSweep(ws, road, car, speedCap(road, car, start.v2));
  brakeSweep(ws, road, car);
  const { brakeV2, brakeHeld, v2, dt, gear, held } = ws;
  const { s } = road;
  const last = nodes - 1;
  let g = start.gear ?? 0;
  stretch.from = 0;
  stretch.v2 = Math.min(start.v2, brakeV2[0]);
  let gearBefore = start.gear ?? car.gears; //       gear in which the last stretch of driving ended
  let braked = 0; // time since then [s]: changes of gear fall into it
  for (;;) {
    if (stretch.from > 0 || start.gear === null) g = changeGear(car, g, stretch.v2);
    stretch.gear = g;
    planGears(ws, road, car, stretch, gearBefore, braked);
    if (stretch.stopped >= 0) return { stoppedAt: stretch.stopped, reached: stretch.to + 1, time: Infinity };
    if (stretch.to > stretch.from || stretch.from === 0) {
      gearBefore = stretch.gearEnd;
      braked = stretch.shiftLeftEnd > 0 ? car.shift - stretch.shiftLeftEnd : 0;
      g = gearBefore;
    }
    let i = stretch.to;
    if (i === last) break;
    // On the brakes, along brakeV2; driveSweep said so of the first cell.
    do {
      const h = s[i + 1] - s[i];
      g = changeGear(car, g, brakeV2[i]);
      const time = h === 0 ? 0 : (2 * h) / (Math.sqrt(brakeV2[i]) + Math.sqrt(brakeV2[i + 1]));
      v2[i + 1] = brakeV2[i + 1];
      dt[i] = time;
      gear[i] = g;
      held[i] = brakeHeld[i];
      braked += time;
      i++;
    } while (i < last && brakeHeld[i] !== BEND);
    stretch.from = i;
    stretch.v2 = brakeV2[i];
    if (i === last) break;
  }
  let time = 0;
  for (let i = 0; i < last; i++) time += dt[i];
  return { stoppedAt: -1, reached: nodes, time };
}

/** The gear that a braking car has at speed² b: the lowest whose change-up speed is not passed. */
function changeGear({ upV2, gears }: Car, gear: number, b: number): number {
  let g = gear;
  while (g < gears - 1 && b > upV2[g]) g++;
  while (g > 0 && b <= upV2[g - 1]) g--;
  return g;
}

const stretch = new Stretch();
