/** What a car file may hold, key by key, with bounds wide enough for anything on wheels. */
import * as z from 'zod';
import { either, fault, list, named, oneOf, plain, quantity, section, text } from '../input/fields.ts';
import { takeApart } from '../input/quantity.ts';
import type { GripSpec } from './car-spec.ts';

// Bounds of this file are common practice, no source, where no source is named: they are to catch slips of the unit
// or the decimal point and not to judge the car.

// A racing slick with downforce left out reaches about 2; wet ice has 0.05 (checks against the tables by Wong).
const gripNumber = plain('a grip, the greatest force per load', { above: 0, max: 5, example: '0.95' });
const gripPair = section(
  { across: gripNumber, along: gripNumber },
  'across and along',
  '{across: 0.95, along: 1.00}',
);
const isMap = (value: unknown) => typeof value === 'object' && value !== null && !Array.isArray(value);
const grip = either<GripSpec>((value) =>
  isMap(value) ? gripPair : gripNumber.transform((mu) => ({ across: mu, along: mu })),
);

const inertia = (example: string) => quantity('inertia', { min: 0, max: 500, example }).optional();

const rotating = section(
  {
    engine: inertia('0.14 kg m^2'),
    gearbox: list(
      quantity('inertia', { min: 0, max: 100, example: '0.01 kg m^2' }),
      'a list of inertias, one per gear',
      '[0.02 kg m^2, 0.02 kg m^2]',
    ).optional(),
    final_drive: inertia('0.02 kg m^2'),
    wheels: inertia('4.2 kg m^2'),
  },
  'inertias of engine, gearbox, final_drive and wheels',
  '{engine: 0.14 kg m^2, wheels: 4.2 kg m^2}',
);

// Downforce is given per air density; a wing car has about 5 m^2, lift is negative.
const downforceNumber = quantity('area', { min: -10, max: 30, example: '0.30 m^2' });
const downforcePair = section(
  { front: downforceNumber, rear: downforceNumber },
  'front and rear',
  '{front: 0.10 m^2, rear: 0.20 m^2}',
);
const downforce = either<{ readonly sum: number; readonly split: boolean }>((value) =>
  isMap(value)
    ? downforcePair.transform(({ front, rear }) => ({ sum: front + rear, split: true }))
    : downforceNumber.transform((area) => ({ sum: area, split: false })),
);

/** A full-load power: a table's file, or one power for every speed. */
export type Power = { readonly file: string } | { readonly constant: number };

const powerNumber = quantity('power', { above: 0, max: 5000, example: '150 kW' });
const tableName = text("an engine table's file", 'engine.csv');
const isTable = (value: unknown) =>
  typeof value === 'string' && (/\.\w+$/.test(value) || takeApart(value).is === 'text');
const power = either<Power>((value) =>
  isTable(value) || value === null
    ? tableName.transform((file) => ({ file }))
    : powerNumber.transform((constant) => ({ constant })),
);
const torque = z.unknown().transform((value, ctx): string => {
  if (value === null || isTable(value)) {
    const read = tableName.safeParse(value);
    if (read.success) return read.data;
  }
  return fault(ctx, 'engine/torque', (key) => ({
    message: `${key} is ${String(value)}; expected an engine table's file`,
    help: 'write `torque: engine.csv`, a table with the columns engine_rpm and torque_Nm',
  }));
});

const engineSpeed = (example: string) => quantity('engineSpeed', { min: 0, max: 50_000, example }).optional();

const engine = section(
  {
    torque: torque.optional(),
    power: power.optional(),
    idle: engineSpeed('1000 rpm'),
    launch: engineSpeed('3500 rpm'),
    limit: engineSpeed('7400 rpm'),
  },
  'torque or power, and speeds',
  '{torque: engine.csv, limit: 7400 rpm}',
);

/** Each number lower than the one before: a higher gear turns the engine less per metre. */
function falling(items: readonly number[], ctx: z.RefinementCtx): void {
  for (let i = 1; i < items.length; i++) {
    if (items[i] < items[i - 1]) continue;
    fault(
      ctx,
      'car/gears',
      (key) => ({
        message: `${key} is ${items[i]} after ${items[i - 1]}; expected it to fall from gear to gear`,
        help: 'list the gears from first to last: first has the greatest number',
      }),
      [i],
    );
  }
}

// Crawler gears reach about 30; overdrives lie above 0.3.
const ratio = plain('a gear ratio', { above: 0, max: 50, example: '3.08' });
// From real cars, 14 to 417 (the test cars of UN GTR 15), with room on both sides.
const rpmPerKmh = plain('an engine speed per road speed, rpm per km/h', {
  above: 0,
  max: 3000,
  example: '107.5',
});
const share = plain('an efficiency', {
  above: 0,
  max: 1,
  example: '0.88',
});

const driveline = section(
  {
    driven: oneOf(['front', 'rear', 'all']),
    driven_load: plain('the share of the weight on the driven axle', {
      above: 0,
      max: 1,
      example: '0.58',
    }).optional(),
    gears: list(ratio, 'a list of gear ratios', '[3.08, 2.19, 1.68]', falling).optional(),
    final_drive: plain('a ratio', { above: 0, max: 50, example: '4.30' }).optional(),
    rpm_per_kmh: list(
      rpmPerKmh,
      'a list of engine speeds per road speed',
      '[107.5, 56.6, 37.1]',
      falling,
    ).optional(),
    efficiency: either<number | readonly number[]>((value) =>
      Array.isArray(value) ? list(share, 'efficiencies, one per gear', '[0.88, 0.89]') : share,
    ).optional(),
    // A careful change by hand takes about 1 s; 10 s is a stop.
    shift: quantity('time', { min: 0, max: 10, example: '0.12 s' }).optional(),
  },
  'driven, gears, final_drive and more',
  '{driven: rear, driven_load: 0.55, gears: [3.08, 2.19], final_drive: 4.30}',
);

const roadLoad = section(
  {
    f0: quantity('force', { min: 0, max: 10_000, example: '200 N' }),
    // The middle term of real coast-downs is sometimes negative.
    f1: quantity('forcePerSpeed', { min: -50, max: 50, example: '0.35 N h/km' }),
    f2: quantity('forcePerSpeed2', { min: 0, max: 2, example: '0.032 N h^2/km^2' }),
    air_density: quantity('density', { min: 0.4, max: 2, example: '1.17 kg/m^3' }).optional(),
  },
  'f0, f1 and f2',
  '{f0: 200 N, f1: 0.35 N h/km, f2: 0.032 N h^2/km^2}',
);

export const carShape = {
  car: text('the name of the car', 'Fell hatch'),
  // From a kart with driver to a truck.
  mass: quantity('mass', {
    min: 50,
    max: 60_000,
    example: '1390 kg',
    why: 'the mass as started: car, crew, fuel, spare',
  }),
  pace: plain("the share of the tyre's grip that the driver uses", {
    above: 0,
    max: 1.2,
    example: '0.92',
  }).optional(),
  // 1.04 + 0.0025 ratio^2 (Wong): 1.4 in a usual first gear, 2 at an overall ratio of 20.
  mass_factor: plain('a factor for what rotates', { min: 1, max: 3, example: '1.05' }).optional(),
  rotating: rotating.optional(),
  tyre: section(
    {
      radius: quantity('length', {
        min: 0.05,
        max: 1.5,
        example: '0.31 m',
        why: 'the rolling radius, half the wheel height',
      }).optional(),
      grip: named(grip, 'a grip for each surface', '{gravel: 0.62, asphalt: 0.95}'),
    },
    'radius and grip',
    '{radius: 0.31 m, grip: {gravel: 0.62}}',
  ),
  air: section(
    {
      // A truck has about 6 m^2.
      drag_area: quantity('area', { min: 0, max: 20, example: '0.74 m^2' }).optional(),
      downforce_area: downforce.optional(),
    },
    'drag_area and downforce_area',
    '{drag_area: 0.74 m^2}',
  ).optional(),
  road_load: roadLoad.optional(),
  engine,
  driveline,
  brakes: section(
    { force: quantity('force', { above: 0, max: 1_000_000, example: '17 kN' }) },
    'force',
    '{force: 17 kN}',
  ).optional(),
};
