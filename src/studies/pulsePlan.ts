import type { Design } from "../design/design.ts";
import type { DriveCommand } from "../physics/pulse/model.ts";
import { commandsOf } from "../physics/pulse/program.ts";
import { type DesignPulse, pulseModel, TRANSIENT_MODES } from "../sheet/pulseModel.ts";
import { driveText } from "./pulseDriveText.ts";
import { gateForWidth } from "./pulseGate.ts";
import { type DrawnWaveform, NoPulseError, type PulseOptions } from "./pulseOptions.ts";

/** Longest and shortest time of a single pulse that is computed by default. */
const LONGEST = 10e-3;

const SHORTEST = 2e-3;

/** What a run needs, settled. */
export interface PulsePlan {
  made: DesignPulse;
  gate: number | null;
  period: number;
  step: number;
  steps: number;
  commands: DriveCommand[];
  text: string;
  count: number;
  rate: number | null;
}

/**
 * Settles model, step and commands of a run.
 * @throws NoPulseError where the design can't have a pulse, RangeError for options that do not fit
 */
export function pulsePlan(design: Design, options: PulseOptions): PulsePlan {
  const ceramic = options.ceramic ?? design.model.ceramic;
  const chosen =
    ceramic === design.model.ceramic ? design : { ...design, model: { ...design.model, ceramic } };
  const made = pulseModel(chosen, options.modes ?? TRANSIENT_MODES);
  if ("reason" in made) throw new NoPulseError(made.reason);
  stiffen(made, options.frequencyFactor ?? 1);
  const count = options.count ?? 1;
  if (!(Number.isInteger(count) && count >= 1))
    throw new RangeError(`the number of pulses must be a whole number from 1: got ${count}`);
  const sw = made.model.circuit?.spec.switch;
  if (sw == null) throw new NoPulseError("the design has no switch");
  const gate = gateOf(design, made, options);
  const rate = count > 1 ? (options.rate ?? design.need.rate) : (options.rate ?? null);
  if (count > 1 && rate === null)
    throw new RangeError("a train needs a rate: give one, or `need.rate` in the design");
  if (rate !== null && !(rate > 0)) throw new RangeError(`the rate must be > 0 Hz: got ${rate}`);
  const wanted = options.step ?? design.pulse.step;
  if (!(wanted > 0 && wanted <= 1e-4))
    throw new RangeError(`the step must be from above 0 to 100 µs: got ${wanted} s`);
  const length =
    rate !== null
      ? 1 / rate
      : (options.duration ?? design.pulse.duration ?? defaultLength(made, gate));
  if (gate !== null && rate !== null && gate + sw.delay + sw.deadTime >= length)
    throw new RangeError(
      `the gate (${gate} s, with the switch's delay and dead time) must be shorter than the period, ${length} s`,
    );
  const steps = Math.max(1, Math.ceil(length / wanted - 1e-9));
  return {
    made,
    gate,
    period: length,
    step: length / steps,
    steps,
    commands: driveCommands(made, gate, options),
    text: driveText(design, made, gate, options, count, rate),
    count,
    rate,
  };
}

/** Another stiffness of the strip: frequencies × factor, compliance and deflection ÷ factor². */
function stiffen(made: DesignPulse, factor: number): void {
  if (factor === 1) return;
  const { strip } = made.model;
  made.model.strip = { ...strip, omega: strip.omega.map((w) => w * factor) };
}

function gateOf(design: Design, made: DesignPulse, options: PulseOptions): number | null {
  if (options.waveform !== undefined) return endOfWaveform(options.waveform, made);
  if (options.edges !== undefined) {
    const close = options.edges.find((edge) => edge.state === made.closed && edge.time > 0);
    return close?.time ?? null;
  }
  const given = options.gate ?? design.pulse.gate;
  if (given !== null) {
    if (!(given > 0)) throw new RangeError(`the gate must be > 0 s: got ${given}`);
    return given;
  }
  const wanted = design.need.gasPulse;
  const found =
    wanted === null || made.model.plenum === null
      ? null
      : gateForWidth(made, wanted, options.step ?? design.pulse.step);
  return found ?? wanted ?? 0.5 / made.firstResonance;
}

/** When a drawn waveform last passes the middle between the two states back to the closed one; null: never. */
function endOfWaveform(waveform: DrawnWaveform, made: DesignPulse): number | null {
  const { outputHigh, outputLow } = made.electrical;
  const [open, closed] = made.open === "high" ? [outputHigh, outputLow] : [outputLow, outputHigh];
  const middle = 0.5 * (open + closed);
  const { time_s: time, voltage_V: volts } = waveform;
  /** Above 0 on the open side. */
  const side = (i: number) => ((volts[i] as number) - middle) * Math.sign(open - closed);
  for (let i = time.length - 1; i > 0; i--) {
    const before = side(i - 1);
    const after = side(i);
    if (!(before > 0 && after <= 0)) continue;
    const from = time[i - 1] as number;
    return from + (((time[i] as number) - from) * before) / (before - after);
  }
  return null;
}

function defaultLength(made: DesignPulse, gate: number | null): number {
  const wanted = (gate ?? 0) + 8 * made.ringDown;
  return Math.max(SHORTEST, Math.min(LONGEST, wanted), 1.5 * (gate ?? 0));
}

function driveCommands(
  made: DesignPulse,
  gate: number | null,
  options: PulseOptions,
): DriveCommand[] {
  const sw = made.model.circuit?.spec.switch;
  if (sw == null) return [];
  if (options.waveform !== undefined) {
    const { time_s: times, voltage_V: volts } = options.waveform;
    if (times.length < 2 || times.length !== volts.length)
      throw new RangeError("a drawn waveform needs at least two times, each with its voltage");
    return times.map((time, i) => {
      if (!(time >= 0 && (i === 0 || time > (times[i - 1] as number))))
        throw new RangeError(
          `times of a waveform must rise from 0 s: got ${time} s at point ${i + 1}`,
        );
      return { time: time + sw.delay, state: "wave", voltage: volts[i] as number };
    });
  }
  if (options.edges !== undefined) return commandsOf(options.edges, sw);
  return commandsOf(
    [
      { time: 0, state: made.open },
      { time: gate as number, state: made.closed },
    ],
    sw,
  );
}
