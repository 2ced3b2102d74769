/**
 * Rules of the trade, each as a direction on a stage that shows it. Common practice, no source.
 */
import { describe, expect, it } from 'vitest';
import { timeStage } from '../../src/sim/time-stage.ts';
import type { Stage } from '../../src/track/stage.ts';
import type { CarSpec } from '../../src/vehicle/car-spec.ts';
import { carWith, type Row, roadTable, stageOn } from '../helpers/build.ts';
import { upshifts } from '../helpers/check.ts';

const RPM = (2 * Math.PI) / 60;
const RADIUS = 0.31; // [m]
const RATIOS = [3.08, 2.19, 1.68, 1.33, 1.08, 0.9];

/** A rally hatch: 210 hp, six gears, four-wheel drive. */
function hatch(change: Partial<CarSpec> = {}, finalDrive = 4.3, ratios = RATIOS): CarSpec {
  return carWith({
    mass: 1390,
    massFactor: 1.05,
    tyre: { radius: RADIUS, grip: grips({ asphalt: 1, gravel: 0.6 }) },
    dragArea: 0.74,
    downforceArea: 0.3,
    engine: {
      kind: 'torque',
      speed: Float64Array.of(1500, 3000, 4500, 6000, 7000, 7500).map((x) => x * RPM),
      value: Float64Array.of(140, 210, 250, 245, 215, 190),
      idle: 1500 * RPM,
      launch: 4000 * RPM,
      limit: 7400 * RPM,
    },
    driveline: {
      driven: 'all',
      drivenLoad: 1,
      gearing: ratios.map((ratio) => (ratio * finalDrive) / RADIUS),
      ratios: { gears: ratios, finalDrive },
      efficiency: ratios.map(() => 0.88),
      shift: 0.12,
    },
    brakeForce: 17_000,
    ...change,
  });
}

const grips = (mu: Record<string, number>) =>
  new Map(Object.entries(mu).map(([name, across]) => [name, { across, along: across }]));

const finalDriveOf = (ratio: number) => hatch({}, ratio);

function stage(rows: readonly Row[], change: Partial<Stage> = {}): Stage {
  const table = roadTable(rows);
  return stageOn(table, {
    surfaces: new Map(
      table.surfaceNames.map((name) => [name, { grip: 1, rollingResistance: 0.015, roughness: null }]),
    ),
    ...change,
  });
}

/** Straights and bends of one radius [m] in turn, to the left and to the right. */
function bends(count: number, straight: number, radius: number, arc: number, rest: Partial<Row> = {}): Row[] {
  const rows: Row[] = [{ s: 0, ...rest }];
  let s = 0;
  for (let i = 0; i < count; i++) {
    const k = (i % 2 === 0 ? 1 : -1) / radius;
    rows.push({ s: s + straight, ...rest }, { s: s + straight + 10, k, ...rest });
    rows.push({ s: s + straight + 10 + arc, k, ...rest });
    s += straight + 20 + arc;
    rows.push({ s, ...rest });
  }
  return rows;
}

const straightRoad = (length: number, rest: Partial<Row> = {}): Row[] => [
  { s: 0, ...rest },
  { s: length, ...rest },
];

const fastStage = stage(bends(4, 900, 400, 150));
const tightStage = stage(bends(30, 70, 14, 15));

const time = (spec: CarSpec, on: Stage): number => timeStage(spec, on).time!;
const topSpeed = (spec: CarSpec, on: Stage) =>
  Math.max(...timeStage(spec, on).sectors.map((x) => x.maxSpeed));

describe('gearing', () => {
  const short = finalDriveOf(4.9);
  const tall = finalDriveOf(3.9);

  it('shorter gears pull harder', () => {
    // One gear each, at speeds that both can reach in it.
    const on = stage(straightRoad(15), { startSpeed: 12 });
    const gained = (finalDrive: number) => timeStage(hatch({}, finalDrive, [2.19]), on).run.v2.at(-1)!;
    expect(gained(4.9)).toBeGreaterThan(gained(3.9));
  });

  it('shorter gears need more changes', () => {
    expect(upshifts(timeStage(short, tightStage))).toBeGreaterThan(upshifts(timeStage(tall, tightStage)));
  });

  it('shorter gears top out earlier', () => {
    const long = stage(straightRoad(4000, { grade: -0.03 }));
    expect(topSpeed(short, long)).toBeLessThan(topSpeed(tall, long) - 1);
  });

  it('a taller final drive wins on a fast stage and loses on a tight one', () => {
    const fast = stage(straightRoad(5000, { grade: -0.03 }));
    expect(time(tall, fast)).toBeLessThan(time(short, fast));
    expect(time(tall, tightStage)).toBeGreaterThan(time(short, tightStage));
  });
});

describe('mass', () => {
  const light = (spec: CarSpec): CarSpec => ({ ...spec, mass: spec.mass - 60 });
  const gain = (spec: CarSpec, on: Stage) => time(spec, on) - time(light(spec), on);

  it('less of it helps where drive holds the car, most of all uphill', () => {
    const level = gain(hatch(), stage(straightRoad(2000)));
    const uphill = gain(hatch(), stage(straightRoad(2000, { grade: 0.1 })));
    expect(level).toBeGreaterThan(0.1);
    expect(uphill).toBeGreaterThan(1.2 * level);
  });

  it('less of it helps where the brakes hold the car', () => {
    // Endless drive, so that only the brakes of 8 kN hold it.
    const spec = carWith({ mass: 1390, brakeForce: 8000, tyre: hatch().tyre });
    const on = stage([...straightRoad(400), { s: 400, k: 0.05 }, { s: 420, k: 0.05 }], { startSpeed: 30 });
    expect(gain(spec, on)).toBeGreaterThan(0.05);
  });

  it('in bends it counts only by way of downforce', () => {
    const spec = (downforceArea: number) =>
      carWith({
        mass: 1390,
        dragArea: 0,
        downforceArea,
        tyre: { radius: null, grip: grips({ asphalt: 1 }) },
      });
    // One long bend driven at its limit from end to end.
    const table = roadTable([
      { s: 0, k: 1 / 80 },
      { s: 500, k: 1 / 80 },
    ]);
    const at = (mass: number, area: number) =>
      time({ ...spec(area), mass }, stageOn(table, { startSpeed: 20 }));
    expect(Math.abs(at(1330, 0) - at(1390, 0))).toBeLessThan(1e-9);
    expect(at(1330, 3)).toBeLessThan(at(1390, 3) - 0.01);
  });

  it('less of it can cost time on a steep fast descent', () => {
    // Gravity pulls every mass alike; drag holds the lighter car back more.
    const on = stage(straightRoad(4000, { grade: -0.2 }), { startSpeed: 30 });
    const weak = hatch({ engine: { kind: 'constant-power', power: 1000 }, driveline: noGears });
    expect(gain(weak, on)).toBeLessThan(-0.1);
  });
});

const noGears: CarSpec['driveline'] = {
  driven: 'all',
  drivenLoad: 1,
  gearing: [],
  ratios: null,
  efficiency: [0.88],
  shift: 0,
};

describe('air', () => {
  it('downforce helps fast bends and, with the drag it brings, costs top speed', () => {
    const wing = hatch({ dragArea: 0.74 + 0.25, downforceArea: 0.3 + 1.2 });
    const sweeps = stage(bends(8, 40, 120, 120), { startSpeed: 20 });
    const long = stage(straightRoad(4000));
    expect(time(wing, sweeps)).toBeLessThan(time(hatch(), sweeps));
    expect(topSpeed(wing, long)).toBeLessThan(topSpeed(hatch(), long));
  });

  it('downforce helps slow bends less than fast ones', () => {
    const wing = hatch({ downforceArea: 1.5 });
    const share = (on: Stage) => (time(hatch(), on) - time(wing, on)) / time(hatch(), on);
    expect(share(tightStage)).toBeLessThan(share(stage(bends(8, 40, 120, 120))) / 3);
  });

  it('drag costs acceleration and top speed', () => {
    const blunt = hatch({ dragArea: 1 });
    const long = stage(straightRoad(4000));
    expect(topSpeed(blunt, long)).toBeLessThan(topSpeed(hatch(), long));
    const speedAt800 = (spec: CarSpec) => timeStage(spec, stage(straightRoad(800))).run.v2.at(-1)!;
    expect(speedAt800(blunt)).toBeLessThan(speedAt800(hatch()));
    expect(time(blunt, fastStage)).toBeGreaterThan(time(hatch(), fastStage));
  });
});

describe('tyres', () => {
  const loose = hatch({ tyre: { radius: RADIUS, grip: grips({ asphalt: 0.85, gravel: 0.68 }) } });
  const sealed = hatch({ tyre: { radius: RADIUS, grip: grips({ asphalt: 1.05, gravel: 0.5 }) } });
  /** 40 bends, the first `share` of them on gravel. */
  const mixed = (share: number) => {
    const rows = bends(40, 100, 30, 30);
    const end = rows[rows.length - 1].s;
    return stage(rows.map((row) => ({ ...row, surface: row.s < share * end ? 'gravel' : 'asphalt' })));
  };

  it('one made for loose ground wins on gravel and loses on asphalt', () => {
    expect(time(loose, mixed(1))).toBeLessThan(time(sealed, mixed(1)));
    expect(time(loose, mixed(0))).toBeGreaterThan(time(sealed, mixed(0)));
  });

  it('a mixed stage decides by its mix', () => {
    const lead = [0, 0.25, 0.5, 0.75, 1].map(
      (share) => time(sealed, mixed(share)) - time(loose, mixed(share)),
    );
    for (let i = 1; i < lead.length; i++) expect(lead[i]).toBeGreaterThan(lead[i - 1]);
    expect(lead[0]).toBeLessThan(0);
    expect(lead[lead.length - 1]).toBeGreaterThan(0);
  });
});
