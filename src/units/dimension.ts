/**
 * Powers of kg, m, s, A, K, mol, and of two marks that SI counts as 1: rad and cycle.
 * The marks keep Hz (cycle/s), rad/s and 1/s apart; nothing converts between them silently.
 */
export type Dimension = readonly [
  kg: number,
  m: number,
  s: number,
  A: number,
  K: number,
  mol: number,
  rad: number,
  cycle: number,
];

export const PURE_NUMBER: Dimension = [0, 0, 0, 0, 0, 0, 0, 0];

/** Dimension of a · b^k. */
export function dimensionProduct(a: Dimension, b: Dimension, k = 1): Dimension {
  return a.map((power, i) => power + k * b[i]!) as unknown as Dimension;
}

export function sameDimension(a: Dimension, b: Dimension): boolean {
  return a.every((power, i) => power === b[i]);
}
