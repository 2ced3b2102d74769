// Sampling a road over solving it.
import { solve } from '../src/sim/solve.ts';
import { Workspace } from '../src/sim/workspace.ts';
import { check, line, quickest } from './measure.ts';
import { carOn, plainCar, sampleRoad, windingRoad } from './road.ts';

const table = windingRoad(20);
const road = sampleRoad(table, 1, []);
const ws = new Workspace();
const car = carOn(table, plainCar);
// Closed form: curvature is linear between rows, so its integral is a sum of trapezia over the rows.
let rows = 0;
for (let j = 0; j + 1 < table.s.length; j++) {
  rows += 0.5 * (table.curvature[j] + table.curvature[j + 1]) * (table.s[j + 1] - table.s[j]);
}
let nodes = 0;
for (let i = 0; i + 1 < road.s.length; i++) {
  nodes += 0.5 * (road.curvature[i] + road.curvature[i + 1]) * (road.s[i + 1] - road.s[i]);
}
check('change of heading along the road [rad]', nodes, rows, 1e-9);

const least = quickest(
  { sample: () => sampleRoad(table, 1, []), solve: () => solve(ws, road, car, { v2: 4, gear: null }) },
  300,
);
line('sampling 20 km at 1 m', least.sample, 'ms');
line('  over solving it for a point mass', least.sample / least.solve, '×', 1);
line('  a station', (least.sample * 1e6) / road.s.length, 'ns');
