import { describe, expect, test } from 'vitest';
import { type KindName, kinds, parseQuantity } from '../../src/input/quantity.ts';

describe('a number with its unit', () => {
  test.each<[string, KindName, number]>([
    ['1390 kg', 'mass', 1390],
    ['1390kg', 'mass', 1390],
    ['1.39 t', 'mass', 1390],
    ['2500 lb', 'mass', 1133.980925], // 0.45359237 kg, exact by definition
    ['90 km/h', 'speed', 25],
    ['60 mph', 'speed', 26.8224], // 1609.344 m, exact by definition
    ['0.12 s', 'time', 0.12],
    ['3.2 km', 'length', 3200],
    ['1m', 'length', 1],
    ['17 kN', 'force', 17_000],
    ['180 N m', 'torque', 180],
    ['180 Nm', 'torque', 180],
    ['180 N*m', 'torque', 180],
    ['100 ft lbf', 'torque', 135.5817948331],
    ['150 kW', 'power', 150_000],
    ['100 PS', 'power', 73_549.875], // 75 kgf m/s each
    ['100 hp', 'power', 74_569.98715386], // 550 ft lbf/s, to the ten digits that mathjs holds,
    ['60 rpm', 'engineSpeed', 2 * Math.PI],
    ['0.74 m^2', 'area', 0.74],
    ['0.74 m²', 'area', 0.74],
    ['1.21 kg/m^3', 'density', 1.21],
    ['9 degC', 'temperature', 282.15],
    ['−3 °C', 'temperature', 270.15],
    ['50 degF', 'temperature', 283.15],
    ['0.14 kg m^2', 'inertia', 0.14],
    ['0.14 kg·m²', 'inertia', 0.14],
    ['0.35 N h/km', 'forcePerSpeed', 1.26], // 3.6 s/m each
    ['0.032 N h^2/km^2', 'forcePerSpeed2', 0.41472], // 12.96 s²/m² each
    ['2 deg', 'angle', Math.PI / 90],
    ['2°', 'angle', Math.PI / 90],
    ['2.1 bar', 'pressure', 210_000],
    ['45 N/mm', 'stiffness', 45_000],
    ['.5e3 kg', 'mass', 500],
  ])('%s', (text, kind, si) => {
    expect(Math.abs(parseQuantity(text, kind, '') / si - 1)).toBeLessThan(1e-12);
  });

  test.each<[string, KindName, RegExp]>([
    ['12', 'mass', /12 has no unit.*write 12 kg/],
    ['kg', 'mass', /no number with a unit/],
    ['1e400 kg', 'mass', /too large/],
    ['320 J', 'torque', /is an energy; expected a torque/],
    ['1,5 kg', 'mass', /comma.*write 1.5 kg/],
    ['0x10 kg', 'mass', /unknown unit/],
    ['5 constructor', 'mass', /unknown unit/],
    ['5 kg kg', 'mass', /has the unit/],
    ['120 Hz', 'engineSpeed', /has the unit `Hz`/],
    ['60 kph', 'speed', /write 60 km\/h/],
    ['8 %', 'mass', /unknown unit/],
    ['', 'mass', /no number/],
  ])('%s is refused', (text, kind, why) => {
    expect(() => parseQuantity(text, kind, '1390 kg')).toThrow(RangeError);
    expect(() => parseQuantity(text, kind, '1390 kg')).toThrow(why);
  });

  test('every unit that a help line offers is one of its kind', () => {
    for (const [name, { unit, also }] of Object.entries(kinds)) {
      for (const offered of [unit, ...also])
        expect(parseQuantity(`1 ${offered}`, name as KindName, '')).toBeGreaterThan(0);
    }
  });
});
