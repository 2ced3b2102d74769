/**
 * Arithmetic in a hand-written value, `= 41 / 9` or `= now + 2 * 1.5 kg`. mathjs parses it; the tree is then worked
 * out here node by node over numbers with units, so that nothing but what is listed below can be reached.
 */
import { create, type MathNode, parseDependencies } from 'mathjs/number';
import { measure } from '../input/mathjs-units.ts';
import { anyQuantity } from '../input/quantity.ts';

interface Value {
  readonly si: number;
  readonly dimensions: readonly number[]; // exponents as mathjs orders them; empty: a pure number
}

/** Units that the exponents stand for, in the order of mathjs. */
const BASE = ['kg', 'm', 's', 'A', 'K', 'cd', 'mol', 'rad', 'b'];
const FUNCTIONS: Readonly<Record<string, (...x: number[]) => number>> = {
  abs: Math.abs,
  exp: Math.exp,
  log: Math.log,
  max: Math.max,
  min: Math.min,
  round: Math.round,
};
// Far beyond any formula for a car; a bound for the parser, which recurses. No source.
const LONGEST = 300;

const { parse } = create({ parseDependencies }, {});

/** Thrown inside; its message goes on "… is `= text`, where ". */
class ArithmeticError extends Error {}

/** Whether a value is arithmetic. */
export const isArithmetic = (value: unknown): value is string =>
  typeof value === 'string' && value.trimStart().startsWith('=');

/**
 * Works out a text that begins with `=`.
 * @param now the value that stands there now, as written; undefined where none does
 * @returns a number, or a text with SI units as it would be written; or what is wrong, a clause after "where "
 */
export function workOut(
  text: string,
  now: unknown,
): { readonly ok: true; readonly value: number | string } | { readonly ok: false; readonly fault: string } {
  const formula = text.trim().slice(1).trim();
  if (formula === '') return { ok: false, fault: 'nothing follows the `=`' };
  if (formula.length > LONGEST)
    return { ok: false, fault: `the formula is longer than ${LONGEST} characters` };
  try {
    let tree: MathNode;
    try {
      tree = parse(formula);
    } catch (error) {
      throw new ArithmeticError(`the formula cannot be read: ${(error as Error).message}`);
    }
    return { ok: true, value: written(evaluated(tree, now)) };
  } catch (error) {
    if (error instanceof ArithmeticError) return { ok: false, fault: error.message };
    throw error;
  }
}

function written({ si, dimensions }: Value): number | string {
  if (!Number.isFinite(si)) throw new ArithmeticError('the result is no finite number');
  const units = dimensions
    .map((power, i) => (power === 0 ? '' : power === 1 ? BASE[i] : `${BASE[i]}^${power}`))
    .filter((unit) => unit !== '');
  return units.length === 0 ? si : `${si} ${units.join(' ')}`;
}

function evaluated(node: MathNode, now: unknown): Value {
  const parts = node as unknown as {
    readonly value: unknown;
    readonly name: string;
    readonly op: string;
    readonly content: MathNode;
    readonly args: readonly MathNode[];
    readonly fn: { readonly name: string };
  };
  switch (node.type as string) {
    case 'ConstantNode':
      if (typeof parts.value !== 'number')
        throw new ArithmeticError(`\`${String(parts.value).slice(0, 40)}\` is no number`);
      return { si: parts.value, dimensions: [] };
    case 'ParenthesisNode':
      return evaluated(parts.content, now);
    case 'SymbolNode':
      return named(parts.name, now);
    case 'OperatorNode':
      return operate(
        parts.op,
        parts.args.map((arg) => evaluated(arg, now)),
      );
    case 'FunctionNode': {
      const { name } = parts.fn;
      const values = parts.args.map((arg) => evaluated(arg, now));
      if (name === 'sqrt' && values.length === 1) return power(values[0], 0.5);
      if (!Object.hasOwn(FUNCTIONS, name) || values.length === 0)
        throw new ArithmeticError(
          `\`${name}\` is no function here; there are sqrt, ${Object.keys(FUNCTIONS).join(', ')}`,
        );
      if (name === 'exp' || name === 'log')
        for (const value of values) sameKind(value, { si: 0, dimensions: [] });
      else for (const value of values) sameKind(value, values[0]);
      return { si: FUNCTIONS[name](...values.map((value) => value.si)), dimensions: values[0].dimensions };
    }
    default:
      throw new ArithmeticError('there is more than numbers, units, + - * / ^, brackets and functions');
  }
}

function named(name: string, now: unknown): Value {
  if (name === 'pi') return { si: Math.PI, dimensions: [] };
  if (name === 'now') {
    if (typeof now === 'number') return { si: now, dimensions: [] };
    const quantity = typeof now === 'string' ? anyQuantity(now) : null;
    if (quantity === null)
      throw new ArithmeticError('`now` stands for nothing: no number is written there yet');
    return { si: quantity.si, dimensions: trimmed(quantity.dimensions) };
  }
  const spelt = name === 'Nm' ? 'N m' : name;
  const unit = measure(1, spelt);
  if (unit === null)
    throw new ArithmeticError(`\`${name.slice(0, 40)}\` is no unit, and neither \`now\` nor \`pi\``);
  if (measure(0, spelt)?.si !== 0) throw new ArithmeticError(`\`${name}\` does not begin at zero: write K`);
  return { si: unit.si, dimensions: trimmed(unit.dimensions) };
}

function trimmed(dimensions: string): readonly number[] {
  const powers = dimensions.split(',').map(Number);
  return powers.some((power) => power !== 0) ? powers : [];
}

function sameKind(a: Value, b: Value): void {
  if (a.dimensions.join() !== b.dimensions.join())
    throw new ArithmeticError('values of different kinds are put together');
}

function operate(op: string, [a, b]: readonly Value[]): Value {
  if (b === undefined) {
    if (op === '-') return { si: -a.si, dimensions: a.dimensions };
    if (op === '+') return a;
    if (op === '%') return { si: a.si / 100, dimensions: a.dimensions };
  } else if (op === '+' || op === '-') {
    sameKind(a, b);
    return { si: op === '+' ? a.si + b.si : a.si - b.si, dimensions: a.dimensions };
  } else if (op === '*') return product(a, b, 1);
  else if (op === '/') return product(a, b, -1);
  else if (op === '^') {
    sameKind(b, { si: 0, dimensions: [] });
    return power(a, b.si);
  }
  throw new ArithmeticError(`\`${op}\` is not one of + - * / ^`);
}

function product(a: Value, b: Value, sign: 1 | -1): Value {
  const dimensions = BASE.map((_, i) => (a.dimensions[i] ?? 0) + sign * (b.dimensions[i] ?? 0));
  return {
    si: sign === 1 ? a.si * b.si : a.si / b.si,
    dimensions: dimensions.some((power) => power !== 0) ? dimensions : [],
  };
}

const power = ({ si, dimensions }: Value, exponent: number): Value => ({
  si: si ** exponent,
  dimensions: dimensions.map((x) => x * exponent),
});
