/** What is left out of a recorded pass before it is fitted: repeated points, jumps, spikes and standing still. */
import { quantile, spread } from './median.ts';
import type { Pass } from './pass.ts';

/** Points of a pass that are kept, by index, and what was left out, one sentence each. */
export interface Cleaned {
  readonly keep: readonly number[];
  readonly mended: readonly string[];
}

/** Closer than this, two points are the same [m]: degrees are often written to 1e-7, which is a centimetre. */
const SAME = 0.02;
/** A jump goes at least this far [m], and at least so many times the usual step; it comes back within so many points. */
const JUMP = 40;
const JUMP_STEPS = 12;
const JUMP_POINTS = 10;
/** Standing still: so many points or more that go on by less than this share of the usual step each. */
const STILL_POINTS = 6;
const STILL_SHARE = 0.1;
/**
 * So near to a stop [usual steps], points tell nothing of the road but how the receiver drifted meanwhile: crowded together,
 * they would make a bend of it. No source.
 */
const STOP_ROOM = 1;

const plural = (count: number, what: string) => `${count} ${what}${count === 1 ? '' : 's'}`;

/** Point of the pass as the reader of the output may find it: counted from 1, with its place. */
const place = ({ x, y }: Pass, i: number) =>
  `point ${i + 1} (x ${x[i].toFixed(0)} m, y ${y[i].toFixed(0)} m)`;

/** Leaves out points that repeat the one before, jumps away and back, and spikes. @param name of the pass */
export function cleanPass(pass: Pass, name: string): Cleaned {
  const { x, y } = pass;
  const mended: string[] = [];
  const apart = (a: number, b: number) => Math.hypot(x[a] - x[b], y[a] - y[b]);
  const moving: number[] = [];
  for (let i = 0; i < x.length; i++) {
    if (moving.length === 0 || apart(i, moving[moving.length - 1]) > SAME) moving.push(i);
  }
  const repeats = x.length - moving.length;
  if (repeats > 0) mended.push(`${name} repeats its place: ${plural(repeats, 'point')} left out.`);

  const steps = Float64Array.from(moving.slice(1), (i, k) => apart(i, moving[k]));
  const far = Math.max(JUMP, JUMP_STEPS * quantile(steps, 0.5));
  const keep: number[] = [];
  const jumps: number[] = [];
  for (let k = 0; k < moving.length; k++) {
    const last = keep[keep.length - 1];
    keep.push(moving[k]);
    if (last === undefined || apart(moving[k], last) <= far) continue;
    const back = moving.slice(k + 1, k + 1 + JUMP_POINTS).findIndex((i) => apart(i, last) <= far);
    if (back === -1) continue; // it goes on from there: a gap
    keep.pop();
    jumps.push(...moving.slice(k, k + back + 1));
    k += back;
  }
  const spikes = spikesOf(x, y, keep);
  if (spikes.size > 0) {
    const [first] = spikes;
    mended.push(
      `${name} has points that stick out of a road that goes straight on, first at ${place(pass, first)}: ${plural(spikes.size, 'point')} left out.`,
    );
  }
  if (jumps.length > 0) {
    mended.push(
      `${name} jumps away and back, first at ${place(pass, jumps[0])}: ${plural(jumps.length, 'point')} left out.`,
    );
  }
  return { keep: keep.filter((i) => !spikes.has(i)), mended };
}

/** A spike sticks out by this many standard deviations of such distances, and by so much at least [m] (no source). */
const SPIKE = 6;
const LEAST_SPIKE = 2;
/** Cosine of the turn without the point, at most: 60°. In a bend the road turns, whether the point is there or not. */
const STRAIGHT_ON = 0.5;

/** Points far from the cubic through two neighbours on either side, where those lead straight on. */
function spikesOf(x: Float64Array, y: Float64Array, index: readonly number[]): Set<number> {
  const n = index.length;
  const out = new Float64Array(n);
  for (let k = 2; k < n - 2; k++) {
    const [a, b, i, c, d] = index.slice(k - 2, k + 3);
    out[k] = Math.hypot(
      x[i] - (4 * (x[b] + x[c]) - x[a] - x[d]) / 6,
      y[i] - (4 * (y[b] + y[c]) - y[a] - y[d]) / 6,
    );
  }
  const least = Math.max(LEAST_SPIKE, SPIKE * spread(out.subarray(2, Math.max(2, n - 2))));
  const spikes = new Set<number>();
  for (let k = 2; k < n - 2; k++) {
    if (out[k] < least || out[k] < Math.max(out[k - 2], out[k - 1], out[k + 1], out[k + 2])) continue;
    const [a, b, , c, d] = index.slice(k - 2, k + 3);
    const cosine = (p: number, q: number, r: number, s: number) => {
      const [ux, uy, vx, vy] = [x[q] - x[p], y[q] - y[p], x[s] - x[r], y[s] - y[r]];
      return (ux * vx + uy * vy) / Math.max(1e-9, Math.hypot(ux, uy) * Math.hypot(vx, vy));
    };
    if (cosine(a, b, b, c) > STRAIGHT_ON && cosine(b, c, c, d) > STRAIGHT_ON) spikes.add(index[k]);
  }
  return spikes;
}

/**
 * Makes one point, the middle one, of those recorded at a standstill and of those crowded about it.
 * @param keep points by index @param x (keep) smoothed @param y (keep) smoothed
 */
export function dropStops(
  pass: Pass,
  keep: readonly number[],
  x: Float64Array,
  y: Float64Array,
  name: string,
): Cleaned {
  const n = keep.length;
  const step = Float64Array.from({ length: n - 1 }, (_, i) => Math.hypot(x[i + 1] - x[i], y[i + 1] - y[i]));
  const usual = quantile(step, 0.75);
  const still = STILL_SHARE * usual;
  const kept: number[] = [];
  const stops: number[] = [];
  let dropped = 0;
  let i = 0;
  while (i < n) {
    let end = i;
    while (end < n - 1 && step[end] < still) end++;
    if (end - i + 1 >= STILL_POINTS) {
      const middle = (i + end) >> 1;
      const crowded = (k: number) => Math.hypot(x[k] - x[middle], y[k] - y[middle]) < STOP_ROOM * usual;
      stops.push(keep[i]);
      dropped += end - i;
      for (let k = i - 1; k > 0 && kept.at(-1) === keep[k] && crowded(k); k--) {
        kept.pop();
        dropped++;
      }
      kept.push(keep[middle]);
      for (i = end + 1; i < n - 1 && crowded(i); i++) dropped++;
    } else kept.push(keep[i++]);
  }
  if (stops.length === 0) return { keep: kept, mended: [] };
  return {
    keep: kept,
    mended: [
      `${name} stands still ${plural(stops.length, 'time')}, first at ${place(pass, stops[0])}: ${plural(dropped, 'point')} left out.`,
    ],
  };
}
