/** Recordings as passes in metres on one plane, all running the same way. */
import type { Georeference } from '../stage.ts';
import { planeFor, toPlane } from './local-plane.ts';
import type { Pass } from './pass.ts';
import type { Recording } from './recording.ts';
import { CELL, cellKey, walk } from './same-road.ts';

/** @returns the passes in the order of the recordings, and where the plane lies; null: they were in metres already */
export function layPasses(recordings: readonly Recording[]): {
  readonly passes: readonly Pass[];
  readonly georeference: Georeference | null;
} {
  if (!recordings[0].degrees) {
    return { passes: recordings.map((r) => passOf(r, r.east, r.north)), georeference: null };
  }
  const georeference = planeFor(recordings, middleHeight(recordings));
  const passes = recordings.map((r) => {
    const { x, y } = toPlane(georeference, r.east, r.north);
    return passOf(r, x, y);
  });
  return { passes, georeference };
}

function passOf(r: Recording, x: Float64Array, y: Float64Array): Pass {
  const first = r.time.find((t) => !Number.isNaN(t)) ?? 0;
  return { x, y, z: r.height, time: r.time.map((t) => t - first), begins: r.begins, width: r.width };
}

/** Median of all heights [m], which a few wild ones do not move; 0 where none is recorded. */
function middleHeight(recordings: readonly Recording[]): number {
  const heights = recordings
    .flatMap((r) => Array.from(r.height.filter((z) => !Number.isNaN(z))))
    .sort((a, b) => a - b);
  return heights.length === 0 ? 0 : heights[heights.length >> 1];
}

/** The same pass from its last point to its first. Time runs upwards again, from 0. */
export function turned(pass: Pass): Pass {
  const n = pass.x.length;
  const begins = new Uint8Array(n);
  for (let i = 0; i < n; i++) if (i === n - 1 || pass.begins[i + 1] === 1) begins[n - 1 - i] = 1;
  const last = pass.time.findLast((t) => !Number.isNaN(t)) ?? 0;
  return {
    x: pass.x.toReversed(),
    y: pass.y.toReversed(),
    z: pass.z.toReversed(),
    time: pass.time.toReversed().map((t) => last - t),
    begins,
    width: pass.width?.toReversed() ?? null,
  };
}

/** Passes from `from` to before `to`. */
export function cut(pass: Pass, from: number, to: number): Pass {
  const begins = pass.begins.slice(from, to);
  begins[0] = 1;
  const time = pass.time.slice(from, to);
  const first = time.find((t) => !Number.isNaN(t)) ?? 0;
  return {
    x: pass.x.slice(from, to),
    y: pass.y.slice(from, to),
    z: pass.z.slice(from, to),
    time: time.map((t) => t - first),
    begins,
    width: pass.width?.slice(from, to) ?? null,
  };
}

/** Turns the passes that run against the first. @returns the passes, and which were turned */
export function turnedAlike(passes: readonly Pass[]): {
  readonly passes: readonly Pass[];
  readonly turned: readonly boolean[];
} {
  // Where the first pass is, by cells of the plane: the last distance at which it was in each.
  const along = new Map<number, number>();
  walk(passes[0], (x, y, s) => along.set(cellKey(Math.floor(x / CELL), Math.floor(y / CELL)), s));
  const against = passes.map((pass, k) => {
    if (k === 0) return false;
    let forward = 0;
    let before: number | undefined;
    walk(pass, (x, y) => {
      const s = along.get(cellKey(Math.floor(x / CELL), Math.floor(y / CELL)));
      // Farther than a few cells at once is a jump to another leg of the road, which tells nothing.
      if (s !== undefined && before !== undefined && Math.abs(s - before) < 4 * CELL) forward += s - before;
      before = s;
    });
    return forward < 0;
  });
  return { passes: passes.map((pass, k) => (against[k] ? turned(pass) : pass)), turned: against };
}
