import { STATE_REPEATS } from "./periodicRepeat.ts";

/*
 * Slow states of a train: how far they have still to go, and the move there. See periodic.ts.
 */

/** A slow state whose λ is not known is followed over so many periods at most in one move. */
const REACH = 1e4;
/**
 * Largest move of a state on which others hang: this share of its way, or this much. The ceramic remembers how it
 * came to a voltage, so that a rail must sag in parts, the last ones small, as it does in the run.
 */
const MOVE_SHARE = 0.05;
export const SMALL_MOVE = 0.005;
/** Moves of a slow state in one run. */
const MOST_MOVES = 200;

/** A state that takes many pulses to settle. */
export interface SlowState {
  name: string;
  /** Scaled: 1 is all of it. */
  value(): number;
  move(by: number): void;
  /** Known λ over one period; null: taken from the run. */
  pole: number | null;
  low: number;
  high: number;
  /** Nothing else hangs on it. */
  apart: boolean;
}

/** A slow state with its values at each edge. */
export interface Slow {
  state: SlowState;
  values: number[];
  /** λ of one pulse. */
  pole: number | null;
  moves: number;
  /** First value that belongs to the present run of values. */
  since: number;
  /** Where it stood before the last move, and its change over p periods there. */
  moved: { p: number; value: number; change: number } | null;
}

export const at = (s: Slow, n: number) => s.values[n] as number;
export const stepOf = (s: Slow, n: number, p: number) => Math.abs(at(s, n) - at(s, n - p));

/** Changes below this say nothing about λ. */
const NOISE = 1e-7;

/** What a slow state has still to go, with sign; its λ is learnt on the way. null: too early to tell. */
export function distance(s: Slow, n: number, p: number): number | null {
  if (n - p < s.since) return null;
  const d = at(s, n) - at(s, n - p);
  if (s.state.pole !== null) return d * beyond(s.state.pole ** p);
  const learnt = n - 2 * p >= s.since ? ratioOf(s, n, p, d) : null;
  if (learnt !== null) s.pole = learnt ** (1 / p);
  if (s.pole === null) return null;
  return d * Math.min(beyond((s.pole ?? 0) ** p), REACH);
}

/**
 * λ over p periods: across the last move, whose two sides lie far apart, else from two changes that follow each
 * other. null: neither tells.
 */
function ratioOf(s: Slow, n: number, p: number, d: number): number | null {
  const { moved } = s;
  if (moved !== null && moved.p === p) {
    const apart = at(s, n - p) - moved.value;
    const ratio = 1 + (d - moved.change) / apart;
    if (Math.abs(apart) > 1e2 * NOISE && ratio >= 0 && ratio < 1) return ratio;
  }
  const before = at(s, n - p) - at(s, n - 2 * p);
  if (Math.abs(before) <= NOISE) return s.pole === null ? 0 : null;
  // A state of its own goes on in one direction; what swings is carried by the fast ones.
  return moved === null ? Math.max(0, Math.min(d / before, 1)) : null;
}

/** λ + λ² + … */
const beyond = (lambda: number) => (lambda < 1 ? lambda / (1 - lambda) : Number.POSITIVE_INFINITY);

/** Moves a slow state within its bounds; false: it stands at its bound, or was moved often enough. */
export function move(s: Slow, by: number, n: number, p: number): boolean {
  if (s.moves >= MOST_MOVES) return false;
  const from = at(s, n);
  const most = s.state.apart
    ? Number.POSITIVE_INFINITY
    : Math.max(SMALL_MOVE, MOVE_SHARE * Math.abs(by));
  const wanted = from + Math.max(-most, Math.min(most, by));
  const to = Math.max(s.state.low, Math.min(s.state.high, wanted));
  if (Math.abs(to - from) <= 0.1 * STATE_REPEATS) return false;
  s.moved = { p, value: at(s, n - p), change: from - at(s, n - p) };
  s.state.move(to - from);
  s.values[n] = s.state.value();
  s.since = n;
  s.moves++;
  return true;
}

/** Like {@link distance}, with the λ that is known, and never less than the last change. */
export function left(s: Slow, n: number, p: number): number {
  const d = Math.abs(at(s, n) - at(s, n - p));
  return d * Math.max(1, Math.min(beyond((s.pole ?? 0) ** p), REACH));
}
