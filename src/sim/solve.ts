import type { Road } from '../track/road.ts';
import type { Car } from '../vehicle/car.ts';
import { brakeSweep } from './brake-sweep.ts';
import { Stretch } from './drive-sweep.ts';
import { planGears } from './gear-plan.ts';
import { limitSweep, speedCap } from './limit-sweep.ts';
import type { Workspace } from './workspace.ts';

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
 * The fastest run of a car along a road. Fills v2, dt, gear, held, parts and changes of the workspace.
 *
 * Sweeps: what the bends allow; back from the finish, what the brakes allow; then forward, stretch by stretch, what
 * drive and gears allow, each stretch's gears judged by time. A stretch ends on the brakes.
 * On a fixed path the largest feasible v² everywhere is the fastest run but for shift times and mass factors.
 * Source: Verscheure et al., IEEE Trans. Automatic Control 54(10), 2009 (problem form, from memory).
 * @throws StageError where the road and the car do not go together
 */
export function solve(ws: Workspace, road: Road, car: Car, start: StartState): Solved {
  const nodes = road.s.length;
  ws.reserve(nodes);
  ws.parts.count = 0;
  ws.changes.count = 0;
  limitSweep(ws, road, car, speedCap(road, car, start.v2));
  brakeSweep(ws, road, car);
  const last = nodes - 1;
  stretch.to = 0;
  do {
    stretch.from = stretch.to;
    stretch.v2 = stretch.from === 0 ? Math.min(start.v2, ws.brakeV2[0]) : ws.v2[stretch.from];
    planGears(ws, road, car, stretch, stretch.from === 0 ? start.gear : null);
    keepGear(ws, stretch);
    if (stretch.stopped >= 0) return { stoppedAt: stretch.stopped, reached: stretch.to + 1, time: Infinity };
  } while (stretch.to < last);
  let time = 0;
  for (let i = 0; i < last; i++) time += ws.dt[i];
  return { stoppedAt: -1, reached: nodes, time };
}

/** Slowing before a stretch the car changes down to the gear that the stretch is entered with, and no further. */
function keepGear({ gear, v2 }: Workspace, { from, gear: entered }: Stretch): void {
  for (let i = from - 1; i >= 0 && gear[i] < entered && v2[i] >= v2[i + 1]; i--) gear[i] = entered;
}

const stretch = new Stretch();
