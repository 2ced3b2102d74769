/** Edits (insert, delete, replace, swap of neighbours) from a to b, optimal string alignment. */
function editDistance(a: string, b: string): number {
  let before: number[] = [];
  let above = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      row[j] = Math.min(row[j - 1] + 1, above[j] + 1, above[j - 1] + (same ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        row[j] = Math.min(row[j], before[j - 2] + 1);
      }
    }
    before = above;
    above = row;
  }
  return above[b.length];
}

/** The known name that `word` most likely stands for, or null where none is near. */
export function nearest(word: string, known: Iterable<string>): string | null {
  if (word.length > 60) return null;
  const plain = (text: string) => text.toLowerCase().replace(/[^a-z0-9]/g, '');
  let best: string | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const name of known) {
    const distance =
      plain(name) === plain(word) && plain(word) !== ''
        ? 0
        : editDistance(word.toLowerCase(), name.toLowerCase());
    if (distance < least) {
      least = distance;
      best = name;
    }
  }
  // A third of the letters wrong still reads as a slip; more would be a guess. Common practice, no source.
  return least <= (word.length < 3 ? 0 : Math.max(1, Math.floor(word.length / 3))) ? best : null;
}
