import * as highsModule from 'highs';
import type { Road } from '../../src/track/road.ts';
import type { Stage } from '../../src/track/stage.ts';
import type { CarSpec } from '../../src/vehicle/car-spec.ts';
import { driveForce, forcesAt, massFactor, placeAt } from './model.ts';

/**
 * Bounds on the least time over a road by linear programmes.
 *
 * With b = v² at the nodes and a = (b₁ − b₀) / 2h over a cell, every force is linear in the b; without flight, shift
 * time and changes of mass factor the largest feasible b at every node is the fastest run, so the sum of b is
 * maximised. What is not linear is bounded from inside (every point allowed by the lines is allowed by the model: a
 * time that can be driven) and from outside (every point allowed by the model is allowed by the lines: a time that
 * cannot be beaten):
 * - the friction ellipse by chords and by tangents, set close about the last solution;
 * - the drive limit by a line below it and by lines above it, over the interval of b that the last two solutions leave.
 *
 * Cells are held at their middle (means of both ends): second order, as the solver's scheme but not the same.
 */
export interface Bounds {
  readonly least: number; //    [s] no run on this grid is faster
  readonly greatest: number; // [s] a run on this grid that keeps every limit
  readonly rounds: number;
}

// The package's types say CommonJS; what is loaded is a module whose default is the loader.
const load = highsModule.default as unknown as () => Promise<highsModule.Highs>;
const highs = await load();

/** Bounds this near to each other are near enough (issue 2). */
const NEAR = 5e-4;
const MOST_ROUNDS = 8;

export function timeBounds(spec: CarSpec, stage: Stage, road: Road): Bounds {
  const cells = collect(spec, stage, road);
  const vars = 1 + cells.reduce((most, cell) => Math.max(most, cell.to), 0);
  const cap = nodeCaps(spec, stage, road, vars, cells);
  const drive = driveTable(spec);
  let below: Float64Array = new Float64Array(vars).fill(0.25);
  let above: Float64Array = cap.slice();
  let focus: Float64Array | null = null;
  let least = 0;
  let greatest = Number.POSITIVE_INFINITY;
  let round = 0;
  while (round < MOST_ROUNDS && greatest - least > NEAR * least) {
    const outer = solve(cells, cap, (lines, cell) => {
      ellipse(lines, cell, focus && anglesNear(cell, focus, round), true);
      for (const [slope, at0] of linesAbove(drive, middle(cell, below), middle(cell, above)))
        lines.drive(cell, slope, at0);
    });
    above = min(above, outer);
    least = Math.max(least, timeOf(cells, outer));
    focus = outer;
    const inner = solve(cells, above, (lines, cell) => {
      ellipse(lines, cell, anglesNear(cell, outer, round), false);
      const [slope, at0] = lineBelow(drive, middle(cell, below), middle(cell, above));
      lines.drive(cell, slope, at0);
    });
    checkFeasible(cells, inner, drive);
    const time = timeOf(cells, inner);
    if (time < greatest) greatest = time;
    below = max(below, inner);
    round++;
  }
  return { least, greatest, rounds: round };
}

/** One cell in numbers per unit of mass: force along at the middle is inertia·a + r0 + r1·b, and so on. */
interface Cell {
  readonly from: number; // variable of its first node
  readonly to: number;
  readonly h: number;
  readonly inertia: number;
  readonly r0: number; // resistance r0 + r1 b
  readonly r1: number;
  readonly n0: number; // load
  readonly n1: number;
  readonly y0: number; // lateral demand
  readonly y1: number;
  readonly across: number; // grip
  readonly brakeAlong: number; // grip along for braking
  readonly driveAlong: number; // the share of it that drive may use
  readonly brake: number; // most the brakes apply
}

function collect(spec: CarSpec, stage: Stage, road: Road): Cell[] {
  const cells: Cell[] = [];
  const m = spec.mass;
  let node = 0;
  let j = 0;
  for (let i = 0; i + 1 < road.s.length; i++) {
    const h = road.s[i + 1] - road.s[i];
    if (h === 0) continue; // both nodes are one variable
    while (j + 2 < stage.road.s.length && stage.road.s[j + 1] <= road.s[i] + h / 2) j++;
    let [r0, r1, n0, n1, y0, y1] = [0, 0, 0, 0, 0, 0];
    for (const s of [road.s[i], road.s[i + 1]]) {
      const place = placeAt(stage.road, j, s);
      const rest = forcesAt(spec, stage, place, 0);
      const one = forcesAt(spec, stage, place, 1); // all are linear in b while the car is on the ground
      r0 += rest.resistance / (2 * m);
      r1 += (one.resistance - rest.resistance) / (2 * m);
      n0 += rest.load / (2 * m);
      n1 += (one.load - rest.load) / (2 * m);
      y0 += rest.across / (2 * m);
      y1 += (one.across - rest.across) / (2 * m);
    }
    const name = stage.road.surfaceNames[stage.road.surface[j]];
    const tyre = spec.tyre.grip.get(name)!;
    const factor = stage.surfaces.get(name)!.grip * spec.pace;
    cells.push({
      from: node,
      to: ++node,
      h,
      inertia: massFactor(spec, 0),
      r0,
      r1,
      n0,
      n1,
      y0,
      y1,
      across: tyre.across * factor,
      brakeAlong: tyre.along * factor,
      driveAlong: tyre.along * factor * spec.driveline.drivenLoad,
      brake: spec.brakeForce === null ? Number.POSITIVE_INFINITY : spec.brakeForce / m,
    });
  }
  return cells;
}

/** Most that each node's b can be: the tyres' lateral limit at both sides of it, the last gear, the start. */
function nodeCaps(
  spec: CarSpec,
  stage: Stage,
  road: Road,
  vars: number,
  cells: readonly Cell[],
): Float64Array {
  const last = spec.driveline.gearing[spec.driveline.gearing.length - 1];
  const geared = spec.engine.kind === 'constant-power' ? 120 ** 2 : (spec.engine.limit / last) ** 2;
  const cap = new Float64Array(vars).fill(geared);
  let j = 0;
  let c = 0;
  for (let i = 0; i + 1 < road.s.length; i++) {
    const h = road.s[i + 1] - road.s[i];
    if (h === 0) continue;
    while (j + 2 < stage.road.s.length && stage.road.s[j + 1] <= road.s[i] + h / 2) j++;
    const { across: mu, from, to } = cells[c++];
    for (const [node, s] of [
      [from, road.s[i]],
      [to, road.s[i + 1]],
    ]) {
      const place = placeAt(stage.road, j, s);
      const rest = forcesAt(spec, stage, place, 0);
      const one = forcesAt(spec, stage, place, 1);
      // |across| <= mu load, both lines in b
      for (const side of [1, -1]) {
        const slope = side * (one.across - rest.across) - mu * (one.load - rest.load);
        const room = mu * rest.load - side * rest.across;
        if (slope > 0) cap[node] = Math.min(cap[node], room / slope);
      }
    }
  }
  cap[0] = stage.startSpeed ** 2;
  return cap;
}

const middle = (cell: Cell, b: Float64Array): number => (b[cell.from] + b[cell.to]) / 2;
const min = (a: Float64Array, b: Float64Array) => a.map((x, i) => Math.min(x, b[i]));
const max = (a: Float64Array, b: Float64Array) => a.map((x, i) => Math.max(x, b[i]));

function timeOf(cells: readonly Cell[], b: Float64Array): number {
  let time = 0;
  for (const { from, to, h } of cells) time += (2 * h) / (Math.sqrt(b[from]) + Math.sqrt(b[to]));
  return time;
}

/** Force along over a cell, per mass. */
function forceAlong(cell: Cell, b: Float64Array): number {
  return (cell.inertia * (b[cell.to] - b[cell.from])) / (2 * cell.h) + cell.r0 + cell.r1 * middle(cell, b);
}

/** Writes the rows of one programme. */
class Lines {
  readonly rows: string[] = [];

  /** force·F + load·(inertia·a … ) ≤: adds  p·F + q·b_mid ≤ limit. */
  add(cell: Cell, p: number, q: number, limit: number): void {
    const perA = (p * cell.inertia) / (2 * cell.h);
    const perB = (p * cell.r1 + q) / 2;
    const from = perB - perA;
    const to = perB + perA;
    const sign = (x: number) => `${x < 0 ? '-' : '+'} ${Math.abs(x).toPrecision(14)}`;
    this.rows.push(
      `${sign(from)} b${cell.from} ${sign(to)} b${cell.to} <= ${(limit - p * cell.r0).toPrecision(14)}`,
    );
  }

  /** F ≤ at0 + slope·b_mid */
  drive(cell: Cell, slope: number, at0: number): void {
    this.add(cell, 1, -slope, at0);
  }
}

/**
 * Facets of the ellipse over a quarter turn, given as angles from pure lateral (0) to pure driving (π/2) and to pure
 * braking (−π/2): tangents at the angles, or chords between them.
 */
function ellipse(lines: Lines, cell: Cell, near: readonly number[] | null, outer: boolean): void {
  const angles = near ?? COARSE;
  const sides: number[] = [];
  if (cell.y0 >= 0 || cell.y1 > 0) sides.push(1);
  if (cell.y0 < 0 || cell.y1 < 0) sides.push(-1);
  const facet = (angle: number, reach: number) => {
    const p = Math.sin(angle) / (angle > 0 ? cell.driveAlong : cell.brakeAlong);
    for (const side of sides) {
      const q = (side * Math.cos(angle)) / cell.across;
      lines.add(cell, p, q * cell.y1 - reach * cell.n1, reach * cell.n0 - q * cell.y0);
    }
  };
  if (outer) for (const angle of angles) facet(angle, 1);
  else {
    for (let i = 0; i + 1 < angles.length; i++) {
      facet((angles[i] + angles[i + 1]) / 2, Math.cos((angles[i + 1] - angles[i]) / 2));
    }
  }
  if (cell.brake < Number.POSITIVE_INFINITY) lines.add(cell, -1, 0, cell.brake);
}

const COARSE = [-90, -75, -60, -45, -30, -15, 0, 15, 30, 45, 60, 75, 90].map((x) => (x * Math.PI) / 180);

/** Angles close about where the last solution lies on the ellipse, and coarse ones elsewhere. 0 and ±π/2 are always in. */
function anglesNear(cell: Cell, b: Float64Array, round: number): number[] {
  const F = forceAlong(cell, b);
  const y = Math.abs(cell.y0 + cell.y1 * middle(cell, b));
  const at = Math.atan2(F / (F > 0 ? cell.driveAlong : cell.brakeAlong), y / cell.across);
  const width = 0.12 / 2 ** Math.min(round, 3);
  const near = [-4, -2, -1, -0.5, 0, 0.5, 1, 2, 4].map((x) => at + x * width);
  const all = [...near, -Math.PI / 2, -Math.PI / 4, 0, Math.PI / 4, Math.PI / 2];
  return all.filter((x) => Math.abs(x) <= Math.PI / 2).sort((a, c) => a - c);
}

/** Full-load drive per mass of the gear that pulls hardest, as a function of b, and where it has corners. */
interface Drive {
  readonly at: (b: number) => number;
  readonly corners: readonly number[]; // rising
}

function driveTable(spec: CarSpec): Drive {
  const { engine, driveline } = spec;
  const gears = engine.kind === 'constant-power' ? [0] : driveline.gearing.map((_, g) => g);
  const at = (b: number) => {
    let most = 0;
    for (const g of gears) most = Math.max(most, driveForce(spec, g, Math.sqrt(b)) / spec.mass);
    return most;
  };
  const corners: number[] = [];
  if (engine.kind !== 'constant-power') {
    for (const n of driveline.gearing) {
      for (const turning of [...engine.speed, engine.launch, engine.idle, engine.limit]) {
        const b = (turning / n) ** 2;
        corners.push(b, b * (1 + 4e-9));
      }
    }
  }
  corners.sort((a, b) => a - b);
  const crossings: number[] = []; // where the next gear begins to pull harder
  for (let g = 0; g + 1 < gears.length; g++) {
    const lead = (b: number) => driveForce(spec, g, Math.sqrt(b)) - driveForce(spec, g + 1, Math.sqrt(b));
    for (let i = 0; i + 1 < corners.length; i++) {
      let [low, high] = [corners[i] * (1 + 1e-12), corners[i + 1] * (1 - 1e-12)];
      if (lead(low) <= 0 === lead(high) <= 0) continue;
      const first = lead(low) <= 0;
      for (let k = 0; k < 60; k++) {
        const mid = (low + high) / 2;
        if (lead(mid) <= 0 === first) low = mid;
        else high = mid;
      }
      crossings.push(low);
    }
  }
  return { at, corners: [...corners, ...crossings].sort((a, b) => a - b) };
}

/** Points of the drive curve over an interval, its corners among them. */
function samples(drive: Drive, low: number, high: number): [number, number][] {
  const b = [low, high, ...drive.corners.filter((x) => x > low && x < high)];
  for (let i = 1; i < SAMPLES; i++) b.push(low + ((high - low) * i) / SAMPLES);
  return b.sort((x, y) => x - y).map((x) => [x, drive.at(x)]);
}

const SAMPLES = 24;

/** Lines that no point of the curve over the interval lies above: the upper hull of its points, raised for its bend. */
function linesAbove(drive: Drive, low: number, high: number): [number, number][] {
  if (high - low < 1e-9 * (1 + high)) return [[0, drive.at(low)]];
  const points = samples(drive, low, high);
  let bend = 0; // a smooth curve between samples rises over its chord by an eighth of the second difference
  for (let i = 1; i + 1 < points.length; i++) {
    const [[x0, f0], [x1, f1], [x2, f2]] = [points[i - 1], points[i], points[i + 1]];
    if (x2 - x0 < 1e-7 * x2) continue;
    const chord = f0 + ((f2 - f0) * (x1 - x0)) / (x2 - x0);
    if (x1 - x0 > 1e-7 * x1 && x2 - x1 > 1e-7 * x2) bend = Math.max(bend, Math.min(f1 - chord, 0.02));
  }
  const hull: [number, number][] = [];
  for (const p of points) {
    while (hull.length > 1 && turn(hull[hull.length - 2], hull[hull.length - 1], p) >= 0) hull.pop();
    hull.push(p);
  }
  return hull.slice(1).map(([x, f], i) => {
    const slope = (f - hull[i][1]) / (x - hull[i][0]);
    return [slope, f - slope * x + bend / 4];
  });
}

/** The steepest-falling line through the curve's upper end that no point of the curve over the interval lies below. */
function lineBelow(drive: Drive, low: number, high: number): [number, number] {
  const force = drive.at(high);
  // Close to the end the curve's own slope, which a coarser chord would undercut where the curve is hollow.
  const step = Math.min(1e-4 * high, high - low);
  if (step < 1e-9 * high) return [0, Math.min(drive.at(low), force)];
  let slope = (force - drive.at(high - step)) / step;
  for (const [x, f] of samples(drive, low, high)) {
    if (high - x > step) slope = Math.max(slope, (force - f) / (high - x));
  }
  return [slope, force - slope * high];
}

/** > 0 where c lies to the left of a → b. */
function turn(
  a: readonly [number, number],
  b: readonly [number, number],
  c: readonly [number, number],
): number {
  return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

function solve(
  cells: readonly Cell[],
  cap: Float64Array,
  write: (lines: Lines, cell: Cell) => void,
): Float64Array {
  const lines = new Lines();
  for (const cell of cells) write(lines, cell);
  const names = Array.from(cap, (_, i) => `b${i}`);
  const bounds = Array.from(cap, (most, i) =>
    i === 0 ? `b0 = ${most.toPrecision(14)}` : `0 <= b${i} <= ${most.toPrecision(14)}`,
  );
  const rows = lines.rows.map((row, i) => `c${i}: ${row}`);
  const text = `Maximize\n obj: ${wrap(names)}\nSubject To\n${rows.join('\n')}\nBounds\n${bounds.join('\n')}\nEnd\n`;
  const solution = highs.solve(text, { presolve: 'on' });
  if (solution.Status !== 'Optimal') throw new Error(`the linear programme is ${solution.Status}`);
  return Float64Array.from(names, (name) => {
    const column = solution.Columns[name] as { readonly Primal: number };
    return Math.max(0, column.Primal);
  });
}

/** A sum over several lines: the format limits their length. */
function wrap(names: readonly string[]): string {
  let text = '';
  for (let i = 0; i < names.length; i++)
    text += `${i > 0 ? ' + ' : ''}${i % 20 === 19 ? '\n  ' : ''}${names[i]}`;
  return text;
}

/** Every limit of the model itself, at the middle of every cell. @throws Error where one is exceeded */
function checkFeasible(cells: readonly Cell[], b: Float64Array, drive: Drive): void {
  for (const cell of cells) {
    const mid = middle(cell, b);
    const F = forceAlong(cell, b);
    const n = cell.n0 + cell.n1 * mid;
    const y = cell.y0 + cell.y1 * mid;
    const along = F > 0 ? cell.driveAlong : cell.brakeAlong;
    const used = (F / (along * n)) ** 2 + (y / (cell.across * n)) ** 2;
    if (used > 1 + 1e-6 || F < -cell.brake - 1e-6 || F > drive.at(mid) + 1e-6) {
      throw new Error(
        `the inner programme exceeds a limit at cell ${cell.from}: ellipse ${used}, force ${F} of ${drive.at(mid)}`,
      );
    }
  }
}
