import type { Design } from "../../design/design.ts";
import { fitReport, varianceScale } from "../fitReport.ts";
import type { Data, Settings } from "../kind.ts";
import {
  BenchProblem,
  type Fit,
  type Reduction,
  type ResultTable,
  type Value,
} from "../reduction.ts";
import { MOST_RESONANCES, qualityKey, resonanceKey, resonanceName } from "../resonances.ts";
import { optional, word } from "../settings.ts";
import { missing } from "../together.ts";
import { type Input, readResponse } from "./input.ts";
import { amplitudesOf, type Excitation, fitResponse, type Response } from "./model.ts";
import { highestPeaks, type Peak, startOf } from "./peaks.ts";
import { responseWarnings } from "./warnings.ts";

/** Window about a peak, in half-power widths on either side. */
const WIDTHS = 8;

export interface FittedMode {
  frequency: number;
  uFrequency: number;
  quality: number;
  uQuality: number;
}

/** Resonances of a frequency response by least squares, with the half-power width beside them. */
export function reduceResponse(
  [data]: readonly Data[],
  settings: Settings,
  design: Design | null,
): Reduction {
  if (data === undefined) throw new BenchProblem("files", "none", "one file is needed");
  const input = readResponse(data, settings);
  const count = optional(settings, "modes")?.value ?? 1;
  if (!(count >= 1 && count <= MOST_RESONANCES))
    throw new BenchProblem("setting modes", `${count}`, `1 to ${MOST_RESONANCES} modes`);
  const excitation = (word(settings, "excitation") ?? "drive") as Excitation;
  const { part, peaks } = windowed(input.response, count, settings, data.name);
  const fitted = bestOf(part, peaks, excitation);
  const { result } = fitted;
  if (result.status !== "converged" || result.covariance === null)
    throw new BenchProblem(
      `${data.name}: fit of ${count} mode${count === 1 ? "" : "s"}`,
      result.status === "converged" ? "the points do not fix every parameter" : result.reason,
      "a window (fit-from, fit-to) that holds the peaks, points on both flanks",
      true,
    );
  if (result.atBound.length > 0)
    throw new BenchProblem(
      `${data.name}: fit of ${count} mode${count === 1 ? "" : "s"}`,
      "a resonance that shrinks to no width or to zero frequency",
      "peaks that several points show, and no more modes than there are peaks",
      true,
    );
  const weighted = part.u !== null;
  const left = result.residuals.length - result.parameters.length;
  // Known uncertainties stand unless the scatter is larger.
  const birge = weighted && left > 0 ? Math.max(1, result.chiSquared / left) : 1;
  const scale = weighted ? birge : varianceScale(result, false);
  const modes = peaks
    .map((_, k) => modeOf(result.parameters, result.covariance as Float64Array, scale, k))
    .sort((a, b) => a.frequency - b.frequency);
  const nu = weighted && birge === 1 ? Number.POSITIVE_INFINITY : left;
  const source = weighted
    ? "noise of both channels, from the coherence"
    : "scatter about the fitted response";
  const values: Value[] = modes.flatMap((mode, m) => [
    value(
      resonanceKey(m),
      `${resonanceName(m)} (undamped)`,
      mode.frequency,
      mode.uFrequency,
      nu,
      source,
    ),
    value(
      qualityKey(m),
      m === 0 ? "quality factor" : `quality factor of the ${resonanceName(m)}`,
      mode.quality,
      mode.uQuality,
      nu,
      source,
    ),
  ]);
  const first = modes[0] as FittedMode;
  values.push(
    value(
      "damping_ratio",
      "damping ratio",
      0.5 / first.quality,
      (0.5 * first.uQuality) / first.quality ** 2,
      nu,
      source,
    ),
    halfPower(peaks[0] as Peak),
  );
  return {
    kind: "response",
    values,
    fits: [report(part, fitted, count, input.how, weighted)],
    warnings: responseWarnings(input, part, peaks, modes, fitted.model, settings, design),
    tables: input.coherence === null ? [] : [coherenceTable(input)],
    marks: [],
    covariance: null,
  };
}

/** Modes may move with or against the first one, which their peaks do not show: all ways are tried. */
function bestOf(part: Response, peaks: readonly Peak[], excitation: Excitation) {
  const starts = peaks.map(startOf);
  let best = fitResponse(part, starts, excitation);
  for (let ways = 1; ways < 2 ** (starts.length - 1); ways++) {
    const signed = starts.map((start, k) =>
      k > 0 && (ways >> (k - 1)) % 2 === 1 ? { ...start, amplitude: -start.amplitude } : start,
    );
    const next = fitResponse(part, signed, excitation);
    const settled = next.result.status === "converged";
    if (
      settled &&
      !(best.result.status === "converged" && best.result.chiSquared <= next.result.chiSquared)
    )
      best = next;
  }
  return best;
}

/** Points of the window, and its peaks: asked for, or eight half-power widths about the peaks. */
function windowed(
  response: Response,
  count: number,
  settings: Settings,
  name: string,
): { part: Response; peaks: Peak[] } {
  const low = optional(settings, "fit-from")?.value ?? Number.NEGATIVE_INFINITY;
  const high = optional(settings, "fit-to")?.value ?? Number.POSITIVE_INFINITY;
  const inside = cut(response, low, high);
  const peaks = highestPeaks(inside.frequency, amplitudesOf(inside), count);
  if (peaks.length < count)
    throw new BenchProblem(
      name,
      `${peaks.length} peaks between ${format(inside.frequency[0])} and ${format(inside.frequency.at(-1))} Hz`,
      `${count} peaks, or fewer modes`,
    );
  const widths = peaks.map((p) => WIDTHS * (p.width ?? p.frequency / 30));
  const from = Number.isFinite(low)
    ? low
    : Math.min(...peaks.map((p, k) => p.frequency - widths[k]!));
  const to = Number.isFinite(high)
    ? high
    : Math.max(...peaks.map((p, k) => p.frequency + widths[k]!));
  const part = cut(inside, from, to);
  const needed = 3 * count + 4;
  if (part.frequency.length < needed)
    throw new BenchProblem(
      name,
      `${part.frequency.length} points in the fit window`,
      `at least ${needed} for ${count} mode${count === 1 ? "" : "s"}`,
    );
  return { part, peaks: highestPeaks(part.frequency, amplitudesOf(part), count) };
}

const format = (x: number | undefined) => (x === undefined ? "–" : x.toPrecision(5));

function cut(
  { frequency, values, complex, u, resolution }: Response,
  low: number,
  high: number,
): Response {
  let from = 0;
  while (from < frequency.length && frequency[from]! < low) from++;
  let to = from;
  while (to < frequency.length && frequency[to]! <= high) to++;
  const k = complex ? 2 : 1;
  return {
    frequency: frequency.slice(from, to),
    values: values.slice(k * from, k * to),
    complex,
    resolution,
    u: u === null ? null : u.slice(from, to),
  };
}

function modeOf(p: Float64Array, covariance: Float64Array, scale: number, k: number): FittedMode {
  const n = p.length;
  const at = 1 + 3 * k;
  const f = p[at]!;
  const g = p[at + 1]!;
  const ff = covariance[at * n + at]! * scale;
  const gg = covariance[(at + 1) * n + at + 1]! * scale;
  const fg = covariance[at * n + at + 1]! * scale;
  const quality = f / g;
  const variance = ff / g ** 2 + (f * f * gg) / g ** 4 - (2 * f * fg) / g ** 3;
  return {
    frequency: f,
    uFrequency: Math.sqrt(ff),
    quality,
    uQuality: Math.sqrt(Math.max(0, variance)),
  };
}

const value = (
  key: string,
  name: string,
  v: number,
  u: number,
  degreesOfFreedom: number,
  source: string,
): Value => ({ key, name, value: v, u, degreesOfFreedom, budget: u > 0 ? [{ source, u }] : [] });

function halfPower(peak: Peak): Value {
  const key = "half_power_quality_factor";
  const name = "quality factor from the half-power width, a check";
  if (peak.width === null)
    return missing(key, name, "the curve does not fall to 1/√2 on both sides of the peak");
  return {
    ...value(key, name, peak.frequency / peak.width, 0, Number.POSITIVE_INFINITY, ""),
    u: null,
    reason: "read off the points; the fit has the uncertainty",
  };
}

function report(
  part: Response,
  { result, start, model }: ReturnType<typeof fitResponse>,
  count: number,
  how: string | null,
  weighted: boolean,
): Fit {
  const plan = [
    { key: "static", name: "static part (modes above)", start: start[0]! },
    ...Array.from({ length: count }, (_, k) => [
      { key: `frequency_${k + 1}`, name: `resonance ${k + 1}, Hz`, start: start[1 + 3 * k]! },
      { key: `width_${k + 1}`, name: `width f/Q ${k + 1}, Hz`, start: start[2 + 3 * k]! },
      { key: `amplitude_${k + 1}`, name: `amplitude ${k + 1}`, start: start[3 + 3 * k]! },
    ]).flat(),
    ...(part.complex ? [{ key: "delay", name: "delay, s", start: 0 }] : []),
  ];
  const what = part.complex ? "amplitude and phase" : "amplitude";
  return fitReport(
    `${count} mode${count === 1 ? "" : "s"} with static part to the ${what}${how === null ? "" : ` (${how})`}`,
    plan,
    result,
    weighted,
    {
      x: part.frequency,
      y: amplitudesOf(part),
      model,
      xName: "frequency",
      xUnit: "Hz",
      yName: "amplitude",
      yUnit: "",
    },
  );
}

function coherenceTable({ response, coherence, how }: Input): ResultTable {
  const amplitude = amplitudesOf(response);
  const step = Math.max(1, Math.ceil(response.frequency.length / 2000));
  const rows: number[][] = [];
  for (let i = 0; i < response.frequency.length; i += step)
    rows.push([response.frequency[i]!, amplitude[i]!, coherence![i]!]);
  return {
    key: "response",
    title: `frequency response from drive and response (${how})`,
    columns: [
      { key: "frequency_Hz", name: "frequency" },
      { key: "amplitude", name: "amplitude" },
      { key: "coherence", name: "coherence" },
    ],
    rows,
  };
}
