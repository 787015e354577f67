import { formatQuantity } from "../../units/index.ts";
import { neighbourCorrelation } from "../fitGroup.ts";
import type { Settings } from "../kind.ts";
import type { Value, Warning } from "../reduction.ts";
import { optional } from "../settings.ts";
import type { ContactFit } from "./fit.ts";

interface Seen {
  fit: ContactFit;
  settings: Settings;
  force: Float64Array;
  model: Float64Array;
  turns: boolean;
  values: readonly Value[];
}

/** What a careful colleague would say of forces on a balance. */
export function forceWarnings({ fit, settings, force, model, turns, values }: Seen): Warning[] {
  const warnings: Warning[] = [];
  const add = (key: string, text: string) => warnings.push({ key, text });
  if (!fit.hasTare)
    add(
      "no-tare",
      "There are fewer than three points before contact: slope and loop stand, the contact point and absolute forces do not. Start well before the touch.",
    );
  const touching = Array.from(force, (f, i) => f - model[i]!).filter(
    (_, i) => fit.touching[i] === 1,
  );
  const r = neighbourCorrelation(touching);
  if (touching.length > 8 && r > 2.6 / Math.sqrt(touching.length))
    add(
      "line-bent",
      `The force in contact is no straight line (neighbouring residuals correlate by ${r.toFixed(2)}): a soft first touch, slip, or the ceramic's loop. Leave the first touch out with fit-from; the stated uncertainty holds for a straight line.`,
    );
  const compliance = optional(settings, "balance-compliance");
  const k = values.find((v) => v.key === "stiffness_N_m")?.value ?? null;
  if (compliance === null)
    add(
      "balance-gives",
      "Balance or load cell are taken as stiff. Press the bare holder against them and give what they yield per newton as balance-compliance.",
    );
  else if (k !== null && k * compliance.value > 0.3)
    add(
      "balance-soft",
      `The balance gives way by ${Math.round((100 * (k * compliance.value)) / (1 + k * compliance.value))} % of the travel: its give decides the result. Use a stiffer one.`,
    );
  if (k !== null && k < 0)
    add(
      "balance-too-soft",
      "More give of the balance than the whole travel explains: balance-compliance is too large.",
    );
  if (!turns)
    add(
      "one-direction",
      "Force was taken one way only: hysteresis and slip are not seen. Come back the same way.",
    );
  const loop = values.find((v) => v.key === "hysteresis_N");
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const f of force) {
    low = Math.min(low, f);
    high = Math.max(high, f);
  }
  if (typeof loop?.value === "number" && Math.abs(loop.value) > 0.25 * (high - low))
    add(
      "loop-wide",
      `The loop is ${Math.round((100 * Math.abs(loop.value)) / (high - low))} % of the force: more than the 10 to 20 % of a soft ceramic at full field; look for slip at the clamp or a tilted push rod.`,
    );
  const first = force.findIndex((_, i) => fit.touching[i] === 1);
  const last = force.length - 1 - [...fit.touching].reverse().indexOf(1);
  const before = force.filter((_, i) => i < first);
  const after = force.filter((_, i) => i > last);
  if (before.length > 2 && after.length > 2) {
    const mean = (x: Float64Array) => x.reduce((sum, v) => sum + v / x.length, 0);
    const drift = mean(after) - mean(before);
    const square = (x: Float64Array) => x.reduce((sum, v) => sum + (v - mean(x)) ** 2, 0);
    const left = before.length + after.length - 2;
    const noise = Math.sqrt((square(before) + square(after)) / left);
    if (Math.abs(drift) > 4 * noise * Math.sqrt(1 / before.length + 1 / after.length))
      add(
        "tare-drifts",
        `The reading without contact moved by ${formatQuantity(drift, 0, "force", { digits: 2 })} over the run: draughts, warming, or a strip that still creeps.`,
      );
  }
  return warnings;
}
