/** A recording that goes over its own road again: to and fro, or several laps. Each going becomes a pass of its own. */
import type { Curve } from './curve.ts';

/** A stretch of the first curve, driven the way of the first stretch or against it. */
export interface Going {
  readonly from: number; // place along the curve [m]
  readonly to: number;
  readonly reversed: boolean;
}

const STEP = 10; //       distance between the places compared [m]
const LEAST = 100; //     shortest stretch that counts as driven again [m]
const SHARE = 0.9; //     of its places must lie beside the first going
const SLACK = 4; //       places that a going may be ahead of the other, or behind
const MOST_NEAR = 15; // [m]
const NEAR = 5; //        greatest distance to the side [m], or 4 standard deviations of the noise (no source)

/** Splits a curve at every turn back and every lap; a curve that never repeats is one going. */
export function goings(curve: Curve, sigma: number): Going[] {
  const { x, y, tx, ty, h } = curve;
  const every = Math.max(1, Math.round(STEP / h));
  const places = Math.floor((x.length - 1) / every) + 1;
  const near = Math.max(NEAR, Math.min(MOST_NEAR, 4 * sigma));
  const beside = (a: number, b: number, way: number) =>
    Math.hypot(x[a] - x[b], y[a] - y[b]) < near && way * (tx[a] * tx[b] + ty[a] * ty[b]) > 0.5;
  /** Whether place `k` onwards runs along the first going's places from `first` on, step by step of `way`. */
  const follows = (k: number, first: number, way: number, until: number): number => {
    let met = 0;
    let count = 0;
    let shift = 0;
    for (let j = 0; k + j < until; j++) {
      const middle = first + way * j + shift;
      if (middle < -SLACK || (way > 0 && middle >= k)) break;
      let found = false;
      for (let slack = 0; slack <= SLACK && !found; slack++) {
        for (const sign of [1, -1]) {
          const other = middle + sign * slack;
          if (other < 0 || other >= places || !beside((k + j) * every, other * every, way)) continue;
          shift += sign * slack;
          found = true;
          break;
        }
      }
      count++;
      if (found) met++;
      if (count >= LEAST / STEP && met < SHARE * count) return 0;
    }
    return met >= (SHARE * LEAST) / STEP && met >= SHARE * count ? count : 0;
  };

  const cuts: { readonly node: number; readonly reversed: boolean }[] = [{ node: 0, reversed: false }];
  let from = 0;
  for (let k = 1; k < places; k++) {
    const here = k * every;
    const [{ reversed }] = cuts.slice(-1);
    const before = Math.max(0, k - 2) * every;
    const after = Math.min(places - 1, k + 2) * every;
    const turns = tx[before] * tx[after] + ty[before] * ty[after] < -0.5;
    if (turns && k - from > LEAST / STEP && follows(k + 2, k - 2, -1, places) * STEP >= LEAST) {
      cuts.push({ node: sharpest(curve, before, after), reversed: !reversed });
      from = k;
    } else if (
      k - from > LEAST / STEP &&
      beside(here, from * every, 1) &&
      follows(k, from, 1, places) * STEP >= LEAST
    ) {
      cuts.push({ node: here, reversed });
      from = k;
    }
  }
  return cuts.map(({ node, reversed }, c) => ({
    from: node * h,
    to: (cuts[c + 1]?.node ?? x.length - 1) * h,
    reversed,
  }));
}

/** The node of a stretch where the curve turns most. */
function sharpest({ curvature }: Curve, from: number, to: number): number {
  let most = from;
  for (let j = from; j <= to; j++) if (Math.abs(curvature[j]) > Math.abs(curvature[most])) most = j;
  return most;
}
