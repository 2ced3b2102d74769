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
  plain,
  quantity,
  section,
  shown,
  text,
  truth,
} from '../input/fields.ts';
import { beside, type FileAccess } from '../input/file-access.ts';
import { readKeys } from '../input/report-issues.ts';
import { readYaml, type YamlFile } from '../input/yaml-file.ts';
import { airDensity, geopotential, isaTemperature } from './air-density.ts';
import { type PlacedRoad, readRoad, roadColumnNames } from './read-road.ts';
import type { Stage, SurfaceSpec } from './stage.ts';
import { rollingDefault } from './surface-defaults.ts';

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

const surface = section(
  {
    // A factor on the tyre's grip: from wet ice beside asphalt to a prepared strip. Common practice, no source.
    grip: plain('a factor on the grip of the tyre', { above: 0, max: 3, example: '0.95' }).optional(),
    // Loose sand reaches 0.4 (engineeringtoolbox.com).
    rolling_resistance: plain('a rolling resistance coefficient', {
      min: 0,
      max: 0.5,
      example: '0.028',
    }).optional(),
    roughness: oneOf(['A', 'B', 'C', 'D', 'E', 'F', 'G', 'H']).optional(), // classes of ISO 8608
  },
  'grip, rolling_resistance or roughness',
  '{grip: 0.95, rolling_resistance: 0.028}',
);

const shape = {
  stage: text('the name of the stage', 'Kestrel Fell'),
  road: text("the road table's file", 'kestrel-fell.csv'),
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
  surfaces: named(surface, 'surfaces by name', '{gravel: {grip: 0.95}}').optional(),
  columns: named(
    oneOf(['ignore', ...roadColumnNames], 'a column of ours, or ignore'),
    'column names of the road table',
    '{theirs: ours}',
  ).optional(),
  closed: truth.optional(),
};

/** The keys a stage file may have. */
export const stageKeys: readonly string[] = Object.keys(shape);

/**
 * Reads a stage and the road table it names.
 * @param path the stage file; the road table's path is taken from its folder
 * @throws InputError with every fault of both files
 */
export function readStage(path: string, files: FileAccess): Stage {
  const faults = new Faults();
  const stage = loadStage(path, files, faults);
  faults.throwIfFailed();
  return stage!;
}

/** As `readStage`, with faults and warnings given to `faults`. @returns null where there are errors */
export function loadStage(path: string, files: FileAccess, faults: Faults): Stage | null {
  const yaml = readYaml(path, files, faults, null);
  return yaml === null ? null : stageFrom(yaml, files, faults);
}

/** As `loadStage`, for a file already parsed. */
export function stageFrom(yaml: YamlFile, files: FileAccess, all: Faults): Stage | null {
  const faults = new Faults();
  const stage = assemble(yaml, files, faults);
  all.take(faults);
  return faults.failed ? null : stage;
}

function assemble(yaml: YamlFile, files: FileAccess, faults: Faults): Stage | null {
  const file = yaml.source.file;
  const read = readKeys(yaml, shape, faults);
  const assumptions: string[] = [];
  const density = findAir(yaml, read.air, assumptions, faults);

  let placed: PlacedRoad | null = null;
  if (read.road !== undefined) {
    const columns = read.columns ?? new Map<string, string>();
    const rename = { names: columns, place: (theirs: string) => yaml.place(['columns', theirs], 'key') };
    placed = readRoad(
      beside(file, read.road),
      files,
      { closedAt: read.closed === true ? yaml.place(['closed']) : null, columns: rename },
      faults,
      yaml.place(['road']),
    );
  }
  const splits = read.splits ?? [];
  if (placed !== null) checkSplits(yaml, splits, placed.road.s.at(-1)!, faults);
  if (faults.failed || placed === null) return null;

  const { road, surfacePlaces } = placed;
  const surfaces = findSurfaces(road.surfaceNames, read.surfaces ?? new Map(), assumptions);
  for (const name of read.surfaces?.keys() ?? []) {
    if (!road.surfaceNames.includes(name)) {
      faults.warning(
        'stage/surface-unused',
        yaml.place(['surfaces', name], 'key'),
        `the road has no surface ${name}`,
        `its surfaces are ${road.surfaceNames.join(', ')}`,
      );
    }
  }
  return {
    name: read.stage!,
    file,
    road,
    startSpeed: read.start ?? 0,
    splits,
    airDensity: density,
    surfaces,
    closed: read.closed === true,
    assumptions,
    places: { start: yaml.place(['start']), surfaces: surfacePlaces },
  };
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

interface SurfaceEntry {
  readonly grip?: number | undefined;
  readonly rolling_resistance?: number | undefined;
  readonly roughness?: SurfaceSpec['roughness'] | undefined;
}

function findSurfaces(
  names: readonly string[],
  given: ReadonlyMap<string, SurfaceEntry>,
  assumptions: string[],
): Map<string, SurfaceSpec> {
  const surfaces = new Map<string, SurfaceSpec>();
  for (const name of names) {
    const entry = given.get(name);
    const fallback = rollingDefault(name);
    surfaces.set(name, {
      grip: entry?.grip ?? 1,
      rollingResistance: entry?.rolling_resistance ?? fallback.rollingResistance,
      roughness: entry?.roughness ?? null,
    });
    const assumed = [
      entry?.grip === undefined ? 'grip factor 1' : null,
      entry?.rolling_resistance === undefined
        ? `rolling resistance ${fallback.rollingResistance} (${fallback.source})`
        : null,
    ].filter((part) => part !== null);
    if (assumed.length > 0) assumptions.push(`Surface ${name}: ${assumed.join(', ')} assumed.`);
  }
  return surfaces;
}
