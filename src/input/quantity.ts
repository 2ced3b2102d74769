/**
 * A number with its unit as text: `1390 kg`, `0.12 s`, `65 km/h`.
 *
 * mathjs knows the units; the number is taken off first, so that a bare unit, an infinity or a decimal comma cannot
 * slip through, and what people paste (m², °C, −) is put into its spelling.
 */
import { measure } from './mathjs-units.ts';
import { nearest } from './nearest.ts';

/** What a quantity measures: its name in a sentence, the unit it is shown in, others that people use. */
export interface Kind {
  readonly a: string;
  readonly unit: string;
  readonly also: readonly string[];
}

export const kinds = {
  mass: { a: 'a mass', unit: 'kg', also: ['t', 'lb'] },
  length: { a: 'a length', unit: 'm', also: ['km', 'ft', 'mi'] },
  time: { a: 'a time', unit: 's', also: ['ms', 'min'] },
  speed: { a: 'a speed', unit: 'km/h', also: ['m/s', 'mph'] },
  engineSpeed: { a: 'an engine speed', unit: 'rpm', also: ['rad/s'] },
  force: { a: 'a force', unit: 'N', also: ['kN', 'lbf'] },
  torque: { a: 'a torque', unit: 'N m', also: ['Nm', 'ft lbf'] },
  power: { a: 'a power', unit: 'kW', also: ['PS', 'hp'] },
  area: { a: 'an area', unit: 'm^2', also: ['ft^2'] },
  density: { a: 'a density', unit: 'kg/m^3', also: ['g/l'] },
  temperature: { a: 'a temperature', unit: 'degC', also: ['K', 'degF'] },
  inertia: { a: 'an inertia', unit: 'kg m^2', also: ['g m^2'] },
  forcePerSpeed: { a: 'a force per speed', unit: 'N h/km', also: ['N s/m'] },
  forcePerSpeed2: { a: 'a force per speed squared', unit: 'N h^2/km^2', also: ['N s^2/m^2'] },
  angle: { a: 'an angle', unit: 'deg', also: ['rad'] },
  pressure: { a: 'a pressure', unit: 'bar', also: ['kPa', 'psi'] },
  stiffness: { a: 'a stiffness', unit: 'N/mm', also: ['kN/m'] },
  volume: { a: 'a volume', unit: 'cm^3', also: ['l'] },
  powerPerMass: { a: 'a power per mass', unit: 'W/kg', also: ['kW/t', 'hp/t'] },
} as const satisfies Record<string, Kind>;

export type KindName = keyof typeof kinds;

const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?/;
const COMMA = /^[+-]?\d+,\d/;

/** Spelling of units that people paste or write by habit, in mathjs terms. */
function plainUnit(unit: string): string {
  return unit
    .replace(/(?<![A-Za-z])Nm(?![A-Za-z])/g, 'N m') // mathjs knows no Nm but reads nm
    .replaceAll('²', '^2')
    .replaceAll('³', '^3')
    .replace(/[·⋅×]/g, ' ')
    .replace(/^°\s*([CF])$/, 'deg$1')
    .replace(/^°$/, 'deg')
    .trim();
}

/** Units people write that mathjs spells differently, or that mean something else to mathjs. */
const SPELLINGS: Readonly<Record<string, string>> = {
  kph: 'km/h',
  kmh: 'km/h',
  'km/hr': 'km/h',
  kmph: 'km/h',
  kgs: 'kg',
  kilo: 'kg',
  kilos: 'kg',
  bhp: 'hp',
  ps: 'PS',
  cv: 'PS',
  rev: 'rpm',
  'rev/min': 'rpm',
  'r/min': 'rpm',
  '1/min': 'rpm',
  'min^-1': 'rpm',
  'U/min': 'rpm',
  C: 'degC',
  F: 'degF',
  celsius: 'degC',
  sec: 's',
  secs: 's',
  kgm2: 'kg m^2',
  'kgm^2': 'kg m^2',
  m2: 'm^2',
  sqm: 'm^2',
  'kg/m3': 'kg/m^3',
  'lb ft': 'ft lbf',
  'lb-ft': 'ft lbf',
  'ft lb': 'ft lbf',
  'ft-lb': 'ft lbf',
  'lbf ft': 'ft lbf',
};

const dimensionsOf = new Map<string, string>();
function dimensions(unit: string): string {
  let held = dimensionsOf.get(unit);
  if (held === undefined) {
    held = measure(1, unit)!.dimensions;
    dimensionsOf.set(unit, held);
  }
  return held;
}

/** The value of one unit of `kind.unit` in SI. */
export const unitScale = (kind: Kind): number => measure(1, kind.unit)!.si - measure(0, kind.unit)!.si;

/** A reading of text as a number, perhaps with a unit. */
export type Written =
  | { readonly is: 'number'; readonly value: number }
  | { readonly is: 'quantity'; readonly value: number; readonly unit: string }
  | { readonly is: 'comma' }
  | { readonly is: 'text' };

/** Takes a text apart into its number and its unit. */
export function takeApart(text: string): Written {
  const plain = text.trim().replace(/^[−–]/, '-');
  if (COMMA.test(plain)) return { is: 'comma' };
  const number = NUMBER.exec(plain)?.[0];
  if (number === undefined) return { is: 'text' };
  const unit = plain.slice(number.length).trim();
  const value = Number(number);
  return unit === '' ? { is: 'number', value } : { is: 'quantity', value, unit };
}

export type Outcome =
  | { readonly ok: true; readonly si: number }
  | { readonly ok: false; readonly code: string; readonly fault: string; readonly write: string | null };

/**
 * Reads a text as a quantity of one kind.
 * @param example a right one, to show
 * @returns SI; or what is wrong (a clause that follows "mass is …") and what to write instead
 */
export function readQuantity(text: string, kindName: KindName, example: string): Outcome {
  const kind: Kind = kinds[kindName];
  const no = (code: string, fault: string, write: string | null = null): Outcome => ({
    ok: false,
    code,
    fault,
    write,
  });
  const written = takeApart(text);
  if (written.is === 'comma') {
    return no(
      'unit/comma',
      `has a comma in its number; expected ${kind.a} with a decimal point`,
      text.trim().replace(',', '.'),
    );
  }
  if (written.is === 'text')
    return no('unit/number', `is no number with a unit; expected ${kind.a} such as ${example}`);
  if (written.is === 'number') {
    const unit = likelyUnit(written.value, kind, example);
    return no('unit/missing', `has no unit; expected ${kind.a}`, `${text.trim()} ${unit}`);
  }

  const unit = plainUnit(written.unit);
  const measured = unit.length > 40 || lookUp(unit) !== undefined ? null : measure(written.value, unit);
  const number = text
    .trim()
    .slice(0, text.trim().length - written.unit.length)
    .trim();
  if (measured === null) {
    const meant = spelling(unit, kind);
    const write = meant === null ? null : `${number} ${meant}`;
    return no('unit/unknown', `has the unknown unit \`${written.unit}\`; expected ${kind.a}`, write);
  }
  const fits = measured.dimensions === dimensions(kind.unit) && !(kindName === 'torque' && measured.energy);
  if (!fits) {
    const other = Object.values<Kind>(kinds).find(
      (k) => dimensions(k.unit) === measured.dimensions && k !== kind,
    );
    const read = measured.energy && kindName === 'torque' ? 'an energy' : other?.a;
    const what = read === undefined ? `has the unit \`${written.unit}\`` : `is ${read}`;
    return no('unit/dimension', `${what}; expected ${kind.a}`);
  }
  if (!Number.isFinite(measured.si))
    return no('unit/number', `is too large a number; expected ${kind.a} such as ${example}`);
  return { ok: true, si: measured.si };
}

const lookUp = (unit: string) => (Object.hasOwn(SPELLINGS, unit) ? SPELLINGS[unit] : undefined);

/** The unit that a bare number lacks: the example's or the usual one, whichever brings it nearer to the example. */
function likelyUnit(value: number, kind: Kind, example: string): string {
  const shown = takeApart(example);
  if (shown.is !== 'quantity') return kind.unit;
  const typical = measure(shown.value, shown.unit)!.si;
  const off = (unit: string) => Math.abs(Math.log(Math.abs(measure(value, unit)!.si / typical)));
  return value !== 0 && off(kind.unit) < off(shown.unit) ? kind.unit : shown.unit;
}

/** The unit of this kind, or any known one, that an unknown one was most likely meant to be. */
function spelling(unit: string, kind: Kind): string | null {
  const known = lookUp(unit) ?? lookUp(unit.toLowerCase());
  if (known !== undefined) return dimensions(known) === dimensions(kind.unit) ? known : null;
  return nearest(unit, [kind.unit, ...kind.also]);
}

/** "kg, also t, lb": the units to choose from. */
export const unitsOf = (kindName: KindName): string => {
  const kind: Kind = kinds[kindName];
  return `${kind.unit}, also ${kind.also.join(', ')}`;
};

/** A number of any kind with its unit, or null where the text is none: as written, and in SI. */
export interface AnyQuantity {
  readonly value: number;
  readonly unit: string; //       as mathjs spells it
  readonly si: number;
  readonly dimensions: string; // as `Measure` has them
}

/** Reads a text as a quantity whose kind the caller does not know; percent has no unit that mathjs knows. */
export function anyQuantity(text: string): AnyQuantity | null {
  const written = takeApart(text);
  if (written.is !== 'quantity') return null;
  const unit = plainUnit(written.unit);
  const measured = unit.length > 40 || lookUp(unit) !== undefined ? null : measure(written.value, unit);
  if (measured === null || !Number.isFinite(measured.si)) return null;
  return { value: written.value, unit, si: measured.si, dimensions: measured.dimensions };
}

/** Reads a quantity given on its own, as in a command's flag. @throws RangeError saying what to write. */
export function parseQuantity(text: string, kindName: KindName, example: string): number {
  const read = readQuantity(text, kindName, example);
  if (read.ok) return read.si;
  throw new RangeError(
    `${text} ${read.fault}; write ${read.write ?? `${kinds[kindName].a}, such as ${example}`}`,
  );
}
