import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../src/numbers/random.ts';
import { correlationLengths } from '../../../src/track/survey/fit-correlation.ts';
import { readyPasses } from '../../../src/track/survey/fit-passes.ts';
import { fitRoad } from '../../../src/track/survey/fit-road.ts';
import type { Pass } from '../../../src/track/survey/pass.ts';
import { type KnownRoad, knownRoad, record } from '../../helpers/known-road.ts';

const road = knownRoad(41, 1500);
const length = road.table.s[road.table.s.length - 1];
const gravel = { surface: 'gravel' };
const clean = (of: KnownRoad = road, seed = 1) =>
  record(of, { spacing: 3, noise: 0.4, correlation: 0, seed });

/** A pass of other points; `from` says which of the old ones each is. */
function picked(pass: Pass, from: readonly number[]): Pass {
  const pick = (values: Float64Array) => Float64Array.from(from, (i) => values[i]);
  const begins = Uint8Array.from(from, (_, k) => (k === 0 ? 1 : 0));
  return { x: pick(pass.x), y: pick(pass.y), z: pick(pass.z), time: pick(pass.time), begins, width: null };
}
const all = (pass: Pass) => Array.from(pass.x, (_, i) => i);

/** Farthest that the fit lies from the road [m], the first and last 5 m apart. */
function farthest(fit: ReturnType<typeof fitRoad>, of: KnownRoad = road): number {
  const { xy } = fit.table;
  const truth = of.table.xy;
  if (xy === null || truth === null) return Number.NaN;
  let most = 0;
  for (let j = 5; j < xy.x.length - 5; j++) {
    let least = Infinity;
    for (let i = 0; i < truth.x.length; i++) {
      least = Math.min(least, Math.hypot(xy.x[j] - truth.x[i], xy.y[j] - truth.y[i]));
    }
    most = Math.max(most, least);
  }
  return most;
}

describe('a recording with faults', () => {
  // Each leaves the road where it is to 1.2 m, three times the noise of a point, and its length to 0.2 %.
  const holds = (fit: ReturnType<typeof fitRoad>) => {
    expect(fit.refusal).toBeNull();
    expect(farthest(fit)).toBeLessThan(1.2);
    expect(Math.abs(fit.found.length / length - 1)).toBeLessThan(0.002);
  };

  it('is fitted where it has none', () => {
    const fit = fitRoad([clean()], gravel);
    holds(fit);
    expect(fit.found.mended).toEqual([]);
    expect(fit.found.noiseAcross).toBeGreaterThan(0.3);
    expect(fit.found.noiseAcross).toBeLessThan(0.5);
    expect(fit.found.noiseHeight).toBeGreaterThan(0.3);
    expect(fit.found.noiseHeight).toBeLessThan(0.5);
  });

  it('has repeated points', () => {
    const pass = clean();
    const fit = fitRoad(
      [
        picked(
          pass,
          all(pass).flatMap((i) => (i % 3 === 0 ? [i, i] : [i])),
        ),
      ],
      gravel,
    );
    holds(fit);
    expect(fit.found.mended[0]).toContain('repeats its place');
  });

  it('stands still', () => {
    const pass = clean();
    const from = all(pass).flatMap((i) => (i === 200 ? new Array<number>(60).fill(i) : [i]));
    const still = picked(pass, from);
    const random = randomFrom(5);
    for (let k = 200; k < 260; k++) {
      still.x[k] += 0.3 * (random() - 0.5);
      still.y[k] += 0.3 * (random() - 0.5);
    }
    const fit = fitRoad([still], gravel);
    holds(fit);
    expect(fit.found.mended.join()).toContain('stands still');
  });

  it('slows down to a stop: the points crowded about it are left out, as the receiver drifts there', () => {
    // A straight, 11 m a point as at 1 Hz, with steps of 8, 6, 4 and 3 m down to 20 points at a standstill, and up again.
    const slow = [8, 6, 4, 3];
    const usual = new Array<number>(30).fill(11);
    const steps = [...usual, ...slow, ...new Array<number>(20).fill(0.06), ...slow.toReversed(), ...usual];
    const x = Float64Array.from(steps);
    for (let i = 1; i < x.length; i++) x[i] += x[i - 1];
    const y = x.map((_, i) => 0.03 * (i % 2));
    const none = x.map(() => Number.NaN);
    const begins = new Uint8Array(x.length);
    const fit = fitRoad([{ x, y, z: none, time: none, begins, width: null }], gravel);
    expect(fit.found.mended.join()).toContain('stands still 1 time');
    const used = (from: number, to: number) => [...fit.points.used.slice(from, to + 1)];
    // Three and seven metres from the stop, not thirteen.
    expect([used(30, 32), used(54, 56)]).toEqual([
      [1, 0, 0],
      [0, 0, 1],
    ]);
    expect(used(33, 53).filter((is) => is === 1).length).toBe(1);
  });

  it('jumps, for one point and for several', () => {
    const pass = clean();
    pass.x[100] += 400;
    for (let i = 300; i < 305; i++) pass.y[i] -= 150;
    const fit = fitRoad([pass], gravel);
    holds(fit);
    expect(fit.found.mended.join()).toContain('6 points left out');
    expect(fit.points.used[100]).toBe(0);
    expect(fit.points.used[101]).toBe(1);
  });

  it('has outliers to the side', () => {
    const pass = clean();
    const random = randomFrom(8);
    for (let i = 20; i < pass.x.length; i += 25) {
      pass.x[i] += 8 * (random() < 0.5 ? -1 : 1);
      pass.y[i] += 8 * (random() < 0.5 ? -1 : 1);
    }
    holds(fitRoad([pass], gravel));
  });

  it('has a gap on a straight, and says so', () => {
    // The longest stretch without a bend is cut out.
    let [from, to] = [0, 0];
    for (let i = 0, begin = 0; i < road.plan.length; i++) {
      if (road.table.curvature[i] !== 0) begin = i + 1;
      else if (i - begin > to - from) [from, to] = [begin, i];
    }
    const [a, b] = [road.plan[from] / 3, road.plan[to] / 3];
    const pass = clean();
    const fit = fitRoad(
      [
        picked(
          pass,
          all(pass).filter((i) => i < a + 2 || i > b - 2),
        ),
      ],
      gravel,
    );
    holds(fit);
    expect(fit.found.largestGap).toBeGreaterThan(road.plan[to] - road.plan[from] - 15);
    expect(fit.found.mended.join()).toContain('gap of');
  });

  it('lacks heights in part, or wholly', () => {
    const pass = clean();
    for (let i = 100; i < 130; i++) pass.z[i] = Number.NaN;
    const part = fitRoad([pass], gravel);
    holds(part);
    expect(part.found.heights).toBe('part');
    pass.z.fill(Number.NaN);
    const none = fitRoad([pass], gravel);
    expect(none.found.heights).toBe('none');
    expect(none.table.z).toBeNull();
    expect(none.found.mended.join()).toContain('taken as level');
  });

  it('goes to and fro', () => {
    const pass = clean();
    const back = clean(road, 2);
    const n = pass.x.length;
    const join = (a: Float64Array, b: Float64Array) => Float64Array.from([...a, ...b.slice().reverse()]);
    const both: Pass = {
      x: join(pass.x, back.x),
      y: join(pass.y, back.y),
      z: join(pass.z, back.z),
      time: new Float64Array(2 * n).fill(Number.NaN),
      begins: new Uint8Array(2 * n),
      width: null,
    };
    const fit = fitRoad([both], gravel);
    expect(fit.found.passes).toBe(2);
    expect(farthest(fit)).toBeLessThan(1.2);
    expect(Math.abs(fit.found.length / length - 1)).toBeLessThan(0.01);
  });
});

describe('several passes', () => {
  it('average to a better road, though each lies to one side', () => {
    const passes = [1, 2, 3].map((seed) =>
      record(road, { spacing: 3, noise: 0.4, correlation: 0, offset: 1, seed }),
    );
    const fit = fitRoad(passes, gravel);
    expect(fit.refusal).toBeNull();
    expect(fit.found.passes).toBe(3);
    // The offsets, 1 m in x and in y, are not taken for noise.
    expect(fit.found.noiseAcross).toBeLessThan(0.5);
    expect(fit.found.passOffset).toBeGreaterThan(0.4);
    expect(fit.found.passOffset).toBeLessThan(1.6);
    expect(fit.found.mended.join()).not.toContain('The passes are');
  });

  it('that differ in length by more than 50 m are said', () => {
    const short = clean(road, 2);
    const cut = picked(short, all(short).slice(0, -40));
    const { found } = fitRoad([clean(), cut], gravel);
    expect(found.mended.join()).toMatch(/The passes are 1\d\d\d to 1\d\d\d m long: .* as the longest/);
  });
});

describe('the correlation of the noise', () => {
  const likely = (spacing: number, correlation: number, seed: number) =>
    correlationLengths(readyPasses([record(road, { spacing, noise: 1, correlation, seed })], 1)).likely;

  it('is told where it can be', () => {
    expect(likely(5, 0, 1)).toEqual([{ length: 0, share: 1 }]);
    for (const { length } of likely(2, 30, 1)) expect(length).toBeGreaterThan(5);
  });

  it('is left open where it cannot: points 10 m apart do not tell noise over 30 m from bends', () => {
    const lengths = [1, 2, 3].map((seed) => likely(10, 30, seed));
    expect(Math.max(...lengths.map((all) => all.length))).toBeGreaterThan(1);
    for (const all of lengths) {
      expect(all.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
      for (let k = 1; k < all.length; k++) expect(all[k].share).toBeLessThanOrEqual(all[k - 1].share);
    }
  });
});

describe('data that cannot carry a forecast', () => {
  it('are refused where the points lie far apart', () => {
    const fit = fitRoad([record(road, { spacing: 40, noise: 1, correlation: 0, seed: 1 })], gravel);
    expect(fit.refusal?.reason).toContain('40 m apart');
    expect(fit.refusal?.advice).toContain('10 points a second');
  });

  it('are refused where the noise is large', () => {
    const fit = fitRoad([record(road, { spacing: 10, noise: 4, correlation: 0, seed: 1 })], gravel);
    expect(fit.refusal?.reason).toContain('cannot be told');
  });

  it('are refused where they are no road', () => {
    const random = randomFrom(3);
    const pass = clean();
    const nowhere = { ...pass, x: pass.x.map(() => 500 * random()), y: pass.y.map(() => 500 * random()) };
    expect(fitRoad([nowhere], gravel).refusal).not.toBeNull();
  });

  it('are an error where no line can be laid', () => {
    const pass = clean();
    expect(() => fitRoad([picked(pass, [0, 1, 2])], gravel)).toThrow('8 different points');
    expect(() => fitRoad([picked(pass, new Array<number>(50).fill(4))], gravel)).toThrow(
      '8 different points',
    );
  });
});

describe('fitRoad', () => {
  it('gives the same bytes for the same input', () => {
    const [a, b] = [fitRoad([clean()], gravel), fitRoad([clean()], gravel)];
    expect(a.table).toEqual(b.table);
    expect(a.draw(randomFrom(4))).toEqual(b.draw(randomFrom(4)));
  });

  it('moves with the points: turned and shifted, the road is the same', () => {
    const pass = clean();
    const [c, s] = [Math.cos(1.1), Math.sin(1.1)];
    const turned = {
      ...pass,
      x: pass.x.map((x, i) => c * x - s * pass.y[i] + 3000),
      y: pass.x.map((x, i) => s * x + c * pass.y[i] - 2000),
    };
    const [a, b] = [fitRoad([pass], gravel).table, fitRoad([turned], gravel).table];
    expect(b.s.length).toBe(a.s.length);
    for (let j = 0; j < a.s.length; j++) expect(b.curvature[j]).toBeCloseTo(a.curvature[j], 4);
  });

  it('mirrors with the points', () => {
    const pass = clean();
    const [a, b] = [pass, { ...pass, y: pass.y.map((y) => -y) }].map((p) => fitRoad([p], gravel).table);
    for (let j = 0; j < a.s.length; j++) expect(b.curvature[j]).toBeCloseTo(-a.curvature[j], 4);
  });

  it('keeps legs apart that nearly touch', () => {
    // Two straights 7 m apart, joined by a hairpin of 3.5 m radius.
    const x: number[] = [];
    const y: number[] = [];
    const add = (px: number, py: number) => {
      x.push(px);
      y.push(py);
    };
    for (let s = 0; s <= 200; s += 2) add(s, 0);
    for (let a = 0.4; a < Math.PI; a += 0.4) add(200 + 3.5 * Math.sin(a), 3.5 - 3.5 * Math.cos(a));
    for (let s = 200; s >= 0; s -= 2) add(s, 7);
    const column = (values: number[]) => Float64Array.from(values);
    const none = column(x).fill(Number.NaN);
    const random = randomFrom(9);
    const noisy = (values: number[]) => column(values).map((v) => v + 0.6 * (random() - 0.5));
    const pass = {
      x: noisy(x),
      y: noisy(y),
      z: none,
      time: none,
      begins: new Uint8Array(x.length),
      width: null,
    };
    const fit = fitRoad([pass], gravel);
    expect(fit.found.passes).toBe(1);
    expect(Math.abs(fit.found.length - 411)).toBeLessThan(2);
  });

  it('carries the width of the road', () => {
    const pass = { ...clean() };
    const fit = fitRoad([{ ...pass, width: pass.x.map((_, i) => (i < 250 ? 4 : 6)) }], gravel);
    expect(fit.table.width?.[100]).toBeCloseTo(4, 9);
    expect(fit.table.width?.[1200]).toBeCloseTo(6, 9);
    expect(fit.draw(randomFrom(1)).width?.[1200]).toBeCloseTo(6, 9);
  });
});
