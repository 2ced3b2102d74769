import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import type { Radii } from '../../src/track/pace-notes.ts';
import type { RoadTable } from '../../src/track/road-table.ts';
import { readNotes, roadOf, scaleText } from '../helpers/notes.ts';

/** ∫ column ds from a to b, the column linear between rows. */
function integral({ s }: RoadTable, column: Float64Array, a: number, b: number): number {
  let sum = 0;
  for (let i = 0; i + 1 < s.length; i++) {
    const [from, to] = [Math.max(a, s[i]), Math.min(b, s[i + 1])];
    if (!(to > from)) continue;
    const at = (x: number) => column[i] + ((column[i + 1] - column[i]) * (x - s[i])) / (s[i + 1] - s[i]);
    sum += ((at(from) + at(to)) / 2) * (to - from);
  }
  return sum;
}

/** Greatest |curvature| between two stations, ends of rows only. */
function tightest({ s, curvature }: RoadTable, a: number, b: number): number {
  return Math.max(...Array.from(curvature, (k, i) => (s[i] >= a && s[i] <= b ? Math.abs(k) : 0)));
}

const DEG = Math.PI / 180;

describe('bends', () => {
  const notes = readNotes(['100,left 4', '300,right hairpin', '400,L6 long', '800,finish']);

  it('begin where they are called and turn the road as the scale says, whatever the radius', () => {
    for (const radii of ['tight', 'middle', 'wide'] as const) {
      const { table, made } = roadOf(notes, radii);
      expect(made.shortened).toEqual([]);
      expect(table.s.at(-1)).toBeCloseTo(800, 9);
      for (const at of [100, 300, 400]) expect([...table.s]).toContainEqual(expect.closeTo(at, 9));
      expect(integral(table, table.curvature, 0, 100)).toBe(0);
      // The table has radii and lengths to the millimetre: 0.5 mm in 8.5 m of radius is 0.006 % of the turn.
      const turns = [
        [100, 300, 45],
        [300, 400, -165],
        [400, 800, 32],
      ] as const;
      for (const [from, to, turn] of turns)
        expect(Math.abs(integral(table, table.curvature, from, to) / (turn * DEG) - 1)).toBeLessThan(2e-4);
    }
  });

  test.each<[Radii, number, number]>([
    ['tight', 60, 6],
    ['middle', Math.sqrt(6000), Math.sqrt(72)],
    ['wide', 100, 12],
  ])('have the radius of the %s end', (radii, four, hairpin) => {
    const { table } = roadOf(notes, radii);
    expect(1 / tightest(table, 100, 299)).toBeCloseTo(four, 3);
    expect(1 / tightest(table, 300, 399)).toBeCloseTo(hairpin, 3);
  });

  it('wind in and out over the share that the scale says', () => {
    const { made } = roadOf(readNotes(['100,left 4', '900,finish']), 'tight');
    const lengths = made.rows.map((row) => row.to - row.from);
    // ψ = (1 − e) L / R with e = 0.2
    const length = (45 * DEG * 60) / 0.8;
    expect(lengths[1]).toBeCloseTo(0.2 * length, 2);
    expect(lengths[2]).toBeCloseTo(0.6 * length, 2);
    expect(lengths[3]).toBeCloseTo(0.2 * length, 2);
  });

  it('tighten and open by a factor, or into another bend, and still turn as much', () => {
    const { table } = roadOf(
      readNotes(['50,left 4 tightens', '250,right 4 opens', '500,left 6 tightens 1', '900,finish']),
      'wide',
    );
    expect(1 / tightest(table, 50, 249)).toBeCloseTo(50, 3);
    expect(1 / tightest(table, 250, 499)).toBeCloseTo(100, 3);
    expect(1 / tightest(table, 500, 899)).toBeCloseTo(20, 3);
    for (const [from, to, turn] of [
      [50, 250, 45],
      [250, 500, -45],
      [500, 900, 20],
    ] as const)
      expect(Math.abs(integral(table, table.curvature, from, to) / (turn * DEG) - 1)).toBeLessThan(2e-4);
  });

  it('are cut short where the next call comes first, and that is told', () => {
    const { table, made } = roadOf(readNotes(['0,left 6', '30,right 1', '300,finish']), 'tight');
    expect(made.shortened.map(({ call, given }) => [call.at, given])).toEqual([[0, 30]]);
    expect(made.shortened[0].wanted).toBeCloseTo((20 * DEG * 170) / 0.8, 9);
    expect(integral(table, table.curvature, 0, 30)).toBeCloseTo((30 * 0.8) / 170, 6);
    expect(integral(table, table.curvature, 30, 300)).toBeCloseTo(-110 * DEG, 3);
  });
});

describe('crests and dips', () => {
  it('are humps of the radius called, as high after as before', () => {
    const { table } = roadOf(readNotes(['200,crest', '500,left 4 over big dip', '800,finish']), 'tight');
    expect(integral(table, table.grade, 0, 350)).toBeCloseTo(0, 6);
    expect(integral(table, table.grade, 350, 800)).toBeCloseTo(0, 6);
    // Parabolas of 15 m, 30 m and 15 m with ±1/150 on the grade: height L²/(16 R) on top.
    expect(integral(table, table.grade, 0, 200)).toBeCloseTo(60 ** 2 / (16 * 150), 3);
    expect(integral(table, table.grade, 350, 500)).toBeCloseTo(-(40 ** 2) / (16 * 100), 3);
    const slope = (a: number, b: number) =>
      (integral(table, table.grade, b - 0.001, b) - integral(table, table.grade, a, a + 0.001)) /
      0.001 /
      (b - a);
    for (const [from, to, radius] of [
      [170.1, 184.9, 150],
      [185.1, 214.9, -150],
      [215.1, 229.9, 150],
      [490.1, 509.9, 100],
    ])
      expect(Math.abs(slope(from, to) * radius - 1)).toBeLessThan(0.01);
  });

  it('stand on the road’s own grade, which may change with them', () => {
    const { table } = roadOf(
      readNotes(['0,,4', '200,crest,-2', '500,,1', '900,finish,'], scaleText, 'distance_m,call,grade_pct'),
    );
    const gradeAt = (at: number) => integral(table, table.grade, at - 0.001, at) / 0.001;
    expect(gradeAt(160)).toBeCloseTo(0.04, 6);
    expect(gradeAt(240)).toBeCloseTo(-0.02, 6);
    expect(gradeAt(600)).toBeCloseTo(0.01, 6);
  });

  it('shrink to half way to what changes the height next', () => {
    const { made, table } = roadOf(readNotes(['40,crest', '60,crest', '200,finish']), 'wide');
    // From the start to 50 m there are 10 m on the near side of the first, and 10 m on each side of the second.
    expect(made.shortened.map(({ given }) => given)).toEqual([expect.closeTo(20, 1), expect.closeTo(20, 1)]);
    expect(integral(table, table.grade, 0, 200)).toBeCloseTo(0, 6);
  });
});

describe('words', () => {
  const road = (call: string, scale?: string) =>
    roadOf(readNotes([`100,${call}`, '600,finish'], scale)).made.rows.map(({ note, ...row }) => row);

  it('may be joined, in any order, of any case, with marks between', () => {
    for (const call of ['L4 long', '4L long', '"LONG, left 4"', 'left 4/long', '4 left long into'])
      expect(road(call)).toEqual(road('left 4 long'));
    expect(road('right 4')).not.toEqual(road('left 4'));
  });

  it('may be phrases, of which the longest counts', () => {
    expect(road("left 4 don't cut")).toEqual(road('left 4'));
    const both = scaleText.replace("don't cut", 'big');
    expect(road('left 4 big dip', both)).toEqual(road('left 4 big dip'));
  });

  it('may be of another language, and count the other way', () => {
    const other = scaleText
      .replace(/^ {2}(\d):/gm, (_, n) => `  ${7 - Number(n)}:`)
      .replace('easing', 'left: [links]\nright: [rechts]\nfinish: [ziel]\neasing');
    const there = readNotes(['100,links 3', '300,rechts 6', '600,ziel'], other);
    expect(there.scale.numbers).toEqual({ tightest: '6', gentlest: '1' });
    const here = readNotes(['100,left 4', '300,right 1', '600,finish']);
    expect(here.scale.numbers).toEqual({ tightest: '1', gentlest: '6' });
    const rows = (notes: typeof here) => roadOf(notes).made.rows.map(({ note, ...row }) => row);
    expect(rows(there)).toEqual(rows(here));
  });
});

test('surfaces hold from their call on, the first of them from the start', () => {
  const header = 'distance_m,call,surface';
  const rows = ['100,left 4,gravel', '200,,mud', '300,right 4,', '500,finish,'];
  const { made } = roadOf(readNotes(rows, scaleText, header));
  const at = (s: number) => made.rows.find((row) => row.to > s)?.surface;
  expect([0, 150, 250, 450].map(at)).toEqual(['gravel', 'gravel', 'mud', 'mud']);
  expect(roadOf(readNotes(['9,finish']), 'tight', 'ice').made.rows).toHaveLength(1);
  expect(roadOf(readNotes(['9,finish']), 'tight', 'ice').made.rows[0].surface).toBe('ice');
});

test('any calls make a road whose files read back, as long as called, without a jump of curvature (seed 5101)', () => {
  const call = fc.record({
    gap: fc.integer({ min: 1000, max: 400_000 }).map((mm) => mm / 1000),
    side: fc.constantFrom('left', 'right'),
    bend: fc.constantFrom('', 'hairpin', '1', '4', '6'),
    more: fc.constantFrom('', 'long', 'tightens', 'opens', 'opens hairpin'),
    crest: fc.constantFrom('', '', 'crest', 'big dip'),
    grade: fc.constantFrom('', '', '3', '-4.5', '0'),
  });
  const ends = fc.constantFrom<Radii>('tight', 'middle', 'wide');
  fc.assert(
    fc.property(fc.array(call, { minLength: 1, maxLength: 12 }), ends, (calls, radii) => {
      let at = 0;
      const rows = calls.map(({ gap, side, bend, more, crest, grade }) => {
        at += gap;
        return `${at.toFixed(3)},${bend === '' ? '' : `${side} ${bend} ${more}`} ${crest},${grade}`;
      });
      const finish = (at + 50).toFixed(3);
      const notes = readNotes([...rows, `${finish},finish,`], scaleText, 'distance_m,call,grade_pct');
      const { table, made } = roadOf(notes, radii);
      expect(table.s.at(-1)).toBeCloseTo(Number(finish), 6);
      for (let i = 0; i + 1 < made.rows.length; i++) {
        const [row, next] = [made.rows[i], made.rows[i + 1]];
        expect(next.from).toBe(row.to);
        expect(next.startCurvature).toBe(row.endCurvature);
      }
      expect([made.rows[0].startCurvature, made.rows.at(-1)!.endCurvature]).toEqual([0, 0]);
    }),
    { seed: 5101, numRuns: 100 },
  );
});
