import type { Settings } from "../kind.ts";
import { propagated } from "../propagate.ts";
import type { Value } from "../reduction.ts";
import { optional } from "../settings.ts";
import { missing } from "../together.ts";
import type { Levels } from "./levels.ts";
import type { Pairing, Statistics } from "./pairing.ts";
import type { Channel } from "./samples.ts";
import type { Edge, GateEdges } from "./states.ts";
import { counted, meanValue, scatterValue, statisticsValue } from "./values.ts";

/*
 * The values of a trace from its levels, delays and edges.
 */

export function levelValues(levels: Levels, unit: string, settings: Settings): Value[] {
  const { low, high, amplitude } = levels;
  const level = (key: string, name: string, value: number, u: number): Value => ({
    key: `${key}${unit}`,
    name,
    value,
    u,
    degreesOfFreedom: Number.POSITIVE_INFINITY,
    budget:
      u > 0
        ? [
            {
              source:
                levels.rule === "given" ? "as given" : "noise, ringing and scatter of the states",
              u,
            },
          ]
        : [],
  });
  const u = Math.hypot(low.u, high.u);
  const out = [
    level("amplitude", "amplitude (high less low level)", amplitude, u),
    level("low_level", "low state level", low.value, low.u),
    level("high_level", "high state level", high.value, high.u),
  ];
  const sensitivity = optional(settings, "sensitivity");
  const amplitudeEntry = { source: "state levels", value: amplitude, u };
  const entries =
    unit === "_m"
      ? [amplitudeEntry]
      : sensitivity === null
        ? null
        : [amplitudeEntry, { source: "sensitivity of the detector", ...sensitivity }];
  if (entries === null) return out;
  const lift = (x: Float64Array) => Math.abs(x[0]! * (entries.length > 1 ? x[1]! : 1));
  const values = [propagated("swing_m", "swing between both states", entries, lift)];
  const drive = optional(settings, "drive-step");
  if (drive !== null) {
    const all = [...entries, { source: "drive step", ...drive }];
    values.push(
      propagated(
        "lift_per_volt_m_V",
        "lift per volt",
        all,
        (x) => lift(x) / Math.abs(x[all.length - 1]!),
      ),
    );
  }
  return [...values, ...out];
}

export function delayValues(
  delays: Statistics | null,
  pairing: Pairing | null,
  gates: GateEdges | null,
  step: number,
): Value[] {
  if (pairing === null || gates === null)
    return [missing("delay_s", "delay from gate to 50 % of the opening", "no gate column")];
  const counts = [
    counted("gates", "gate edges that ask for an opening", gates.opening.length),
    counted("missed", "gate edges without a response", pairing.missed.length),
    counted("extra", "responses without a gate edge", pairing.extra.length),
  ];
  if (delays === null)
    return [
      missing("delay_s", "delay from gate to 50 % of the opening", "no gate edge has a response"),
      ...counts,
    ];
  // A gate edge that rises within one sample is known to ± half an interval, and always to the same side of it.
  const common = gates.unresolved ? step / Math.sqrt(12) : 0;
  const delay = statisticsValue("delay_s", "delay from gate to 50 % of the opening", delays);
  const u = Math.hypot(delay.u!, common);
  const budget =
    common > 0
      ? [...delay.budget, { source: "gate edge within one sample", u: common }]
      : delay.budget;
  return [
    { ...delay, u, budget: [...budget].sort((a, b) => b.u - a.u) },
    scatterValue("jitter_s", "jitter (standard deviation of the delay)", delays),
    {
      ...counted(
        "jitter_floor_s",
        "jitter that noise and sampling make by themselves",
        delays.single,
      ),
      u: null,
      reason: "a bound, not a measurement",
    },
    ...counts,
  ];
}

export function edgeValues(
  edges: readonly Edge[],
  durationKey: string,
  which: "opening" | "closing",
  levels: Levels,
  { noise }: Channel,
): Value[] {
  const none = `no ${which} in the trace`;
  const u = Math.hypot(noise, levels.high.u) / levels.amplitude;
  const of = (f: (edge: Edge) => number | null, each: number | ((edge: Edge) => number)) =>
    edges.map((edge) => ({ value: f(edge), u: typeof each === "number" ? each : each(edge) }));
  const settleU = (edge: Edge) => Math.hypot(edge.middle.u, edge.duration.u);
  const unsettled = edges.find(({ settling }) => settling === null)?.after.unsettled ?? none;
  return [
    meanValue(
      durationKey,
      `transition duration of ${which}, 10 to 90 %`,
      of(
        (e) => e.duration.time,
        (e) => e.duration.u,
      ),
      none,
    ),
    meanValue(
      `overshoot_${which}`,
      `overshoot after ${which}, of the amplitude`,
      of((e) => e.after.overshoot, u),
      none,
    ),
    meanValue(
      `undershoot_${which}`,
      `undershoot after the peak of ${which}`,
      of((e) => e.after.undershoot, u),
      none,
    ),
    meanValue(
      `pre_overshoot_${which}`,
      `overshoot before ${which}`,
      of((e) => e.after.before, u),
      none,
    ),
    meanValue(
      `settling_${which}_s`,
      `settling after ${which}, from 50 %`,
      of((e) => e.settling, settleU),
      unsettled,
    ),
    meanValue(
      `droop_${which}`,
      `droop after ${which} once settled, of the amplitude`,
      of(
        (e) => e.after.droop,
        (e) => droopU(e, noise / levels.amplitude),
      ),
      "no settled part long enough",
    ),
  ];
}

/** Slope of a line through the noisy settled samples, times their length: σ √12/√n. */
function droopU({ after }: Edge, noise: number): number {
  const n = after.settled === null ? 1 : Math.max(2, after.until - after.settled);
  return noise * Math.sqrt(12 / n);
}

/** 50 % instant of each opening to that of the closing right after it. */
export function durations(edges: readonly Edge[]): { value: number; u: number }[] {
  return edges.flatMap((edge, k) => {
    const next = edges[k + 1];
    if (!edge.opening || next === undefined || next.opening) return [];
    const u = Math.hypot(edge.middle.u, next.middle.u);
    return [{ value: next.middle.time - edge.middle.time, u }];
  });
}
