// 16 differing cars over one car: all must stay in the machine code made for the first.
import { solve } from '../src/sim/solve.ts';
import { Workspace } from '../src/sim/workspace.ts';
import { check, line, quickest } from './measure.ts';
import { carOn, gearedCar, sampleRoad, windingRoad } from './road.ts';

const table = windingRoad(5);
const road = sampleRoad(table, 1, []);
const ws = new Workspace();
const start = { v2: 4, gear: null };
const specs = Array.from({ length: 16 }, (_, i) =>
  gearedCar({ mass: 1250 + 20 * i, finalDrive: 4 + 0.04 * i }),
);
const cars = specs.map((spec) => carOn(table, spec));
const time = () => cars.map((car) => solve(ws, road, car, start).time);
// Truth: a car's time does not depend on the cars solved before it.
const first = time();
cars.reverse();
const second = time().reverse();
cars.reverse();
for (let i = 0; i < 16; i++) check(`time of car ${i} in another order [s]`, second[i], first[i], 0);

// Each car is timed alone as well: the mean of these is what one car costs, whatever gears it happens to need.
const one = new Workspace();
const alone = cars.map(
  (car) =>
    quickest(
      {
        car: () => {
          for (let r = 0; r < 4; r++) solve(one, road, car, start);
        },
      },
      25,
    ).car / 4,
);
const among = quickest({ all: time }, 60).all / 16;
line('5 km at 1 m, six gears, one car at a time', alone.reduce((sum, t) => sum + t, 0) / 16, 'ms');
line('  16 differing cars in turn over that', (among * 16) / alone.reduce((sum, t) => sum + t, 0), '×', 1.1);
