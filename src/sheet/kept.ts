/*
 * Results that are kept by what they were made of. Most designs that are evaluated one after another
 * (propagation, ways out, windows) differ from each other in one number, and most parts of the sheet do
 * not read it. A part is looked up by the numbers and records that it reads: equal parts, equal result.
 */

/** The result for these parts: one kept from an earlier call with the same parts, else made anew. */
export type Keeper<R> = (parts: readonly unknown[], make: () => R) => R;

/**
 * Results that one keeper holds: the design that others are compared with, those that differ from it in
 * one part, and a whole and a margins-only sheet of each.
 */
const PLACES = 6;

interface Entry<R> {
  parts: readonly unknown[];
  result: R;
}

/**
 * A keeper of the results asked for last. `make` must depend on `parts` only, and its result must not be
 * changed afterwards.
 */
export function keeper<R>(): Keeper<R> {
  const entries: Entry<R>[] = [];
  const toFront = (entry: Entry<R>, from: number) => {
    for (let i = from; i > 0; i--) entries[i] = entries[i - 1] as Entry<R>;
    entries[0] = entry;
  };
  return (parts, make) => {
    for (let i = 0; i < entries.length; i++) {
      const entry = entries[i] as Entry<R>;
      if (!sameParts(entry.parts, parts)) continue;
      toFront(entry, i);
      return entry.result;
    }
    const result = make();
    toFront({ parts, result }, Math.min(entries.length, PLACES - 1));
    return result;
  };
}

/** Numbers by value (NaN is NaN, −0 is not 0), everything else by identity. */
function sameParts(a: readonly unknown[], b: readonly unknown[]): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (!Object.is(a[i], b[i])) return false;
  return true;
}
