import { checkPair } from '../input/check-pair.ts';
import { InputError } from '../input/diagnostic.ts';
import { parseQuantity } from '../input/quantity.ts';
import { renderDiagnostic } from '../input/render-diagnostic.ts';
import { channelRows } from '../report/channels.ts';
import { forecastJson } from '../report/forecast-json.ts';
import { forecastText } from '../report/forecast-text.ts';
import { StageError } from '../sim/stage-error.ts';
import { type StageForecast, timeStage } from '../sim/time-stage.ts';
import { readStage } from '../track/read-stage.ts';
import { MAX_STEP } from '../track/road.ts';
import type { Stage } from '../track/stage.ts';
import type { CarSpec } from '../vehicle/car-spec.ts';
import { readCar } from '../vehicle/read-car.ts';
import { DONE, INPUT_FAULT, type Io } from './io.ts';
import { nodeFiles } from './node-files.ts';
import { writeWhole } from './write-whole.ts';

export interface TimeFlags {
  readonly json?: true;
  readonly channels?: string;
  readonly step: string;
}

/** `splitcast time`: reads, solves, prints. Nothing is printed of the result unless all files are sound. */
export function timeCommand(
  carPath: string,
  stagePaths: readonly string[],
  flags: TimeFlags,
  io: Io,
): number {
  let step: number;
  try {
    step = parseQuantity(flags.step, 'length', '1 m');
    if (!(step > 0 && step <= MAX_STEP)) throw new Error(`expected over 0 m and at most ${MAX_STEP} m`);
  } catch (error) {
    io.err(
      `--step ${flags.step}: ${(error as Error).message}\nhelp: write a length with its unit, such as --step 0.5m\n`,
    );
    return INPUT_FAULT;
  }
  const faults: string[] = [];
  const attempt = <T>(read: () => T): T | null => {
    try {
      return read();
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      faults.push(...error.diagnostics.map((d) => renderDiagnostic(d)));
      return null;
    }
  };
  const car = attempt(() => readCar(carPath, nodeFiles));
  const stages = stagePaths.map((path) => attempt(() => readStage(path, nodeFiles)));
  if (car)
    for (const stage of stages)
      if (stage) faults.push(...checkPair(car, stage).map((d) => renderDiagnostic(d)));
  if (!car || faults.length > 0) return refuse(faults, io);
  const forecasts: StageForecast[] = [];
  for (const stage of stages as Stage[]) {
    const forecast = forecastOf(car, stage, step, faults);
    if (forecast) forecasts.push(forecast);
  }
  if (faults.length > 0) return refuse(faults, io);
  if (flags.channels !== undefined) {
    try {
      writeWhole(flags.channels, channelRows(forecasts));
    } catch (error) {
      io.err(
        `${flags.channels}: cannot be written: ${(error as NodeJS.ErrnoException).code ?? String(error)}\n`,
      );
      return INPUT_FAULT;
    }
  }
  io.out(flags.json ? forecastJson(car, forecasts) : forecastText(car, forecasts));
  return DONE;
}

function refuse(faults: readonly string[], io: Io): number {
  io.err(
    `${[...new Set(faults)].join('\n')}\n${faults.length === 1 ? '1 fault' : `${faults.length} faults`}, nothing timed\n`,
  );
  return INPUT_FAULT;
}

function forecastOf(car: CarSpec, stage: Stage, step: number, faults: string[]): StageForecast | null {
  try {
    return timeStage(car, stage, { step });
  } catch (error) {
    if (!(error instanceof StageError)) throw error;
    const { places } = stage;
    if (error.ofStart && places) {
      const { message, help } = error;
      faults.push(
        renderDiagnostic({ severity: 'error', code: 'stage/start', message, help, ...places.start }),
      );
      return null;
    }
    faults.push(`${stage.file}: error: ${stage.name}, ${error.message}\nhelp: ${error.help}\n`);
    return null;
  }
}
