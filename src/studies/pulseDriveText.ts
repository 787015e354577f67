import type { Design } from "../design/design.ts";
import type { DesignPulse } from "../sheet/pulseModel.ts";
import type { PulseOptions } from "./pulseOptions.ts";

const MICRO = 1e6;

const digits = (x: number, n = 4) => String(Number(x.toPrecision(n)));

/** Says that the gate was found for the wanted gas pulse. */
function foundFor(design: Design, options: PulseOptions): string {
  const wanted = design.need.gasPulse;
  if (options.gate !== undefined || design.pulse.gate !== null || wanted === null) return "";
  return ` (found for a gas pulse of ${digits(wanted * MICRO)} µs)`;
}

export function driveText(
  design: Design,
  made: DesignPulse,
  gate: number | null,
  options: PulseOptions,
  count: number,
  rate: number | null,
): string {
  const what =
    options.waveform !== undefined
      ? `a drawn waveform of ${options.waveform.time_s.length} points`
      : options.edges !== undefined
        ? `${options.edges.length} drawn gate edges`
        : `gate ${digits((gate as number) * MICRO)} µs${foundFor(design, options)}, output ${made.open} to open`;
  if (count === 1) return `${what}, one pulse from rest`;
  return `${what}, ${count} pulses at ${digits(rate as number)} Hz from rest`;
}
