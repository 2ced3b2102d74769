/** A stage file: its road, its start and splits, the air, and what its surfaces do. */
import * as z from 'zod';
import { Faults } from '../input/faults.ts';
import {
  either,
  fault,
  isSection,
  list,
  named,
  oneOf,
  quantity,
  section,
  shown,
  text,
  truth,
} from '../input/fields.ts';
import { beside, type FileAccess } from '../input/file-access.ts';
import { readKeys } from '../input/report-issues.ts';
import { type Path, readYaml, type YamlFile } from '../input/yaml-file.ts';
import { airDensity, geopotential, isaTemperature } from './air-density.ts';
import { type PlacedRoad, readRoad, roadColumnNames } from './read-road.ts';
import type { Stage } from './stage.ts';
import {
  chosenCondition,
  conditionAssumption,
  type SurfaceEntries,
  surfaceAssumptions,
  surfaceSpecs,
} from './stage-surfaces.ts';
import { conditions, surfaces } from './surface-fields.ts';
import { type LaidSurface, layRanges, rangeAssumption, ranges, type SurfaceRange } from './surface-ranges.ts';

const rolling = section(
  // No car starts faster than the fastest road cars go. Common practice, no source.
  { rolling: quantity('speed', { above: 0, max: 500, example: '60 km/h' }) },
  'a rolling speed',
  '{rolling: 60 km/h}',
);

const standing = z.unknown().transform((value, ctx): number => {
  if (value === 'standing') return 0;
  return fault(ctx, 'stage/start', (key) => ({
    message:
      value === null
        ? `${key} has no value`
        : `${key} is ${shown(value)}, expected standing or a rolling speed`,
    help: 'write `start: standing` or `start: {rolling: 60 km/h}`',
  }));
});
const start = either<number>((value) => (isSection(value) ? rolling.transform((r) => r.rolling) : standing));

// ISO 2533's troposphere begins at −2 km; no road lies above 6 km. Temperatures as weather stations have seen them.
const air = section(
  {
    altitude: quantity('length', { min: -1000, max: 9000, example: '310 m' }).optional(),
    temperature: quantity('temperature', { min: -90, max: 60, example: '9 degC' }).optional(),
    // From a hot day at 6 km to arctic cold at sea level. Common practice, no source.
    density: quantity('density', { min: 0.4, max: 2, example: '1.21 kg/m^3' }).optional(),
  },
  'altitude and temperature, or a density',
  '{altitude: 310 m, temperature: 9 degC}',
);

const degrees = (most: number, example: string) =>
  quantity('angle', { min: -most, max: most, example }).transform((radians) =>
    Number(((radians * 180) / Math.PI).toPrecision(14)),
  );
const georeference = section(
  {
    latitude: degrees(90, '46.123456 deg'),
    longitude: degrees(180, '7.123456 deg'),
    height: quantity('length', { min: -1000, max: 10_000, example: '1210 m' }).optional(),
  },
  'latitude, longitude and height',
  '{latitude: 46.123456 deg, longitude: 7.123456 deg, height: 1210 m}',
);

const shape = {
  stage: text('the name of the stage', 'Kestrel Fell'),
  road: text("the road table's file", 'kestrel-fell.csv'),
  roads: list(text('the id of a road', '12'), 'a list of roads', '[12, 15]').optional(),
  start: start.optional(),
  splits: list(
    quantity('length', { above: 0, example: '3.2 km' }),
    'a list of distances from the start',
    '[3.2 km, 7.4 km]',
    (splits, ctx) => {
      for (let i = 1; i < splits.length; i++) {
        if (splits[i] > splits[i - 1]) continue;
        fault(
          ctx,
          'stage/splits',
          (key) => ({
            message: `${key} is not farther than the split before it`,
            help: 'list the splits in the order of travel, each once',
          }),
          [i],
        );
      }
    },
  ).optional(),
  air: air.optional(),
  surfaces: surfaces.optional(),
  conditions: conditions.optional(),
  ranges: ranges.optional(),
  columns: named(
    oneOf(['ignore', ...roadColumnNames], 'a column of ours, or ignore'),
    'column names of the road table',
    '{theirs: ours}',
  ).optional(),
  closed: truth.optional(),
  georeference: georeference.optional(),
};

/** The keys a stage file may have. */
export const stageKeys: readonly string[] = Object.keys(shape);

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
  const read = readKeys(yaml, shape, faults);
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
      ...assumptions,
      ...conditionAssumption(condition, changed, conditionNames),
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
