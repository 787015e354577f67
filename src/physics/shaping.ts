import type { Hertz, Ratio, Second } from "../units/aliases.ts";

/**
 * Impulses that a step is convolved with, so that the ringing of one part cancels that of the
 * others. Amplitudes add up to 1: the shaped step ends where the plain one does.
 */
export interface ImpulseSequence {
  /** Rising, the first 0. */
  readonly times: readonly Second[];
  readonly amplitudes: readonly Ratio[];
}

/** Sums of amplitudes are 1 to rounding; a table of four digits is refused. */
const SUM_TOLERANCE = 1e-9;
/** Impulses nearer than this share of the whole sequence fall together. */
const SAME_TIME = 1e-12;
/** Binomial coefficients beyond this order shape nothing that a strip could follow. */
const MOST_DERIVATIVES = 8;

/**
 * A sequence from its impulses, checked. RangeError where the times do not rise from 0, a number is
 * not finite, or the amplitudes do not add up to 1.
 */
export function sequenceOf(
  times: readonly Second[],
  amplitudes: readonly Ratio[],
): ImpulseSequence {
  if (times.length === 0 || times.length !== amplitudes.length)
    throw new RangeError(
      `a sequence needs one amplitude a time: got ${times.length} times and ${amplitudes.length} amplitudes`,
    );
  if (times[0] !== 0) throw new RangeError(`the first impulse stands at 0 s: got ${times[0]}`);
  for (let i = 0; i < times.length; i++) {
    if (!Number.isFinite(times[i]) || !Number.isFinite(amplitudes[i]))
      throw new RangeError(`impulse ${i + 1} is not finite: got ${amplitudes[i]} at ${times[i]} s`);
    if (i > 0 && !(times[i]! > times[i - 1]!))
      throw new RangeError(
        `impulse times must rise: got ${times[i]} s after ${times[i - 1]} s (impulse ${i + 1})`,
      );
  }
  const sum = amplitudes.reduce((total, a) => total + a, 0);
  if (!(Math.abs(sum - 1) <= SUM_TOLERANCE))
    throw new RangeError(`amplitudes must add up to 1: got ${sum}`);
  return { times: [...times], amplitudes: [...amplitudes] };
}

/** A single impulse: leaves a step as it is. */
export function unshaped(): ImpulseSequence {
  return { times: [0], amplitudes: [1] };
}

/**
 * Zero-vibration sequence and its robust relatives.
 *
 * f damped frequency as a ring-down shows it, ζ damping ratio, n derivatives:
 *   K = exp(−πζ/√(1 − ζ²)),  A_i = binom(n + 1, i) K^i/(1 + K)^(n + 1),  t_i = i/(2 f),  i = 0 … n + 1.
 * n = 0 is ZV (half a step, half a period, the other half), 1 is ZVD, 2 is ZVDD: after the last impulse
 * the residual and its first n derivatives with respect to frequency are zero. Each costs half a period.
 * Range: 0 ≤ ζ < 1, n from 0 to 8; one linear mode.
 * Source: N. C. Singer, W. P. Seering 1990, J. Dyn. Syst. Meas. Control 112, 76–82.
 * @param derivatives n, default 0
 */
export function zvSequence(frequency: Hertz, damping: Ratio, derivatives = 0): ImpulseSequence {
  checkMode(frequency, damping);
  if (!(Number.isInteger(derivatives) && derivatives >= 0 && derivatives <= MOST_DERIVATIVES))
    throw new RangeError(
      `derivatives must be an integer from 0 to ${MOST_DERIVATIVES}: got ${derivatives}`,
    );
  const K = Math.exp((-Math.PI * damping) / Math.sqrt(1 - damping * damping));
  const order = derivatives + 1;
  const times: Second[] = [];
  const amplitudes: Ratio[] = [];
  let binomial = 1;
  for (let i = 0; i <= order; i++) {
    times.push(i / (2 * frequency));
    amplitudes.push((binomial * K ** i) / (1 + K) ** order);
    binomial = (binomial * (order - i)) / (i + 1);
  }
  return { times, amplitudes };
}

/**
 * Both sequences after one another, in either order: every impulse of one starts the whole of the
 * other. Zeros of both remain, so that sequences for f1 and f2 make one that leaves neither mode
 * ringing. Source: N. C. Singer, W. P. Seering 1990, section on higher modes.
 */
export function combinedSequence(a: ImpulseSequence, b: ImpulseSequence): ImpulseSequence {
  const pairs = a.times.flatMap((time, i) =>
    b.times.map((more, j) => ({
      time: time + more,
      amplitude: a.amplitudes[i]! * b.amplitudes[j]!,
    })),
  );
  pairs.sort((p, q) => p.time - q.time);
  const same = SAME_TIME * pairs[pairs.length - 1]!.time;
  const times: Second[] = [];
  const amplitudes: Ratio[] = [];
  for (const { time, amplitude } of pairs) {
    const last = times.length - 1;
    if (last >= 0 && time - times[last]! <= same) amplitudes[last]! += amplitude;
    else {
      times.push(time);
      amplitudes.push(amplitude);
    }
  }
  return { times, amplitudes };
}

/** Time of the last impulse. */
export function sequenceLength(sequence: ImpulseSequence): Second {
  return sequence.times[sequence.times.length - 1]!;
}

/** RangeError unless f > 0 and 0 ≤ ζ < 1. */
export function checkMode(frequency: Hertz, damping: Ratio): void {
  if (!(frequency > 0 && frequency < Number.POSITIVE_INFINITY))
    throw new RangeError(`the frequency must be above 0 Hz and finite: got ${frequency}`);
  if (!(damping >= 0 && damping < 1))
    throw new RangeError(`the damping ratio must be at least 0 and below 1: got ${damping}`);
}
