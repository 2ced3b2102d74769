/** A stage file: its road, its start and splits, the air, and what its surfaces do. */
import { Faults } from '../input/faults.ts';
import { beside, type FileAccess } from '../input/file-access.ts';
import { readKeys } from '../input/report-issues.ts';
import { type Path, readYaml, type YamlFile } from '../input/yaml-file.ts';
import { airDensity, geopotential, isaTemperature } from './air-density.ts';
import { type PlacedRoad, readRoad } from './read-road.ts';
import type { Stage } from './stage.ts';
import { stageShape } from './stage-fields.ts';
import {
  chosenCondition,
  conditionAssumption,
  type SurfaceEntries,
  surfaceAssumptions,
  surfaceSpecs,
} from './stage-surfaces.ts';
import { type LaidSurface, layRanges, rangeAssumption, type SurfaceRange } from './surface-ranges.ts';

export { stageKeys } from './stage-fields.ts';

export interface StageOptions {
  /** Which of the stage's conditions its surfaces are in; absent: as `surfaces` has them. */
  readonly condition?: string | undefined;
}

/**
 * Reads a stage and the road table it names.
 * @param path the stage file; the road table's path is taken from its folder
 * @throws InputError with every fault of both files
 */
export function readStage(path: string, files: FileAccess, options: StageOptions = {}): Stage {
  const faults = new Faults();
  const yaml = readYaml(path, files, faults, null);
  const stage = yaml === null ? null : stageFrom(yaml, files, faults, options);
  faults.throwIfFailed();
  return stage!;
}

/**
 * As `readStage`, for a file already parsed; faults and warnings are given to `all`.
 * @returns null where there are errors
 */
export function stageFrom(
  yaml: YamlFile,
  files: FileAccess,
  all: Faults,
  options: StageOptions = {},
): Stage | null {
  const faults = new Faults();
  const stage = assemble(yaml, files, faults, options);
  all.take(faults);
  return faults.failed ? null : stage;
}

function assemble(
  yaml: YamlFile,
  files: FileAccess,
  faults: Faults,
  { condition }: StageOptions,
): Stage | null {
  const file = yaml.source.file;
  const read = readKeys(yaml, stageShape, faults);
  const changed = chosenCondition(condition, read.conditions, yaml, faults);
  const assumptions: string[] = [];
  const density = findAir(yaml, read.air, assumptions, faults);

  let placed: PlacedRoad | null = null;
  if (read.road !== undefined) {
    const columns = read.columns ?? new Map<string, string>();
    const options = {
      closedAt: read.closed === true ? yaml.place(['closed']) : null,
      columns: { names: columns, place: (theirs: string) => yaml.place(['columns', theirs], 'key') },
      roads:
        read.roads === undefined
          ? undefined
          : { ids: read.roads, place: (i: number) => yaml.place(['roads', i]) },
      surfacesElsewhere: Object.hasOwn(yaml.data, 'ranges'),
    };
    placed = readRoad(beside(file, read.road), files, options, faults, yaml.place(['road']));
  }
  const splits = read.splits ?? [];
  if (placed !== null) checkSplits(yaml, splits, placed.road.s.at(-1)!, faults);
  const onRoad = placed === null ? null : surfacesOn(placed, read.ranges, yaml, faults);
  if (faults.failed || onRoad === null) return null;

  const { road, laid, places } = onRoad;
  const written: SurfaceEntries = read.surfaces ?? new Map();
  warnUnused(yaml, ['surfaces'], written, laid, faults);
  for (const [name, entries] of read.conditions ?? [])
    warnUnused(yaml, ['conditions', name], entries, laid, faults);
  const conditionNames = [...(read.conditions?.keys() ?? [])];
  return {
    name: read.stage!,
    file,
    road,
    startSpeed: read.start ?? 0,
    splits,
    airDensity: density,
    surfaces: surfaceSpecs(laid, written, changed),
    ...(condition === undefined ? {} : { condition }),
    ...(conditionNames.length === 0 ? {} : { conditions: conditionNames }),
    ...(read.georeference === undefined
      ? {}
      : { georeference: { ...read.georeference, height: read.georeference.height ?? 0 } }),
    closed: read.closed === true,
    assumptions: [
      ...conditionAssumption(condition, changed, conditionNames),
      ...assumptions,
      ...surfaceAssumptions(laid, written, changed),
      ...rangeAssumption(read.ranges ?? [], road.s.at(-1)!),
    ],
    places: { start: yaml.place(['start']), surfaces: places },
  };
}

/** The road with the stage's ranges laid over it, what its surfaces stand for, and where each is first named. */
function surfacesOn(
  { road, surfacePlaces, hasSurfaces, laid: standing }: PlacedRoad,
  ranges: readonly SurfaceRange[] | undefined,
  yaml: YamlFile,
  faults: Faults,
) {
  const laid =
    standing ?? new Map<string, LaidSurface>(road.surfaceNames.map((surface) => [surface, { surface }]));
  if (ranges === undefined) return { road, laid, places: surfacePlaces };
  const onRoad = layRanges({ road, laid, hasSurfaces }, ranges, yaml, faults);
  if (onRoad === null) return null;
  const places = new Map(surfacePlaces);
  for (const [i, { surface }] of ranges.entries()) {
    if (surface !== undefined && !places.has(surface))
      places.set(surface, yaml.place(['ranges', i, 'surface']));
  }
  return { ...onRoad, places };
}

function warnUnused(
  yaml: YamlFile,
  path: Path,
  entries: SurfaceEntries,
  laid: ReadonlyMap<string, LaidSurface>,
  faults: Faults,
): void {
  const names = new Set([...laid.values()].map((as) => as.surface));
  for (const name of entries.keys()) {
    if (names.has(name)) continue;
    faults.warning(
      'stage/surface-unused',
      yaml.place([...path, name], 'key'),
      `the road has no surface ${name}`,
      `its surfaces are ${[...names].join(', ')}`,
    );
  }
}

function findAir(
  yaml: YamlFile,
  air:
    | { altitude?: number | undefined; temperature?: number | undefined; density?: number | undefined }
    | undefined,
  assumptions: string[],
  faults: Faults,
): number {
  const { altitude, temperature, density } = air ?? {};
  if (density !== undefined) {
    for (const key of ['altitude', 'temperature'] as const) {
      if (air?.[key] === undefined) continue;
      faults.error(
        'stage/air',
        yaml.place(['air', key], 'key'),
        `air gives both density and ${key}`,
        'give the density, or altitude and temperature',
      );
    }
    return density;
  }
  const height = geopotential(altitude ?? 0);
  const rho = airDensity(height, temperature);
  const degC = ((temperature ?? isaTemperature(height)) - 273.15).toFixed(1);
  const from = [
    altitude === undefined ? 'at sea level' : `at ${altitude} m`,
    temperature === undefined ? `and the standard's ${degC} degC there` : `and ${degC} degC`,
  ].join(' ');
  assumptions.push(`Air density ${rho.toFixed(4)} kg/m^3: dry air by ISO 2533 ${from}.`);
  return rho;
}

function checkSplits(yaml: YamlFile, splits: readonly number[], end: number, faults: Faults): void {
  for (const [i, split] of splits.entries()) {
    if (split < end) continue;
    const km = (x: number) => `${Number((x / 1000).toFixed(4))} km`;
    faults.error(
      'stage/splits',
      yaml.place(['splits', i]),
      `the split at ${km(split)} is not before the finish: the road is ${km(end)} long`,
      'splits count from the start line; the finish is no split',
    );
  }
}
