import { DIVIDED } from './drive-sweep.ts';
import type { Run } from './run.ts';
import { BRAKE_FORCE, BRAKE_GRIP, HELD_BY, type Parts } from './workspace.ts';

/** One sector of a run. */
export interface Sector {
  readonly to: number; //           station of its end [m]
  readonly time: number; //         [s]
  readonly runningTime: number; //  from the start [s]
  readonly meanSpeed: number; //    [m/s]
  readonly minSpeed: number; //     [m/s]
  readonly maxSpeed: number; //     [m/s]
  readonly upshifts: number;
  readonly held: Float64Array; //   time by what held the car, in the order of HELD_BY [s]
}

/** Sums a run by sector; sectors that the car does not finish are left out. */
export function sumSectors({ road, nodes, v2, dt, gear, held }: Run, parts: Parts): Sector[] {
  const sectors: Sector[] = [];
  let i = 0;
  let p = 0;
  let runningTime = 0;
  for (const end of road.splitNodes) {
    if (end >= nodes || !Number.isFinite(dt[Math.max(0, end - 1)])) break;
    const heldTime = new Float64Array(HELD_BY.length);
    const from = i;
    let least = v2[i];
    let greatest = v2[i];
    let upshifts = 0;
    let time = 0;
    for (; i < end; i++) {
      time += dt[i];
      if (held[i] < DIVIDED) heldTime[held[i]] += dt[i];
      else {
        while (p < parts.count && parts.cell[p] < i) p++;
        for (; p < parts.count && parts.cell[p] === i; p++) heldTime[parts.held[p]] += parts.time[p];
      }
      const b = v2[i + 1];
      if (b < least) least = b;
      if (b > greatest) greatest = b;
      if (gear[i + 1] > gear[i] && !brakes(held[i]) && !brakes(held[i + 1])) upshifts++;
    }
    runningTime += time;
    sectors.push({
      to: road.s[end],
      time,
      runningTime,
      meanSpeed: (road.s[end] - road.s[from]) / time,
      minSpeed: Math.sqrt(least),
      maxSpeed: Math.sqrt(greatest),
      upshifts,
      held: heldTime,
    });
  }
  return sectors;
}

function brakes(held: number): boolean {
  return held === BRAKE_GRIP || held === BRAKE_FORCE;
}
