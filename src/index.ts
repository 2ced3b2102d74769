/**
 * splitcast as a library: read a car and a stage, time one over the other.
 *
 * ```ts
 * import { readCar, readStage, timeStage } from 'splitcast';
 * const forecast = timeStage(readCar('car.yaml'), readStage('stage.yaml'));
 * ```
 */
import { nodeFiles } from './cli/node-files.ts';
import { Faults } from './input/faults.ts';
import type { FileAccess } from './input/file-access.ts';
import { openStudy, type Study, type StudyOptions } from './study/study.ts';
import { readStage as readStageFrom, type StageOptions } from './track/read-stage.ts';
import type { Stage } from './track/stage.ts';
import type { CarSpec } from './vehicle/car-spec.ts';
import { readCar as readCarFrom } from './vehicle/read-car.ts';

/** Reads a car file and the tables it names. @throws InputError with all that is wrong */
export function readCar(path: string, files: FileAccess = nodeFiles): CarSpec {
  return readCarFrom(path, files);
}

/**
 * Reads a stage file and its road table.
 * @param options which of the stage's conditions to take; its surfaces as written where none is named
 * @throws InputError with all that is wrong
 */
export function readStage(path: string, files: FileAccess = nodeFiles, options: StageOptions = {}): Stage {
  return readStageFrom(path, files, options);
}

/**
 * Reads an event, its car, changes and stages, ready for many set-ups.
 * @throws InputError with all that is wrong
 */
export function readEvent(path: string, options: StudyOptions = {}, files: FileAccess = nodeFiles): Study {
  const faults = new Faults();
  const study = openStudy(path, files, options, faults);
  faults.throwIfFailed();
  return study!;
}

export { type Diagnostic, InputError, type Place } from './input/diagnostic.ts';
export { type FileAccess, memoryFiles } from './input/file-access.ts';
export { channelRows } from './report/channels.ts';
export { forecastData } from './report/forecast-json.ts';
export type { Run } from './sim/run.ts';
export type { Sector } from './sim/sectors.ts';
export { StageError } from './sim/stage-error.ts';
export { type StageForecast, type TimeOptions, timeStage } from './sim/time-stage.ts';
export type { Flight, SlowBend, WatchPoints } from './sim/watch-points.ts';
export { HELD_BY, type HeldBy } from './sim/workspace.ts';
export { type ChooseOptions, type Chosen, choose, type Price, type Tried } from './study/choose.ts';
export type { Stretch } from './study/gap.ts';
export { type Gain, type Pair, type Ranking, rank } from './study/rank.ts';
export { BASE, type Evaluate, type Outcome, type SetUp } from './study/set-up.ts';
export { type Course, evaluateHere, type Study, type StudyOptions } from './study/study.ts';
export { type TimesArray, timesArray } from './study/times-array.ts';
export { courseTimes, totalTime } from './study/totals.ts';
export { type Axis, type Flat, type Point, type Varied, vary } from './study/vary.ts';
export type { StageOptions } from './track/read-stage.ts';
export type { Road } from './track/road.ts';
export type { RoadTable } from './track/road-table.ts';
export type { Georeference, Roughness, Stage, StagePlaces, SurfaceSpec } from './track/stage.ts';
export type { Car } from './vehicle/car.ts';
export type {
  CarSpec,
  DrivelineSpec,
  EngineSpec,
  GripSpec,
  RoadLoadSpec,
  RotatingSpec,
} from './vehicle/car-spec.ts';
