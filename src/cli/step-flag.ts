import { parseQuantity } from '../input/quantity.ts';
import { MAX_STEP } from '../track/road.ts';

/** The greatest distance between stations, as `--step` has it [m]. @throws RangeError with what to write */
export function readStep(text: string): number {
  let why = `expected over 0 m and at most ${MAX_STEP} m`;
  try {
    const step = parseQuantity(text, 'length', '1 m');
    if (step > 0 && step <= MAX_STEP) return step;
  } catch (error) {
    why = (error as RangeError).message;
  }
  throw new RangeError(`--step ${text}: ${why}\nhelp: write a length with its unit, such as --step 0.5m`);
}
