/** The keys of a stage file as schemas, with their bounds. */
import * as z from 'zod';
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
import { roadColumnNames } from './read-road.ts';
import { conditions, surfaces } from './surface-fields.ts';
import { ranges } from './surface-ranges.ts';

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

/** The keys of a stage file and what each may hold. */
export const stageShape = {
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
export const stageKeys: readonly string[] = Object.keys(stageShape);
