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

/** A stretch that is curved one way, nowhere wider than the widest class. */
export interface Bend {
  readonly from: number; //  first row
  readonly to: number; //    last row
  readonly radius: number; // least [m]
  readonly class: number; //  index into `BEND_CLASSES`, by its least radius
}

/** The bends of a road in their order. */
export function findBends({ s, curvature }: RoadTable): Bend[] {
  const bends: Bend[] = [];
  const widest = BEND_CLASSES[BEND_CLASSES.length - 1].below;
  let side = 0;
  let from = 0;
  let turn = 0;
  let most = 0;
  for (let i = 0; i <= s.length; i++) {
    const k = i < s.length ? Math.abs(curvature[i]) : 0;
    const here = k * widest > 1 ? Math.sign(curvature[i]) : 0;
    if (here !== side) {
      if (side !== 0 && turn >= LEAST_TURN)
        bends.push({ from, to: i - 1, radius: 1 / most, class: bendClass(1 / most) });
      [side, from, turn, most] = [here, i, 0, 0];
    } else if (here !== 0) turn += k * (s[i] - s[i - 1]);
    most = Math.max(most, k);
  }
  return bends;
}
