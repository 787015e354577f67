import { readDesign } from "../../src/design/readDesign.ts";
import { pulse } from "../../src/studies/pulse.ts";
import { NoPulseError } from "../../src/studies/pulseOptions.ts";
import { type RandomCase, randomCase } from "./randomDesigns.ts";

/** What became of a random design: a class to count, and a fault where it may not be so. */
export interface Verdict {
  what: "ran" | "opened" | "refused by the design" | "has no pulse" | "stopped with a reason";
  fault: string | null;
  /** Whether the fault is one of energies: an audit that is open, or a loss that gives. */
  ofEnergy: boolean;
  audit: number | null;
  /** The reason given, where there was no run. */
  reason: string | null;
}

/** An audit must close to this. */
export const AUDIT = 1e-3;

export function judge(seed: number, i: number): Verdict {
  return judgeCase(randomCase(seed, i));
}

export function judgeCase({ text, options }: RandomCase): Verdict {
  const out: Verdict = { what: "ran", fault: null, ofEnergy: false, audit: null, reason: null };
  const read = readDesign(text, { name: "random" });
  if (!read.ok) {
    out.what = "refused by the design";
    out.reason = read.problems.map((p) => `${p.path}: ${p.message}`).join("; ");
    return out;
  }
  let run: ReturnType<typeof pulse>;
  try {
    run = pulse(read.design, { ...options, surprises: false });
  } catch (error) {
    if (!(error instanceof RangeError)) return { ...out, fault: `threw ${error}` };
    out.reason = error.message;
    out.what = error instanceof NoPulseError ? "has no pulse" : "stopped with a reason";
    // A reason is a sentence, with no number that is none.
    if (/NaN|undefined|Infinity/.test(error.message) || error.message.length < 15)
      out.fault = `no reason: ${error.message}`;
    return out;
  }
  const { result, series } = run;
  out.audit = result.audit.relative;
  if (result.pulses.some((p) => (p.gas?.amount_mol ?? 0) > 0)) out.what = "opened";
  const bad = notFinite(result, "result");
  if (bad !== null) out.fault = `${bad} is no number`;
  for (const column of [series.lift, series.flow, series.output, series.plenum, series.chamber])
    if (column.values.some((v) => !Number.isFinite(v))) out.fault = `${column.name} is no number`;
  if (series.plenum.values.some((p) => p < 0) || series.chamber.values.some((p) => p < 0))
    out.fault = "a pressure is negative";
  if (series.flow.values.some((f) => f < 0)) out.fault = "the flow turns round";
  if (out.fault !== null) return out;
  for (const row of result.audit.rows)
    if (row.kind === "lost" && row.energy_J < -1e-3 * Math.abs(result.audit.lost_J) - 1e-15)
      out.fault = `${row.what} gives energy: ${row.energy_J} J`;
  if (!(result.audit.relative < AUDIT)) out.fault = `audit ${result.audit.relative}`;
  out.ofEnergy = out.fault !== null;
  return out;
}

/** Path of the first number that is none. */
function notFinite(value: unknown, path: string): string | null {
  if (typeof value === "number") return Number.isFinite(value) ? null : path;
  if (value === null || typeof value !== "object") return null;
  for (const [key, member] of Object.entries(value)) {
    const found = notFinite(member, `${path}.${key}`);
    if (found !== null) return found;
  }
  return null;
}
