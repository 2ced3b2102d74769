/** What a stage file says of a surface, by itself and under conditions. */
import { named, oneOf, plain, section } from '../input/fields.ts';

/** A factor on the tyre's grip: from wet ice beside asphalt to a prepared strip. Common practice, no source. */
export const gripFactor = plain('a factor on the grip of the tyre', { above: 0, max: 3, example: '0.95' });

/** Classes of ISO 8608. */
export const roughness = oneOf(['A', 'B', 'C', 'D', 'E', 'F', 'G', 'H']);

const surface = section(
  {
    grip: gripFactor.optional(),
    // Loose sand reaches 0.4 (engineeringtoolbox.com).
    rolling_resistance: plain('a rolling resistance coefficient', {
      min: 0,
      max: 0.5,
      example: '0.028',
    }).optional(),
    roughness: roughness.optional(),
  },
  'grip, rolling_resistance or roughness',
  '{grip: 0.95, rolling_resistance: 0.028}',
);

/** The key `surfaces` of a stage file. */
export const surfaces = named(surface, 'surfaces by name', '{gravel: {grip: 0.95}}');

/** The key `conditions` of a stage file: under each name, surfaces that differ from `surfaces`. */
export const conditions = named(surfaces, 'conditions by name', '{wet: {gravel: {grip: 0.85}}}');
