import type { Design } from "../design/design.ts";
import type { DriveCommand } from "../physics/pulse/model.ts";
import { periodicState } from "../physics/pulse/periodic.ts";
import type { TrainPulse, TrainSetting } from "../physics/pulse/periodicPulse.ts";
import { newTrain } from "../physics/pulse/periodicTrain.ts";
import { startState } from "../physics/pulse/start.ts";
import type { PulseState } from "../physics/pulse/state.ts";
import { stripRise } from "../sheet/driveSheet.ts";
import type { DesignPulse } from "../sheet/pulseModel.ts";
import { NoPulseError } from "./pulseOptions.ts";
import { pulsePlan } from "./pulsePlan.ts";

export interface RatesOptions {
  /** Gate length, s; default that of a single pulse (see pulse.ts). */
  gate?: number;
  /** Lowest rate, default 1 Hz. */
  from?: number;
  /** Highest rate; default the highest that gate, delay and dead time leave room for. */
  to?: number;
  /** Rates, default 200; the wanted rate comes on top of them. */
  count?: number;
  /** Step, s; default twice the design's `pulse.step`, or a 300th of the first resonance's period. */
  step?: number;
  /** Change of the gas per pulse that is allowed, default 0.05. */
  change?: number;
  modes?: number;
  ceramic?: "large signal" | "linear";
}

export const RATES_DEFAULT = 200;
/** Change of gas per pulse that makes a guard band. Common practice, no source. */
export const CHANGE_DEFAULT = 0.05;
const LOWEST = 1;
/**
 * Steps against those of a single pulse, and of a period of the first resonance: gas changes by 2e-4, its ratio to
 * a single pulse by far less.
 */
const COARSER = 2;
const STEPS_PER_PERIOD = 300;
/** Least time after the last command, as a share of all before it and in steps. */
const ROOM = 0.05;
const ROOM_STEPS = 20;
/** Share of the rates that goes to those below 1/(4 ring-downs), where each pulse finds the strip at rest. */
const LOW_SHARE = 0.2;
const CALM = 4;

/** Everything that the cases of a scan share; the same wherever it is made. */
export interface RatesPlan {
  made: DesignPulse;
  gate: number;
  commands: DriveCommand[];
  commanded: number;
  step: number;
  change: number;
  from: number;
  to: number;
  highest: number;
  /** Rising; the wanted rate among them. */
  rates: number[];
  wanted: number | null;
  /** A pulse on its own, the ceramic used to being pulsed: each of a very slow train. */
  single: TrainPulse;
  /** Gas of the first pulse after a long rest over that one. */
  firstOverSingle: number;
  /** When the strip rests again. */
  rests: number;
  /** Spectrum of the drive: ∫(M − M_end) e^{−iωt} dt over the static change, s, at a frequency. */
  spectrum: (frequency: number) => number;
  refill: boolean;
  perWatt: number;
  riseMax: number;
  riseLimitedBy: string;
  ambient: number;
  ceramic: "large signal" | "linear";
}

/**
 * Settles rates, gate and the single pulse that they are measured against.
 * @throws NoPulseError where the design can't have a pulse, RangeError for options that do not fit
 */
export function ratesPlan(design: Design, options: RatesOptions = {}): RatesPlan {
  const pulse = pulsePlan(design, {
    ...(options.gate === undefined ? {} : { gate: options.gate }),
    ...(options.modes === undefined ? {} : { modes: options.modes }),
    ...(options.ceramic === undefined ? {} : { ceramic: options.ceramic }),
    ...(options.step === undefined ? {} : { step: options.step }),
  });
  const { made } = pulse;
  const gate = pulse.gate as number;
  const step =
    options.step ??
    Math.max(COARSER * design.pulse.step, rounded(1 / (STEPS_PER_PERIOD * made.firstResonance)));
  const commanded = Math.max(gate, ...pulse.commands.map((c) => c.time));
  const change = options.change ?? CHANGE_DEFAULT;
  if (!(change > 0 && change < 1))
    throw new RangeError(`the allowed change must be above 0 and below 1: got ${change}`);
  const highest = rounded(1 / (commanded + Math.max(ROOM * commanded, ROOM_STEPS * step)), -1);
  const from = options.from ?? Math.min(LOWEST, 0.1 * highest);
  const to = options.to ?? highest;
  if (!(from > 0)) throw new RangeError(`the lowest rate must be > 0 Hz: got ${from}`);
  if (to > highest)
    throw new RangeError(
      `the highest rate, ${to} Hz, leaves no room after the gate (${gate} s with delay and dead time ${commanded} s): at most ${highest} Hz`,
    );
  if (!(to > from))
    throw new RangeError(`the highest rate must be above the lowest: got ${from} to ${to} Hz`);
  const count = options.count ?? RATES_DEFAULT;
  if (!(Number.isInteger(count) && count >= 2))
    throw new RangeError(`the number of rates must be a whole number from 2: got ${count}`);
  const wanted = design.need.rate;
  const inside = wanted !== null && wanted >= from && wanted <= to;
  const heat = stripRise(design);
  const refill = made.model.plenum?.volume != null && made.model.plenum.feedConductance === null;
  const alone = singlePulse(made, pulse.commands, commanded, step, refill);
  if (!(alone.pulse.gas > 0))
    throw new NoPulseError(
      "a single pulse lets no gas through, so that no rate can be compared with it",
    );
  return {
    made,
    gate,
    commands: pulse.commands,
    commanded,
    step,
    change,
    from,
    to,
    highest,
    rates: withRate(spaced(from, to, count, 1 / (CALM * made.ringDown)), inside ? wanted : null),
    wanted: inside ? wanted : null,
    single: alone.pulse,
    firstOverSingle: alone.first,
    rests: alone.rests,
    spectrum: alone.spectrum,
    refill,
    perWatt: heat.perWatt,
    riseMax: heat.riseMax,
    riseLimitedBy: heat.limitedBy,
    ambient: design.surroundings.ambientTemperature,
    ceramic: options.ceramic ?? design.model.ceramic,
  };
}

/** Five digits, towards smaller or larger values or the nearest. */
function rounded(x: number, way: -1 | 0 = 0): number {
  const unit = 10 ** (Math.floor(Math.log10(x)) - 4);
  const n = x / unit;
  return Number(((way === 0 ? Math.round(n) : Math.floor(n)) * unit).toPrecision(5));
}

/** Equal ratios, a fifth of them below the rate at which pulses begin to meet the last one's ringing. */
function spaced(from: number, to: number, count: number, knee: number): number[] {
  const ratios = (a: number, b: number, n: number) =>
    Array.from({ length: n }, (_, i) => a * (b / a) ** (i / n));
  const low = knee > from && knee < to ? Math.max(1, Math.round(LOW_SHARE * count)) : 0;
  const start = low === 0 ? from : knee;
  const upper = ratios(start, to, Math.max(1, count - low - 1));
  const all = [...(low === 0 ? [] : ratios(from, knee, low)), ...upper].map((x) => rounded(x));
  all[0] = from;
  return [...all.filter((x) => x < to), to];
}

function withRate(rates: readonly number[], wanted: number | null): number[] {
  const all = wanted === null || rates.includes(wanted) ? [...rates] : [...rates, wanted];
  return all.sort((a, b) => a - b);
}

/** Change of the piezo moment between the two states. */
export function momentChange(made: DesignPulse): number {
  const [high = 0, low = 0] = made.electrical.moments;
  return made.closed === "low" ? high - low : low - high;
}

/** Time from one pulse to the next of what counts as single ones: a second, more where the strip rings longer. */
const ALONE = 1;
const LONG = 14;
/** Pulses after which the ceramic is used to them, at most. */
const USED_TO = 40;
/** Samples of the moment kept for the spectrum. */
const SAMPLES = 4000;

interface Alone {
  pulse: TrainPulse;
  first: number;
  rests: number;
  spectrum: (frequency: number) => number;
}

/**
 * A single pulse: the ceramic keeps a memory of the pulses before, so that the very first one differs at any rate. A
 * train that waits a second each time is run until it repeats; its last pulse is looked at closely.
 */
function singlePulse(
  made: DesignPulse,
  commands: readonly DriveCommand[],
  commanded: number,
  step: number,
  refill: boolean,
): Alone {
  const { model } = made;
  const state = startState(model, { output: made.closed });
  let record: ((s: PulseState, t: number) => void) | null = null;
  const setting: TrainSetting = {
    model,
    commands,
    rate: 1 / Math.max(ALONE, commanded + LONG * made.ringDown),
    step,
    commanded,
    moment: momentChange(made),
    delayAt: 0,
    rest: state.y,
    refill,
    gas: 0,
    record: (s, t) => record?.(s, t),
  };
  const train = newTrain(setting, state);
  const found = periodicState(train, { most: USED_TO, first: true });
  if (found.failed !== null) throw new RangeError(found.failed);
  const start = found.first?.gas ?? 0;
  setting.delayAt = 0.5 * Math.max(0, ...found.cycle.map((f) => f.peak));
  const times: number[] = [0];
  const moments: number[] = [state.moment];
  const positions: number[] = [state.y];
  record = (s, t) => {
    times.push(t);
    moments.push(s.moment);
    positions.push(s.y);
  };
  const pulse = train.next();
  if (state.failed !== null) throw new RangeError(state.failed);
  const last = positions[positions.length - 1] as number;
  let rests = 0;
  positions.forEach((y, i) => {
    if (Math.abs(y - last) > 0.01 * pulse.peak) rests = times[i] as number;
  });
  return {
    pulse,
    first: pulse.gas > 0 ? start / pulse.gas : 1,
    rests,
    spectrum: spectrumOf(times, moments, moments[moments.length - 1] as number, momentChange(made)),
  };
}

/** |∫ (M − M_end) e^{−iωt} dt| over the static change, trapezoid over the samples kept. */
function spectrumOf(
  times: readonly number[],
  moments: readonly number[],
  end: number,
  change: number,
): (frequency: number) => number {
  const every = Math.max(1, Math.floor(times.length / SAMPLES));
  const t: number[] = [];
  const m: number[] = [];
  times.forEach((time, i) => {
    if (i % every !== 0 && i !== times.length - 1) return;
    t.push(time);
    m.push(((moments[i] as number) - end) / change);
  });
  return (frequency) => {
    const w = 2 * Math.PI * frequency;
    let re = 0;
    let im = 0;
    for (let i = 1; i < t.length; i++) {
      const part = 0.5 * ((t[i] as number) - (t[i - 1] as number));
      for (const k of [i - 1, i]) {
        re += part * (m[k] as number) * Math.cos(w * (t[k] as number));
        im -= part * (m[k] as number) * Math.sin(w * (t[k] as number));
      }
    }
    return Math.hypot(re, im);
  };
}
