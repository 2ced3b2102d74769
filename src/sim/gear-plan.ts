import type { Road } from '../track/road.ts';
import { type Car, fullDrive } from '../vehicle/car.ts';
import { reserve } from '../vehicle/envelope.ts';
import { DIVIDED, driveSweep, type Stretch } from './drive-sweep.ts';
import { GearTables } from './gear-tables.ts';
import { KeptWay } from './kept-way.ts';
import { BRAKE_FORCE, BRAKE_GRIP, type GearChanges, SHIFT, type Workspace } from './workspace.ts';

/**
 * Drives a stretch with gears judged by time.
 *
 * First with the plain rule (change up where the next gear pulls harder, or at the limiter). Then a dynamic programme
 * runs back over nodes and gears: `value` is the time from a node in a gear to the stretch's end, as a second-order
 * expansion in v² about the speed driven last; an upshift is `shift` seconds of coasting that land in the next gear
 * further on. The plan it gives is driven; from that way the next round starts. A round that does not gain ends it.
 * Source of the expansion: differential dynamic programming (Mayne 1966; Jacobson & Mayne 1970, from memory).
 *
 * @param startGear gear engaged at the stretch's start, null: whichever is best
 */
export function planGears(
  ws: Workspace,
  road: Road,
  car: Car,
  stretch: Stretch,
  startGear: number | null,
): void {
  const parts = ws.parts.count;
  const changes = ws.changes.count;
  stretch.gear = startGear ?? ruleGear(road, car, stretch);
  stretch.end = road.s.length - 1;
  driveSweep(ws, road, car, stretch, false);
  stretch.end = stretch.to;
  if (car.gears === 1 || stretch.stopped >= 0 || !stretch.drove) return;
  // Changes that take no time are located by the rule; the programme only finds gears that the rule misses.
  const least = car.shift === 0 ? 5e-4 : 0;
  let enter = startGear;
  for (let round = 0; round < ROUNDS; round++) {
    keep.take(ws, stretch, parts, changes);
    valueGears(ws, road, car, stretch, round === 0 ? 2 : 1);
    const same = tracePlan(ws, road, car, stretch, enter);
    if (same && round > 0) return;
    let gain = drivePlan(ws, road, car, stretch, parts, changes);
    if (stretch.stopped < 0 && mergePlans(ws, road, stretch, changes)) {
      // Better in places only: those, with the rest as it was.
      gain = drivePlan(ws, road, car, stretch, parts, changes);
    }
    if (!(gain > least) && meetHalfway(ws.plan, keep, stretch.gear)) {
      gain = drivePlan(ws, road, car, stretch, parts, changes);
    }
    if (!(gain > least)) {
      const entered = stretch.gear;
      keep.restore(ws, stretch);
      if (enter !== null) return;
      enter = bestEntry(car, stretch, entered); // perhaps only the gear that it was entered with was wrong
      if (enter < 0) return;
      continue;
    }
    if (gain < ENOUGH) return;
  }
}

/** Drives the stretch by ws.plan. @returns seconds gained over the way that is kept, −1 where the car comes to a stand */
function drivePlan(
  ws: Workspace,
  road: Road,
  car: Car,
  stretch: Stretch,
  parts: number,
  changes: number,
): number {
  ws.parts.count = parts;
  ws.changes.count = changes;
  driveSweep(ws, road, car, stretch, true);
  return stretch.stopped >= 0 ? -1 : gainOver(ws, stretch);
}

/** Puts the changes of a plan half way to those kept. @returns whether both change through the same gears */
function meetHalfway(plan: GearChanges, { changes, entered }: KeptWay, gear: number): boolean {
  if (gear !== entered || plan.count !== changes.count) return false;
  for (let c = 0; c < plan.count; c++) if (plan.gear[c] !== changes.gear[c]) return false;
  for (let c = 0; c < plan.count; c++) plan.station[c] = 0.5 * (plan.station[c] + changes.station[c]);
  return true;
}

/**
 * Compares the stretch as driven now with the way that is kept, part by part between nodes that both pass at one speed
 * in one gear, and makes ws.plan and the stretch's gear of the better of each.
 * @returns whether that is another plan than the one driven now, and not the one kept
 */
function mergePlans(ws: Workspace, { s }: Road, stretch: Stretch, firstChange: number): boolean {
  const { v2, dt, held, changes, plan } = ws;
  const { from, to } = stretch;
  const kept = keep.changes;
  const enteredNow = stretch.gear;
  let gearNow = enteredNow;
  let gearKept = keep.entered;
  let now = firstChange; // first change of the part under way
  let before = 0;
  let nowEnd = now; // first change not passed
  let beforeEnd = 0;
  let gain = 0;
  let better = 0;
  let worse = 0;
  plan.count = 0;
  for (let i = from; i < to; i++) {
    gain += keep.dtAt(i) - dt[i];
    const n = i + 1;
    while (nowEnd < changes.count && (n === to || changes.station[nowEnd] < s[n]))
      gearNow = changes.gear[nowEnd++];
    while (beforeEnd < kept.count && (n === to || kept.station[beforeEnd] < s[n]))
      gearKept = kept.gear[beforeEnd++];
    if (n < to) {
      const apart = Math.abs(v2[n] - keep.v2At(n)) > 1e-9 * v2[n] || gearNow !== gearKept;
      if (apart || held[n] % DIVIDED === SHIFT || keep.heldAt(n) % DIVIDED === SHIFT) continue;
    }
    if (better + worse === 0) stretch.gear = gain >= 0 ? enteredNow : keep.entered;
    if (gain >= 0) for (; now < nowEnd; now++) plan.push(changes.station[now], changes.gear[now]);
    else for (; before < beforeEnd; before++) plan.push(kept.station[before], kept.gear[before]);
    now = nowEnd;
    before = beforeEnd;
    if (gain > 1e-12) better++;
    else if (gain < -1e-12) worse++;
    gain = 0;
  }
  if (better > 0 && worse > 0) return true;
  stretch.gear = enteredNow;
  return false;
}

/** On the brakes the lowest gear whose change-up speed is not passed; at the start the one that accelerates hardest. */
function ruleGear(road: Road, car: Car, { from, v2 }: Stretch): number {
  if (from === 0) return hardestGear(road, car, 0, v2);
  let g = 0;
  while (g < car.gears - 1 && v2 > car.upV2[g]) g++;
  return g;
}

/** The gear that accelerates hardest at a node, from 0. */
function hardestGear(road: Road, car: Car, i: number, b: number): number {
  const { normal, normalPerV2, lateral, lateralPerV2, along, surface } = road;
  const id = surface[i];
  const n0 = normal[i];
  const n1 = normalPerV2[i] + car.downforce;
  const e2 = car.ellipse2[id] * car.drivenShare * car.drivenShare;
  const tyre = Math.sqrt(reserve(car.muAcross[id], e2, n0, n1, lateral[i], lateralPerV2[i], b));
  const v = Math.sqrt(b);
  const resist = car.r0 + car.r1 * v + car.r2 * b + car.rolling[id] * Math.max(0, n0 + n1 * b) + along[i];
  let best = 0;
  let most = -Infinity;
  for (let g = 0; g < car.gears; g++) {
    const a = (Math.min(fullDrive(car, g, v), tyre) - resist) / car.massFactor[g];
    if (a > most) {
      most = a;
      best = g;
    }
  }
  return best;
}

/** Most times a stretch is valued anew. */
const ROUNDS = 8;

/** A round that gains less than this [s] is the last. */
const ENOUGH = 5e-5;

/**
 * Seconds that the stretch, as driven now, gains over the way that is kept. A want of speed at its end, where the car
 * brakes, is priced as if it were carried over `CARRIED`.
 */
function gainOver({ dt, v2 }: Workspace, { from, to }: Stretch): number {
  let gain = 0;
  for (let i = from; i < to; i++) gain += keep.dtAt(i) - dt[i];
  const b = Math.max(1, v2[to]);
  return gain + ((v2[to] - keep.v2At(to)) * CARRIED) / (2 * b * Math.sqrt(b));
}

/** Distance over which a difference of speed lasts [m]. */
const CARRIED = 10;

const tables = new GearTables();
const keep = new KeptWay();
/** By gear: value, slope and bend of an upshift begun at the node ahead; piece of the drive looked up last. */
const upValue = new Float64Array(64);
const upSlope = new Float64Array(64);
const upBend = new Float64Array(64);
const piece = new Int32Array(64);

/** Of gears that do as well, the lower is taken: seconds per second and gear. */
const TIE = 1e-6;
const TIE_BRAKING = 1e-5;
/** Stands for the time of a gear that is not in play at a node [s]. */
const NOT_IN_PLAY = 1e9;
/** A shift that gains less than this [s] is not made. */
const LEAST_GAIN = 8e-5;
/** A change down must gain more than this [s]. */
const DOWN_PRICE = 2e-4;
const DOWN_PRICE_BRAKING = 1e-4;

/** Slower than this [m/s²] a want of speed is made good otherwise: by the next bend. */
const LEAST_CLOSING = 0.5;

const STAY = 0;
const UP = 1;
const DOWN = 2;

/**
 * Fills the tables for the stretch, about the way it was driven last.
 * @param reach how many gears above and below the one driven last are in play
 */
function valueGears(ws: Workspace, road: Road, car: Car, stretch: Stretch, reach: number): void {
  const { s, normal, normalPerV2, lateral, lateralPerV2, along, surface } = road;
  const { massFactor, limitV2, upV2, downforce, r0, r1, r2, rolling, muAcross, ellipse2, drivenShare } = car;
  const { edge, alpha, beta, gamma, firstPiece, shift } = car;
  const { v2, gear, held, brakeV2 } = ws;
  const { from, to } = stretch;
  const count = car.gears;
  const top = count - 1;
  const nodes = to - from + 1;
  tables.reserve(count * nodes);
  const { value, slope, bend, about, later, choice, landing, limits } = tables;
  const last = s.length - 1;
  // At the end the car meets the braking line: a want of speed is made good where it meets the line later.
  let endBend = 0;
  if (to < last) {
    let j = to;
    while (j < last && s[j + 1] === s[j]) j++;
    const closing = (brakeV2[to] - brakeV2[j + 1]) / (s[j + 1] - s[j]) + 4;
    endBend = 1 / (2 * Math.max(4, closing) * v2[to] * Math.sqrt(v2[to]));
  }
  for (let k = 0; k < count; k++) {
    const e = (nodes - 1) * count + k;
    value[e] = 0;
    slope[e] = 0;
    bend[e] = endBend;
    about[e] = Math.min(v2[to], limitV2[k]);
    choice[e] = STAY;
    later[e] = 0;
    limits[e] = 0;
    piece[k] = firstPiece[k + 1] - 1;
    upValue[k] = NOT_IN_PLAY;
    upSlope[k] = 0;
    upBend[k] = 0;
  }
  const priceUp = shift === 0 ? 0 : LEAST_GAIN;
  let j = nodes - 2; // cell of the stretch in which a shift begun here is over
  let low = last + 1; // next node at which the line of bends and brakes is at its lowest
  let vNext = Math.sqrt(v2[to]);
  for (let i = to - 1; i >= from; i--) {
    const at = i - from;
    const h = s[i + 1] - s[i];
    const here = at * count;
    const ahead = here + count;
    const driven = gear[i];
    const lo = driven > reach ? driven - reach : 0;
    const hi = driven + reach < top ? driven + reach : top;
    if (h === 0) {
      for (let k = 0; k < count; k++) {
        value[here + k] = value[ahead + k];
        slope[here + k] = slope[ahead + k];
        bend[here + k] = bend[ahead + k];
        about[here + k] = about[ahead + k];
        choice[here + k] = STAY;
        later[here + k] = 0;
        limits[here + k] = 0;
      }
      continue;
    }
    for (let k = 0; k < count; k++) {
      if (k === lo) k = hi + 1;
      if (k >= count) break;
      value[here + k] = NOT_IN_PLAY;
      slope[here + k] = 0;
      bend[here + k] = 0;
      about[here + k] = v2[i] < limitV2[k] ? v2[i] : limitV2[k];
      later[here + k] = 0;
      limits[here + k] = 0;
      choice[here + k] = STAY;
      upValue[k] = NOT_IN_PLAY;
      upSlope[k] = 0;
      upBend[k] = 0;
    }
    const bHere = v2[i];
    const vHere = Math.sqrt(bHere);
    const b = 0.5 * (bHere + v2[i + 1]);
    const v = 0.5 * (vHere + vNext);
    const id = surface[i];
    const mu = muAcross[id];
    const n0 = 0.5 * (normal[i] + normal[i + 1]);
    const n1 = 0.5 * (normalPerV2[i] + normalPerV2[i + 1]) + downforce;
    const y0 = 0.5 * (lateral[i] + lateral[i + 1]);
    const y1 = 0.5 * (lateralPerV2[i] + lateralPerV2[i + 1]);
    const load = n0 + n1 * b;
    const e2 = ellipse2[id] * drivenShare * drivenShare;
    const crr = load > 0 ? rolling[id] : 0;
    const onBrakes = held[i] === BRAKE_GRIP || held[i] === BRAKE_FORCE;
    const coasting = r0 + r1 * v + r2 * b + crr * load + 0.5 * (along[i] + along[i + 1]);
    const falls = (bHere - v2[i + 1]) / (2 * h);
    const braking = onBrakes && falls > coasting + 0.3;
    const resist = braking ? falls : coasting;
    const tie = braking ? TIE_BRAKING : TIE;
    const resistSlope = r2 + crr * n1 + r1 / (2 * v);
    const tyre = Math.sqrt(reserve(mu, e2, n0, n1, y0, y1, b));
    const tyreSlope = tyre > 0.1 ? (e2 * (mu * load * mu * n1 - (y0 + y1 * b) * y1)) / tyre : 0;
    // On the bend's limit the tyres have more left for the way back to it: as after a shift's loss of speed.
    const lost = 2 * v * shift * (resist > 0 ? resist : 0);
    const onLine = v2[i + 1] === brakeV2[i + 1] && !braking;
    const tyreBelow = onLine ? 0.75 * Math.sqrt(reserve(mu, e2, n0, n1, y0, y1, b - lost)) : tyre;
    const brakeHere = brakeV2[i];
    if (brakeV2[i + 1] < brakeHere && i + 2 <= last && brakeV2[i + 1] <= brakeV2[i + 2]) low = i + 1;
    const slowing = v2[i + 1] < bHere && held[i] < DIVIDED && held[i] !== SHIFT;
    const brakeNext = brakeV2[i + 1];
    const forBend = v2[i + 1] < bHere && v2[i + 1] === brakeNext; // it slows for a bend: no time to change up
    for (let k = hi; k >= lo; k--) {
      const e = here + k;
      const next = ahead + k;
      const limiter = limitV2[k];
      const b1 = about[next];
      let b0 = bHere;
      let v0 = vHere;
      let v1 = vNext;
      let bMean = b;
      let vMean = v;
      let against = resist;
      if (bHere > limiter || v2[i + 1] > limiter) {
        // Faster than this gear reaches: about its limiter instead.
        if (bHere > limiter) {
          b0 = limiter;
          v0 = Math.sqrt(limiter);
        }
        v1 = Math.sqrt(b1);
        bMean = 0.5 * (b0 + b1);
        vMean = 0.5 * (v0 + v1);
        against += resistSlope * (bMean - b);
      }
      about[e] = b0;
      const perMass = braking ? 1 : 1 / massFactor[k];
      let a = 0;
      let aBelow = 0;
      let growth = 0;
      if (!braking) {
        // Acceleration in this gear and its slope in b.
        let p = piece[k];
        const pieceFirst = firstPiece[k];
        const pieceLast = firstPiece[k + 1] - 1;
        while (p < pieceLast && vMean > edge[p]) p++;
        while (p > pieceFirst && vMean <= edge[p - 1]) p--;
        piece[k] = p;
        let force = alpha[p] + beta[p] * vMean;
        let forceSlope = beta[p] / (2 * vMean);
        if (gamma[p] !== 0) {
          force += gamma[p] / vMean;
          forceSlope -= gamma[p] / (2 * vMean * bMean);
        }
        aBelow = ((force < tyreBelow ? force : tyreBelow) - against) * perMass;
        if (tyre < force) {
          force = tyre;
          forceSlope = tyreSlope;
        }
        a = (force - against) * perMass;
        growth = 2 * h * (forceSlope - resistSlope) * perMass;
      }
      const phi = growth > 0 ? 1 + growth : 1 / (1 - growth);
      // Where it comes to, never over the braking line or the limiter.
      const lineHere = brakeHere < limiter ? brakeHere : limiter;
      const lineNext = brakeNext < limiter ? brakeNext : limiter;
      let delta = b0 + 2 * h * a - b1;
      let meets = false;
      if (delta >= lineNext - b1) {
        meets = true;
        delta = lineNext - b1;
      }
      limits[e] = meets && b0 < limiter && lineNext === limiter ? 1 : 0;
      const sum = v0 + v1;
      const dt0 = (2 * h) / sum;
      const q = delta / (2 * v1);
      const eps = (q - (q * q) / (2 * v1)) / sum;
      const dt = dt0 * (1 - eps + eps * eps);
      let stay = dt + value[next] + delta * (slope[next] + 0.5 * delta * bend[next]);
      stay += tie * k * dt0;
      let s1: number;
      let s2: number;
      if (meets) {
        // A want of speed here is made good where the line is met later on.
        const closing = 2 * (aBelow > a ? aBelow : a) - (lineNext - lineHere) / h;
        const gap = lineHere - b0;
        const share = gap > 0 && closing > 0 ? Math.min(1, gap / (closing * h)) : 0;
        s1 = (-share * dt0) / (2 * bMean);
        s2 = 1 / (2 * (closing > LEAST_CLOSING ? closing : LEAST_CLOSING) * bMean * vMean);
      } else {
        const pNext = slope[next] + delta * bend[next] - (dt0 * (1 - 2 * eps)) / (2 * v1 * sum);
        s1 = (v0 > 0.1 ? -dt0 / (2 * v0 * sum) : 0) + phi * pNext;
        s2 = phi * phi * bend[next] + (0.75 * dt0) / (bMean * bMean);
      }
      let best = stay;
      let how = STAY;
      if (k < top && !forBend) {
        // An upshift begun here: `shift` seconds of coasting, then the next gear.
        const oldValue = upValue[k];
        const stayThenUp = oldValue + delta * (upSlope[k] + 0.5 * delta * upBend[k]) + dt;
        const decel = against * perMass;
        let vEnd = v0 - decel * shift;
        if (vEnd < 0.1) vEnd = 0.1;
        const xEnd = s[i] + 0.5 * (v0 + vEnd) * shift;
        while (j < nodes - 2 && s[from + j + 1] <= xEnd) j++;
        while (j > at && s[from + j] > xEnd) j--;
        const length = s[from + j + 1] - s[from + j];
        let f = length > 0 ? (xEnd - s[from + j]) / length : 1;
        if (f > 1) f = 1;
        const behind = j * count + k + 1;
        const front = behind + count;
        let bEnd = vEnd * vEnd;
        const line = brakeV2[from + j] + f * (brakeV2[from + j + 1] - brakeV2[from + j]);
        const most = line < limitV2[k + 1] ? line : limitV2[k + 1];
        let free = 1;
        const stalls = alpha[firstPiece[k + 1]] === 0 && vEnd < edge[firstPiece[k + 1]];
        let extra = 0; // time lost by braking before the shift is over
        if (bEnd > most) {
          const steeper = (brakeV2[from + j] - brakeV2[from + j + 1]) / length - 2 * decel;
          if (most === line && steeper > 0) {
            extra = ((bEnd - line) * (vEnd - Math.sqrt(line))) / (2 * steeper * line);
          }
          bEnd = most;
          free = 0;
        }
        if (low <= from + j) {
          // A slower place lies on the way.
          const after = brakeV2[low] - 2 * decel * (xEnd - s[low]);
          if (after < bEnd) {
            bEnd = after > 0.01 ? after : 0.01;
            free = 0;
          }
        }
        const d0 = bEnd - about[behind];
        const d1 = bEnd - about[front];
        const w0 = value[behind] + d0 * (slope[behind] + 0.5 * d0 * bend[behind]);
        const w1 = value[front] + d1 * (slope[front] + 0.5 * d1 * bend[front]);
        const up = stalls ? NOT_IN_PLAY : shift + extra + priceUp + w0 + f * (w1 - w0);
        const p0 = slope[behind] + d0 * bend[behind];
        const p1 = slope[front] + d1 * bend[front];
        const ratio = (free * vEnd) / v0;
        const ahead1 = length > 0 ? (w1 - w0) / length : 0;
        upValue[k] = up;
        upSlope[k] = (p0 + f * (p1 - p0)) * ratio + (ahead1 * shift) / (2 * v0);
        upBend[k] = (bend[behind] + f * (bend[front] - bend[behind])) * ratio * ratio;
        later[e] = stayThenUp - up;
        landing[e] = j + 1;
        if (up < best) {
          best = up;
          how = UP;
          s1 = upSlope[k];
          s2 = upBend[k];
        }
      }
      if (forBend || k === top) {
        upValue[k] = NOT_IN_PLAY;
        upSlope[k] = 0;
        upBend[k] = 0;
        later[e] = 0;
      }
      value[e] = best;
      slope[e] = s1;
      bend[e] = s2;
      choice[e] = how;
    }
    // Changed down only where the car slows all the same: else changes that cost nothing would follow every inertia.
    const price = shift === 0 ? 0 : braking ? DOWN_PRICE_BRAKING : DOWN_PRICE;
    for (let k = lo + 1; k <= hi && (slowing || shift === 0); k++) {
      const e = here + k;
      if (braking ? bHere > upV2[k - 1] : about[e - 1] < bHere) continue;
      if (value[e - 1] + price < value[e]) {
        value[e] = value[e - 1] + price;
        slope[e] = slope[e - 1];
        bend[e] = bend[e - 1];
        choice[e] = DOWN;
      }
    }
    vNext = vHere;
  }
}

/**
 * Follows the tables from the stretch's start: fills ws.plan, and sets stretch.gear to the gear to enter it with.
 * @returns whether the plan is the same as the one before
 */
function tracePlan(
  { plan, v2 }: Workspace,
  { s }: Road,
  car: Car,
  stretch: Stretch,
  startGear: number | null,
): boolean {
  const { choice, landing, later } = tables;
  const { from, to } = stretch;
  const { limitV2 } = car;
  const count = car.gears;
  const nodes = to - from + 1;
  const enter = startGear ?? bestEntry(car, stretch, -1);
  let same = stretch.gear === enter;
  stretch.gear = enter;
  const planned = plan.count;
  let event = 0;
  let k = enter;
  let inGearFrom = 0; // first node in the gear engaged
  for (let at = 0; at < nodes - 1; ) {
    const how = choice[at * count + k];
    if (how === STAY) {
      at++;
      continue;
    }
    let station = s[from + at];
    let n = at;
    if (how === DOWN) {
      // Where the lower gear's limiter would still forbid it at the node before: as soon as it does not.
      const over = at > 0 ? v2[from + at - 1] - limitV2[k - 1] : 0;
      if (over > 0) {
        const fall = v2[from + at - 1] - v2[from + at];
        station -= (1 - over / fall) * (station - s[from + at - 1]);
      }
      k--;
    } else {
      // Where within the cells about this node the shift does best: where one later neither gains nor costs.
      const after = landing[at * count + k];
      while (n > inGearFrom && later[(n - 1) * count + k] > 0) n--;
      station = bestStation(s, from, n, inGearFrom, count, k);
      k++;
      n = after;
    }
    if (event >= planned || plan.gear[event] !== k || Math.abs(plan.station[event] - station) > SAME)
      same = false;
    plan.count = event++;
    plan.push(station, k);
    inGearFrom = n;
    at = Math.max(n, at);
    if (at === nodes - 1) break;
  }
  if (planned !== event) same = false;
  plan.count = event;
  return same;
}

/** The gear in which the stretch as valued last is best entered, `not` left out; −1 if there is none. */
function bestEntry({ gears, limitV2 }: Car, { v2 }: Stretch, not: number): number {
  let best = -1;
  let least = 0.5 * NOT_IN_PLAY;
  for (let k = gears - 1; k >= 0; k--) {
    const fits = k === gears - 1 || limitV2[k] >= v2;
    if (k !== not && fits && tables.value[k] < least + 1e-12) {
      best = k;
      least = tables.value[k];
    }
  }
  return best;
}

/** Shifts nearer than this to where they were [m] are where they were. */
const SAME = 0.02;

/**
 * Where about node n of the stretch a change up from gear k does best: at the limiter, or where beginning it one node
 * later would neither gain nor cost.
 * @param first first node in gear k
 */
function bestStation(
  s: Float64Array,
  from: number,
  n: number,
  first: number,
  count: number,
  k: number,
): number {
  const { later, limits } = tables;
  // The limiter is reached in the cell before or after: there, if it is worth waiting for.
  for (let c = n > first ? n - 1 : n; c <= n; c++) {
    if (limits[c * count + k] === 1 && (c === first || later[(c - 1) * count + k] < 0))
      return s[from + c + 1];
  }
  if (n === first) return s[from + n];
  const before = s[from + n] - s[from + n - 1];
  const after = s[from + n + 1] - s[from + n];
  if (before === 0 || after === 0) return s[from + n];
  const g0 = later[(n - 1) * count + k] / before;
  const g1 = later[n * count + k] / after;
  // The last moment before the car slows for a bend: as that begins.
  if (later[n * count + k] > 0.5 * NOT_IN_PLAY && g0 < 0) return s[from + n + 1];
  if (!(g1 > g0)) return s[from + n];
  const x = s[from + n] - 0.5 * before - (g0 / (g1 - g0)) * 0.5 * (before + after);
  return Math.min(Math.max(x, s[from + n - 1]), s[from + n + 1]);
}
