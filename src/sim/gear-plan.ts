import type { Road } from '../track/road.ts';
import type { Car } from '../vehicle/car.ts';
import { reserve } from '../vehicle/envelope.ts';
import { CHANGE_DOWN, DIVIDED, driveSweep, type Stretch } from './drive-sweep.ts';
import { BEND, Parts, TRACTION, type Workspace } from './workspace.ts';

/**
 * Drives a stretch with gears judged by time.
 *
 * First with the plain rule (change up where the next gear pulls harder, or at the limiter). If that changes gear,
 * the stretch is valued backward: `value` is the time that the rest of it gains per unit of v² gained at a node
 * (the costate of the minimum-time problem), and a dynamic programme over nodes and gears, with a shift as a jump
 * of `shift` seconds without drive, finds the gears that gain the most by it: to first order, which is enough to
 * find the plan; whether it is taken is decided by driving it.
 * Source of the switching condition: Pontryagin's principle in any text on optimal control (from memory).
 *
 * @param gearBefore gear in which the last stretch ended
 * @param braked time since then [s], in which changes of gear cost nothing
 */
export function planGears(
  ws: Workspace,
  road: Road,
  car: Car,
  stretch: Stretch,
  gearBefore: number,
  braked: number,
): void {
  const parts = ws.parts.count;
  stretch.shiftLeft = entryShift(car, stretch.gear, gearBefore, braked);
  driveSweep(ws, road, car, stretch, false);
  if (car.gears === 1 || stretch.stopped >= 0 || stretch.to === stretch.from) return;
  if (stretch.upshifts === 0 && stretch.shiftLeft === 0 && stretch.gearEnd === stretch.gear) return;
  // Each round values the stretch as it was driven last; the second and later ones mend what first order missed.
  for (let round = 0; round < ROUNDS; round++) {
    const entered = stretch.gear;
    const expected = valueGears(ws, road, car, stretch, gearBefore, braked);
    if (expected < WORTH_TRYING) {
      stretch.gear = entered;
      return;
    }
    keep.take(ws, stretch, parts, entered);
    ws.parts.count = parts;
    stretch.shiftLeft = entryShift(car, stretch.gear, gearBefore, braked);
    driveSweep(ws, road, car, stretch, true);
    if (stretch.stopped >= 0 || !(gainOver(ws, road, stretch) > 0)) {
      keep.restore(ws, stretch);
      return;
    }
  }
}

/** Most times a stretch is valued anew. */
const ROUNDS = 3;

/** Gains expected below this [s] are within what the first-order value can tell. */
const WORTH_TRYING = 1e-5;

/** Time without drive at the beginning of a stretch entered in a gear above the one before the braking [s]. */
function entryShift(car: Car, gear: number, gearBefore: number, braked: number): number {
  const left = (gear - gearBefore) * car.shift - braked;
  return gear > gearBefore && left > 0 ? left : 0;
}

/**
 * Seconds that the stretch, as driven now, gains over the way that is kept: both to the end of the braking that
 * the earlier of the two comes to. Where the other drives on past that, its want of speed there is priced as if
 * it were carried over `CARRIED`.
 */
function gainOver({ dt, v2, brakeV2, brakeHeld }: Workspace, { s }: Road, stretch: Stretch): number {
  const first = Math.min(stretch.to, keep.to);
  let end = first;
  const last = s.length - 1;
  if (end < last) end++;
  while (end < last && brakeHeld[end] !== BEND) end++;
  let gain = 0;
  for (let i = stretch.from; i < end; i++) {
    let braking = 0;
    if (i >= first && s[i + 1] > s[i]) {
      braking = (2 * (s[i + 1] - s[i])) / (Math.sqrt(brakeV2[i]) + Math.sqrt(brakeV2[i + 1]));
    }
    gain += (i < keep.to ? keep.dtAt(i) : braking) - (i < stretch.to ? dt[i] : braking);
  }
  const speedNow = end <= stretch.to ? v2[end] : brakeV2[end];
  const speedKept = end <= keep.to ? keep.v2At(end) : brakeV2[end];
  const b = Math.max(1, brakeV2[end]);
  return gain + ((speedNow - speedKept) * CARRIED) / (2 * b * Math.sqrt(b));
}

/** Distance over which a difference of speed lasts [m]: about a straight between two bends. */
const CARRIED = 100;

/** The programme's tables, kept between runs: (gears in play) × (nodes of the stretch). */
let value = new Float64Array(0);
let choice = new Uint8Array(0);
let remaining = new Float64Array(0); // (nodes) time to the stretch's end [s]
let coasting = new Float64Array(0); //  (nodes) cost of coasting to the stretch's end, per mass factor 1 [s]
const piece = new Int32Array(64);

/** Of gears that do as well, the lower is taken: seconds per second and gear. */
const TIE = 1e-6;
/** A shift that gains less than this [s] is not made. */
const LEAST_GAIN = 2e-5;

const STAY = 0;
const UP = 1;
const DOWN = 2;

/**
 * Fills `want` over the stretch and sets stretch.gear to the gear to enter it with.
 * @returns the gain to expect over the way the stretch was driven [s]
 */
function valueGears(
  ws: Workspace,
  road: Road,
  car: Car,
  stretch: Stretch,
  gearBefore: number,
  braked: number,
): number {
  const { s, normal, normalPerV2, lateral, lateralPerV2, along, surface } = road;
  const {
    massFactor,
    limitV2,
    upV2,
    downforce,
    r0,
    r1,
    r2,
    rolling,
    muAcross,
    ellipse2,
    drivenShare,
    shift,
  } = car;
  const { edge, alpha, beta, gamma, firstPiece } = car;
  const { v2, dt, gear, held, brakeV2, want } = ws;
  const { from, to } = stretch;
  let lo = stretch.gear;
  let hi = stretch.gear;
  let changesDown = car.shift === 0; // else only where the rule itself found it too steep for the gear
  let lowest = 0;
  while (lowest < car.gears - 1 && v2[from] > upV2[lowest]) lowest++;
  for (let i = from; i < to; i++) {
    if (gear[i] < lo) lo = gear[i];
    if (gear[i] > hi) hi = gear[i];
    if (i > from && gear[i] < gear[i - 1]) changesDown = true;
  }
  hi = Math.min(Math.max(hi + 1, lowest + 2), car.gears - 1);
  const count = hi - lo + 1;
  const nodes = to - from + 1;
  if (value.length < count * nodes) {
    value = new Float64Array(2 * count * nodes);
    choice = new Uint8Array(value.length);
  }
  if (remaining.length < nodes) {
    remaining = new Float64Array(2 * nodes);
    coasting = new Float64Array(2 * nodes);
  }
  for (let k = 0; k < count; k++) {
    value[k * nodes + nodes - 1] = 0;
    piece[k] = firstPiece[lo + k + 1] - 1;
  }
  remaining[nodes - 1] = 0;
  coasting[nodes - 1] = 0;
  let worth = 0; //   seconds gained ahead per unit of v² gained here
  let driven = 0; //  the same programme's cost of the stretch as it was driven
  let after = nodes - 1; // first node of the stretch at which a shift begun here is over
  for (let i = to - 1; i >= from; i--) {
    const at = i - from;
    const h = s[i + 1] - s[i];
    remaining[at] = remaining[at + 1] + dt[i];
    if (h === 0) {
      coasting[at] = coasting[at + 1];
      for (let k = 0; k < count; k++) {
        value[k * nodes + at] = value[k * nodes + at + 1];
        choice[k * nodes + at] = STAY;
      }
      continue;
    }
    const b = 0.5 * (v2[i] + v2[i + 1]);
    const v = h / dt[i];
    const id = surface[i];
    const mu = muAcross[id];
    const n0 = 0.5 * (normal[i] + normal[i + 1]);
    const n1 = 0.5 * (normalPerV2[i] + normalPerV2[i + 1]) + downforce;
    const y0 = 0.5 * (lateral[i] + lateral[i + 1]);
    const y1 = 0.5 * (lateralPerV2[i] + lateralPerV2[i + 1]);
    const load = n0 + n1 * b;
    const e2 = ellipse2[id] * drivenShare * drivenShare;
    const resist =
      r0 + r1 * v + r2 * b + (load > 0 ? rolling[id] * load : 0) + 0.5 * (along[i] + along[i + 1]);
    const tyre = Math.sqrt(reserve(mu, e2, n0, n1, y0, y1, b));
    const aDriven = (v2[i + 1] - v2[i]) / (2 * h);
    const g = gear[i];
    const riding = v2[i] === brakeV2[i] && v2[i + 1] === brakeV2[i + 1];
    if (riding) {
      // More speed than the road allows gains nothing; a loss is made good as fast as full drive allows.
      const f = driveAt(g - lo, g, v);
      const spare = ((f < tyre ? f : tyre) - resist) / massFactor[g] - aDriven;
      const loss = v * shift * (aDriven + resist);
      const decay = spare > 0 ? loss / (loss + spare * h) : 1;
      worth = dt[i] / (2 * b) + (loss > 0 ? worth * decay : 0);
    } else {
      if (v2[i + 1] === brakeV2[i + 1]) worth = 0;
      let growth = -(r2 + (load > 0 ? rolling[id] * n1 : 0) + r1 / (2 * v));
      const heldBy = held[i] % DIVIDED;
      if (heldBy === TRACTION || heldBy === BEND)
        growth += (e2 * (mu * load * mu * n1 - (y0 + y1 * b) * y1)) / (tyre > 0.1 ? tyre : 0.1);
      else {
        const p = piece[g - lo];
        growth += beta[p] / (2 * v) - gamma[p] / (2 * v * b);
      }
      growth *= (2 * h) / massFactor[g];
      worth = dt[i] / (2 * b) + worth * (growth > 0 ? 1 + growth : 1 / (1 - growth));
    }
    const price = 2 * h * worth;
    driven -= price * aDriven;
    coasting[at] = coasting[at + 1] + price * resist;
    const over = remaining[at] - shift;
    while (after - 1 > at && remaining[after - 1] <= over) after--;
    // Where in cell `before` a shift begun here ends: the same for every gear.
    const before = after - 1;
    const part = (remaining[before] - over) / (remaining[before] - remaining[after]);
    const behind = before === at ? after : before; // the node being valued has no entry yet
    const coast =
      over <= 0
        ? coasting[at]
        : coasting[at] - (coasting[before] + part * (coasting[after] - coasting[before]));
    const time = dt[i];
    for (let k = count - 1; k >= 0; k--) {
      const gk = lo + k;
      const f = driveAt(k, gk, v);
      let a = ((f < tyre ? f : tyre) - resist) / massFactor[gk];
      if (b >= limitV2[gk]) a = resist < 0 ? -resist / massFactor[gk] : 0; // held at its limiter, at best
      if (riding && a > aDriven) a = aDriven;
      const node = k * nodes + at;
      let best = value[node + 1] - price * a + TIE * k * time;
      let how = STAY;
      if (k < count - 1) {
        let up = 0;
        if (shift === 0) up = value[node + nodes];
        else {
          const row = (k + 1) * nodes;
          if (over > 0) up = value[row + behind] + part * (value[row + after] - value[row + behind]);
          up += coast / massFactor[gk];
        }
        if (up < best - LEAST_GAIN) {
          best = up;
          how = UP;
        }
      }
      value[node] = best;
      choice[node] = how;
    }
    for (let k = 1; k < count; k++) {
      const node = k * nodes + at;
      if (
        changesDown &&
        (shift === 0 || b < CHANGE_DOWN * upV2[lo + k - 1]) &&
        value[node - nodes] < value[node] - 1e-12
      ) {
        value[node] = value[node - nodes];
        choice[node] = DOWN;
      }
    }
  }
  // Enter in the gear that costs least, a shift not finished on the brakes included.
  let best = Infinity;
  let enter = 0;
  for (let k = 0; k < count; k++) {
    // Higher than two gears above the lowest that suits only trades the engine's inertia, or stalls it.
    if (lo + k > lowest + 2 || (k > 0 && driveAt(k, lo + k, Math.sqrt(v2[from])) <= 0)) break;
    const left = entryShift(car, lo + k, gearBefore, braked);
    let cost = value[k * nodes];
    if (left > 0) {
      const over = remaining[0] - left;
      let node = 1;
      while (node < nodes - 1 && remaining[node] > over) node++;
      cost = valueAfter(0, node, over, k, nodes) + coastTo(0, node, over) / massFactor[lo + k];
    }
    if (cost < best - 1e-12) {
      best = cost;
      enter = k;
    }
  }
  let k = enter;
  for (let at = 0; at < nodes; at++) {
    if (at < nodes - 1) {
      while (choice[k * nodes + at] === DOWN) k--;
      if (choice[k * nodes + at] === UP) {
        k++;
        const over = remaining[at] - shift;
        while (at < nodes - 1 && remaining[at + 1] > over) want[from + at++] = lo + k;
      }
    }
    want[from + at] = lo + k;
  }
  ws.wantLast = to;
  stretch.gear = lo + enter;
  return driven - best;

  function driveAt(k: number, g: number, v: number): number {
    let p = piece[k];
    const first = firstPiece[g];
    const last = firstPiece[g + 1] - 1;
    while (p < last && v > edge[p]) p++;
    while (p > first && v <= edge[p - 1]) p--;
    piece[k] = p;
    return alpha[p] + beta[p] * v + (gamma[p] === 0 ? 0 : gamma[p] / v);
  }
}

/** Value in gear k at the moment `over` (time remaining), which falls before node `after`. */
function valueAfter(at: number, after: number, over: number, k: number, nodes: number): number {
  if (over <= 0) return 0;
  const row = k * nodes;
  const before = after - 1;
  const f = (remaining[before] - over) / (remaining[before] - remaining[after]);
  // The node behind may be the one being valued, whose entry is not made yet: take the one ahead.
  const behind = before === at ? value[row + after] : value[row + before];
  return behind + f * (value[row + after] - behind);
}

/** Cost of coasting from node `at` to the moment `over`, per mass factor 1 [s]. */
function coastTo(at: number, after: number, over: number): number {
  if (over <= 0) return coasting[at];
  const before = after - 1;
  const f = (remaining[before] - over) / (remaining[before] - remaining[after]);
  return coasting[at] - (coasting[before] + f * (coasting[after] - coasting[before]));
}

/** The stretch as it was driven first, while another way is tried. */
class Kept {
  from = 0;
  to = 0;
  private rule = 0;
  private shiftLeft = 0;
  private gearEnd = 0;
  private shiftLeftEnd = 0;
  private upshifts = 0;
  private v2 = new Float64Array(0);
  private dt = new Float64Array(0);
  private gear = new Uint8Array(0);
  private held = new Uint8Array(0);
  private readonly parts = new Parts();

  take(ws: Workspace, stretch: Stretch, firstPart: number, rule: number): void {
    const { from, to } = stretch;
    const nodes = to - from + 1;
    if (this.v2.length < nodes) {
      this.v2 = new Float64Array(2 * nodes);
      this.dt = new Float64Array(2 * nodes);
      this.gear = new Uint8Array(2 * nodes);
      this.held = new Uint8Array(2 * nodes);
    }
    for (let k = 0, i = from; i < to; i++, k++) {
      this.v2[k] = ws.v2[i + 1];
      this.dt[k] = ws.dt[i];
      this.gear[k] = ws.gear[i];
      this.held[k] = ws.held[i];
    }
    this.parts.count = 0;
    const { cell, held, time: partTime, count } = ws.parts;
    for (let p = firstPart; p < count; p++) this.parts.push(cell[p], held[p], partTime[p]);
    this.from = from;
    this.to = to;
    this.rule = rule;
    this.shiftLeft = stretch.shiftLeft;
    this.gearEnd = stretch.gearEnd;
    this.shiftLeftEnd = stretch.shiftLeftEnd;
    this.upshifts = stretch.upshifts;
    this.firstPart = firstPart;
  }
  private firstPart = 0;

  dtAt(node: number): number {
    return this.dt[node - this.from];
  }

  /** Speed² at a node after the first. */
  v2At(node: number): number {
    return this.v2[node - this.from - 1];
  }

  restore(ws: Workspace, stretch: Stretch): void {
    for (let k = 0, i = this.from; i < this.to; i++, k++) {
      ws.v2[i + 1] = this.v2[k];
      ws.dt[i] = this.dt[k];
      ws.gear[i] = this.gear[k];
      ws.held[i] = this.held[k];
    }
    ws.parts.count = this.firstPart;
    const { cell, held, time, count } = this.parts;
    for (let p = 0; p < count; p++) ws.parts.push(cell[p], held[p], time[p]);
    stretch.to = this.to;
    stretch.gear = this.rule;
    stretch.shiftLeft = this.shiftLeft;
    stretch.gearEnd = this.gearEnd;
    stretch.shiftLeftEnd = this.shiftLeftEnd;
    stretch.upshifts = this.upshifts;
    stretch.stopped = -1;
  }
}

const keep = new Kept();
