/** Which recordings follow the same road: by the cells of the plane that they run through. */
import type { Pass } from './pass.ts';

/** Side of a cell [m]. With the cells round it, lines up to some 40 m apart count as one road. No source. */
export const CELL = 30;
const STEP = 10; // between the places looked at along a line [m]
const GAP = 1000; // a longer way between two points is not walked [m]; no source
/** Share of the shorter line that must lie beside the longer one. No source. */
const SHARE = 0.8;

/** A number for a cell that no other cell near the road has. */
export const cellKey = (i: number, j: number): number => i * 4_194_304 + j;

/** Visits places along the line of a pass, at most `STEP` apart, with the distance from its start. */
export function walk(pass: Pass, visit: (x: number, y: number, s: number) => void): void {
  const { x, y, begins } = pass;
  let s = 0;
  let [lastX, lastY] = [x[0], y[0]];
  visit(lastX, lastY, 0);
  for (let i = 1; i < x.length; i++) {
    const length = Math.hypot(x[i] - lastX, y[i] - lastY);
    if (length < STEP && i < x.length - 1) continue; // standing still and noise add no distance
    const steps = begins[i] === 1 || length > GAP ? 1 : Math.ceil(length / STEP);
    for (let k = 1; k <= steps; k++) {
      const t = k / steps;
      visit(lastX + t * (x[i] - lastX), lastY + t * (y[i] - lastY), s + t * length);
    }
    s += length;
    [lastX, lastY] = [x[i], y[i]];
  }
}

/** Length of the line of a pass [m], in steps of 10 m so that noise does not lengthen it. */
export function roughLength(pass: Pass): number {
  let length = 0;
  walk(pass, (_x, _y, s) => {
    length = s;
  });
  return length;
}

/** Groups passes on one plane by the road that they follow. @returns a group number for each, from 0 */
export function groupByRoad(passes: readonly Pass[]): number[] {
  const lines = passes.map((pass) => {
    const cells = new Map<number, readonly [number, number]>();
    walk(pass, (x, y) => {
      const i = Math.floor(x / CELL);
      const j = Math.floor(y / CELL);
      cells.set(cellKey(i, j), [i, j]);
    });
    return cells;
  });
  const group = passes.map((_, k) => k);
  for (let a = 0; a < passes.length; a++) {
    for (let b = a + 1; b < passes.length; b++) {
      if (group[a] === group[b] || !alike(lines[a], lines[b])) continue;
      const [keep, drop] = [Math.min(group[a], group[b]), Math.max(group[a], group[b])];
      for (let k = 0; k < group.length; k++) if (group[k] === drop) group[k] = keep;
    }
  }
  const order = [...new Set(group)];
  return group.map((g) => order.indexOf(g));
}

type Cells = ReadonlyMap<number, readonly [number, number]>;

function alike(a: Cells, b: Cells): boolean {
  const [shorter, longer] = a.size <= b.size ? [a, b] : [b, a];
  let beside = 0;
  for (const [i, j] of shorter.values()) if (near(longer, i, j)) beside++;
  return beside >= SHARE * shorter.size;
}

function near(cells: Cells, i: number, j: number): boolean {
  for (let p = i - 1; p <= i + 1; p++)
    for (let q = j - 1; q <= j + 1; q++) if (cells.has(cellKey(p, q))) return true;
  return false;
}
