import { type Road, sampleRoad } from '../track/road.ts';
import type { Stage } from '../track/stage.ts';
import { Car } from '../vehicle/car.ts';
import type { CarSpec } from '../vehicle/car-spec.ts';
import { describeModel } from './describe-model.ts';
import { DIVIDED } from './drive-sweep.ts';
import type { Run } from './run.ts';
import { type Sector, sumSectors } from './sectors.ts';
import { solve } from './solve.ts';
import { StageError } from './stage-error.ts';
import { findWatchPoints, type WatchPoints } from './watch-points.ts';
import { Workspace } from './workspace.ts';

/** Default distance between nodes [m]. */
export const DEFAULT_STEP = 1;

export interface TimeOptions {
  /** Greatest distance between nodes [m], over 0 and at most 2; default 1. */
  readonly step?: number;
  /** Gear engaged at the start, from 1; default: whichever is best. */
  readonly startGear?: number;
}

/** The forecast of one car on one stage. */
export interface StageForecast {
  readonly stage: string;
  readonly length: number; //            [m]
  readonly climb: number; //             [m]
  readonly time: number | null; //       [s], null where the car cannot finish
  readonly stoppedAt: number | null; //  station at which it stops for good [m]
  readonly sectors: readonly Sector[]; // those that the car finishes
  readonly watch: WatchPoints;
  readonly model: readonly string[]; //       what was modelled and what was left out
  readonly assumptions: readonly string[];
  readonly run: Run;
}

const shared = new Workspace();

/** The road of each stage as sampled last: many cars are timed over one stage. */
const roads = new WeakMap<Stage, Road>();

function sampled(stage: Stage, step: number): Road {
  const kept = roads.get(stage);
  if (kept?.step === step) return kept;
  const road = sampleRoad(stage.road, step, stage.splits);
  roads.set(stage, road);
  return road;
}

/** A car driven over a stage, with nothing copied. */
export interface Driven {
  /** The solver's own columns, longer than `nodes`, until the next car is driven; `held` of a divided cell is DIVIDED more. */
  readonly run: Run;
  readonly sectors: readonly Sector[]; // those that the car finishes
  readonly stoppedAt: number | null; //   station at which it stops for good [m]
}

/**
 * Drives a car over a stage as fast as grip, brakes, drive and gears allow, and sums its sectors.
 * @throws RangeError for a step out of range, or a surface that the car's tyre has no grip for
 * @throws StageError where the road and the car do not go together, or the start speed is too high for the road
 */
export function driveStage(spec: CarSpec, stage: Stage, options: TimeOptions = {}): Driven {
  const road = sampled(stage, options.step ?? DEFAULT_STEP);
  const surfaces = road.surfaceNames.map((name) => {
    const surface = stage.surfaces.get(name);
    if (!surface) throw new RangeError(`the stage says nothing of the surface "${name}"`);
    const { tyreSurface = name, grip, rollingResistance } = surface;
    return { name: tyreSurface, grip, rollingResistance };
  });
  const car = new Car(spec, surfaces, stage.airDensity);
  const gear = options.startGear === undefined ? null : options.startGear - 1;
  if (gear !== null && !(Number.isInteger(gear) && gear >= 0 && gear < car.gears)) {
    throw new RangeError(`the start gear must be 1 to ${car.gears}, got ${options.startGear}`);
  }
  const solved = solve(shared, road, car, { v2: stage.startSpeed ** 2, gear });
  const most = Math.sqrt(shared.brakeV2[0]);
  if (stage.startSpeed > most * (1 + 1e-9)) {
    const limit = (Math.floor(most * 36) / 10).toFixed(1);
    throw new StageError(
      0,
      `the start speed of ${(stage.startSpeed * 3.6).toFixed(1)} km/h is more than the road ahead allows: at most ${limit} km/h`,
      `write start: {rolling: ${limit} km/h} or less`,
      true,
    );
  }
  const nodes = solved.reached;
  const { v2, dt, gear: gears, held } = shared;
  dt[nodes - 1] = 0;
  if (nodes > 1) {
    gears[nodes - 1] = gears[nodes - 2];
    held[nodes - 1] = held[nodes - 2];
  }
  const run: Run = { road, car, nodes, v2, dt, gear: gears, held };
  return {
    run,
    sectors: sumSectors(run, shared.parts),
    stoppedAt: solved.stoppedAt < 0 ? null : solved.stoppedAt,
  };
}

/** Forecasts a car's time over a stage, with what the crew must watch and the run's columns. @throws as `driveStage` */
export function timeStage(spec: CarSpec, stage: Stage, options: TimeOptions = {}): StageForecast {
  const { run: driven, sectors, stoppedAt } = driveStage(spec, stage, options);
  const { road, car, nodes } = driven;
  const watch = findWatchPoints(driven, shared.parts, sectors);
  const run: Run = {
    road,
    car,
    nodes,
    v2: driven.v2.slice(0, nodes),
    dt: driven.dt.slice(0, nodes),
    gear: driven.gear.slice(0, nodes),
    held: driven.held.slice(0, nodes),
  };
  for (let i = 0; i < nodes; i++) if (run.held[i] >= DIVIDED) run.held[i] -= DIVIDED;
  return {
    stage: stage.name,
    length: road.s[road.s.length - 1],
    climb: road.climb,
    time: stoppedAt === null ? sectors[sectors.length - 1].runningTime : null,
    stoppedAt,
    sectors,
    watch,
    model: describeModel(spec, stage),
    assumptions: [...spec.assumptions, ...stage.assumptions, ...stage.road.assumptions],
    run,
  };
}
