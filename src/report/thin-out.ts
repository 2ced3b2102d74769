/** Fewer places of a long column, for drawing. */

/** Every so many-th index, at most `most` and the last one. */
export function cells(n: number, most: number): { readonly step: number; readonly indices: number[] } {
  const step = Math.max(1, Math.ceil(n / most));
  const indices: number[] = [];
  for (let i = 0; i < n; i += step) indices.push(i);
  if (n > 0 && indices[indices.length - 1] !== n - 1) indices.push(n - 1);
  return { step, indices };
}

/** Indices of the least and the greatest value in each of so many stretches, in order, with the first and the last. */
export function extremes(values: Float64Array, buckets: number): number[] {
  const n = values.length;
  const size = Math.max(1, Math.ceil(n / buckets));
  const kept = new Set<number>([0]);
  for (let from = 0; from < n; from += size) {
    let [least, most] = [from, from];
    for (let i = from; i < Math.min(n, from + size); i++) {
      if (values[i] < values[least]) least = i;
      if (values[i] > values[most]) most = i;
    }
    kept.add(Math.min(least, most)).add(Math.max(least, most));
  }
  return [...kept.add(n - 1)];
}
