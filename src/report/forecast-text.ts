import { escaped } from '../input/render-diagnostic.ts';
import type { Sector } from '../sim/sectors.ts';
import type { StageForecast } from '../sim/time-stage.ts';
import { HELD_BY, type HeldBy } from '../sim/workspace.ts';
import type { CarSpec } from '../vehicle/car-spec.ts';
import { clock, km, kmh } from './numbers.ts';

export const CAUTION =
  'Closed roads only. A forecast is a limit, not a target; event rules, scrutineering and qualified advice come first.';

/** Seconds on the limiter that are worth a line: less is the end of a shift, not a gear too short. No source. */
const SHOWN_LIMITER = 0.5;

const HELD_TITLE: Readonly<Record<HeldBy, readonly [string, string]>> = {
  bend: ['bend', 'grip'],
  traction: ['trac-', 'tion'],
  drive: ['', 'drive'],
  brakeGrip: ['brake', 'grip'],
  brakeForce: ['brake', 'force'],
  limiter: ['', 'limit'],
  shift: ['', 'shift'],
  air: ['', 'air'],
};

/** The forecast for people: one block a stage, at most 100 columns. */
export function forecastText(car: CarSpec, forecasts: readonly StageForecast[]): string {
  const lines = [`${escaped(car.name)}, ${car.mass.toFixed(0)} kg`, ''];
  for (const forecast of forecasts) lines.push(...stageLines(forecast), '');
  if (forecasts.length > 1) {
    if (forecasts.every((forecast) => forecast.time !== null)) {
      const total = forecasts.reduce((sum, forecast) => sum + (forecast.time ?? 0), 0);
      lines.push(`All ${forecasts.length} stages: ${clock(total)}`, '');
    }
  }
  lines.push(...wrapped('Model: ', [...new Set(forecasts.flatMap(({ model }) => model))]), '');
  lines.push(...assumptionLines(car, forecasts), '');
  lines.push(...wrapped('', [CAUTION]));
  return `${lines.join('\n')}\n`;
}

/** What was assumed of the car, then what of each stage. */
function assumptionLines(car: CarSpec, forecasts: readonly StageForecast[]): string[] {
  const lines: string[] = [];
  const add = (what: string, assumptions: readonly string[]) => {
    if (assumptions.length > 0) lines.push(`Assumed of ${escaped(what)}:`, ...wrapped('  ', assumptions));
  };
  add(car.name, car.assumptions);
  for (const { stage, assumptions } of forecasts) {
    add(
      stage,
      assumptions.filter((text) => !car.assumptions.includes(text)),
    );
  }
  return lines;
}

function stageLines(forecast: StageForecast): string[] {
  const { length, climb, time, stoppedAt, sectors } = forecast;
  const title = `${escaped(forecast.stage)}   ${km(length)} km, ${climb.toFixed(0)} m of climb`;
  const lines = [title, '-'.repeat(Math.min(100, title.length))];
  if (time !== null) lines.push(`Forecast ${clock(time)}   mean ${kmh(length / time).toFixed(1)} km/h`);
  else
    lines.push(
      `The car cannot finish: it stops at ${km(stoppedAt ?? 0, 3)} km, where it cannot pull away again.`,
    );
  if (sectors.length > 0) lines.push('', ...sectorLines(sectors));
  lines.push(...watchLines(forecast));
  return lines;
}

function sectorLines(sectors: readonly Sector[]): string[] {
  const used = HELD_BY.map((_, k) => sectors.some((sector) => sector.held[k] > 0));
  const shown = HELD_BY.map((name, k) => ({ name, k })).filter(({ k }) => used[k]);
  const cells = (first: readonly string[], held: readonly string[]) =>
    [6, 9, 9, 6, 6, 6, 6].map((width, c) => first[c].padStart(width)).join('') +
    '  ' +
    held
      .map((text) => text.padStart(6))
      .join('')
      .trimEnd();
  const lines = [
    cells(
      ['to', 'sector', 'running', 'mean', 'least', 'most', 'up-'],
      shown.map(({ name }) => HELD_TITLE[name][0]),
    ),
    cells(
      ['km', 'time', 'time', 'km/h', 'km/h', 'km/h', 'shift'],
      shown.map(({ name }) => HELD_TITLE[name][1]),
    ),
  ];
  for (const s of sectors) {
    lines.push(
      cells(
        [
          km(s.to),
          clock(s.time),
          clock(s.runningTime),
          kmh(s.meanSpeed).toFixed(1),
          kmh(s.minSpeed).toFixed(0),
          kmh(s.maxSpeed).toFixed(0),
          s.upshifts.toFixed(0),
        ],
        wholePercent(shown.map(({ k }) => s.held[k] / s.time)).map((share) => `${share} %`),
      ),
    );
  }
  return lines;
}

/** Shares as whole per cent that still add up to 100: the largest remainders are rounded up. */
export function wholePercent(shares: readonly number[]): number[] {
  const floors = shares.map((share) => Math.floor(share * 100));
  let missing =
    Math.round(shares.reduce((sum, share) => sum + share, 0) * 100) - floors.reduce((a, b) => a + b, 0);
  const order = shares
    .map((share, k) => ({ k, rest: share * 100 - floors[k] }))
    .sort((a, b) => b.rest - a.rest || a.k - b.k);
  for (const { k } of order) {
    if (missing <= 0) break;
    floors[k]++;
    missing--;
  }
  return floors;
}

function watchLines({ watch, time }: StageForecast): string[] {
  const lines: string[] = [];
  const FLIGHTS = 8;
  for (const flight of watch.flights.slice(0, FLIGHTS)) {
    lines.push(
      `  km ${km(flight.at, 3)}  leaves the ground at ${kmh(flight.speed).toFixed(0)} km/h for ${flight.time.toFixed(2)} s`,
    );
  }
  if (watch.flights.length > FLIGHTS) lines.push(`  and ${watch.flights.length - FLIGHTS} more take-offs`);
  const [slowest] = watch.slowestBends;
  for (const bend of watch.slowestBends.toSorted((a, b) => a.at - b.at)) {
    const side = bend.radius > 0 ? 'left' : 'right';
    lines.push(
      `  km ${km(bend.at, 3)}  ${bend === slowest ? 'slowest' : 'slow'} bend, ${side}, radius ${Math.abs(bend.radius).toFixed(0)} m, ${kmh(bend.speed).toFixed(0)} km/h`,
    );
  }
  if (watch.limiterTime >= SHOWN_LIMITER) lines.push(`  ${watch.limiterTime.toFixed(1)} s on the limiter`);
  if (time !== null && watch.gearsNeverUsed.length > 0) {
    lines.push(`  never used: gear ${watch.gearsNeverUsed.join(', ')}`);
  }
  return lines.length > 0 ? ['', 'Watch:', ...lines] : [];
}

export function wrapped(title: string, sentences: readonly string[]): string[] {
  const lines: string[] = [];
  let line = title;
  for (const word of sentences.map(escaped).join(' ').split(' ')) {
    if (line.length + word.length + 1 > 98 && line.trim() !== '') {
      lines.push(line.trimEnd());
      line = ' '.repeat(title.length);
    }
    line += `${line.endsWith(' ') || line === '' ? '' : ' '}${word}`;
  }
  lines.push(line);
  return lines;
}
