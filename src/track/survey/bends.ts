/** Bends of a road by their tightness. */
import type { RoadTable } from '../road-table.ts';

/** Classes of bends by their least radius [m]; the bounds are ours, no source. */
export const BEND_CLASSES = [
  { name: 'hairpin', below: 15 },
  { name: 'tight', below: 30 },
  { name: 'medium', below: 60 },
  { name: 'open', below: 120 },
  { name: 'slight', below: 300 },
] as const;

/** Class of a radius [m]: an index into `BEND_CLASSES`; its length for what counts as straight. */
export function bendClass(radius: number): number {
  const k = BEND_CLASSES.findIndex(({ below }) => radius < below);
  return k === -1 ? BEND_CLASSES.length : k;
}

/** The radii of a class, as `15 to 30 m`. */
export function classRange(k: number): string {
  if (k === BEND_CLASSES.length) return `${BEND_CLASSES[k - 1].below} m and more`;
  return k === 0
    ? `under ${BEND_CLASSES[0].below} m`
    : `${BEND_CLASSES[k - 1].below} to ${BEND_CLASSES[k].below} m`;
}

// Less turning than this is a wave of the line, not a bend [rad]. No source.
const LEAST_TURN = (10 * Math.PI) / 180;

/** How many bends each class of `BEND_CLASSES` has. A bend is a stretch curved one way, no wider than the widest class. */
export function countBends({ s, curvature }: RoadTable): number[] {
  const counts = BEND_CLASSES.map(() => 0);
  const widest = BEND_CLASSES[BEND_CLASSES.length - 1].below;
  let side = 0;
  let turn = 0;
  let most = 0;
  const end = () => {
    if (turn >= LEAST_TURN) counts[bendClass(1 / most)]++;
    turn = 0;
    most = 0;
  };
  for (let i = 0; i < s.length; i++) {
    const k = Math.abs(curvature[i]);
    const here = k * widest > 1 ? Math.sign(curvature[i]) : 0;
    if (here !== side) end();
    else if (here !== 0 && i > 0) turn += k * (s[i] - s[i - 1]);
    side = here;
    if (here !== 0 && k > most) most = k;
  }
  end();
  return counts;
}
