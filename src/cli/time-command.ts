import { checkPair } from '../input/check-pair.ts';
import { Faults } from '../input/faults.ts';
import { renderDiagnostic } from '../input/render-diagnostic.ts';
import { wholeFile } from '../input/source.ts';
import { channelRows } from '../report/channels.ts';
import { forecastJson } from '../report/forecast-json.ts';
import { forecastText } from '../report/forecast-text.ts';
import { StageError } from '../sim/stage-error.ts';
import { type StageForecast, timeStage } from '../sim/time-stage.ts';
import { stageFrom } from '../track/read-stage.ts';
import type { Stage } from '../track/stage.ts';
import type { CarSpec } from '../vehicle/car-spec.ts';
import { carFrom } from '../vehicle/read-car.ts';
import { DONE, INPUT_FAULT, type Io } from './io.ts';
import { nodeFiles } from './node-files.ts';
import { type Opened, openFile } from './open-file.ts';
import { readStep } from './step-flag.ts';
import { writeWhole } from './write-whole.ts';

export interface TimeFlags {
  readonly json?: true;
  readonly channels?: string;
  readonly step: string;
  readonly condition?: string;
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
    step = readStep(flags.step);
  } catch (error) {
    io.err(`${(error as RangeError).message}\n`);
    return INPUT_FAULT;
  }
  const faults = new Faults();
  const read = readFiles(carPath, stagePaths, flags.condition, faults);
  const forecasts = read === null ? [] : forecastAll(read.car, read.stages, step, faults);
  for (const d of faults.all()) io.err(`${renderDiagnostic(d)}\n`);
  if (read === null || faults.failed) {
    io.err(`${faults.errors === 1 ? '1 fault' : `${faults.errors} faults`}, nothing timed\n`);
    return INPUT_FAULT;
  }
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
  io.out(flags.json ? forecastJson(read.car, forecasts) : forecastText(read.car, forecasts));
  return DONE;
}

interface Given {
  readonly path: string;
  readonly file: Opened | null; // null: not to be opened, which is reported
}

/** Reads the car and the stages. @returns null where there are errors; all are reported */
function readFiles(
  carPath: string,
  stagePaths: readonly string[],
  condition: string | undefined,
  faults: Faults,
): { readonly car: CarSpec; readonly stages: readonly Stage[] } | null {
  const open = (path: string): Given => ({ path, file: openFile(path, nodeFiles, faults) });
  const carGiven = open(carPath);
  const stagesGiven = stagePaths.map(open);
  if (misplaced(carGiven, stagesGiven, faults)) return null;
  const car = carGiven.file?.kind === 'car' ? carFrom(carGiven.file.yaml, nodeFiles, faults) : null;
  const stages: Stage[] = [];
  for (const { file } of stagesGiven) {
    const stage = file?.kind === 'stage' ? stageFrom(file.yaml, nodeFiles, faults, { condition }) : null;
    if (stage === null) continue;
    stages.push(stage);
    if (car !== null) for (const d of checkPair(car, stage)) faults.add(d);
  }
  return car === null || faults.failed ? null : { car, stages };
}

/** Reports files that are not what their place in the command asks for. @returns whether there are any */
function misplaced(car: Given, stages: readonly Given[], faults: Faults): boolean {
  const isNot = (kind: 'car' | 'stage') => (given: Given) => given.file !== null && given.file.kind !== kind;
  const wrong = [...[car].filter(isNot('car')), ...stages.filter(isNot('stage'))];
  const theCar = stages.find(({ file }) => file?.kind === 'car');
  if (car.file?.kind === 'stage' && theCar !== undefined) {
    const inOrder = [theCar, car, ...stages.filter((given) => given !== theCar)];
    faults.error(
      'file/order',
      wholeFile(car.path),
      `a stage stands where the car is due, and the car ${theCar.path} among the stages`,
      `write the car first: splitcast time ${inOrder.map(({ path }) => path).join(' ')}`,
    );
    return true;
  }
  for (const given of wrong) {
    const due = given === car ? 'a car' : 'a stage';
    faults.error(
      'file/order',
      wholeFile(given.path),
      `the file is ${NAMED[given.file!.kind]}, expected ${due}`,
      `${TABLE_OF[given.file!.kind] ?? ''}write the car first, then its stages: splitcast time CAR STAGE...`,
    );
  }
  return wrong.length > 0;
}

const NAMED = {
  car: 'a car',
  stage: 'a stage',
  event: 'an event',
  changes: 'a file of changes',
  scale: 'a scale of pace notes',
  'call list': 'a call list',
  'road table': 'a road table',
  'engine table': 'an engine table',
} as const satisfies Record<Opened['kind'], string>;

const TABLE_OF: Partial<Record<Opened['kind'], string>> = {
  'road table': 'give the stage that names this road; ',
  'engine table': 'give the car that names this engine; ',
};

function forecastAll(car: CarSpec, stages: readonly Stage[], step: number, faults: Faults): StageForecast[] {
  const forecasts: StageForecast[] = [];
  for (const stage of stages) {
    try {
      forecasts.push(timeStage(car, stage, { step }));
    } catch (error) {
      if (!(error instanceof StageError)) throw error;
      const { message, help } = error;
      if (error.ofStart && stage.places) faults.error('stage/start', stage.places.start, message, help);
      else faults.error('stage/car', wholeFile(stage.file), `${stage.name}, ${message}`, help);
    }
  }
  return forecasts;
}
