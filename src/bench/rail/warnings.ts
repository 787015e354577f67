import { formatQuantity } from "../../units/index.ts";
import { noiseOf } from "../electric/noise.ts";
import type { Reading } from "../electric/together.ts";
import type { Given, Settings } from "../kind.ts";
import type { Warning } from "../reduction.ts";
import { optional } from "../settings.ts";
import type { Edge, Levels } from "./values.ts";

/** Common practice, no source: levels of the digitiser within a sag; source over probe; time constants shown. */
const LEVELS = 16;
const LOADS = 0.01;
const SHOWN = 2;

const volts = (value: number) => formatQuantity(value, 0, "voltage", { digits: 3 });

export function railWarnings(
  t: Float64Array,
  voltage: Float64Array,
  edges: readonly Edge[],
  levels: Levels,
  storage: Given | null,
  settings: Settings,
): Warning[] {
  const out: Warning[] = [];
  const say = (key: string, text: string) => out.push({ key, text });
  const sagging = edges.filter(({ droop }) => droop.value > 0);
  const first = sagging[0] ?? (edges[0] as Edge);
  const size = Math.abs(first.droop.value);
  const steps = levelsWithin(voltage, size);
  if (steps < LEVELS)
    say(
      "digitiser-coarse",
      `The sag of ${volts(size)} spans ${steps} levels of the digitiser. Couple the channel to AC with a larger gain (and read the DC level apart), or take an offset off.`,
    );
  const { recovery } = first;
  if (recovery?.shape === "exponential") {
    const tau = recovery.fitted.p[2]!;
    if (first.until - first.at < SHOWN * tau)
      say(
        "recovery-short",
        `The next edge comes ${formatQuantity((first.until - first.at) / tau, 0, "ratio", { digits: 2 })} time constants after this one: ${recovery.held ? "the level it would end at was taken from the trace with the strip off" : "time constant and sag lean on where it would end"}. Lower the rate, or record the strip off too.`,
      );
  }
  if (recovery?.shape === "ramp")
    say(
      "current-limit",
      `The rail comes back in a straight ramp of ${volts(recovery.fitted.p[2]! / 1e3)} each ms: the supply is in its current limit, and no storage cures a limit that the mean current exceeds. More current, or a lower rate.`,
    );
  const r = recovery === null ? 0 : together(recovery.result.residuals);
  if (r > 0)
    say(
      "not-the-model",
      `What is left of the recovery hangs together from sample to sample (correlation ${r.toFixed(2)}): it is neither one exponential nor one straight ramp, and the uncertainties are too small. Ripple of the supply, current that the strip goes on taking after the edge, or storage with a series resistance do this.`,
    );
  const probe = optional(settings, "probe-resistance");
  const source = sourceOf(
    recovery?.shape === "exponential" ? recovery.fitted.p[2]! : null,
    storage,
  );
  if (probe !== null && source !== null && source / probe.value > LOADS)
    say(
      "probe-loads",
      `The probe's ${formatQuantity(probe.value, 0, "resistance", { digits: 3 })} takes ${(100 * (source / (source + probe.value))).toPrecision(2)} % off the rail through a source of ${formatQuantity(source, 0, "resistance", { digits: 2 })}: the rail stands higher without it. Use a probe of more resistance.`,
    );
  const set = optional(settings, "set-voltage");
  if (set !== null && levels.off !== null && probe === null && apart(levels.off, set))
    say(
      "below-set",
      `With the strip off the rail stands at ${volts(levels.sign * levels.off.value)}, set to ${volts(set.value)}: probe, bleeder or leakage takes current through the supply's resistance. Give the probe's resistance to tell how much.`,
    );
  if (edges.some(({ droop }) => droop.value < 0))
    say(
      "lifted",
      "Edges lift the rail: the strip gives charge back and the supply does not take it. That is bounded and comes off at the opposite edge; more storage or a supply that sinks lowers it.",
    );
  const interval = t[1]! - t[0]!;
  if (recovery?.shape === "exponential" && recovery.fitted.p[2]! < 10 * interval)
    say("samples-coarse", "Fewer than ten samples in the recovery's time constant: record faster.");
  if (storage === null)
    say("storage-unknown", "Without the storage capacitor there is no charge and no resistance.");
  return out;
}

function sourceOf(tau: number | null, storage: Given | null): number | null {
  return tau === null || storage === null ? null : tau / storage.value;
}

const apart = (off: Reading, set: Given) =>
  Math.abs(off.value - Math.abs(set.value)) >
  Math.max(3 * Math.hypot(off.u, set.u), 1e-3 * Math.abs(set.value));

/** How many of the digitiser's steps a height spans: the smallest difference of samples that is not zero. */
function levelsWithin(voltage: Float64Array, height: number): number {
  const n = Math.min(voltage.length, 5000);
  const sorted = voltage.slice(0, n).sort();
  let step = Number.POSITIVE_INFINITY;
  for (let i = 1; i < n; i++) {
    const d = sorted[i]! - sorted[i - 1]!;
    if (d > 0 && d < step) step = d;
  }
  // Samples that are not on a grid are no digitiser's: their smallest difference is next to nothing.
  if (step < noiseOf(voltage.subarray(0, n)).sigma / n) return Number.POSITIVE_INFINITY;
  return Math.floor(height / step);
}

/** Fewest samples that tell, and standard deviations by which the correlation of neighbours stands out of chance. */
const TELLING = 30;
const CHANCE = 6;

/** Correlation of neighbouring residuals where chance does not explain it, else 0. */
function together(residuals: Float64Array): number {
  let [products, squares] = [0, 0];
  for (const [i, x] of residuals.entries()) {
    squares += x * x;
    if (i > 0) products += x * residuals[i - 1]!;
  }
  if (residuals.length < TELLING || Math.sqrt(squares / residuals.length) < NEGLIGIBLE) return 0;
  const r = products / squares;
  return r > CHANCE / Math.sqrt(residuals.length) ? r : 0;
}

/** Residuals below this, V, are rounding. */
const NEGLIGIBLE = 1e-6;
