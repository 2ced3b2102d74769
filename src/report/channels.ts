import type { StageForecast } from '../sim/time-stage.ts';
import { AIR, HELD_BY, LIMITER, SHIFT } from '../sim/workspace.ts';
import { fullDrive } from '../vehicle/car.ts';
import { reserve } from '../vehicle/envelope.ts';
import { kmh } from './numbers.ts';

const HEADER =
  'stage,station_m,time_s,speed_kmh,gear,engine_rpm,ax_mps2,ay_mps2,normal_load_N,drive_share,brake_share,held_by,surface\n';

/**
 * One CSV row a station, all stages in one file. ax is dv/dt over the cell that begins at the station;
 * drive_share is the drive used over the full-load drive in the gear, brake_share the braking used over what
 * brakes and tyres allow there.
 */
export function* channelRows(forecasts: readonly StageForecast[]): Generator<string> {
  yield HEADER;
  for (const forecast of forecasts) yield* stageRows(forecast);
}

function* stageRows({ stage, run }: StageForecast): Generator<string> {
  const { road, car, nodes, v2, dt, gear, held } = run;
  const name = quoted(stage);
  const surfaces = road.surfaceNames.map(quoted);
  let time = 0;
  for (let i = 0; i < nodes; i++) {
    const id = road.surface[i];
    const b = v2[i];
    const v = Math.sqrt(b);
    const g = gear[i];
    const n1 = road.normalPerV2[i] + car.downforce;
    const load = Math.max(0, road.normal[i] + n1 * b);
    const ahead = i + 1 < nodes ? road.s[i + 1] - road.s[i] : 0;
    const a = ahead > 0 ? (v2[i + 1] - b) / (2 * ahead) : 0;
    const middle = ahead > 0 ? 0.5 * (b + v2[i + 1]) : b;
    const vMiddle = Math.sqrt(middle);
    const resist =
      car.r0 +
      car.r1 * vMiddle +
      car.r2 * middle +
      car.rolling[id] * Math.max(0, road.normal[i] + n1 * middle) +
      road.along[i];
    const force = car.massFactor[g] * a + resist;
    const noForce = held[i] === SHIFT || held[i] === AIR || ahead === 0;
    const drive = fullDrive(car, g, vMiddle);
    const tyre = Math.sqrt(
      reserve(
        car.muAcross[id],
        car.ellipse2[id],
        road.normal[i],
        n1,
        road.lateral[i],
        road.lateralPerV2[i],
        middle,
      ),
    );
    const most = Math.min(car.brake, tyre);
    const driveShare =
      noForce || force <= 0
        ? 0
        : held[i] === LIMITER
          ? share(force, fullDrive(car, g, v))
          : share(force, drive);
    const brakeShare = noForce || force >= 0 ? 0 : share(-force, most);
    const slip = g === 0 && car.gearing[0] > 0 ? car.edge[0] * car.gearing[0] : 0;
    const rpm = (Math.max(v * car.gearing[g], slip) * 30) / Math.PI;
    yield `${name},${text(road.s[i])},${text(time)},${text(kmh(v))},${g + 1},${text(rpm)},${text(a)},${text(
      b * road.curvature[i],
    )},${text(load * car.mass)},${text(driveShare)},${text(brakeShare)},${HELD_BY[held[i]]},${surfaces[id]}\n`;
    time += dt[i];
  }
}

function share(part: number, whole: number): number {
  return whole > 0 ? Math.min(1, part / whole) : 0;
}

/** Ten significant digits: more than any comparison of runs needs, and no noise of the last bit. */
function text(x: number): string {
  return String(Number(x.toPrecision(10)));
}

function quoted(cell: string): string {
  return /[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;
}
