/** Middle and spread of numbers that may hold outliers, in linear time. */

/** The value that the share `q` (0 … 1) of the finite numbers lies below, linear between two; NaN where there are none. */
export function quantile(values: Float64Array, q: number): number {
  return ranked(finite(values, false), q);
}

/**
 * Standard deviation of normal numbers about 0, from the median of their size: half of them lie within 0.6745 of it.
 * (Median absolute deviation; Hampel 1974, from memory.)
 */
export function spread(values: Float64Array): number {
  return ranked(finite(values, true), 0.5) / 0.674_49;
}

function finite(values: Float64Array, size: boolean): Float64Array {
  const kept = new Float64Array(values.length);
  let n = 0;
  for (let i = 0; i < values.length; i++) {
    if (Number.isFinite(values[i])) kept[n++] = size ? Math.abs(values[i]) : values[i];
  }
  return kept.subarray(0, n);
}

function ranked(values: Float64Array, q: number): number {
  const n = values.length;
  if (n === 0) return Number.NaN;
  const at = q * (n - 1);
  const low = Math.floor(at);
  select(values, low);
  if (low === n - 1) return values[low];
  let next = Infinity;
  for (let i = low + 1; i < n; i++) if (values[i] < next) next = values[i];
  return values[low] + (at - low) * (next - values[low]);
}

/** Puts the value of rank `k` in its place, none larger before it, none smaller behind it (Hoare 1961, Find). */
function select(values: Float64Array, k: number): void {
  let left = 0;
  let right = values.length - 1;
  while (left < right) {
    const pivot = values[k];
    let i = left;
    let j = right;
    while (i <= j) {
      while (values[i] < pivot) i++;
      while (pivot < values[j]) j--;
      if (i > j) break;
      const value = values[i];
      values[i++] = values[j];
      values[j--] = value;
    }
    if (j < k) left = i;
    if (k < i) right = j;
  }
}
