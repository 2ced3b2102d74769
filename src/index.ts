/**
 * splitcast as a library: read a car and a stage, time one over the other.
 *
 * ```ts
 * import { readCar, readStage, timeStage } from 'splitcast';
 * const forecast = timeStage(readCar('car.yaml'), readStage('stage.yaml'));
 * ```
 */
import { nodeFiles } from './cli/node-files.ts';
import type { FileAccess } from './input/file-access.ts';
import { readStage as readStageFrom } from './track/read-stage.ts';
import type { Stage } from './track/stage.ts';
import type { CarSpec } from './vehicle/car-spec.ts';
import { readCar as readCarFrom } from './vehicle/read-car.ts';

/** Reads a car file and the tables it names. @throws InputError with all that is wrong */
export function readCar(path: string, files: FileAccess = nodeFiles): CarSpec {
  return readCarFrom(path, files);
}

/** Reads a stage file and its road table. @throws InputError with all that is wrong */
export function readStage(path: string, files: FileAccess = nodeFiles): Stage {
  return readStageFrom(path, files);
}

export { type Diagnostic, InputError, type Place } from './input/diagnostic.ts';
export { type FileAccess, memoryFiles } from './input/file-access.ts';
export { channelRows } from './report/channels.ts';
export { forecastData } from './report/forecast-json.ts';
export type { Sector } from './sim/sectors.ts';
export { StageError } from './sim/stage-error.ts';
export { type Run, type StageForecast, type TimeOptions, timeStage } from './sim/time-stage.ts';
export type { Flight, SlowBend, WatchPoints } from './sim/watch-points.ts';
export { HELD_BY, type HeldBy } from './sim/workspace.ts';
export type { Road } from './track/road.ts';
export type { RoadTable } from './track/road-table.ts';
export type { Stage, StagePlaces, SurfaceSpec } from './track/stage.ts';
export type { Car } from './vehicle/car.ts';
export type {
  CarSpec,
  DrivelineSpec,
  EngineSpec,
  GripSpec,
  RoadLoadSpec,
  RotatingSpec,
} from './vehicle/car-spec.ts';
