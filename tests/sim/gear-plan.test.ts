import { describe, expect, it } from 'vitest';
import { type CarSpec, readCar, readStage, type Stage } from '../../src/index.ts';
import { brakeSweep } from '../../src/sim/brake-sweep.ts';
import { driveSweep, Stretch } from '../../src/sim/drive-sweep.ts';
import { planGears } from '../../src/sim/gear-plan.ts';
import { limitSweep, speedCap } from '../../src/sim/limit-sweep.ts';
import { Workspace } from '../../src/sim/workspace.ts';
import { type Road, sampleRoad } from '../../src/track/road.ts';
import { Car } from '../../src/vehicle/car.ts';

/** A change of gear: where, and whether up or down. */
interface Change {
  readonly at: number; // [m]
  readonly up: boolean;
}

/** A stretch as planned, and a way to drive it with other changes. */
interface Planned {
  readonly from: number; // [m]
  readonly to: number;
  readonly changes: readonly Change[];
  /** Seconds that these changes gain over the planned ones; a want of speed at the end is priced as carried for 10 m. */
  gain(changes: readonly Change[]): number;
}

function planned(spec: CarSpec, stage: Stage): Planned[] {
  const road = sampleRoad(stage.road, 1, stage.splits);
  const surfaces = road.surfaceNames.map((name) => {
    const surface = stage.surfaces.get(name);
    if (!surface) throw new Error(name);
    return { name, grip: surface.grip, rollingResistance: surface.rollingResistance };
  });
  const car = new Car(spec, surfaces, stage.airDensity);
  const ws = new Workspace();
  ws.reserve(road.s.length);
  limitSweep(ws, road, car, speedCap(road, car, stage.startSpeed ** 2));
  brakeSweep(ws, road, car);
  const stretch = new Stretch();
  const list: Planned[] = [];
  while (stretch.to < road.s.length - 1) {
    stretch.from = stretch.to;
    stretch.v2 = stretch.from === 0 ? stage.startSpeed ** 2 : ws.v2[stretch.from];
    ws.parts.count = 0;
    ws.changes.count = 0;
    planGears(ws, road, car, stretch, null);
    list.push(inspect(ws, road, car, stretch));
  }
  return list;
}

function inspect(ws: Workspace, road: Road, car: Car, stretch: Stretch): Planned {
  const { from, to, v2, gear } = stretch;
  let g = gear;
  const changes: Change[] = [];
  for (let c = 0; c < ws.changes.count; c++) {
    changes.push({ at: ws.changes.station[c], up: ws.changes.gear[c] > g });
    g = ws.changes.gear[c];
  }
  const time = ws.dt.subarray(from, to).reduce((sum, x) => sum + x, 0);
  const end = ws.v2[to];
  const other = new Workspace();
  other.reserve(road.s.length);
  other.brakeV2.set(ws.brakeV2);
  other.brakeHeld.set(ws.brakeHeld);
  return {
    from: road.s[from],
    to: road.s[to],
    changes,
    gain(list) {
      const way = new Stretch();
      Object.assign(way, { from, v2, gear, end: to });
      other.plan.count = 0;
      other.changes.count = 0;
      other.parts.count = 0;
      let now = gear;
      for (const { at, up } of list) {
        now += up ? 1 : -1;
        if (now < 0 || now >= car.gears) return Number.NEGATIVE_INFINITY;
        other.plan.push(at, now);
      }
      driveSweep(other, road, car, way, true);
      if (way.stopped >= 0) return Number.NEGATIVE_INFINITY;
      const took = other.dt.subarray(from, to).reduce((sum, x) => sum + x, 0);
      return time - took - ((end - other.v2[to]) * 10) / (2 * end ** 1.5);
    },
  };
}

/** The most that leaving out, moving or adding one upshift gains [s]. */
function mostGained({ from, to, changes, gain }: Planned): number {
  let most = 0;
  const attempt = (list: readonly Change[]) => {
    most = Math.max(most, gain([...list].sort((a, b) => a.at - b.at)));
  };
  changes.forEach((change, c) => {
    if (!change.up) return;
    attempt(changes.filter((_, other) => other !== c));
    for (const by of [0.25, 1, 2, 4, 10, 25]) {
      for (const at of [change.at - by, change.at + by]) {
        if (at >= from && at < to) attempt(changes.map((x, other) => (other === c ? { at, up: true } : x)));
      }
    }
  });
  for (let at = from; at < to; at += 5) attempt([...changes, { at, up: true }]);
  return most;
}

describe('the gear plan of the demo car', () => {
  const folder = 'stages/tarvenmoor';
  const car = readCar(`${folder}/car.yaml`);
  const gains = ['aldervane-wood', 'tarven-moor', 'skorrick-climb'].map((name) => ({
    name,
    gains: planned(car, readStage(`${folder}/${name}.yaml`)).map(mostGained),
  }));

  it.each(gains)('leaves 0.5 ms or less to one upshift, on 98 stretches of 100 of $name', ({ gains }) => {
    expect(gains.length).toBeGreaterThan(30);
    expect(gains.filter((gain) => gain > 5e-4).length).toBeLessThanOrEqual(0.03 * gains.length);
    expect(Math.max(...gains)).toBeLessThan(5e-3);
  });

  // Fails: in some stretches a shift may still be moved or added with a gain, by 0.1 to 4 ms.
  it.fails('leaves 0.1 ms or less to one upshift in every stretch', () => {
    expect(Math.max(...gains.flatMap(({ gains }) => gains))).toBeLessThanOrEqual(1e-4);
  });
});
