/** Passes made ready for the fit: cleaned, cut where they go over the road again, and put beside one first curve. */
import { type Curve, type Foot, footOf } from './curve.ts';
import { cleanPass, dropStops } from './fit-clean.ts';
import { LEAST_NOISE } from './fit-noise.ts';
import type { Points } from './fit-plan.ts';
import { goings } from './fit-repeats.ts';
import { LEAST_POINTS, type Start, startCurve } from './fit-start.ts';
import { quantile } from './median.ts';
import type { Pass } from './pass.ts';

export interface Ready {
  readonly curve: Curve; //        through the longest pass
  readonly points: Points;
  readonly u: Float64Array; //     place of each point along the curve [m]
  readonly sigma: number; //       noise of a point to begin with [m]
  readonly along: number; //       noise along the road [m]
  readonly spacing: number; //     median distance between points of a pass [m]
  readonly leastNoise: number; //  what the noise across is taken for at least [m]
  readonly source: Int32Array; //  index of each point in all the points handed over
  readonly mended: string[];
}

/**
 * Points farther apart than SPARSE [m] do not tell their noise, as a bend may pass through any of them. Where they were
 * recorded over time, by a receiver, it is taken as RECEIVER_NOISE [m] at least. Common practice, no source.
 */
const SPARSE = 5;
const RECEIVER_NOISE = 0.3;

/** A pass that is shorter than the longest by more than this is said [m]. No source. */
const SHORTER = 50;

/** One going along the road: points by index into its pass, in the direction of the road. */
interface Run {
  readonly pass: number;
  readonly index: readonly number[];
  readonly start: Start;
}

const pick = (values: Float64Array, index: readonly number[]) => Float64Array.from(index, (i) => values[i]);
const lengthOf = ({ curve }: Start) => (curve.x.length - 1) * curve.h;

/** @param nodeSpacing of the first curve [m] @throws RangeError where no pass leads anywhere */
export function readyPasses(passes: readonly Pass[], nodeSpacing: number): Ready {
  const mended: string[] = [];
  const runs: Run[] = [];
  for (const [p, pass] of passes.entries()) {
    const name = passes.length === 1 ? 'The recording' : `Pass ${p + 1}`;
    runs.push(...runsOf(pass, p, name, nodeSpacing, mended));
  }
  if (runs.length === 0) {
    throw new RangeError(`a road needs ${LEAST_POINTS} different points or more in one pass`);
  }
  const longest = runs.reduce((a, b) => (lengthOf(b.start) > lengthOf(a.start) ? b : a));
  const { curve } = longest.start;
  const [least, most] = [Math.min(...runs.map(({ start }) => lengthOf(start))), lengthOf(longest.start)];
  if (most - least > SHORTER) {
    mended.push(
      `The passes are ${least.toFixed(0)} to ${most.toFixed(0)} m long: the road is as long as the longest, and its ends are known from fewer.`,
    );
  }
  const first: number[] = [];
  for (const { x } of passes) first.push((first[first.length - 1] ?? 0) + x.length);
  const x: number[] = [];
  const y: number[] = [];
  const z: number[] = [];
  const number: number[] = [];
  const source: number[] = [];
  const u: number[] = [];
  for (const [r, run] of runs.entries()) {
    const pass = passes[run.pass];
    const places = run === longest ? run.start.u : placesOn(curve, run.start);
    for (const [k, i] of run.index.entries()) {
      x.push(pass.x[i]);
      y.push(pass.y[i]);
      z.push(pass.z[i]);
      number.push(r);
      source.push((run.pass === 0 ? 0 : first[run.pass - 1]) + i);
      u.push(places[k]);
    }
  }
  const steps: number[] = [];
  for (let i = 1; i < x.length; i++) {
    if (number[i] === number[i - 1]) steps.push(Math.hypot(x[i] - x[i - 1], y[i] - y[i - 1]));
  }
  const spacing = quantile(Float64Array.from(steps), 0.5);
  const timed = passes.some(({ time }) => time.some((t) => Number.isFinite(t)));
  return {
    spacing,
    leastNoise: timed && spacing > SPARSE ? RECEIVER_NOISE : LEAST_NOISE,
    curve,
    points: {
      x: Float64Array.from(x),
      y: Float64Array.from(y),
      z: Float64Array.from(z),
      pass: Int32Array.from(number),
      passes: runs.length,
    },
    u: Float64Array.from(u),
    sigma: longest.start.sigma,
    along: longest.start.along,
    source: Int32Array.from(source),
    mended,
  };
}

function runsOf(pass: Pass, p: number, name: string, spacing: number, mended: string[]): Run[] {
  const cleaned = cleanPass(pass, name);
  mended.push(...cleaned.mended);
  if (cleaned.keep.length < LEAST_POINTS) {
    mended.push(`${name} is left out: it has ${cleaned.keep.length} different points.`);
    return [];
  }
  const startOf = (index: readonly number[]) => startCurve(pick(pass.x, index), pick(pass.y, index), spacing);
  const rough = startOf(cleaned.keep);
  const moving = dropStops(pass, cleaned.keep, rough.x, rough.y, name);
  mended.push(...moving.mended);
  if (moving.keep.length < LEAST_POINTS) {
    mended.push(`${name} is left out: it stands still.`);
    return [];
  }
  const whole = moving.mended.length === 0 ? rough : startOf(moving.keep);
  const parts = goings(whole.curve, whole.sigma);
  if (parts.length === 1) return [{ pass: p, index: moving.keep, start: whole }];
  const turns = parts.slice(1, 4).map(({ from }) => `${from.toFixed(0)} m`);
  mended.push(
    `${name} goes over the road ${parts.length} times, anew from ${turns.join(', ')}${parts.length > 4 ? ' and so on' : ''}; each is taken as a pass.`,
  );
  const runs: Run[] = [];
  for (const { from, to, reversed } of parts) {
    const index = moving.keep.filter((_, k) => whole.u[k] >= from && whole.u[k] < to);
    if (reversed) index.reverse();
    if (index.length >= LEAST_POINTS) runs.push({ pass: p, index, start: startOf(index) });
  }
  return runs;
}

/** Place of each smoothed point of another pass along the curve: the nearest for the first, then from point to point. */
function placesOn(curve: Curve, { x, y, curve: own }: Start): Float64Array {
  const m = curve.x.length;
  const foot: Foot = { node: 0, u: 0, d: 0 };
  let least = Infinity;
  for (let j = 0; j < m; j++) {
    if (curve.tx[j] * own.tx[0] + curve.ty[j] * own.ty[0] < 0) continue;
    const distance = Math.hypot(curve.x[j] - x[0], curve.y[j] - y[0]);
    if (distance < least) {
      least = distance;
      foot.node = j;
    }
  }
  return Float64Array.from(x, (_, i) => {
    footOf(curve, x[i], y[i], foot);
    return Math.max(0, Math.min((m - 1) * curve.h, foot.u));
  });
}
