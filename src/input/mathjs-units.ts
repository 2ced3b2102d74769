/**
 * mathjs units over plain numbers: a class built with number arithmetic alone loads in a few ms and keeps the
 * bundle small, where the whole of mathjs takes about a second.
 */
import { createUnitClass } from 'mathjs';

interface UnitPart {
  readonly unit: {
    readonly base: { readonly key: string };
    readonly value: unknown;
    readonly offset: unknown;
  };
  readonly power: number;
}

interface MathUnit {
  readonly value: number | null; // in SI, counted from the unit's own zero
  readonly dimensions: readonly number[];
  readonly units: readonly UnitPart[];
}

interface UnitClass {
  new (value: number, unit: string): MathUnit;
  createUnitSingle(name: string, definition: { definition: string }): unknown;
}

declare module 'mathjs' {
  // Exported by mathjs at run time, missing from its types.
  export function createUnitClass(dependencies: Record<string, unknown>): UnitClass;
}

/** Stands for the number classes that are not loaded. A fraction counts as its value, for degF. */
class Ratio {
  readonly value: number;
  constructor(above = 0, below = 1) {
    this.value = above / below;
  }
  valueOf(): number {
    return this.value;
  }
}

const Unit = createUnitClass({
  '?on': undefined,
  config: { number: 'number', predictable: false, numberFallback: 'number' },
  addScalar: (a: number, b: number) => Number(a) + Number(b),
  subtractScalar: (a: number, b: number) => Number(a) - Number(b),
  multiplyScalar: (a: number, b: number) => Number(a) * Number(b),
  divideScalar: (a: number, b: number) => Number(a) / Number(b),
  pow: (a: number, b: number) => Number(a) ** Number(b),
  abs: Math.abs,
  fix: Math.trunc,
  round: Math.round,
  equal: (a: number, b: number) => a === b,
  isNumeric: (x: unknown) => typeof x === 'number',
  format: String,
  number: Number,
  Complex: Ratio,
  BigNumber: Ratio,
  Fraction: Ratio,
});

// Without its own entry "PS" would read as petasiemens. 75 kgf m/s: 75 × 9.80665 W = 735.49875 W (DIN 66036, from memory).
Unit.createUnitSingle('PS', { definition: '735.49875 W' });
Unit.createUnitSingle('rpm', { definition: `${(2 * Math.PI) / 60} rad/s` });
Unit.createUnitSingle('mph', { definition: '1 mi/h' });

export interface Measure {
  readonly si: number;
  readonly dimensions: string; // exponents of mass, length, time, …, comma-separated
  readonly energy: boolean; //    written in joules or the like: the same dimensions as a torque
}

/** A number with a unit in SI, or null where mathjs does not know the unit. */
export function measure(value: number, unit: string): Measure | null {
  let u: MathUnit;
  try {
    u = new Unit(value, unit);
  } catch {
    return null;
  }
  if (u.units.length === 0 || u.value === null) return null;
  const [first] = u.units;
  // degC and degF do not begin at 0 K; mathjs leaves that to its conversions.
  const zero =
    u.units.length === 1 && first.power === 1 ? Number(first.unit.offset) * Number(first.unit.value) : 0;
  return {
    si: u.value + zero,
    dimensions: u.dimensions.join(','),
    energy: u.units.some((part) => part.unit.base.key === 'ENERGY'),
  };
}
