/**
 * Least time of each task in `rounds` rounds [ms]. The tasks take turns, so that what else the machine does falls on
 * all of them alike, and their ratios hold where their times do not.
 */
export function quickest<K extends string>(
  tasks: Record<K, () => unknown>,
  rounds: number,
): Record<K, number> {
  const names = Object.keys(tasks) as K[];
  const least = Object.fromEntries(names.map((name) => [name, Infinity])) as Record<K, number>;
  for (let round = 0; round < rounds; round++) {
    for (const name of names) {
      const begin = performance.now();
      tasks[name]();
      least[name] = Math.min(least[name], performance.now() - begin);
    }
  }
  return least;
}

/** Stops the benchmark where an answer is wrong: a wrong answer may be had in no time. */
export function check(what: string, got: number, expected: number, tolerance: number): void {
  if (Math.abs(got - expected) <= tolerance) return;
  throw new Error(`${what}: expected ${expected} ± ${tolerance}, got ${got}`);
}

/** Prints one line of the table: what was measured, the value, the target and whether it is met. */
export function line(what: string, value: number, unit: string, target?: number): void {
  const digits = Math.abs(value) >= 100 ? 0 : Math.abs(value) >= 10 ? 1 : 2;
  const met = target === undefined ? '' : `≤ ${target} ${value <= target ? 'met' : 'MISSED'}`;
  console.log(`${what}\t${value.toFixed(digits)} ${unit}\t${met}`);
}
