import {
  at,
  distance,
  left,
  move,
  type Slow,
  type SlowState,
  SMALL_MOVE,
  stepOf,
} from "./periodicMove.ts";
import { change, LONGEST_PERIOD, repeats, STATE_REPEATS } from "./periodicRepeat.ts";

/*
 * The periodic state of a train: the state x at each opening edge, and whether it comes back.
 *   period p in 1 … 8:  |x_k − x_{k−p}| ≤ 1e-4 and |g_k − g_{k−p}| ≤ 5e-4 g for the last 3p pulses
 * x scaled so that 1 is all of it, g the gas of a pulse. States that take many pulses (rails, chamber,
 * plenum) are brought there by Aitken's step, x* = x + d λ/(1 − λ), d the change over p pulses and λ its ratio
 * to the one before (or the known exp(−pT/τ)), once the rest repeats roughly; then all is run on, so that the
 * result rests on the run and not on the step. What a slow state has still to go is d λ/(1 − λ) again.
 * Source of the step: A. C. Aitken, Proc. R. Soc. Edinburgh 46 (1926) 289; p and tolerances: common practice,
 * no source.
 */

/** Largest change of the gas, over that of the largest pulse, that counts as none. */
const GAS_REPEATS = 5e-4;
/** Rough repeat of the fast state that lets slow ones be moved: at first, and after that. */
const ROUGH = [5e-3, 1e-3, 2e-4] as const;
/** One pulse as the search for a period needs it. */
export interface PulseMeasure {
  /** Gas let through, or what stands for it; any unit. */
  gas: number;
  /** Peak lift, m. */
  peak: number;
}

/** What is run: `next` goes from one opening edge to the next. */
export interface PeriodicSystem<F extends PulseMeasure> {
  /** Scaled state at the present edge, slow states left out; a fresh array. */
  state(): Float64Array;
  slow: readonly SlowState[];
  next(): F;
  /** Why it can't go on. */
  failed(): string | null;
}

export interface SlowResidual {
  name: string;
  /** Scaled distance from its periodic value that is left. */
  residual: number;
  /** λ over one period; null: it moved too little to tell. */
  pole: number | null;
  moves: number;
}

export interface PeriodicState<F extends PulseMeasure> {
  /** Pulses after which the state comes back; null: none up to 8 in `pulses` pulses. */
  period: number | null;
  /** Pulses run. */
  pulses: number;
  /** The last period, or, without one, the last 24 pulses (fewer where fewer were run). */
  cycle: F[];
  /** Largest change of the scaled state over a period (over one pulse without a period). */
  residual: number;
  /** (largest − smallest)/mean gas of `cycle`. */
  spread: number;
  /** Pulses of `cycle` whose peak lift is below 1 % of the largest (or of `peakOf` a single pulse). */
  missed: number;
  slow: SlowResidual[];
  /** The first pulse, where it was asked for. */
  first: F | null;
  failed: string | null;
}

export interface PeriodicOptions {
  /** Pulses at most, at least 4. */
  most: number;
  /** Peak lift of a single pulse, against which a missed one is seen; default none. */
  peakOf?: number;
  /** Without steps of slow states: brute force. */
  plain?: boolean;
  /** Keep the figures of the first pulse. */
  first?: boolean;
  /**
   * Without a period and without a slow state that drifts: end after so many pulses when gas spreads by no more
   * than this over the last 24, or when their mean is that of the 24 before.
   */
  calm?: { after: number; spread: number };
}

/** Share of the largest opening below which a pulse counts as missed. */
export const MISSED = 0.01;
const SHOWN = 3 * LONGEST_PERIOD;

/** Runs to the end; see {@link periodicSteps}. */
export function periodicState<F extends PulseMeasure>(
  system: PeriodicSystem<F>,
  options: PeriodicOptions,
): PeriodicState<F> {
  const steps = periodicSteps(system, options);
  for (;;) {
    const next = steps.next();
    if (next.done === true) return next.value;
  }
}

/** The search pulse by pulse: yields how many were run. RangeError where fewer than 4 are allowed. */
export function* periodicSteps<F extends PulseMeasure>(
  system: PeriodicSystem<F>,
  options: PeriodicOptions,
): Generator<number, PeriodicState<F>> {
  const { most } = options;
  if (!(most >= 4)) throw new RangeError(`a periodic state needs at least 4 pulses: got ${most}`);
  const states: Float64Array[] = [system.state()];
  /** Figures of pulse k, which leads to state k. */
  const pulses: (F | null)[] = [null];
  const slow: Slow[] = system.slow.map((state) => ({
    state,
    values: [state.value()],
    pole: state.pole,
    moves: 0,
    since: 0,
    moved: null,
  }));
  /** State from which on nothing was moved but what nothing hangs on. */
  let since = 0;
  let stage = 0;
  let period: number | null = null;
  let n = 0;
  while (n < most && period === null) {
    const figures = system.next();
    if (system.failed() !== null) break;
    n++;
    pulses.push(figures);
    states.push(system.state());
    for (const s of slow) s.values.push(s.state.value());
    yield n;
    const found = repeats(states, pulses, since, STATE_REPEATS, GAS_REPEATS, 3);
    if (options.plain === true) {
      if (found !== null && slow.every((s) => stepOf(s, n, found) <= STATE_REPEATS)) period = found;
      continue;
    }
    const rough = ROUGH[Math.min(stage, ROUGH.length - 1)] as number;
    const p = found ?? repeats(states, pulses, since, rough, rough, 1);
    if (found === null && calmed(options, pulses, slow, since, n)) break;
    if (p === null || n - 2 * p < since) continue;
    const far = slow.map((s) => distance(s, n, p));
    if (found !== null && far.every((x) => x !== null && Math.abs(x) <= STATE_REPEATS)) {
      period = found;
      break;
    }
    if (n + 3 * p > most) continue;
    let coupled = false;
    let whole = true;
    slow.forEach((s, i) => {
      const by = far[i] ?? 0;
      if (Math.abs(by) <= 0.5 * STATE_REPEATS || !move(s, by, n, p)) return;
      if (s.state.apart) return;
      coupled = true;
      if (Math.abs(by) > SMALL_MOVE) whole = false;
    });
    if (!coupled) continue;
    states[n] = system.state();
    since = n;
    for (const s of slow) s.since = n;
    if (whole) stage++;
  }
  return resultOf(system, options, states, pulses, slow, period, n);
}

/** Change of the mean gas from 24 pulses to the next 24, and of a slow state over 24, that count as none. */
const SAME_MEAN = 0.01;
const NO_DRIFT = 1e-3;

/** Whether it goes on without a period, but so that more pulses would say no more. */
function calmed<F extends PulseMeasure>(
  { calm }: PeriodicOptions,
  pulses: readonly (F | null)[],
  slow: readonly Slow[],
  since: number,
  n: number,
): boolean {
  if (calm === undefined || n < calm.after || n - SHOWN < since) return false;
  const drifts = (s: Slow) => !s.state.apart && Math.abs(at(s, n) - at(s, n - SHOWN)) > NO_DRIFT;
  if (slow.some(drifts)) return false;
  const gas = (from: number) => pulses.slice(from, from + SHOWN).map((f) => f?.gas ?? 0);
  const last = gas(n + 1 - SHOWN);
  if (spreadOf(last) <= calm.spread) return true;
  if (n - 2 * SHOWN < since) return false;
  const [before, now] = [meanOf(gas(n + 1 - 2 * SHOWN)), meanOf(last)];
  return Math.abs(now - before) <= SAME_MEAN * now;
}

const meanOf = (values: readonly number[]) =>
  values.reduce((a, b) => a + b, 0) / Math.max(1, values.length);

/** (largest − smallest)/mean. */
function spreadOf(gas: readonly number[]): number {
  const mean = meanOf(gas);
  return mean > 0 ? (Math.max(...gas) - Math.min(...gas)) / mean : 0;
}

function resultOf<F extends PulseMeasure>(
  system: PeriodicSystem<F>,
  options: PeriodicOptions,
  states: readonly Float64Array[],
  pulses: readonly (F | null)[],
  slow: readonly Slow[],
  period: number | null,
  n: number,
): PeriodicState<F> {
  const shown = Math.min(n, period ?? SHOWN);
  const cycle = pulses.slice(n + 1 - shown).filter((f): f is F => f !== null);
  const back = Math.min(n, period ?? 1);
  const peaks = cycle.map((f) => f.peak);
  const level = MISSED * Math.max(0, options.peakOf ?? 0, ...peaks);
  return {
    period,
    pulses: n,
    cycle,
    residual: back === 0 ? 0 : change(states[n] as Float64Array, states[n - back] as Float64Array),
    spread: spreadOf(cycle.map((f) => f.gas)),
    missed: peaks.filter((peak) => peak <= level).length,
    slow: slow.map((s) => ({
      name: s.state.name,
      residual: back === 0 ? 0 : Math.abs(left(s, n, back)),
      pole: s.pole,
      moves: s.moves,
    })),
    first: options.first === true ? (pulses[1] ?? null) : null,
    failed: system.failed(),
  };
}
