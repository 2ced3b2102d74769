// Cost a station from 1 to 1000 km.
import { solve } from '../src/sim/solve.ts';
import { Workspace } from '../src/sim/workspace.ts';
import { check, line, quickest } from './measure.ts';
import { carOn, gearedCar, plainCar, sampleRoad, windingRoad } from './road.ts';

const ws = new Workspace();
const start = { v2: 4, gear: null };
const warm = windingRoad(20);
const warmRoad = sampleRoad(warm, 1, []);
const cars = { plain: carOn(warm, plainCar), geared: carOn(warm, gearedCar()) };
quickest(
  { a: () => solve(ws, warmRoad, cars.plain, start), b: () => solve(ws, warmRoad, cars.geared, start) },
  150,
);

const cost: number[] = [];
for (const km of [1, 10, 100, 1000]) {
  const table = windingRoad(km);
  const road = sampleRoad(table, 1, []);
  const plain = carOn(table, plainCar);
  const geared = carOn(table, gearedCar());
  check('length [m]', road.s[road.s.length - 1], km * 1000, 1e-9);
  const solved = solve(ws, road, plain, start);
  let time = 0;
  for (let i = 0; i + 1 < road.s.length; i++) time += ws.dt[i];
  check('sum of the cells [s]', time, solved.time, 1e-9 * time);
  const rounds = km === 1 ? 400 : km === 10 ? 100 : km === 100 ? 60 : 15;
  const least = quickest(
    { plain: () => solve(ws, road, plain, start), geared: () => solve(ws, road, geared, start) },
    rounds,
  );
  cost.push((least.plain * 1e6) / road.s.length);
  line(`${km} km at 1 m, point mass: a station`, (least.plain * 1e6) / road.s.length, 'ns');
  line(`${km} km at 1 m, six gears: a station`, (least.geared * 1e6) / road.s.length, 'ns');
}
line('a station of 1000 km over one of 10 km, point mass', cost[3] / cost[1], '×', 1.3);
