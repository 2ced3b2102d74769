import { DIVIDED } from './drive-sweep.ts';
import type { Run } from './run.ts';
import type { Sector } from './sectors.ts';
import { AIR, LIMITER, type Parts } from './workspace.ts';

export interface Flight {
  readonly at: number; //    station where the car leaves the ground [m]
  readonly speed: number; // there [m/s]
  readonly time: number; //  in the air [s]
}

export interface SlowBend {
  readonly at: number; //     station of the least speed [m]
  readonly speed: number; //  [m/s]
  readonly radius: number; // [m], positive to the left
}

/** What the crew must watch. */
export interface WatchPoints {
  readonly flights: readonly Flight[];
  readonly limiterTime: number; //                [s]
  readonly gearsNeverUsed: readonly number[]; //  from 1
  readonly slowestBends: readonly SlowBend[]; //  slowest first
}

/** Bends listed. */
const BENDS = 3;
/** A flight goes on over gaps shorter than this [m]. */
const SAME_FLIGHT = 1;
/** Bends wider than this do not hold a car back [m]: where the road is wider it is straight. */
const WIDEST = 400;
/** Straights shorter than this part no bend from one to the same side [m]. No source. */
const SHORTEST_STRAIGHT = 30;

export function findWatchPoints(run: Run, parts: Parts, sectors: readonly Sector[]): WatchPoints {
  const used = new Set<number>();
  for (let i = 0; i < run.nodes; i++) used.add(run.gear[i]);
  const gearsNeverUsed: number[] = [];
  for (let g = 0; g < run.car.gears; g++) if (!used.has(g)) gearsNeverUsed.push(g + 1);
  return {
    flights: findFlights(run, parts),
    limiterTime: sectors.reduce((sum, sector) => sum + sector.held[LIMITER], 0),
    gearsNeverUsed,
    slowestBends: findSlowBends(run),
  };
}

function findFlights({ road, nodes, v2, dt, held }: Run, parts: Parts): Flight[] {
  const flights: { at: number; speed: number; time: number; end: number }[] = [];
  const add = (from: number, to: number, speed: number, time: number) => {
    const before = flights[flights.length - 1];
    if (before && from - before.end < SAME_FLIGHT) {
      before.time += time;
      before.end = to;
    } else flights.push({ at: from, speed, time, end: to });
  };
  // v² is linear between nodes but for the cell's parts
  const speedAt = (at: number, i: number) =>
    Math.sqrt(v2[i] + ((at - road.s[i]) / (road.s[i + 1] - road.s[i])) * (v2[i + 1] - v2[i]));
  let p = 0;
  for (let i = 0; i + 1 < nodes; i++) {
    if (held[i] === AIR) add(road.s[i], road.s[i + 1], Math.sqrt(v2[i]), dt[i]);
    else if (held[i] >= DIVIDED) {
      while (p < parts.count && parts.cell[p] < i) p++;
      let at = road.s[i];
      for (; p < parts.count && parts.cell[p] === i; p++) {
        const to = at + (parts.time[p] / dt[i]) * (road.s[i + 1] - road.s[i]);
        if (parts.held[p] === AIR) add(at, to, speedAt(at, i), parts.time[p]);
        at = to;
      }
    }
  }
  return flights.map(({ at, speed, time }) => ({ at, speed, time }));
}

/** The bends in which the car is slowest, each at its lowest speed. A bend ends at a straight, or where the road turns. */
function findSlowBends({ road, nodes, v2 }: Run): SlowBend[] {
  const lows: number[] = []; // of each bend the node of least speed
  let side = 0;
  let end = 0; // last station of the bend under way
  let held = false; // whether the bend under way is in the list
  for (let i = 1; i + 1 < nodes; i++) {
    const k = road.curvature[i];
    if (Math.abs(k) <= 1 / WIDEST) continue;
    if (Math.sign(k) !== side || road.s[i] - end >= SHORTEST_STRAIGHT) held = false;
    side = Math.sign(k);
    end = road.s[i];
    if (!(v2[i] <= v2[i - 1] && v2[i] < v2[i + 1])) continue;
    if (!held) lows.push(i);
    else if (v2[i] < v2[lows[lows.length - 1]]) lows[lows.length - 1] = i;
    held = true;
  }
  lows.sort((a, b) => v2[a] - v2[b] || a - b);
  return lows
    .slice(0, BENDS)
    .map((i) => ({ at: road.s[i], speed: Math.sqrt(v2[i]), radius: 1 / road.curvature[i] }));
}
