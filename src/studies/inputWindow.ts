import type { Design, DesignInput } from "../design/design.ts";
import { evaluate } from "../sheet/evaluate.ts";
import { smallestMargin } from "../sheet/marginRow.ts";
import { type QuantityKind, siUnit } from "../units/index.ts";
import {
  allowedValues,
  type InputRange,
  inputOf,
  inputRange,
  withInput,
} from "./inputWindowRange.ts";

/** Values looked at to begin with. */
const COUNT = 25;
/** Width to which an end of an interval is enclosed, relative to the value … */
const END_ACCURACY = 1e-4;
/** … and not below this share of the range, for values about zero. */
const END_FLOOR = 1e-6;
/** Golden-section steps in search of a narrow interval, or of a narrow gap. */
const GOLDEN_STEPS = 14;
/** A turning point can reach this many times as far from its sample as its farther neighbour is. */
const REACH = 2;
/** Differences of margins that are rounding. */
const FLAT = 1e-6;

export interface InputWindowOptions {
  /** Range looked at, SI; each default: the rule of `inputRange`. */
  from?: number;
  to?: number;
  /** Values to begin with, at least 3, default 25. */
  count?: number;
}

/** Where one input of a design may lie. All values SI. */
export interface InputWindow {
  key: string;
  /** Quantity kind of `units/` and its SI unit, empty for pure numbers. */
  kind: string;
  unit: string;
  present: number;
  /** Range looked at. */
  from: number;
  to: number;
  /**
   * Every value looked at, rising, with the smallest margin there; null where nothing is required, or where
   * the design would be physically impossible: that counts as not met.
   */
  values: number[];
  margin: (number | null)[];
  binding: (string | null)[];
  /**
   * Values at which every requirement is met; both ends are met themselves. A bound is the id of the
   * requirement that fails just outside, or "range" where the range, or what is possible, ends first.
   */
  intervals: { from: number; to: number; bound_from: string; bound_to: string }[];
  /** False while ends are still being enclosed: the intervals are then too short. */
  done: boolean;
}

/**
 * The intervals of one numeric input in which every requirement is met, all else as it is.
 * RangeError for a key that is no number of the design, and for a range that is empty or not allowed.
 * @param key as the file spells it: "seat.stand_off", "rails.bias.voltage", "strip.layers.0.thickness"
 */
export function inputWindow(
  design: Design,
  key: string,
  options: InputWindowOptions = {},
): InputWindow {
  const steps = inputWindowSteps(design, key, options);
  for (;;) {
    const next = steps.next();
    if (next.done === true) return next.value;
  }
}

interface Sample {
  value: number;
  margin: number;
  id: string | null;
}

/**
 * The same in steps, one evaluation each: yields what there is so far. First the range is sampled, then
 * peaks below zero and dips above it are searched for an interval or a gap between two samples, then
 * every end is enclosed to 1e-4 of its value. An interval narrower than the spacing of the samples can be
 * missed where the margins beside it are flat.
 */
export function* inputWindowSteps(
  design: Design,
  key: string,
  options: InputWindowOptions = {},
): Generator<InputWindow, InputWindow> {
  const input = inputOf(design, key);
  const range = rangeOf(design, input, options);
  const samples: Sample[] = [];
  const look = (value: number): Sample => {
    const at = samples.findIndex((each) => each.value >= value);
    const known = samples[at];
    if (known?.value === value) return known;
    const sample = { value, ...marginAt(withInput(design, input, value)) };
    samples.splice(at < 0 ? samples.length : at, 0, sample);
    return sample;
  };
  const soFar = (done: boolean) => recordOf(input, range, samples, done);

  for (const value of startValues(input.value, range, options.count ?? COUNT)) {
    look(value);
    yield soFar(false);
  }
  for (const search of turningPoints(samples))
    for (const _ of golden(search, look)) yield soFar(false);
  for (let i = 1; i < samples.length; i++) {
    let [a, b] = [samples[i - 1] as Sample, samples[i] as Sample];
    if (isMet(a) === isMet(b)) continue;
    const floor = END_FLOOR * (range.to - range.from);
    while (b.value - a.value > Math.max(END_ACCURACY * Math.abs(b.value), floor)) {
      const middle = look(0.5 * (a.value + b.value));
      if (isMet(middle) === isMet(a)) a = middle;
      else b = middle;
      yield soFar(false);
    }
    i = samples.indexOf(b);
  }
  return soFar(true);
}

/** Smallest margin; NaN for a design that is physically impossible (a coupling above 1). */
function marginAt(design: Design): { margin: number; id: string | null } {
  try {
    return smallestMargin(evaluate(design, { detail: false, marginsOnly: true }).margins);
  } catch (error) {
    if (error instanceof RangeError) return { margin: Number.NaN, id: null };
    throw error;
  }
}

const isMet = (sample: Sample): boolean => sample.margin >= 0;

function rangeOf(design: Design, input: DesignInput, options: InputWindowOptions): InputRange {
  const own = options.from === undefined || options.to === undefined;
  const rule: InputRange = own
    ? inputRange(design, input.key)
    : { from: options.from as number, to: options.to as number, spacing: "even" };
  const range = { ...rule, from: options.from ?? rule.from, to: options.to ?? rule.to };
  const [low, high] = allowedValues(design, input);
  if (!(range.from < range.to))
    throw new RangeError(`from must lie below to: got ${range.from} and ${range.to}`);
  if (range.from < low || range.to > high)
    throw new RangeError(
      `${input.key} may lie from ${low} to ${high}: got ${range.from} to ${range.to}`,
    );
  return range.from * range.to > 0 ? range : { ...range, spacing: "even" };
}

/** Both ends, values between them and the present one, rising. */
function startValues(present: number, range: InputRange, count: number): number[] {
  if (!(count >= 3)) throw new RangeError(`count must be at least 3: got ${count}`);
  const { from, to, spacing } = range;
  const values = Array.from({ length: count }, (_, i) => {
    const share = i / (count - 1);
    if (i === 0) return from;
    if (i === count - 1) return to;
    return spacing === "ratio" ? from * (to / from) ** share : from + (to - from) * share;
  });
  if (present > from && present < to && !values.includes(present)) values.push(present);
  return values.sort((a, b) => a - b);
}

interface Search {
  from: Sample;
  middle: Sample;
  to: Sample;
  /** 1: a peak below zero; −1: a dip above it. */
  sign: 1 | -1;
}

/**
 * Samples below zero that are higher than their neighbours and samples above it that are lower, where the
 * margins are steep enough to reach zero between the samples.
 */
function turningPoints(samples: readonly Sample[]): Search[] {
  return samples.slice(1, -1).flatMap((middle, k): Search[] => {
    const [from, to] = [samples[k] as Sample, samples[k + 2] as Sample];
    const sign = isMet(middle) ? -1 : 1;
    const rises = [from, to].map((other) => sign * (middle.margin - other.margin));
    const turns = Math.min(...rises) > -FLAT && Math.max(...rises) > FLAT;
    const reaches = REACH * Math.max(...rises) > Math.abs(middle.margin);
    return turns && reaches ? [{ from, middle, to, sign }] : [];
  });
}

/** Golden section until the smallest margin has the other sign; one step an evaluation. */
function* golden(search: Search, look: (value: number) => Sample): Generator<Sample> {
  const { sign } = search;
  const share = (Math.sqrt(5) - 1) / 2;
  const start = isMet(search.middle);
  let [a, b] = [search.from.value, search.to.value];
  let c = look(b - share * (b - a));
  yield c;
  let d = look(a + share * (b - a));
  yield d;
  for (let i = 0; i < GOLDEN_STEPS; i++) {
    if (isMet(c) !== start || isMet(d) !== start) return;
    const left = sign * c.margin > sign * d.margin;
    if (left) {
      b = d.value;
      d = c;
      c = look(b - share * (b - a));
      yield c;
    } else {
      a = c.value;
      c = d;
      d = look(a + share * (b - a));
      yield d;
    }
  }
}

function recordOf(
  input: DesignInput,
  range: InputRange,
  samples: readonly Sample[],
  done: boolean,
): InputWindow {
  const finite = (margin: number) => (Number.isFinite(margin) ? margin : null);
  return {
    key: input.key,
    kind: input.kind,
    unit: siUnit(input.kind as QuantityKind),
    present: input.value,
    from: range.from,
    to: range.to,
    values: samples.map((sample) => sample.value),
    margin: samples.map((sample) => finite(sample.margin)),
    binding: samples.map((sample) => sample.id),
    intervals: intervalsOf(samples),
    done,
  };
}

/** Runs of met samples; what fails in the sample outside binds. */
function intervalsOf(samples: readonly Sample[]): InputWindow["intervals"] {
  const out: InputWindow["intervals"] = [];
  let first = -1;
  for (let i = 0; i <= samples.length; i++) {
    const sample = samples[i];
    if (sample !== undefined && isMet(sample)) {
      if (first < 0) first = i;
      continue;
    }
    if (first < 0) continue;
    out.push({
      from: (samples[first] as Sample).value,
      to: (samples[i - 1] as Sample).value,
      bound_from: samples[first - 1]?.id ?? "range",
      bound_to: sample?.id ?? "range",
    });
    first = -1;
  }
  return out;
}
