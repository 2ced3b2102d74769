import { describe, expect, it, test } from 'vitest';
import { timeStage } from '../../src/sim/time-stage.ts';
import { carWith, gripOf } from '../helpers/build.ts';
import { columnAt, openDrive, piece, readXodr, road } from '../helpers/open-drive.ts';

const ORIGIN = [0, 0, 0] as const;
const last = (column: Float64Array) => column[column.length - 1];
const endOf = ({ road: { xy } }: ReturnType<typeof readXodr>) => [last(xy!.x), last(xy!.y)];

describe('plan geometry', () => {
  it('a line and an arc', () => {
    // A quarter circle to the left of 40 m from (30, 0) on the x axis ends at (70, 40).
    const quarter = (Math.PI / 2) * 40;
    const stage = readXodr(
      openDrive(
        road('1', [
          piece(0, ORIGIN, 30, '<line/>'),
          piece(30, [30, 0, 0], quarter, '<arc curvature="0.025"/>'),
        ]),
      ),
    );
    expect(last(stage.road.s)).toBeCloseTo(30 + quarter, 9);
    const [x, y] = endOf(stage);
    expect(x).toBeCloseTo(70, 9);
    expect(y).toBeCloseTo(40, 9);
    for (const [at, k] of [
      [10, 0],
      [29.9, 0],
      [30, 0.025],
      [80, 0.025],
    ])
      expect(columnAt(stage.road, stage.road.curvature, at)).toBeCloseTo(k, 12);
    // The curvature steps: two rows at one station.
    expect([...stage.road.s].filter((s) => s === 30)).toHaveLength(2);
  });

  it('a spiral ends where the Fresnel integrals say', () => {
    // Abramowitz & Stegun, table 7.7: C(1) = 0.7798934004, S(1) = 0.4382591474 (from memory). With curvature from 0 to
    // √π/A over L = A√π, x = L C(1) and y = L S(1), and the heading has turned by π/2.
    const A = 50;
    const L = A * Math.sqrt(Math.PI);
    const spiral = (sign: number) =>
      readXodr(
        openDrive(
          road('1', [
            piece(0, ORIGIN, L, `<spiral curvStart="0" curvEnd="${(sign * Math.sqrt(Math.PI)) / A}"/>`),
          ]),
        ),
      );
    for (const sign of [1, -1]) {
      const stage = spiral(sign);
      const [x, y] = endOf(stage);
      expect(x).toBeCloseTo(L * 0.7798934004, 7);
      expect(y).toBeCloseTo(sign * L * 0.4382591474, 7);
      for (const share of [0.25, 0.5, 0.9])
        expect(columnAt(stage.road, stage.road.curvature, share * L)).toBeCloseTo(
          (sign * share * Math.sqrt(Math.PI)) / A,
          12,
        );
    }
  });

  it('a spiral driven from its tight end is the same curve backwards', () => {
    const [L, k] = [60, 1 / 45];
    const forward = readXodr(
      openDrive(road('1', [piece(0, ORIGIN, L, `<spiral curvStart="0" curvEnd="${k}"/>`)])),
    );
    const [x, y] = endOf(forward);
    const heading = (k * L) / 2 + Math.PI;
    const back = readXodr(
      openDrive(road('1', [piece(0, [x, y, heading], L, `<spiral curvStart="${-k}" curvEnd="0"/>`)])),
    );
    const [x0, y0] = endOf(back);
    expect(x0).toBeCloseTo(0, 8);
    expect(y0).toBeCloseTo(0, 8);
  });

  it('a poly3: length, end and curvature of a parabola', () => {
    // v = c u²: arc length u √(1 + 4c²u²)/2 + asinh(2cu)/(4c), curvature 2c/(1 + 4c²u²)^1.5.
    const [c, u] = [0.005, 80];
    const w = 2 * c * u;
    const L = (u * Math.sqrt(1 + w * w)) / 2 + Math.asinh(w) / (4 * c);
    const stage = readXodr(
      openDrive(road('1', [piece(0, [10, 20, Math.PI / 2], L, `<poly3 a="0" b="0" c="${c}" d="0"/>`)])),
    );
    expect(last(stage.road.s)).toBeCloseTo(L, 8);
    const [x, y] = endOf(stage);
    expect(x).toBeCloseTo(10 - c * u * u, 8); // heading north: v points west
    expect(y).toBeCloseTo(20 + u, 8);
    expect(stage.road.curvature[0]).toBeCloseTo(2 * c, 12);
    expect(last(stage.road.curvature)).toBeCloseTo((2 * c) / (1 + w * w) ** 1.5, 9);
  });

  it('a paramPoly3 over 0 to 1 and over its length: the same parabola', () => {
    const [c, u] = [0.005, 80];
    const w = 2 * c * u;
    const L = (u * Math.sqrt(1 + w * w)) / 2 + Math.asinh(w) / (4 * c);
    const cubic = (bU: number, cV: number, range: string) =>
      `<paramPoly3 pRange="${range}" aU="0" bU="${bU}" cU="0" dU="0" aV="0" bV="0" cV="${cV}" dV="0"/>`;
    for (const shape of [cubic(u, c * u * u, 'normalized'), cubic(u / L, c * (u / L) ** 2, 'arcLength')]) {
      const stage = readXodr(openDrive(road('1', [piece(0, ORIGIN, L, shape)])));
      expect(last(stage.road.s)).toBeCloseTo(L, 8);
      const [x, y] = endOf(stage);
      expect(x).toBeCloseTo(u, 8);
      expect(y).toBeCloseTo(c * u * u, 8);
      expect(last(stage.road.curvature)).toBeCloseTo((2 * c) / (1 + w * w) ** 1.5, 9);
    }
  });
});

const straight = (length: number) => [piece(0, ORIGIN, length, '<line/>')];

describe('profiles', () => {
  it('a steady grade: distance runs along the surface', () => {
    const profile = '<elevationProfile><elevation s="0" a="100" b="0.1" c="0" d="0"/></elevationProfile>';
    const { road: table } = readXodr(openDrive(road('1', straight(200), profile)));
    expect(last(table.s)).toBeCloseTo(200 * Math.sqrt(1.01), 9);
    expect(last(table.z!)).toBeCloseTo(120, 9);
    for (const grade of table.grade) expect(grade).toBeCloseTo(0.1, 12);
  });

  it('a crest of a cubic, and a second record that goes on from the first', () => {
    // z = 10 + 0.05 d − 0.0005 d² to 100 m, then level grade −0.05 on: grade 0 at 50 m.
    const profile =
      '<elevationProfile><elevation s="0" a="10" b="0.05" c="-0.0005" d="0"/><elevation s="100" a="10" b="-0.05" c="0" d="0"/></elevationProfile>';
    const { road: table } = readXodr(openDrive(road('1', straight(150), profile)));
    const top = table.grade.findIndex((grade) => grade <= 1e-12);
    expect(table.z![top]).toBeCloseTo(11.25, 6);
    expect(last(table.z!)).toBeCloseTo(7.5, 9);
    // Arc length of the parabola: (1/(2a)) [w √(1+w²)/2 + asinh(w)/2] from w = 0.05 down to −0.05, a = 0.0005.
    const w = 0.05;
    const arc = (w * Math.sqrt(1 + w * w) + Math.asinh(w)) / (2 * 0.0005);
    expect(last(table.s)).toBeCloseTo(arc + 50 * Math.sqrt(1 + w * w), 7);
  });

  it('superelevation is positive where the road falls to the right, which helps right-hand bends', () => {
    // From memory of the standard: "positive for road surfaces falling to the right side".
    const bank = (a: number) =>
      readXodr(
        openDrive(
          road(
            '1',
            [piece(0, ORIGIN, 200, '<arc curvature="-0.01"/>')],
            `<lateralProfile><superelevation s="0" a="${a}" b="0" c="0" d="0"/></lateralProfile>`,
          ),
        ),
      );
    expect(bank(0.05).road.crossfall[3]).toBe(0.05);
    const car = carWith({ tyre: { radius: null, grip: gripOf(0.6) } });
    const time = (a: number) => timeStage(car, { ...bank(a), startSpeed: 15 }).time!;
    expect(time(0.05)).toBeLessThan(time(0));
    expect(time(0)).toBeLessThan(time(-0.05));
  });

  it('a superelevation that changes evenly, and one that steps', () => {
    const profile =
      '<lateralProfile><superelevation s="0" a="0" b="0.0005" c="0" d="0"/><superelevation s="60" a="-0.02" b="0" c="0" d="0"/></lateralProfile>';
    const { road: table } = readXodr(openDrive(road('1', straight(100), profile)));
    for (const [at, fall] of [
      [20, 0.01],
      [59.5, 0.02975],
      [60, -0.02],
      [90, -0.02],
    ])
      expect(columnAt(table, table.crossfall, at)).toBeCloseTo(fall, 12);
  });
});

describe('lane material', () => {
  const lanes = (...materials: readonly string[]) =>
    `<lanes><laneSection s="0"><left><lane id="1" type="driving">${materials[0]}</lane></left><right><lane id="-1" type="driving">${materials[1] ?? ''}</lane><lane id="-2" type="sidewalk"><material sOffset="0" friction="0.1"/></lane></right></laneSection></lanes>`;

  it('names the surface and a factor on the grip, the least of the lanes that are driven on', () => {
    const stage = readXodr(
      openDrive(
        road(
          '1',
          straight(100),
          lanes(
            '<material sOffset="0" friction="0.9" surface="gravel"/><material sOffset="40" friction="1" surface="concrete"/>',
            '<material sOffset="0" friction="0.8" surface="gravel"/>',
          ),
        ),
      ),
    );
    const nameAt = (at: number) => {
      const { s, surface, surfaceNames } = stage.road;
      return surfaceNames[surface[s.findLastIndex((x) => x <= at)]];
    };
    expect([0, 39.9, 40, 99].map(nameAt)).toEqual([
      'gravel (grip 0.8)',
      'gravel (grip 0.8)',
      'concrete',
      'concrete',
    ]);
    expect(stage.surfaces.get('gravel (grip 0.8)')).toMatchObject({ grip: 0.8, tyreSurface: 'gravel' });
  });

  it('none: asphalt, unless ranges say otherwise, and then they must say it everywhere', () => {
    const bare = openDrive(road('1', straight(100)));
    expect(readXodr(bare).road.surfaceNames).toEqual(['asphalt']);
    expect(readXodr(bare, 'ranges: [{surface: snow, from: 0 m}]\n').road.surfaceNames).toEqual(['snow']);
    expect(() => readXodr(bare, 'ranges: [{surface: snow, from: 50 m}]\n')).toThrow(
      'no range names the surface',
    );
  });

  it('a range with another surface brings nothing of the one below', () => {
    const text = openDrive(road('1', straight(100), lanes('<material sOffset="0" friction="0.8"/>')));
    const { road: table } = readXodr(
      text,
      'ranges: [{from: 50 m, to: 60 m, surface: mud}, {from: 60 m, to: 70 m, grip: 0.5}]\n',
    );
    expect(table.surfaceNames).toEqual(['asphalt (grip 0.8)', 'mud', 'asphalt (grip 0.5)']);
  });
});

describe('several roads', () => {
  const profile = (a: number, b: number) =>
    `<elevationProfile><elevation s="0" a="${a}" b="${b}" c="0" d="0"/></elevationProfile><lateralProfile><superelevation s="0" a="0.03" b="0" c="0" d="0"/></lateralProfile>`;
  const link = (at: 'predecessor' | 'successor', id: string, contact: string) =>
    `<${at} elementType="road" elementId="${id}" contactPoint="${contact}"/>`;
  const quarter = (Math.PI / 2) * 40;
  const one = (links = '') => road('1', straight(30), profile(5, 0.02), `<link>${links}</link>\n`);
  const bend = (links = '') =>
    road(
      '2',
      [piece(0, [30, 0, 0], quarter, '<arc curvature="0.025"/>')],
      profile(5.6, 0.02),
      `<link>${links}</link>\n`,
    );
  // The same bend, drawn from its other end.
  const bendBack = (links = '') =>
    road(
      '2',
      [piece(0, [70, 40, -Math.PI / 2], quarter, '<arc curvature="-0.025"/>')],
      `<elevationProfile><elevation s="0" a="${5.6 + 0.02 * quarter}" b="-0.02" c="0" d="0"/></elevationProfile><lateralProfile><superelevation s="0" a="-0.03" b="0" c="0" d="0"/></lateralProfile>`,
      `<link>${links}</link>\n`,
    );

  it('are followed by their links, in any order of the file', () => {
    const linked = [bend(link('predecessor', '1', 'end')), one(link('successor', '2', 'start'))];
    const stage = readXodr(openDrive(...linked));
    expect(endOf(stage)[0]).toBeCloseTo(70, 9);
    expect(last(stage.road.s)).toBeCloseTo((30 + quarter) * Math.hypot(1, 0.02), 9);
    expect(stage.assumptions.concat(stage.road.assumptions).join(' ')).toContain(
      'of the roads 1, 2, in rows',
    );
  });

  it('may lie against the way of the stage: the same road all the same', () => {
    const forward = readXodr(
      openDrive(one(link('successor', '2', 'start')), bend(link('predecessor', '1', 'end'))),
    );
    const byLink = readXodr(
      openDrive(one(link('successor', '2', 'end')), bendBack(link('successor', '1', 'end'))),
    );
    const named = readXodr(openDrive(bendBack(), one()), 'roads: [1, 2]\n');
    for (const { road: other } of [byLink, named]) {
      expect(other.s.length).toBe(forward.road.s.length);
      for (const column of ['s', 'curvature', 'grade', 'crossfall', 'z'] as const)
        for (const [i, value] of forward.road[column]!.entries())
          expect(other[column]![i]).toBeCloseTo(value, 9);
    }
  });

  it('named the other way round make the stage backwards', () => {
    const back = readXodr(openDrive(one(), bend()), 'roads: [2, 1]\n');
    expect(endOf(back).map((x) => Math.abs(x) < 1e-9)).toEqual([true, true]);
    expect(columnAt(back.road, back.road.curvature, 5)).toBeCloseTo(-0.025, 12);
    expect(back.road.grade[4]).toBeCloseTo(-0.02, 12);
    expect(back.road.crossfall[4]).toBeCloseTo(-0.03, 12);
  });
});

test('ten thousand pieces with as many records are read in a second or so, 100 km of spiral too', () => {
  const pieces = Array.from({ length: 10_000 }, (_, i) => piece(i, [i, 0, 0], 1, '<line/>'));
  const records = Array.from({ length: 10_000 }, (_, i) => `<elevation s="${i}" a="0" b="0" c="0" d="0"/>`);
  const text = openDrive(road('1', pieces, `<elevationProfile>${records.join('')}</elevationProfile>`));
  expect(readXodr(text).road.s.length).toBe(10_001);
  const spiral = '<spiral curvStart="0.0001" curvEnd="0.0004"/>';
  expect(readXodr(openDrive(road('1', [piece(0, ORIGIN, 1e5, spiral)]))).road.s.length).toBe(100_001);
}, 20_000);
