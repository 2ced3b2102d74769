import { describe, expect, it } from 'vitest';
import { anyQuantity } from '../../src/input/quantity.ts';
import { workOut } from '../../src/study/arithmetic.ts';

const result = (text: string, now?: unknown) => {
  const found = workOut(text, now);
  return found.ok ? found.value : found.fault;
};

describe('arithmetic in a value', () => {
  it.each([
    ['= 41 / 9', 41 / 9],
    ['= 2 * (3 + 4) ^ 2', 98],
    ['=-3 + 1', -2],
    ['= sqrt(2) * pi / 2', Math.SQRT2 * (Math.PI / 2)],
    ['= max(3, 7, 5) - min(2, 1)', 6],
    ['= 3 %', 0.03],
  ])('%s', (text, value) => {
    expect(result(text)).toBeCloseTo(value, 12);
  });

  it.each([
    ['= 1390 kg - 2 * 6 kg', 'kg', 1378],
    ['= 1 t - 20 kg', 'kg', 980],
    ['= 0.5 m * 2 m', 'm^2', 1],
    ['= 212 kW / (1400 kg)', 'W/kg', 212_000 / 1400],
    ['= 12 Nm * 2', 'N m', 24],
  ])('%s keeps units', (text, unit, value) => {
    const quantity = anyQuantity(String(result(text)))!;
    const one = anyQuantity(`1 ${unit}`)!;
    expect(quantity.dimensions).toBe(one.dimensions);
    expect(quantity.si / one.si).toBeCloseTo(value, 9);
  });

  it('knows what stands there now', () => {
    expect(result('= now * 1.5', 4)).toBe(6);
    expect(anyQuantity(String(result('= now + 12 kg', '1390 kg')))!.si).toBeCloseTo(1402, 9);
    expect(result('= now', undefined)).toBe('`now` stands for nothing: no number is written there yet');
  });

  it('reaches nothing outside: no names, properties, assignments, text or loops', () => {
    for (const text of [
      '= process.exit(1)',
      '= constructor',
      '= __proto__',
      '= f(x) = x',
      '= a = 3',
      '= "text"',
      '= [1, 2][1]',
      '= {a: 1}.a',
      '= evaluate("1")',
      '= toString(3)',
      '= 1; 2',
      '= true ? 1 : 2',
      '= 5!',
      '= constructor("x")(3)',
    ])
      expect(workOut(text, 1).ok, text).toBe(false);
  });

  it('refuses what is too long or too deep without falling over', () => {
    expect(result(`= ${'('.repeat(140)}1${')'.repeat(140)}`)).toBe(1);
    expect(workOut(`= ${'1+'.repeat(400)}1`, 1).ok).toBe(false);
  });
});
