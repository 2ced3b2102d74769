import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitCentreline } from '../../src/track/centreline.ts';
import type { RoadTable } from '../../src/track/road-table.ts';

type Point = readonly [x: number, y: number, z?: number];

function lay(points: readonly Point[], closed: boolean): RoadTable {
  const z = points[0]?.[2] === undefined ? null : Float64Array.from(points, (p) => p[2] ?? Number.NaN);
  const x = Float64Array.from(points, (p) => p[0]);
  const y = Float64Array.from(points, (p) => p[1]);
  return fitCentreline({ x, y, z, width: null, surface: null }, { closed, surfaceNames: ['gravel'] });
}

const range = <T>(n: number, make: (i: number) => T): T[] => Array.from({ length: n }, (_, i) => make(i));
const lengthOf = (road: RoadTable) => road.s[road.s.length - 1];
const greatest = (values: Iterable<number>) => Math.max(...Array.from(values, Math.abs));

/** Rows that lie on the given points, which the road must pass in this order. */
function rowsAt(road: RoadTable, points: readonly Point[]): number[] {
  const rows: number[] = [];
  let row = 0;
  for (const [x, y] of points) {
    while (row < road.s.length && Math.hypot(road.xy!.x[row] - x, road.xy!.y[row] - y) > 1e-9) row++;
    rows.push(row);
  }
  return rows;
}

describe('fitCentreline on a circle', () => {
  const radius = 50;
  const circle = (n: number) =>
    range(
      n,
      (i): Point => [radius * Math.cos((2 * Math.PI * i) / n), radius * Math.sin((2 * Math.PI * i) / n)],
    );

  // On equal steps of angle δ the system has the closed solution r″ = −(6/h²)(2 − 2c)/(4 + 2c)·r and
  // r′ = 6 sin δ/(h (4 + 2c))·(tangent), c = cos δ, so κR = (2/3)(2 + c)/(1 + c) = 1 + δ²/12 + … at the points.
  it.each([8, 24, 120])('meets the closed solution for curvature at its %i points', (n) => {
    const road = lay(circle(n), true);
    const c = Math.cos((2 * Math.PI) / n);
    const expected = ((2 / 3) * (2 + c)) / (1 + c) / radius;
    for (const row of rowsAt(road, circle(n))) {
      expect(Math.abs(road.curvature[row] / expected - 1)).toBeLessThan(1e-11);
    }
  });

  it.each([24, 48, 96])('has a length low by δ⁴/720 with %i points', (n) => {
    // The error of the spline towards the centre averages h⁴/(720 R³) over a cell; the next term is O(δ⁶).
    const delta = (2 * Math.PI) / n;
    const error = lengthOf(lay(circle(n), true)) / (2 * Math.PI * radius) - 1;
    expect(Math.abs((-720 * error) / delta ** 4 - 1)).toBeLessThan(delta ** 2);
  });

  it('is as good where the points are spaced unevenly', () => {
    // Cells of 3° to 6°. κ is off by at most δ²/8 between points and δ²/12 at them, δ the greatest step.
    const steps = range(80, (i) => 4.5 + 1.5 * Math.sin(7 * i));
    const turn = 360 / steps.reduce((sum, step) => sum + step, 0);
    let angle = 0;
    const points = steps.map((step): Point => {
      angle += (step * turn * Math.PI) / 180;
      return [radius * Math.cos(angle), radius * Math.sin(angle)];
    });
    const road = lay(points, true);
    const delta = (6 * turn * Math.PI) / 180;
    expect(greatest(road.curvature.map((k) => k * radius - 1))).toBeLessThan(delta ** 2 / 8);
    expect(Math.abs(lengthOf(road) / (2 * Math.PI * radius) - 1)).toBeLessThan(delta ** 4 / 720);
  });

  it('shows one error across the road as 6 (√3 − 1) e/h² of curvature, alternating ones as 12 e/h²', () => {
    // A straight road in steps of 5 m; e small enough that the slope it brings does not count.
    const e = 1e-4;
    const straight = (y: (i: number) => number) => range(101, (i): Point => [5 * i, y(i)]);
    const one = straight((i) => (i === 50 ? e : 0));
    const single = lay(one, false);
    const at50 = single.curvature[rowsAt(single, one)[50]];
    expect(Math.abs(at50 / ((-6 * (Math.sqrt(3) - 1) * e) / 25) - 1)).toBeLessThan(1e-6);
    const many = straight((i) => (i % 2 === 0 ? e : -e));
    const alternating = lay(many, false);
    const middle = alternating.curvature[rowsAt(alternating, many)[50]];
    expect(Math.abs(middle / ((-12 * 2 * e) / 2 / 25) - 1)).toBeLessThan(1e-6);
  });
});

describe('fitCentreline on a clothoid', () => {
  // x = ∫cos(t²/2A²) dt, y = ∫sin(t²/2A²) dt, by their power series (Abramowitz & Stegun 7.3.11, 7.3.13).
  const A = 60;
  const end = 150; // R = 24 m and 179° of turn at the end
  const clothoid = (s: number): Point => {
    const q = (s * s) / (2 * A * A);
    let x = 0;
    let y = 0;
    for (let k = 0, term = s; k < 60; k++, term *= q / k) {
      const part = (term / (2 * k + 1)) * [1, 1, -1, -1][k % 4];
      if (k % 2 === 0) x += part;
      else y += part;
    }
    return [x, y];
  };
  const errors = (n: number) => {
    const points = range(n + 1, (i) => clothoid((end * i) / n));
    const road = lay(points, false);
    const wrong = Array.from(road.curvature, (k, row) => Math.abs(k - road.s[row] / (A * A)));
    const rows = rowsAt(road, points);
    // Six cells off the end the influence of its condition has died down to (2 − √3)⁶ = 4e-4.
    return {
      wrong,
      inner: rows.slice(1, -6).map((row) => wrong[row]),
      length: lengthOf(road) - end,
    };
  };

  it('finds the curvature to the leading error h²(κ³ − κ″)/12 at the points away from the end', () => {
    const kEnd = end / (A * A);
    for (const n of [30, 60, 120]) {
      const { wrong, inner } = errors(n);
      const bound = ((end / n) ** 2 * kEnd ** 3) / 12;
      expect(greatest(inner)).toBeLessThan(bound);
      // At the end the second derivative is extrapolated over one cell: h² κ³ there, 12 times as much.
      expect(greatest(wrong)).toBeLessThan(13 * bound);
    }
  });

  it('converges: curvature at order 2', () => {
    const [coarse, fine] = [errors(60), errors(120)];
    expect(Math.log2(greatest(coarse.wrong) / greatest(fine.wrong))).toBeGreaterThan(1.8);
  });

  it('has a length off by −∫h⁴κ⁴ ds/720, and the end cell by h⁵κ⁴/60 at most', () => {
    // As on the circle, with κ = s/A²; the end cell has an error of order h⁴ over a length h, its factor measured.
    for (const n of [60, 120, 240]) {
      const h = end / n;
      const hk = (h * end) / (A * A);
      const leading = ((-(hk ** 4) / 720) * end) / 5;
      expect(Math.abs(errors(n).length - leading)).toBeLessThan((h * hk ** 4) / 60);
    }
  });
});

describe('fitCentreline on an ellipse', () => {
  const [a, b] = [120, 45];
  const ellipse = (n: number) =>
    range(n, (i): Point => [a * Math.cos((2 * Math.PI * i) / n), b * Math.sin((2 * Math.PI * i) / n)]);

  // Perimeter 4aE(k) with E from the arithmetic-geometric mean (DLMF 19.8.1 to 19.8.6).
  const perimeter = () => {
    let [p, q, sum] = [a, b, 0.5 * (a * a - b * b)];
    for (let k = 1; k < 8; k++) {
      const c = (p - q) / 2;
      [p, q] = [(p + q) / 2, Math.sqrt(p * q)];
      sum += 2 ** (k - 1) * c * c;
    }
    return (2 * Math.PI * (a * a - sum)) / p;
  };

  it('has the perimeter of the complete elliptic integral, at order 4', () => {
    // The check of the check: a circle squashed to a line has perimeter 4a, and here Ramanujan's first formula agrees.
    const ramanujan = Math.PI * (3 * (a + b) - Math.sqrt((3 * a + b) * (a + 3 * b)));
    expect(Math.abs(perimeter() / ramanujan - 1)).toBeLessThan(1e-4);
    const error = (n: number) => Math.abs(lengthOf(lay(ellipse(n), true)) / perimeter() - 1);
    expect(error(180)).toBeLessThan(1e-6);
    expect(Math.log2(error(90) / error(180))).toBeGreaterThan(3.7);
  });

  it('has the curvature ab/(a² sin² + b² cos²)^1.5 at its points, at order 2', () => {
    const error = (n: number) => {
      const points = ellipse(n);
      const road = lay(points, true);
      const rows = rowsAt(road, points);
      const exact = (i: number) => {
        const t = (2 * Math.PI * i) / n;
        return (a * b) / ((a * Math.sin(t)) ** 2 + (b * Math.cos(t)) ** 2) ** 1.5;
      };
      return greatest(rows.map((row, i) => (road.curvature[row] * (b * b)) / a - (exact(i) * (b * b)) / a));
    };
    expect(error(180)).toBeLessThan(0.01);
    expect(Math.log2(error(180) / error(360))).toBeGreaterThan(1.8);
  });

  it('is one lap, whether or not the file repeats its first point', () => {
    const points = ellipse(60);
    const road = lay(points, true);
    expect(lay([...points, points[0]], true)).toEqual(road);
    const last = road.s.length - 1;
    for (const column of [road.xy!.x, road.xy!.y, road.curvature]) {
      expect(Math.abs(column[last] - column[0])).toBeLessThan(1e-12 * a);
    }
    expect(lay(points, false).s.at(-1)).toBeLessThan(lengthOf(road));
  });
});

describe('fitCentreline with heights', () => {
  it('climbs a helix: length along the surface, grade, no vertical curvature', () => {
    const [radius, rise, n] = [40, 5, 145]; // two turns and a half, 12.5 %
    const points = range(n, (i): Point => {
      const angle = (5 * Math.PI * i) / (n - 1);
      return [radius * Math.cos(angle), radius * Math.sin(angle), rise * angle];
    });
    const road = lay(points, false);
    const delta = (5 * Math.PI) / (n - 1);
    const length = Math.hypot(radius, rise) * 5 * Math.PI;
    expect(Math.abs(lengthOf(road) / length - 1)).toBeLessThan(delta ** 4 / 720 + 1e-7);
    // The end cells bend over by up to h² κ³ (see the clothoid), which shows in the slopes as δ³.
    expect(greatest(road.grade.map((tan) => tan / (rise / radius) - 1))).toBeLessThan(delta ** 3);
    expect(greatest(road.verticalCurvature!)).toBeLessThan((delta ** 2 * rise) / radius ** 2);
    expect(greatest(road.curvature.map((k) => k * radius - 1))).toBeLessThan(1.2 * delta ** 2);
  });

  it('finds crest and dip of a sine hill: grade z′, vertical curvature z″ cos³θ', () => {
    const [height, wave, h] = [6, 40, 4];
    const road = lay(
      range(151, (i): Point => [0, h * i, height * Math.sin((h * i) / wave)]),
      false,
    );
    // Errors of the spline in z: at most h³/24·|z″″| in slope, h²/8·|z″″| + h²/12·|z″″| in second derivative; the
    // rows inside two cells of the ends are left out, where the not-a-knot condition adds h²|z″″|.
    const fourth = height / wave ** 4;
    for (let row = 8; row < road.s.length - 8; row++) {
      const p = road.xy!.y[row];
      const slope = (height / wave) * Math.cos(p / wave);
      const bend = (-height / wave ** 2) * Math.sin(p / wave);
      expect(Math.abs(road.grade[row] - slope)).toBeLessThan((h ** 3 * fourth) / 24 + 1e-12);
      const expected = bend / (1 + slope * slope) ** 1.5;
      expect(Math.abs(road.verticalCurvature![row] - expected)).toBeLessThan(
        (5 / 24) * h * h * fourth + h ** 3 * fourth * 0.01,
      );
      expect(road.curvature[row]).toBe(0);
    }
    // Where the angle is differentiated along the rows instead, the same comes out.
    const i = 300;
    const angle = (row: number) => Math.atan(road.grade[row]);
    const slopeOfAngle = (angle(i + 1) - angle(i - 1)) / (road.s[i + 1] - road.s[i - 1]);
    expect(Math.abs(slopeOfAngle - road.verticalCurvature![i])).toBeLessThan(1e-5);
  });

  it('has a level road where there are none, and says so', () => {
    const road = lay(
      [
        [0, 0],
        [10, 0],
        [20, 5],
        [30, 15],
      ],
      false,
    );
    expect(road.verticalCurvature).toBeNull();
    expect(greatest(road.grade)).toBe(0);
    expect(road.assumptions).toEqual([
      'The road is a parametric cubic spline (not-a-knot ends) through 4 points, 11.8 m apart on average; it passes through every point and smooths nothing.',
      'The points have no heights: the road is taken as level.',
      'The points have no crossfall: it is taken as 0.',
    ]);
  });
});

describe('fitCentreline', () => {
  it('passes a hairpin: 180° in all, and an overshoot of (2 − √3)/2 where curvature steps', () => {
    // 60 m straight, half a turn of 12 m radius in 24 cells, 60 m straight, with the same chord throughout.
    const [radius, cells] = [12, 24];
    const chord = 2 * radius * Math.sin(Math.PI / cells / 2);
    const points: Point[] = range(40, (i) => [(i - 40) * chord, 0]);
    for (let i = 0; i <= cells; i++) {
      const angle = (Math.PI * i) / cells;
      points.push([radius * Math.sin(angle), radius * (1 - Math.cos(angle))]);
    }
    points.push(...range(40, (i): Point => [-(i + 1) * chord, 2 * radius]));
    const road = lay(points, false);
    let turn = 0;
    for (let i = 1; i < road.s.length; i++) {
      turn += ((road.curvature[i] + road.curvature[i - 1]) / 2) * (road.s[i] - road.s[i - 1]);
    }
    expect(Math.abs(turn - Math.PI)).toBeLessThan(0.01);
    // A step of the second derivative at a point gives M₁ = 1 − λ/2 one point on, with λ = √3 − 2, λ² + 4λ + 1 = 0;
    // the bend itself reads high by δ²/12.
    const delta = Math.PI / cells;
    const peak = (1 + (2 - Math.sqrt(3)) / 2) / radius;
    expect(Math.abs(greatest(road.curvature) / peak - 1)).toBeLessThan(delta ** 2);
    expect(Math.min(...road.curvature) * radius).toBeGreaterThan(-0.14);
  });

  /** Roads of random bends and spacing, with heights: a heading that wanders by up to 30° a point. */
  const anyRoad = fc
    .array(
      fc.tuple(fc.double({ min: -0.5, max: 0.5, noNaN: true }), fc.double({ min: 4, max: 8, noNaN: true })),
      {
        minLength: 8,
        maxLength: 60,
      },
    )
    .map((steps) => {
      let [x, y, heading] = [3, -7, 0.3];
      return steps.map(([bend, step], i): Point => {
        heading += bend;
        x += step * Math.cos(heading);
        y += step * Math.sin(heading);
        return [x, y, 100 + 4 * Math.sin(i / 3)];
      });
    });

  it('passes every point, in order, with rows about 1 m apart at most and s no shorter than the chord', () => {
    fc.assert(
      fc.property(anyRoad, (points) => {
        const road = lay(points, false);
        expect(rowsAt(road, points).at(-1)).toBe(road.s.length - 1);
        const { x, y } = road.xy!;
        for (let i = 1; i < road.s.length; i++) {
          const plan = Math.hypot(x[i] - x[i - 1], y[i] - y[i - 1]);
          // Rows are 1 m apart in u, the arc length of the curve before the last repeat: the distance, nearly. It is
          // furthest from it in an end cell much longer than its neighbour, where not-a-knot extrapolates.
          expect(plan).toBeLessThan(1.6);
          expect(road.s[i] - road.s[i - 1]).toBeGreaterThan(plan * (1 - 1e-9));
        }
      }),
      { numRuns: 100 },
    );
  });

  it('gives mirrored points mirrored curvature, to the bit', () => {
    const lap = range(90, (i): Point => {
      const angle = (2 * Math.PI * i) / 90;
      const radius = 60 + 12 * Math.sin(3 * angle);
      return [radius * Math.cos(angle), radius * Math.sin(angle), 2 * Math.sin(angle)];
    });
    const expectMirrored = (points: readonly Point[], closed: boolean) => {
      const road = lay(points, closed);
      const mirrored = lay(
        points.map(([x, y, z = 0]): Point => [x, -y, z]),
        closed,
      );
      expect(mirrored.s).toEqual(road.s);
      expect(mirrored.grade).toEqual(road.grade);
      // Adding 0 makes −0 the same as 0.
      expect(mirrored.curvature.map((k) => 0 - k)).toEqual(road.curvature.map((k) => k + 0));
    };
    expectMirrored(lap, true);
    fc.assert(
      fc.property(anyRoad, (points) => expectMirrored(points, false)),
      { numRuns: 100 },
    );
  });

  it('gives points in reverse order the same road driven the other way', () => {
    fc.assert(
      fc.property(anyRoad, (points) => {
        const road = lay(points, false);
        const back = lay([...points].reverse(), false);
        const n = road.s.length;
        expect(back.s.length).toBe(n);
        for (let i = 0; i < n; i++) {
          const j = n - 1 - i;
          expect(Math.abs(back.s[i] - (lengthOf(road) - road.s[j]))).toBeLessThan(1e-9 * lengthOf(road));
          expect(Math.abs(back.curvature[i] + road.curvature[j])).toBeLessThan(
            1e-7 * (1 + Math.abs(road.curvature[j])),
          );
          expect(Math.abs(back.grade[i] + road.grade[j])).toBeLessThan(1e-7 * (1 + Math.abs(road.grade[j])));
        }
      }),
      { numRuns: 100 },
    );
  });

  it('keeps the surface of a point until the next', () => {
    const x = Float64Array.of(0, 10, 20, 30, 40);
    const surface = Int32Array.of(0, 0, 1, 1, 0);
    const road = fitCentreline(
      { x, y: new Float64Array(5), z: null, width: null, surface },
      { closed: false, surfaceNames: ['gravel', 'mud'] },
    );
    for (let i = 0; i < road.s.length; i++) {
      expect(road.surface[i]).toBe(road.s[i] > 20 - 1e-9 && road.s[i] < 40 - 1e-9 ? 1 : 0);
    }
    expect(road.surfaceNames).toEqual(['gravel', 'mud']);
  });

  it.each([false, true])(
    'keeps heights and runs the width evenly from point to point (lap: %s)',
    (closed) => {
      const corner: Point[] = range(12, (i) => [
        40 * Math.cos((i * Math.PI) / 6),
        40 * Math.sin((i * Math.PI) / 6),
        3 + 0.1 * i * (12 - i),
      ]);
      const [x, y, z] = [0, 1, 2].map((j) => Float64Array.from(corner, (p) => p[j]!));
      const width = Float64Array.from(corner, (_, i) => 4 + (i % 3));
      const road = fitCentreline({ x, y, z, width, surface: null }, { closed, surfaceNames: ['ice'] });
      const rows = rowsAt(road, corner);
      for (const [i, row] of rows.entries()) {
        expect(road.z![row]).toBeCloseTo(z[i], 9);
        expect(road.width![row]).toBeCloseTo(width[i], 9);
      }
      if (closed) rows.push(road.s.length - 1);
      for (let i = 0; i + 1 < rows.length; i++) {
        // Rows lie evenly over the parameter, so equal steps of width between two points.
        const share = 1 / (rows[i + 1] - rows[i]);
        const step = share * (width[(i + 1) % 12] - width[i]);
        for (let row = rows[i]; row < rows[i + 1]; row++)
          expect(road.width![row + 1] - road.width![row]).toBeCloseTo(step, 9);
      }
    },
  );

  const square: readonly Point[] = [
    [0, 0, 1],
    [9, 0, 1],
    [9, 9, 1],
    [0, 9, 1],
  ];
  it.each<[points: readonly Point[], closed: boolean, message: string]>([
    [square.slice(1), false, 'a centre line needs 4 different points or more, got 3'],
    [[...square.slice(1), square[1]], true, 'a centre line needs 4 different points or more, got 3'],
    [[], true, 'a centre line needs 4 different points or more, got 0'],
    [[...square, [0, 9, 2]], false, 'points 4 and 5 are at the same place: x 0 m, y 9 m'],
    [[...square, [0, Number.NaN, 2]], false, 'point 5 is not finite: x 0, y NaN, z 2'],
    [[...square, [0, 0, 3]], true, 'the lap ends where it began, but at 3 m, not at 1 m'],
    [
      [
        [0, 0],
        [5, 0],
        [9, 1],
        [5, 1],
        [0, 1],
      ],
      false,
      'the road turns by 166° at point 3 alone (x 9 m, y 1 m)',
    ],
    [
      [
        [0, 0],
        [9, 0],
        [9, 9],
        [4, 0.1],
      ],
      true,
      'the road turns by 179° at point 1 alone (x 0 m, y 0 m)',
    ],
    [
      [
        [0, 0],
        [1e200, 0],
        [2e200, 1e200],
        [3e200, 1e200],
      ],
      false,
      'the points span 3.41e+197 km of road: are x and y in metres?',
    ],
    [
      [
        [0, 0, 0],
        [9, 0, 0],
        [18, 0, 1e300],
        [27, 0, 0],
      ],
      false,
      'the curve is not finite near point 1 (x 1 m, y 0 m)',
    ],
  ])('refuses %j, closed: %s', (points, closed, message) => {
    expect(() => lay(points, closed)).toThrow(new RangeError(message));
  });
});

describe('fitCentreline on real roads', () => {
  const folder = join(import.meta.dirname, '../../../shared/data/centrelines');
  const files = existsSync(folder)
    ? readdirSync(folder)
        .filter((name) => name.endsWith('.csv'))
        .sort()
    : [];
  if (files.length === 0) it.skip(`not run: no surveyed roads in ${folder}`, () => {});

  it.each(files.map((file, i) => [i + 1, file] as const))('gives a sensible lap of road %i', (_, file) => {
    const rows = readFileSync(join(folder, file), 'utf8').trim().split(/\r?\n/).slice(1);
    const points = rows.map((row): Point => {
      const [x, y] = row.split(',').map(Number);
      return [x, y];
    });
    const road = lay(points, true);
    const { s, curvature } = road;
    const polygon = points.reduce((sum, [x, y], i) => {
      const [xNext, yNext] = points[(i + 1) % points.length];
      return sum + Math.hypot(xNext - x, yNext - y);
    }, 0);
    expect(lengthOf(road) / polygon).toBeGreaterThan(1);
    expect(lengthOf(road) / polygon).toBeLessThan(1.003);

    // One lap turns by ±360° in all. It is the trapezoid over the rows that is off, most in the tightest bends.
    let turn = 0;
    for (let i = 1; i < s.length; i++) turn += ((curvature[i] + curvature[i - 1]) / 2) * (s[i] - s[i - 1]);
    expect(Math.abs(Math.abs(turn) - 2 * Math.PI)).toBeLessThan(0.01);

    // The tightest bend that a car goes round is 5 m or so; these roads have hairpins of 8 m to 15 m.
    const tightest = 1 / greatest(curvature);
    expect(tightest).toBeGreaterThan(7);
    expect(tightest).toBeLessThan(20);

    // Ringing would swing the curvature from side to side between points, 200 times a kilometre at 5 m spacing.
    // Counted are swings from beyond 1/500 m on one side to beyond 1/500 m on the other: real bends alternate less
    // than 12 times a kilometre.
    let [side, swings] = [0, 0];
    for (const k of curvature) {
      if (Math.abs(k) < 1 / 500 || Math.sign(k) === side) continue;
      if (side !== 0) swings++;
      side = Math.sign(k);
    }
    expect(swings / (lengthOf(road) / 1000)).toBeLessThan(12);
  });
});
