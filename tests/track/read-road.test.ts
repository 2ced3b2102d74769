import { describe, expect, test } from 'vitest';
import { Faults } from '../../src/input/faults.ts';
import { memoryFiles } from '../../src/input/file-access.ts';
import { Source } from '../../src/input/source.ts';
import { roadFrom } from '../../src/track/read-road.ts';
import { readStage } from '../../src/track/read-stage.ts';
import type { RoadTable } from '../../src/track/road-table.ts';
import { elements, points, stations } from '../fixtures/good-files.ts';

const RAD = Math.PI / 180;

function read(text: string, closed = false): RoadTable {
  const files = memoryFiles({
    'stage.yaml': `stage: Test\nroad: road.csv\nclosed: ${closed}\n`,
    'road.csv': text,
  });
  return readStage('stage.yaml', files).road;
}

/** A column of a road at a station, linear between rows; at a step the rows after it count. */
function at(road: RoadTable, column: Float64Array, s: number): number {
  let i = 0;
  while (i < road.s.length - 2 && road.s[i + 1] <= s) i++;
  const span = road.s[i + 1] - road.s[i];
  return span === 0 ? column[i + 1] : column[i] + ((column[i + 1] - column[i]) * (s - road.s[i])) / span;
}

describe('stations', () => {
  test('columns in SI, with a step where a station is written twice', () => {
    const road = read(stations);
    expect([...road.s]).toEqual([0, 120, 120, 260, 450]);
    expect([...road.curvature]).toEqual([0, 0, 0.02, 0.02, 0]);
    expect([...road.grade]).toEqual([0.02, 0.04, 0.04, 0.05, 0.05]);
    expect([...road.crossfall]).toEqual([1, 1, 1, 2, 1].map((degrees) => degrees * RAD));
    expect([...road.surface]).toEqual([0, 0, 0, 1, 1]);
    expect(road.surfaceNames).toEqual(['gravel', 'asphalt']);
    expect(road.curvatureIn).toBe('surface');
    expect(road.verticalCurvature).toBeNull();
    expect([road.xy, road.z, road.width]).toEqual([null, null, null]);
  });

  test('stations count from the first row', () => {
    const road = read('station_m,curvature_1pm,surface\n-200,0,ice\n-50.5,0,ice\n1000,0,ice\n');
    expect([...road.s]).toEqual([0, 149.5, 1200]);
    expect(road.assumptions).toEqual([
      'The road is given at stations: linear between rows, distances along the surface, curvature as the lateral acceleration has it.',
      'The road table has no column grade_pct: the road is taken as level.',
      'The road table has no column crossfall_deg: the road is taken as level across.',
    ]);
  });

  test('positions and a vertical curvature are taken as given', () => {
    const road = read(
      'station_m,curvature_1pm,surface,vertical_curvature_1pm,x_m,y_m,z_m,width_m,note\n0,0,ice,0.001,5,6,7,4,"a, b"\n90,0,ice,0,95,6,7,4,\n',
    );
    expect([...road.verticalCurvature!]).toEqual([0.001, 0]);
    expect([...road.xy!.x]).toEqual([5, 95]);
    expect([...road.xy!.y]).toEqual([6, 6]);
    expect([...road.z!]).toEqual([7, 7]);
    expect([...road.width!]).toEqual([4, 4]);
  });

  test.each([
    ['CRLF and a byte order mark', `\ufeff${stations.replaceAll('\n', '\r\n')}`],
    ['CR alone', stations.replaceAll('\n', '\r')],
    [
      'comments, empty lines and rows of empty cells',
      stations.replaceAll('\n', '\n# a remark, "here"\n\n,,,,\n'),
    ],
    ['spaces round the cells', stations.replaceAll(',', ' , ')],
    ['quoted cells', stations.replaceAll('gravel', '"gravel"').replaceAll('120', '"120"')],
    ['no line end at the end', stations.trimEnd()],
    ['a header after a #', `# ${stations}`],
  ])('the same road from a file with %s', (_, text) => {
    expect(read(text)).toEqual(read(stations));
  });

  test('a hundred thousand rows are read in a second or so', () => {
    const rows = Array.from({ length: 1e5 }, (_, i) => `${i},${((i % 7) - 3) / 1000},2.5,1,gravel\n`);
    const road = read(`station_m,curvature_1pm,grade_pct,crossfall_deg,surface\n${rows.join('')}`);
    expect(road.s.length).toBe(1e5);
    expect(road.curvature[99_999]).toBe(((99_999 % 7) - 3) / 1000);
  });
});

describe('elements', () => {
  const road = read(elements);

  test('straight, transition, arc, transition, straight', () => {
    expect(road.curvatureIn).toBe('plan');
    expect(road.s.at(-1)).toBe(450);
    for (const [s, k] of [
      [75, 0],
      [165, 1 / 120],
      [200, 1 / 60],
      [219.9, 1 / 60],
      [235, 1 / 120],
      [300, 0],
    ]) {
      expect(at(road, road.curvature, s)).toBeCloseTo(k, 12);
    }
  });

  test('surface, crossfall and their steps', () => {
    for (const [s, phi] of [
      [100, 1],
      [179.9, 1],
      [180, 2],
      [219, 2],
      [220, 1],
      [449, 1],
    ]) {
      expect(at(road, road.crossfall, s)).toBeCloseTo(phi * RAD, 12);
    }
    const surfaceAt = (s: number) => road.surfaceNames[road.surface[road.s.findLastIndex((x) => x <= s)]];
    expect([10, 181, 240, 250, 449].map(surfaceAt)).toEqual([
      'gravel',
      'asphalt',
      'asphalt',
      'gravel',
      'gravel',
    ]);
  });

  test('a change of grade is rounded by a parabola of the default length or of what half the neighbours leave', () => {
    // 2 % until 220 m, 8 % for 30 m, then −3 %: 15 m of the short stretch for each of its two curves.
    for (const [s, g] of [
      [100, 0.02],
      [205, 0.02],
      [220, 0.05],
      [235, 0.08],
      [250, 0.025],
      [265, -0.03],
      [449, -0.03],
    ]) {
      expect(at(road, road.grade, s)).toBeCloseTo(g, 12);
    }
    expect(road.assumptions[1]).toBe(
      'Where the grade changes it is rounded by a parabolic vertical curve; 2 of 2 take the default length of 40 m, or less where the neighbours leave less.',
    );
  });

  test('a vertical curve of a given length, and one of the default length beside it', () => {
    const given = read(
      'length_m,radius_m,grade_pct,surface,vertical_curve_m\n100,,0,ice,\n50,,6,ice,80\n100,,1,ice,\n',
    );
    for (const [s, g] of [
      [60, 0],
      [100, 0.03],
      [140, 0.06],
      [150, 0.035],
      [160, 0.01],
    ]) {
      expect(at(given, given.grade, s)).toBeCloseTo(g, 12);
    }
  });

  test('rows of one grade count together when a vertical curve looks for room', () => {
    const bends = read(
      'length_m,radius_m,grade_pct,surface\n100,,0,ice\n10,50,5,ice\n10,-50,5,ice\n100,,5,ice\n',
    );
    for (const [s, g] of [
      [80, 0],
      [100, 0.025],
      [120, 0.05],
    ])
      expect(at(bends, bends.grade, s)).toBeCloseTo(g, 12);
  });

  test('the rise is that of the grades without rounding, save at the ends', () => {
    let rise = 0;
    for (let i = 1; i < road.s.length; i++) {
      rise += ((road.s[i] - road.s[i - 1]) * (road.grade[i] + road.grade[i - 1])) / 2;
    }
    expect(rise).toBeCloseTo(220 * 0.02 + 30 * 0.08 - 200 * 0.03, 9);
  });

  test('distance never falls and no station is written three times', () => {
    for (let i = 1; i < road.s.length; i++) expect(road.s[i]).toBeGreaterThanOrEqual(road.s[i - 1]);
    for (let i = 2; i < road.s.length; i++) expect(road.s[i]).toBeGreaterThan(road.s[i - 2]);
  });

  test('an arc to the right, inf for straight, and a transition between two arcs', () => {
    const mixed = read(
      'length_m,radius_m,end_radius_m,surface\n50,inf,,ice\n50,-40,,ice\n50,-40,80,ice\n50,,inf,ice\n',
    );
    for (const [s, k] of [
      [25, 0],
      [75, -1 / 40],
      [125, (-1 / 40 + 1 / 80) / 2],
      [175, 0],
    ]) {
      expect(at(mixed, mixed.curvature, s)).toBeCloseTo(k, 12);
    }
  });
});

describe('points', () => {
  test('a curve is laid through every point', () => {
    const road = read(points);
    expect(road.xy!.x[0]).toBe(0);
    expect(road.xy!.y.at(-1)).toBeCloseTo(20, 9);
    expect(road.surfaceNames).toEqual(['asphalt']);
    expect(road.assumptions).toContain('The road table has no column surface: asphalt throughout.');
  });

  test('widths to the left and right of the points add up', () => {
    const rows = [0, 20, 40, 60, 80].map((x) => `${x},5,210,${2 + x / 20},3.5\n`);
    const road = read(`x_m,y_m,z_m,width_left_m,width_right_m\n${rows.join('')}`);
    expect(road.s.at(-1)).toBeCloseTo(80, 9);
    for (const [i, s] of road.s.entries()) {
      expect(road.z![i]).toBeCloseTo(210, 9);
      expect(road.width![i]).toBeCloseTo(5.5 + s / 20, 9);
    }
  });

  test('a header after a #, columns renamed or left out, and a road joined to a lap', () => {
    const circle = Array.from({ length: 60 }, (_, i) => [
      100 * Math.cos((i * Math.PI) / 30),
      100 * Math.sin((i * Math.PI) / 30),
    ]);
    const text = `# x_m,north,w_right\n${circle.map(([x, y]) => `${x},${y},7.5`).join('\n')}\n`;
    const files = memoryFiles({
      'stage.yaml': 'stage: Ring\nroad: ring.csv\nclosed: true\ncolumns: {north: y_m, w_right: ignore}\n',
      'ring.csv': text,
    });
    const { road, closed } = readStage('stage.yaml', files);
    expect(closed).toBe(true);
    expect(Math.abs(road.s.at(-1)! / (200 * Math.PI) - 1)).toBeLessThan(1e-5);
    for (const k of road.curvature) expect(Math.abs(k * 100 - 1)).toBeLessThan(1e-3);
  });
});

test('a renamed column that hides another is refused', () => {
  const faults = new Faults();
  const names = new Map([['old', 'surface']]);
  const source = new Source('road.csv', 'station_m,curvature_1pm,surface,old\n0,0,ice,ice\n9,0,ice,ice\n');
  const place = () => source.place(0, 1);
  expect(roadFrom(source, { closedAt: null, columns: { names, place } }, faults)).toBeNull();
  expect(faults.all().map((d) => d.message)).toEqual(['there are two columns surface']);
});
