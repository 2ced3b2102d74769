// A solve of 20 km at 1 m with all its columns, over a brake pass of two lines on the same stations.
import { solve } from '../src/sim/solve.ts';
import { timeStage } from '../src/sim/time-stage.ts';
import { Workspace } from '../src/sim/workspace.ts';
import { carWith, roadTable, stageOn } from '../tests/helpers/build.ts';
import { check, line, quickest } from './measure.ts';
import { carOn, gearedCar, plainCar, sampleRoad, windingRoad } from './road.ts';

const ws = new Workspace();

// Closed form: constant power from a speed, without resistance: v³ = u³ + 3 P s / m.
const flat = roadTable([{ s: 0 }, { s: 20_000 }]);
solve(
  ws,
  sampleRoad(flat, 1, []),
  carOn(flat, carWith({ engine: { kind: 'constant-power', power: 1e4 } }), 0),
  {
    v2: 400,
    gear: null,
  },
);
check('speed after 20 km of constant power [m/s]', Math.sqrt(ws.v2[20_000]), Math.cbrt(8000 + 6e5), 1e-3);

const table = windingRoad(20);
const road = sampleRoad(table, 1, []);
const nodes = road.s.length;
const plain = carOn(table, plainCar);
const geared = carOn(table, gearedCar());
const start = { v2: 4, gear: null };
const rolling = () => solve(ws, road, plain, start).time;

// Truths: the times of the cells add up, and a grid of half the step gives the same time.
const time = rolling();
let sum = 0;
for (let i = 0; i + 1 < nodes; i++)
  sum += (2 * (road.s[i + 1] - road.s[i])) / (Math.sqrt(ws.v2[i]) + Math.sqrt(ws.v2[i + 1])) || 0;
check('time from the speeds [s]', sum, time, 1e-4 * time); // cells done in parts are not at one acceleration
const finer = sampleRoad(table, 0.5, []);
check('time on half the step [s]', solve(ws, finer, plain, start).time, time, 1e-4 * time);

const { s } = road;
const limit = new Float64Array(nodes);
const v2 = new Float64Array(nodes);
const decel = new Float64Array(nodes).fill(8);
rolling();
limit.set(ws.limitV2.subarray(0, nodes));
const brakePass = () => {
  v2.set(limit);
  for (let i = nodes - 2; i >= 0; i--) v2[i] = Math.min(v2[i], v2[i + 1] + 2 * decel[i] * (s[i + 1] - s[i]));
};
brakePass();
for (let i = 0; i + 1 < nodes; i++) {
  if (v2[i] > limit[i] || v2[i] - v2[i + 1] > 16 * (s[i + 1] - s[i]) + 1e-6)
    throw new Error(`brake pass, node ${i}`);
}

const stage = stageOn(table, { startSpeed: 2 });
const least = quickest(
  {
    brakePass,
    plain: rolling,
    forecast: () => timeStage(plainCar, stage),
    geared: () => solve(ws, road, geared, start),
  },
  400,
);
line('20 km at 1 m, point mass', least.plain, 'ms');
line('  over a brake pass of two lines', least.plain / least.brakePass, '×', 25);
line('  a station', (least.plain * 1e6) / nodes, 'ns');
line('  with sectors, things to watch and copies of the columns', least.forecast, 'ms');
line('20 km at 1 m, six gears judged by time', least.geared, 'ms');
line('  a station', (least.geared * 1e6) / nodes, 'ns');
line('brake pass of two lines', least.brakePass * 1000, 'µs');
