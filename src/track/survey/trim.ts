/** Cuts passes to the stage: by distance along the first, or at the recorded point nearest to a position. */

import type { Pass } from './pass.ts';
import { cut } from './passes.ts';
import { SurveyError } from './survey-error.ts';

/** Where the stage begins or ends; `text` is how it was written, for messages. */
export type Cut =
  | { readonly kind: 'distance'; readonly text: string; readonly distance: number } // [m]
  | { readonly kind: 'position'; readonly text: string; readonly x: number; readonly y: number }; // [m]

// A position off the line by more than this was not meant for it. No source.
const FARTHEST = 200;
// The line passes a position where it comes this near, or nearly as near as it ever does. No source.
const NEAR = 25;
// Steps of the distance along a pass, as long as noise is short against them. No source.
const STEP = 10;

/**
 * @param passes turned alike; distances count along the first
 * @throws SurveyError where a cut is beyond the line, or the end is not behind the start
 */
export function trim(passes: readonly Pass[], from: Cut | null, to: Cut | null): readonly Pass[] {
  const [first] = passes;
  const n = first.x.length;
  const start = from === null ? 0 : indexOf(first, from, 0, '--from');
  const end = to === null ? n - 1 : indexOf(first, to, start, '--to');
  if (end <= start) {
    throw new SurveyError(
      `--to ${to?.text ?? ''} lies before --from ${from?.text ?? ''} on the way of the recording`,
      'exchange the two, or add --reverse if the stage runs against the recording',
    );
  }
  return passes.map((pass, k) => {
    if (k === 0) return cut(pass, start, end + 1);
    const a = from === null ? 0 : (nearest(pass, first.x[start], first.y[start], 0) ?? 0);
    const b =
      to === null ? pass.x.length - 1 : (nearest(pass, first.x[end], first.y[end], a) ?? pass.x.length - 1);
    return b > a ? cut(pass, a, b + 1) : pass;
  });
}

function indexOf(pass: Pass, at: Cut, behind: number, flag: string): number {
  if (at.kind === 'distance') {
    const { index, length } = indexAt(pass, at.distance);
    if (index !== null) return index;
    throw new SurveyError(
      `${flag} ${at.text} lies beyond the end: the recording is ${(length / 1000).toFixed(2)} km long`,
      'give a distance within it, or leave the flag out',
    );
  }
  const index = nearest(pass, at.x, at.y, behind);
  if (index !== null) return index;
  throw new SurveyError(
    `${flag} ${at.text} is more than ${FARTHEST} m from the line${behind > 0 ? ' behind its start' : ''}`,
    'copy the position from a map, latitude first; is it the right track?',
  );
}

/** The recorded point at a distance from the first, and the length of all. */
function indexAt(
  { x, y }: Pass,
  distance: number,
): { readonly index: number | null; readonly length: number } {
  let s = 0;
  let last = 0;
  let index: number | null = distance <= 0 ? 0 : null;
  for (let i = 1; i < x.length; i++) {
    const step = Math.hypot(x[i] - x[last], y[i] - y[last]);
    if (step < STEP && i < x.length - 1) continue;
    // Of the two ends of the step, the nearer.
    if (index === null && s + step >= distance) index = distance - s < step / 2 ? last : i;
    s += step;
    last = i;
  }
  return { index, length: s };
}

/** The point at which the line first passes a position, from `behind` on; null where it stays away from it. */
function nearest({ x, y }: Pass, px: number, py: number, behind: number): number | null {
  const off = (i: number) => Math.hypot(x[i] - px, y[i] - py);
  let least = Infinity;
  for (let i = behind; i < x.length; i++) least = Math.min(least, off(i));
  if (!(least <= FARTHEST)) return null;
  const within = Math.max(NEAR, 1.5 * least);
  let best = -1;
  for (let i = behind; i < x.length; i++) {
    const here = off(i);
    if (here > within) {
      if (best !== -1) return best;
    } else if (best === -1 || here < off(best)) best = i;
  }
  return best;
}
