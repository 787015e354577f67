/*
 * Which response belongs to which gate edge. Nothing is averaged away: a gate edge without a response is a miss, a
 * response that no edge asked for is an extra.
 */

export interface Pair {
  /** Index among the gate edges and among the responses. */
  gate: number;
  response: number;
  delay: number;
}

export interface Pairing {
  pairs: Pair[];
  missed: number[];
  extra: number[];
}

/**
 * The first response at or after each gate edge, before the next edge and within `longest`, belongs to it. Times in
 * rising order. `slack`: how much earlier than the edge a response may seem for the sampling (≥ 0).
 */
export function pairResponses(
  gates: ArrayLike<number>,
  responses: ArrayLike<number>,
  longest: number,
  slack: number,
): Pairing {
  const pairs: Pair[] = [];
  const missed: number[] = [];
  const extra: number[] = [];
  let r = 0;
  for (let g = 0; g < gates.length; g++) {
    const from = gates[g]! - slack;
    const to = Math.min(
      gates[g + 1] === undefined ? Number.POSITIVE_INFINITY : gates[g + 1]! - slack,
    );
    while (r < responses.length && responses[r]! < from) extra.push(r++);
    if (r < responses.length && responses[r]! < to && responses[r]! - gates[g]! <= longest) {
      pairs.push({ gate: g, response: r, delay: responses[r]! - gates[g]! });
      r++;
    } else missed.push(g);
    while (r < responses.length && responses[r]! < to) extra.push(r++);
  }
  while (r < responses.length) extra.push(r++);
  return { pairs, missed, extra };
}

export interface Statistics {
  n: number;
  mean: number;
  /** Standard deviation of one, null for fewer than two. */
  sd: number | null;
  /** Root mean square of the single uncertainties. */
  single: number;
  /** Standard uncertainty of the mean, its degrees of freedom. */
  u: number;
  degreesOfFreedom: number;
}

/**
 * Mean of equal measurements. u is the larger of the scatter and of what each one's own uncertainty makes, over √n
 * (a scatter of few that happens to be small must not promise too much). Null for none.
 */
export function statisticsOf(values: readonly number[], u: readonly number[]): Statistics | null {
  const n = values.length;
  if (n === 0) return null;
  const mean = values.reduce((a, b) => a + b, 0) / n;
  const single = Math.sqrt(u.reduce((a, b) => a + b * b, 0) / n);
  if (n === 1)
    return { n, mean, sd: null, single, u: single, degreesOfFreedom: Number.POSITIVE_INFINITY };
  const sd = Math.sqrt(values.reduce((a, b) => a + (b - mean) ** 2, 0) / (n - 1));
  const scatter = sd >= single;
  return {
    n,
    mean,
    sd,
    single,
    u: (scatter ? sd : single) / Math.sqrt(n),
    degreesOfFreedom: scatter ? n - 1 : Number.POSITIVE_INFINITY,
  };
}
