import type { Design } from "../../design/design.ts";
import { formatQuantity } from "../../units/index.ts";
import type { Settings } from "../kind.ts";
import { mirrorWarning, percent } from "../mirror.ts";
import type { Warning } from "../reduction.ts";
import { optional } from "../settings.ts";
import type { Levels } from "./levels.ts";
import type { Statistics } from "./pairing.ts";
import type { Channel } from "./samples.ts";
import type { Edge } from "./states.ts";
import type { Found } from "./transitions.ts";

/** Samples that a transition should have between 10 and 90 % (common practice, no source). */
const SAMPLES_PER_TRANSITION = 10;
/** Samples on the same extreme value that look clipped. */
const FLAT = 4;
/** Noise over amplitude beyond which 10 and 90 % instants are doubtful. */
const NOISY = 0.02;
/** Overshoot of this many noise deviations is only noise. */
const NOISE_PEAK = 5;
/** Product of bandwidth and rise time of a first-order detector: ln 9/2π. */
const BANDWIDTH_RISE = Math.log(9) / (2 * Math.PI);

const time = (s: number) => formatQuantity(s, 0, "time", { digits: 2 });

/** Of one channel: clipping and levels that the trace hardly shows. */
export function channelWarnings(channel: Channel, levels: Levels, found: Found): Warning[] {
  const out: Warning[] = [];
  const { role, min, max, flatLow, flatHigh, noise, quantum } = channel;
  // A digitised level rests on one code by itself: flat beyond the level is what clips.
  const beyond = (v: number) =>
    v > levels.high.value ? v - levels.high.value : levels.low.value - v;
  for (const [value, run] of [
    [min, flatLow],
    [max, flatHigh],
  ] as const) {
    const cut = beyond(value) > Math.max(6 * noise, 3 * quantum, 0.02 * levels.amplitude);
    const still = noise > Math.max(1.5 * quantum, 1e-4 * levels.amplitude);
    if (run >= FLAT && (cut || still))
      out.push({
        key: "clipped",
        text: `The ${role} sits on its ${value === max ? "highest" : "lowest"} value for ${run} samples in a row: it looks clipped or saturated. Overshoot, levels and ring-down are then too small; lower the gain or the light.`,
      });
  }
  for (const [name, level] of [
    ["low", levels.low],
    ["high", levels.high],
  ] as const)
    if (levels.rule === "mode" && level.share < 0.1)
      out.push({
        key: "level-unclear",
        text: `Only ${percent(level.share)} of the samples of its half lie at the ${name} level of the ${role}: it hardly rests there. Give the level, or record longer states.`,
      });
  if (found.ringing > 0 && role === "signal")
    out.push({
      key: "ringing-crosses",
      text: `Ringing crosses the far reference level ${found.ringing} ${found.ringing === 1 ? "time" : "times"} and comes back: taken as ringing of one state, not as closing.`,
    });
  if (noise > NOISY * levels.amplitude)
    out.push({
      key: "noise-large",
      text: `The noise of the ${role} is ${percent(noise / levels.amplitude)} of its amplitude: 10 % and 90 % instants, overshoot and settling are doubtful, 50 % instants less so.`,
    });
  return out;
}

/** Of the edges: sampling, detector, overshoot that is only noise. */
export function edgeWarnings(
  channel: Channel,
  levels: Levels,
  edges: readonly Edge[],
  step: number,
  settings: Settings,
): Warning[] {
  const out: Warning[] = [];
  const shortest = Math.min(...edges.map(({ duration }) => duration.time));
  if (edges.length > 0 && shortest < SAMPLES_PER_TRANSITION * step)
    out.push({
      key: "few-samples",
      text: `The shortest transition has ${(shortest / step).toFixed(1)} sample intervals of ${time(step)} between 10 and 90 %; ${SAMPLES_PER_TRANSITION} are wanted. Its duration is good to about one of them.`,
    });
  const bandwidth = optional(settings, "detector-bandwidth");
  if (bandwidth !== null && edges.length > 0) {
    const own = BANDWIDTH_RISE / bandwidth.value;
    if (own > shortest / 3) {
      const freed = shortest > own ? Math.sqrt(shortest ** 2 - own ** 2) : 0;
      out.push({
        key: "detector-bandwidth",
        text: `A detector of ${formatQuantity(bandwidth.value, 0, "frequency", { digits: 3 })} alone takes ${time(own)} from 10 to 90 %: the transition of ${time(shortest)} is part detector${freed > 0 ? ` (about ${time(freed)} without it, by squares)` : ""}.`,
      });
    }
  }
  const peak = Math.max(0, ...edges.map(({ after }) => after.overshoot));
  if (peak > 0 && peak * levels.amplitude < NOISE_PEAK * channel.noise && channel.noise > 0)
    out.push({
      key: "overshoot-noise",
      text: `The overshoot (${percent(peak)}) is within the peaks of the noise: read it as less than that.`,
    });
  const unsettled = edges.filter(({ settling }) => settling === null).length;
  if (unsettled > 0 && unsettled < edges.length)
    out.push({
      key: "some-unsettled",
      text: `${unsettled} of ${edges.length} transitions do not settle; the settling time is that of the others.`,
    });
  return out;
}

/** Of the delays: jitter that the sampling cannot show. */
export function jitterWarnings(delays: Statistics | null, step: number): Warning[] {
  if (delays === null || delays.sd === null) return [];
  if (delays.sd < step && delays.sd < 2 * delays.single)
    return [
      {
        key: "jitter-sampling",
        text: `The jitter (${time(delays.sd)}) is below one sample interval (${time(step)}) and within twice what noise and sampling make by themselves (${time(delays.single)}): it is an upper bound. Sample faster to see it.`,
      },
    ];
  return [];
}

export function mirrorWarnings(design: Design | null, settings: Settings): Warning[] {
  const warning = mirrorWarning(
    design,
    optional(settings, "mirror-mass"),
    optional(settings, "mirror-position"),
  );
  return warning === null ? [] : [warning];
}
