import type { Design } from "../../design/design.ts";
import { formatQuantity } from "../../units/index.ts";
import type { Settings } from "../kind.ts";
import { mirrorWarning, percent } from "../mirror.ts";
import type { Warning } from "../reduction.ts";
import { optional } from "../settings.ts";
import type { Input } from "./input.ts";
import { amplitudesOf, type Response } from "./model.ts";
import { crossingsAt, type Peak, peakAt } from "./peaks.ts";
import type { FittedMode } from "./reduce.ts";

/** Points that the half-power width should hold (common practice, no source). */
const POINTS = 5;
/** Fit window over half-power width that fixes Q and the static part (common practice, no source). */
const SPAN = 4;
/** Ring times that a sweep should spend within the half-power width. */
const DWELL = 3;
/** Shift of the peak's middle with height, over its width, that looks bent. */
const BENT = 0.06;

const hertz = (f: number, digits = 4) => formatQuantity(f, 0, "frequency", { digits });

export function responseWarnings(
  input: Input,
  part: Response,
  peaks: readonly Peak[],
  modes: readonly FittedMode[],
  model: Float64Array,
  settings: Settings,
  design: Design | null,
): Warning[] {
  const out: Warning[] = [];
  const { frequency } = part;
  const amplitude = amplitudesOf(part);
  const first = frequency[0]!;
  const last = frequency[frequency.length - 1]!;
  modes.forEach((mode, m) => {
    const peak = peaks[m];
    if (peak === undefined) return;
    const width = mode.frequency / mode.quality;
    const of = modes.length > 1 ? ` of the resonance at ${hertz(mode.frequency)}` : "";
    const sides = Math.min(mode.frequency - first, last - mode.frequency);
    if (sides < width || (modes.length === 1 && last - first < SPAN * width))
      out.push({
        key: "fit-window-narrow",
        text: `The fit window${of} spans ${((last - first) / width).toFixed(1)} half-power widths, ${(sides / width).toFixed(1)} on its shorter side; ${SPAN} and 1 are wanted: damping and static part are hard to tell apart.`,
      });
    const inside = frequency.filter((f) => Math.abs(f - mode.frequency) <= width / 2).length;
    if (inside < POINTS)
      out.push({
        key: "points-coarse",
        text: `Only ${inside} points lie within the half-power width${of} (${hertz(width, 2)}); ${POINTS} are wanted. ${input.how === null ? "Sweep finer." : "Use longer segments: the window also widens the peak."}`,
      });
    if (peak.width !== null) {
      const q = peak.frequency / peak.width;
      if (Math.abs(q / mode.quality - 1) > 0.1)
        out.push({
          key: "half-power-differs",
          text: `The half-power width${of} gives Q ${q.toPrecision(3)}, the fit ${mode.quality.toPrecision(3)}: the curve is no single resonance on a static part, or it is noisy.`,
        });
    }
    const bend = bentBy(frequency, amplitude, model, peak, width);
    if (bend !== null && Math.abs(bend) > BENT)
      out.push({
        key: "peak-bent",
        text: `The peak${of} leans to ${bend < 0 ? "lower" : "higher"} frequency with height (by ${percent(Math.abs(bend))} of its width against the fit): the strip ${bend < 0 ? "softens" : "stiffens"} at this amplitude. Drive it less; frequency and Q of the fit are neither those of small nor of large motion.`,
      });
    out.push(...sweepWarning(settings, mode, first, last, of));
  });
  if (input.coherence !== null) {
    const near = modes.map(({ frequency: f }) => nearest(input, f));
    const low = Math.min(...near);
    if (low < 0.9)
      out.push({
        key: "coherence-low",
        text: `The coherence at the peak is ${low.toFixed(2)}: noise, or motion that the drive does not make. Drive harder or average longer.`,
      });
  }
  const warning = mirrorWarning(
    design,
    optional(settings, "mirror-mass"),
    optional(settings, "mirror-position"),
  );
  return warning === null ? out : [...out, warning];
}

/** Shift of the middle between 90 % and 60 % of the height, less the same of the fit, over the width; null: not told. */
function bentBy(
  frequency: Float64Array,
  amplitude: Float64Array,
  model: Float64Array,
  peak: Peak,
  width: number,
): number | null {
  const lean = (y: Float64Array, top: Peak) => {
    const middle = (fraction: number) => {
      const { left, right } = crossingsAt(frequency, y, top, fraction);
      return left === null || right === null ? null : (left + right) / 2;
    };
    const high = middle(0.9);
    const low = middle(0.6);
    return high === null || low === null ? null : high - low;
  };
  let highest = peak.index;
  for (let i = 0; i < model.length; i++)
    if (Math.abs(frequency[i]! - peak.frequency) < width && model[i]! > model[highest]!)
      highest = i;
  const measured = lean(amplitude, peak);
  const fitted = lean(model, peakAt(frequency, model, highest));
  return measured === null || fitted === null ? null : (measured - fitted) / width;
}

function sweepWarning(
  settings: Settings,
  { frequency, quality }: FittedMode,
  first: number,
  last: number,
  of: string,
): Warning[] {
  const time = optional(settings, "sweep-time");
  if (time === null || !(time.value > 0)) return [];
  const from = optional(settings, "sweep-from")?.value ?? first;
  const to = optional(settings, "sweep-to")?.value ?? last;
  const ring = quality / (Math.PI * frequency);
  const width = frequency / quality;
  const dwell = (width * time.value) / Math.abs(to - from);
  if (dwell >= DWELL * ring) return [];
  const needed = (DWELL * ring * Math.abs(to - from)) / width;
  return [
    {
      key: "sweep-fast",
      text: `The sweep crosses the half-power width${of} in ${formatQuantity(dwell, 0, "time", { digits: 2 })}, the strip rings for ${formatQuantity(ring, 0, "time", { digits: 2 })}: it is smeared towards the end of the sweep. Take at least ${formatQuantity(needed, 0, "time", { digits: 2 })} for this span.`,
    },
  ];
}

function nearest({ response, coherence }: Input, f: number): number {
  let best = 0;
  for (let i = 1; i < response.frequency.length; i++)
    if (Math.abs(response.frequency[i]! - f) < Math.abs(response.frequency[best]! - f)) best = i;
  return coherence?.[best] ?? 1;
}
