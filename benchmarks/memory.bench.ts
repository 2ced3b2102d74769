// Peak memory of a forecast over 1000 km at 1 m, in a process of its own.
import { timeStage } from '../src/sim/time-stage.ts';
import { stageOn } from '../tests/helpers/build.ts';
import { check, line } from './measure.ts';
import { gearedCar, windingRoad } from './road.ts';

const before = process.resourceUsage().maxRSS * 1024;
const stage = stageOn(windingRoad(1000), { startSpeed: 2 });
const { run, sectors, time } = timeStage(gearedCar(), stage);
check(
  'sum of the sectors [s]',
  sectors.reduce((sum, sector) => sum + sector.time, 0),
  time ?? NaN,
  1e-6,
);
const peak = process.resourceUsage().maxRSS * 1024;
const columns = [...Object.values(run), ...Object.values(run.road)].filter((c) => ArrayBuffer.isView(c));
const kept = columns.reduce((sum, c) => sum + c.byteLength, 0);
line('1000 km at 1 m, six gears: peak memory of the process', peak / 1e6, 'MB', 600);
line('  a station, above an idle process', (peak - before) / run.nodes, 'bytes');
line('  a station, road and run that are handed back', kept / run.nodes, 'bytes');
