import type { StageForecast } from '../../src/sim/time-stage.ts';
import type { Stage } from '../../src/track/stage.ts';
import type { CarSpec } from '../../src/vehicle/car-spec.ts';
import { driveForce, forcesAt, massFactor, type Place, placeAt } from './model.ts';

/** Where a run asks more of the car than the model's equations give. */
export interface Excess {
  readonly what: 'across' | 'too much forward' | 'too much backward' | 'drive in a shift';
  readonly station: number; // [m]
  readonly over: number; // [m/s²]
  readonly held: number;
  readonly gear: number;
  readonly speed: number; // [m/s]
}

/** Points within a cell at which the limits are asked. */
const POINTS = 8;
/** Share of v² within which a limit counts as kept: 2.5 millionths of the speed, a twentieth of the
 * grid error that the default step may have. The force left near a limit goes with its square root. */
const KEPT = 5e-6;
const LEVEL_DEMAND = 1; // [m/s²] at take-off, under which the car may leave the ground (issue 2)

const BEND = 0;
const BRAKE_GRIP = 3;
const BRAKE_FORCE = 4;
const SHIFT = 6;

/**
 * Holds every cell of a run against the model: lateral demand at both ends; and the mean acceleration over the cell
 * against what the model allows somewhere within it, v² linear on the way as the scheme has it.
 *
 * The mean cannot pass the greatest value within the cell; what the scheme may add is derived, not chosen:
 * - it takes the tyres' reserve² as linear over the cell; what that misses is half its second difference;
 * - it takes drive at a predicted end speed: |dF/dv²| times the miss of the prediction, h × the change of
 *   acceleration over the cell;
 * - it takes the square of drive as linear too: (change of drive)² / (6 × sum of both ends) over their mean;
 * - in a cell with an event (shift begins or ends, brakes begin, a row of the engine table) v² is not one line: it may
 *   dip by coasting; and the part before the event takes the resistance of the whole: an eighth of its change at most.
 *
 * @param gearFree where no drive is used (held by bend or brakes) take the mass factor of any gear not over-revved
 */
export function excesses(spec: CarSpec, stage: Stage, forecast: StageForecast, gearFree: boolean): Excess[] {
  const { road, v2, dt, gear, held, nodes } = forecast.run;
  const table = stage.road;
  const found: Excess[] = [];
  let j = 0;
  for (let i = 0; i + 1 < nodes; i++) {
    const from = road.s[i];
    const h = road.s[i + 1] - from;
    if (h === 0) continue;
    while (j + 2 < table.s.length && table.s[j + 1] <= from + h / 2) j++;
    const report = (what: Excess['what'], over: number) =>
      found.push({ what, station: from, over, held: held[i], gear: gear[i], speed: Math.sqrt(v2[i]) });

    const shares = Array.from({ length: POINTS + 1 }, (_, p) => p / POINTS);
    const places: Place[] = shares.map((share) => placeAt(table, j, from + share * h));
    for (const [place, b] of [
      [places[0], v2[i]],
      [places[POINTS], v2[i + 1]],
    ] as const) {
      const F = forcesAt(spec, stage, place, Math.sqrt(b));
      const over = Math.abs(F.across) - F.mostAcross;
      if (over > KEPT * (Math.abs(F.across) + F.mostAcross) && !mayTakeOff(spec, stage, place))
        report('across', over / spec.mass);
    }

    const a = (v2[i + 1] - v2[i]) / (2 * h);
    // Drive may be greatest in between, at a row of the engine table.
    for (const share of rowsWithin(spec, gear[i], v2[i], v2[i + 1])) {
      shares.push(share);
      places.push(placeAt(table, j, from + share * h));
    }
    const meanSpeed = (Math.sqrt(v2[i]) + Math.sqrt(v2[i + 1])) / 2;
    const whole = gear[i] === gear[i + 1] && Math.abs(dt[i] * meanSpeed - h) < 1e-9 * h;
    const noDrive = held[i] === BEND || held[i] === BRAKE_GRIP || held[i] === BRAKE_FORCE;
    const gears = new Set(whole ? [gear[i]] : [gear[i], gear[i + 1]]);
    // Without shift time a cell may see several changes, there and back: the gears next to those recorded count too.
    if (!whole && spec.driveline.shift === 0) {
      for (let g = Math.min(gear[i], gear[i + 1]) - 1; g <= Math.max(gear[i], gear[i + 1]) + 1; g++) {
        if (g >= 0 && g < spec.driveline.gearing.length) gears.add(g);
      }
    }
    // The gear in which the finish is passed is not recorded.
    if (!whole && i + 2 === nodes && gear[i] + 1 < spec.driveline.gearing.length) gears.add(gear[i] + 1);
    if (noDrive && gearFree) {
      for (let g = 0; g < spec.driveline.gearing.length; g++) {
        if (g >= gear[i] || turning(spec, g, Math.sqrt(v2[i])) <= 1) gears.add(g);
      }
    }
    const dips = [0];
    if (!whole) dips.push(-1);
    let up = Number.NEGATIVE_INFINITY;
    let low = Number.POSITIVE_INFINITY;
    let coast = Number.NEGATIVE_INFINITY;
    for (const dip of dips) {
      const at = places.map((place, p) => {
        const b = v2[i] + shares[p] * (v2[i + 1] - v2[i]);
        const R = forcesAt(spec, stage, place, Math.sqrt(b)).resistance / spec.mass;
        const v = Math.sqrt(Math.max(0, b + dip * 2 * h * Math.max(0, R)));
        return { v, F: forcesAt(spec, stage, place, v) };
      });
      const bent = Math.abs(signed(at[0].F) - 2 * signed(at[POINTS / 2].F) + signed(at[POINTS].F)) / 2;
      for (const g of gears) {
        const inertia = massFactor(spec, g) * spec.mass;
        const event = whole ? 0 : Math.abs(at[0].F.resistance - at[POINTS].F.resistance) / 8;
        const miss = predictionMiss(spec, g, at, h, inertia) + event;
        for (const { v, F } of at) {
          const tyre = Math.sqrt(F.mostAlong ** 2 + bent + 2 * KEPT * muN2(F));
          const pull = Math.min(driveForce(spec, g, v), spec.driveline.drivenLoad * tyre) + miss;
          up = Math.max(up, (pull - F.resistance) / inertia);
          coast = Math.max(coast, -F.resistance / inertia);
          low = Math.min(
            low,
            (-Math.min(spec.brakeForce ?? Number.POSITIVE_INFINITY, tyre) - F.resistance) / inertia,
          );
        }
      }
    }
    const rounding = 1e-5;
    if (a > up + rounding) report('too much forward', a - up);
    if (a < low - rounding) report('too much backward', low - a);
    if (whole && held[i] === SHIFT && a > coast + rounding) report('drive in a shift', a - coast);
  }
  return found;
}

/** Reserve of the ellipse as a square, negative beyond the limit [N²]. */
function signed(F: ReturnType<typeof forcesAt>): number {
  if (F.mostAcross === 0) return 0;
  return F.mostAlong > 0 ? F.mostAlong ** 2 : F.mostAcross ** 2 - F.across ** 2;
}

function muN2(F: ReturnType<typeof forcesAt>): number {
  return F.mostAcross ** 2;
}

function turning(spec: CarSpec, g: number, v: number): number {
  const { engine, driveline } = spec;
  return engine.kind === 'constant-power' ? 0 : (driveline.gearing[g] * v) / engine.limit;
}

/** Where between two v² the engine passes rows of its table, the launch speed and the limiter, as shares of the way. */
function rowsWithin({ engine, driveline }: CarSpec, g: number, from: number, to: number): number[] {
  if (engine.kind === 'constant-power' || from === to) return [];
  return [...engine.speed, engine.launch, engine.limit]
    .map((turning) => ((turning / driveline.gearing[g]) ** 2 - from) / (to - from))
    .filter((share) => share > 0 && share < 1);
}

/** What drive at a predicted speed can be off by [N]: the prediction misses v² by h × the change of acceleration. */
function predictionMiss(spec: CarSpec, g: number, at: readonly Point[], h: number, inertia: number): number {
  const net = at.map(
    ({ v, F }) => Math.min(driveForce(spec, g, v), spec.driveline.drivenLoad * F.mostAlong) - F.resistance,
  );
  const db = (h * (Math.max(...net) - Math.min(...net))) / inertia;
  const [first, last] = [driveForce(spec, g, at[0].v), driveForce(spec, g, at[POINTS].v)];
  let miss = first + last > 0 ? (first - last) ** 2 / (6 * (first + last)) : 0;
  const square = miss;
  for (const { v } of at) {
    const here = driveForce(spec, g, v);
    const off = driveForce(spec, g, Math.sqrt(Math.max(0, v * v - db)));
    if (here > 0) miss = Math.max(miss, square + Math.abs(off - here));
  }
  return miss;
}

interface Point {
  readonly v: number;
  readonly F: ReturnType<typeof forcesAt>;
}

/** Whether the car may leave the ground here: the lateral demand at take-off speed is small. */
function mayTakeOff(spec: CarSpec, stage: Stage, place: Place): boolean {
  const rest = forcesAt(spec, stage, place, 0);
  const fast = forcesAt(spec, stage, place, 1);
  const perV2 = fast.load - rest.load;
  if (perV2 >= 0) return false;
  const takeOff = Math.sqrt(rest.load / -perV2);
  return Math.abs(forcesAt(spec, stage, place, takeOff).across) < LEVEL_DEMAND * spec.mass;
}
