/** Middle and spread of numbers that may hold outliers. */

/** The value that the share `q` (0 … 1) of the finite numbers lies below; NaN where there are none. */
export function quantile(values: Float64Array, q: number): number {
  const sorted = values.filter((value) => Number.isFinite(value)).sort();
  if (sorted.length === 0) return Number.NaN;
  const at = q * (sorted.length - 1);
  const low = Math.floor(at);
  const high = Math.min(low + 1, sorted.length - 1);
  return sorted[low] + (at - low) * (sorted[high] - sorted[low]);
}

/**
 * Standard deviation of normal numbers about 0, from the median of their size: half of them lie within 0.6745 of it.
 * (Median absolute deviation; Hampel 1974, from memory.)
 */
export const spread = (values: Float64Array): number => quantile(values.map(Math.abs), 0.5) / 0.674_49;
