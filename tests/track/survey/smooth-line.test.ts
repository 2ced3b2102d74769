import { describe, expect, it } from 'vitest';
import type { RoadTable } from '../../../src/track/road-table.ts';
import { CAR_WIDTH, smoothLine } from '../../../src/track/survey/smooth-line.ts';
import { roadTable } from '../../helpers/build.ts';

/** A bend of `angle` [rad] to the left between two straights of 80 m, in plan. */
function bend(radius: number, angle: number, side = 1): RoadTable {
  const k = side / radius;
  const end = 80 + radius * angle;
  return roadTable([{ s: 0 }, { s: 80 }, { s: 80, k }, { s: end, k }, { s: end }, { s: end + 80 }]);
}

const tightest = ({ curvature }: RoadTable) =>
  1 / curvature.reduce((most, k) => Math.max(most, Math.abs(k)), 0);

/** ∫ k² ds. */
function bending({ s, curvature }: RoadTable): number {
  let sum = 0;
  for (let i = 1; i < s.length; i++) {
    sum += ((s[i] - s[i - 1]) * (curvature[i] ** 2 + curvature[i - 1] ** 2)) / 2;
  }
  return sum;
}

describe('smoothLine', () => {
  // The widest circle that touches both outer edges and the inner one. With a the room to either side and
  // c = cos(angle/2), its centre lies 2a/(1 − c) inside of the bend's: R' = R + a (1 + c)/(1 − c).
  it.each([
    { radius: 10, angle: Math.PI / 2, width: 5.8 },
    { radius: 20, angle: Math.PI / 2, width: 7.8 },
    { radius: 40, angle: Math.PI / 3, width: 5.8 },
    { radius: 12, angle: Math.PI, width: 5.8 },
  ])('gains what geometry allows in a bend of $radius m through $angle rad', ({ radius, angle, width }) => {
    const a = (width - CAR_WIDTH) / 2;
    const c = Math.cos(angle / 2);
    const widest = radius + (a * (1 + c)) / (1 - c);
    const path = smoothLine(bend(radius, angle), width);
    // No path within the road turns on a wider circle throughout; that circle is a path, and bends by angle / R' in all.
    expect(tightest(path)).toBeLessThan(1.01 * widest);
    expect(tightest(path)).toBeGreaterThan(radius);
    expect(bending(path)).toBeLessThan((1.01 * angle) / widest);
  });

  it('stays within the width, and touches it', () => {
    const radius = 15;
    const a = (6 - CAR_WIDTH) / 2;
    const { xy } = smoothLine(bend(radius, Math.PI / 2), 6);
    if (xy === null) throw new Error('the path has no positions');
    let most = 0;
    for (let j = 0; j < xy.x.length; j++) {
      const [x, y] = [xy.x[j], xy.y[j]];
      // Distance from the centre line: two straights and the arc about (80, radius).
      const beside = x < 80 ? y : y > radius ? x - 80 - radius : Math.hypot(x - 80, y - radius) - radius;
      most = Math.max(most, Math.abs(beside));
    }
    expect(most).toBeLessThan(a + 0.03);
    expect(most).toBeGreaterThan(a - 0.03);
  });

  it('leaves a straight alone', () => {
    const { curvature, s } = smoothLine(roadTable([{ s: 0 }, { s: 300 }]), 6);
    expect(Math.max(...curvature.map(Math.abs))).toBeLessThan(1e-9);
    expect(s[s.length - 1]).toBeCloseTo(300, 6);
  });

  it('mirrors with the road', () => {
    const left = smoothLine(bend(15, 1.2), 6);
    const right = smoothLine(bend(15, 1.2, -1), 6);
    expect(right.s.length).toBe(left.s.length);
    for (let i = 0; i < left.s.length; i++) expect(right.curvature[i]).toBeCloseTo(-left.curvature[i], 6);
  });

  it('carries grade, crossfall and surface by the place on the road', () => {
    const table = roadTable([
      { s: 0, grade: 0.05, phi: 0.02, surface: 'gravel' },
      { s: 150, grade: 0.05, phi: 0.02, surface: 'gravel' },
      { s: 150, grade: 0.05, phi: -0.01, surface: 'asphalt' },
      { s: 300, grade: 0.05, phi: -0.01, surface: 'asphalt' },
    ]);
    const path = smoothLine(table, 5);
    for (const [i, s] of path.s.entries()) {
      expect(path.grade[i]).toBeCloseTo(0.05, 9);
      if (Math.abs(s - 150) < 1.5) continue;
      expect(path.crossfall[i]).toBeCloseTo(s < 150 ? 0.02 : -0.01, 9);
      expect(path.surfaceNames[path.surface[i]]).toBe(s < 150 ? 'gravel' : 'asphalt');
    }
  });

  it('asks for a width, and for room', () => {
    expect(() => smoothLine(bend(15, 1), null)).toThrow('needs the width');
    expect(() => smoothLine(bend(15, 1), 1.5)).toThrow('1.5 m wide');
  });
});
