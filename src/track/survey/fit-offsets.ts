/**
 * What a receiver's slow drift puts a whole pass to one side, told from the other passes: medians over stretches, less
 * their mean over the passes, linear between the stretches' middles.
 */
import { quantile } from './median.ts';

/** Length of a stretch [m]: long against bends, short against the drift of a receiver over minutes (no source). */
const STRETCH = 150;
/** Fewest points of a pass in a stretch that tell its offset. */
const LEAST = 5;

/**
 * @param u (n) place of each point along the road [m]
 * @param value (n) what is compared: distance to the left, or height [m]
 * @param weight (n) points of weight 0 are left out
 * @returns (n) offset of its pass at each point [m]
 */
export function passOffsets(
  u: Float64Array,
  value: Float64Array,
  weight: Float64Array,
  { pass, passes }: { readonly pass: Int32Array; readonly passes: number },
): Float64Array<ArrayBuffer> {
  const n = u.length;
  const length = u.reduce((most, x) => Math.max(most, x), 0);
  const stretches = Math.max(1, Math.round(length / STRETCH));
  const size = length / stretches || 1;
  const cells: number[][] = Array.from({ length: passes * stretches }, () => []);
  const stretchOf = (i: number) => Math.min(stretches - 1, Math.floor(u[i] / size));
  for (let i = 0; i < n; i++) {
    if (weight[i] > 0 && Number.isFinite(value[i])) cells[pass[i] * stretches + stretchOf(i)].push(value[i]);
  }
  const offset = new Float64Array(passes * stretches);
  for (let k = 0; k < stretches; k++) {
    const told: number[] = [];
    let sum = 0;
    for (let p = 0; p < passes; p++) {
      const cell = cells[p * stretches + k];
      if (cell.length < LEAST) continue;
      offset[p * stretches + k] = quantile(Float64Array.from(cell), 0.5);
      sum += offset[p * stretches + k];
      told.push(p);
    }
    for (const p of told) offset[p * stretches + k] -= sum / told.length;
  }
  const at = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const middle = u[i] / size - 0.5;
    const low = Math.max(0, Math.min(stretches - 1, Math.floor(middle)));
    const high = Math.min(stretches - 1, low + 1);
    const f = Math.max(0, Math.min(1, middle - low));
    const first = pass[i] * stretches;
    at[i] = offset[first + low] * (1 - f) + offset[first + high] * f;
  }
  return at;
}
