import type { Sector } from '../sim/sectors.ts';
import type { StageForecast } from '../sim/time-stage.ts';
import { HELD_BY } from '../sim/workspace.ts';
import type { CarSpec } from '../vehicle/car-spec.ts';
import { kmh } from './numbers.ts';

/** What held the car, as keys: bend_s, traction_s, … */
const HELD_KEY = HELD_BY.map((name) => `${name.replace(/[A-Z]/g, (c) => `_${c.toLowerCase()}`)}_s`);

/** The forecast as data, full precision, units in the keys. */
export function forecastData(car: CarSpec, forecasts: readonly StageForecast[]) {
  return {
    car: car.name,
    stages: forecasts.map((forecast) => ({
      stage: forecast.stage,
      length_m: forecast.length,
      climb_m: forecast.climb,
      time_s: forecast.time,
      ...(forecast.stoppedAt === null ? {} : { stopped_at_m: forecast.stoppedAt }),
      sectors: forecast.sectors.map(sectorData),
      watch: {
        flights: forecast.watch.flights.map(({ at, speed, time }) => ({
          at_m: at,
          speed_kmh: kmh(speed),
          time_s: time,
        })),
        limiter_s: forecast.watch.limiterTime,
        gears_never_used: forecast.watch.gearsNeverUsed,
        slowest_bends: forecast.watch.slowestBends.map(({ at, speed, radius }) => ({
          at_m: at,
          speed_kmh: kmh(speed),
          radius_m: radius,
        })),
      },
      model: forecast.model,
      assumptions: forecast.assumptions,
    })),
  };
}

function sectorData(sector: Sector) {
  return {
    to_m: sector.to,
    time_s: sector.time,
    running_time_s: sector.runningTime,
    mean_speed_kmh: kmh(sector.meanSpeed),
    min_speed_kmh: kmh(sector.minSpeed),
    max_speed_kmh: kmh(sector.maxSpeed),
    upshifts: sector.upshifts,
    held_s: Object.fromEntries(HELD_KEY.map((key, k) => [key, sector.held[k]])),
  };
}

export function forecastJson(car: CarSpec, forecasts: readonly StageForecast[]): string {
  return `${JSON.stringify(forecastData(car, forecasts), null, 2)}\n`;
}
