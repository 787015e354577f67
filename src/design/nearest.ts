/**
 * Optimal string alignment distance: insertions, deletions, substitutions and swaps of neighbours.
 * Damerau 1964; Boytsov 2011 §2.
 */
export function editDistance(a: string, b: string): number {
  const rows: number[][] = [Array.from({ length: b.length + 1 }, (_, j) => j)];
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const cost = a[i - 1] === b[j - 1] ? 0 : 1;
      let best = Math.min(rows[i - 1]![j]! + 1, row[j - 1]! + 1, rows[i - 1]![j - 1]! + cost);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        best = Math.min(best, rows[i - 2]![j - 2]! + 1);
      row.push(best);
    }
    rows.push(row);
  }
  return rows[a.length]![b.length]!;
}

/** Longest text that is compared. */
const COMPARED = 60;

/** The nearest of `known` to `text`, ignoring case, blanks and underscores; null when none is near. */
export function nearest(text: string, known: Iterable<string>): string | null {
  const plain = (s: string) =>
    s
      .slice(0, COMPARED)
      .toLowerCase()
      .replace(/[\s_-]+/g, " ")
      .trim();
  const given = plain(text);
  let best: string | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const candidate of known) {
    const other = plain(candidate);
    const distance = editDistance(given, other);
    const allowed = Math.max(1, Math.floor(Math.max(given.length, other.length) / 3));
    if (
      distance < least &&
      (distance <= allowed || (given.length >= 3 && other.startsWith(given)))
    ) {
      least = distance;
      best = candidate;
    }
  }
  return best;
}
