import { crossSpectrum } from "../../numerics/welch.ts";
import { column, columnIfAny } from "../columns.ts";
import type { Data, Settings } from "../kind.ts";
import { BenchProblem } from "../reduction.ts";
import { optional } from "../settings.ts";
import type { Response } from "./model.ts";

export interface Input {
  response: Response;
  /** Coherence at each frequency, from two channels. */
  coherence: Float64Array | null;
  /** "17 segments of 4096 samples, Hann window, 50 % overlap", null for a table of frequencies. */
  how: string | null;
}

/** Segments that two channels are averaged over when no length is asked for. */
const SEGMENTS = 16;
/**
 * Noise of H at neighbouring bins hangs together, since both channels saw the same Hann window: correlations 4/9 and
 * 1/36 (squares of the window's own, 2/3 and 1/6). A fit over many bins scatters by 1 + 2·(4/9 + 1/36) more in variance.
 */
const NEIGHBOURS = 1 + 2 * (4 / 9 + 1 / 36);

export function readResponse(data: Data, settings: Settings): Input {
  if (data.columns.has("frequency")) return fromTable(data);
  if (data.columns.has("drive") && data.columns.has("response"))
    return fromChannels(data, settings);
  throw new BenchProblem(
    data.name,
    "neither a frequency column nor drive and response",
    "frequency and amplitude, or time, drive and response",
  );
}

function fromTable(data: Data): Input {
  const f = column(data, "frequency", 6);
  const amplitude = column(data, "amplitude", 6);
  const phase = columnIfAny(data, "phase");
  const order = Array.from(f.keys()).sort((i, j) => f[i]! - f[j]!);
  const bad = order.find((i) => !(f[i]! > 0 && amplitude[i]! >= 0));
  if (bad !== undefined)
    throw new BenchProblem(
      `${data.name}, ${data.firstRow === null ? `sample ${bad + 1}` : `row ${data.firstRow + bad}`}`,
      `frequency ${f[bad]}, amplitude ${amplitude[bad]}`,
      "a frequency above zero and an amplitude that is not negative (as a ratio, not in decibels)",
    );
  const frequency = Float64Array.from(order, (i) => f[i]!);
  const values =
    phase === null
      ? Float64Array.from(order, (i) => amplitude[i]!)
      : Float64Array.from(
          order.flatMap((i) => [
            amplitude[i]! * Math.cos(phase[i]!),
            amplitude[i]! * Math.sin(phase[i]!),
          ]),
        );
  return {
    response: { frequency, values, complex: phase !== null, u: null, resolution: 0 },
    coherence: null,
    how: null,
  };
}

/**
 * H1 = S_xy/S_xx, coherence |S_xy|²/(S_xx S_yy), standard uncertainty of each part |H| √((1 − γ²)/(2 γ² n)), n the
 * independent segments (J. S. Bendat, A. G. Piersol, Random Data, ch. 9; from memory).
 */
function fromChannels(data: Data, settings: Settings): Input {
  const x = column(data, "drive", 64);
  const y = column(data, "response", 64);
  const { interval } = data;
  if (interval === null)
    throw new BenchProblem(
      data.name,
      "times that are not evenly spaced",
      "evenly sampled channels",
    );
  const asked = optional(settings, "segment");
  let segment = 8;
  while (2 * segment <= (2 * x.length) / (SEGMENTS + 1)) segment *= 2;
  if (asked !== null) segment = Math.round(asked.value / interval);
  if (!(segment >= 8 && 2 * segment <= x.length))
    throw new BenchProblem(
      "setting segment",
      `${segment} samples of ${x.length}`,
      "a segment of 8 samples to half the record",
    );
  const s = crossSpectrum(x, y, 1 / interval, { segment });
  const bins = s.frequency.length - 2;
  const response: Response = {
    frequency: s.frequency.slice(1, 1 + bins),
    values: new Float64Array(2 * bins),
    complex: true,
    u: new Float64Array(bins),
    resolution: 1 / (segment * interval),
  };
  const coherence = new Float64Array(bins);
  for (let k = 0; k < bins; k++) {
    const xx = s.xx[k + 1]!;
    const re = s.re[k + 1]! / xx;
    const im = s.im[k + 1]! / xx;
    const gamma = Math.min(
      1 - 1e-12,
      (s.re[k + 1]! ** 2 + s.im[k + 1]! ** 2) / (xx * s.yy[k + 1]!),
    );
    response.values[2 * k] = re;
    response.values[2 * k + 1] = im;
    coherence[k] = gamma;
    response.u![k] =
      Math.hypot(re, im) *
      Math.sqrt((NEIGHBOURS * (1 - gamma)) / (2 * Math.max(gamma, 1e-6) * s.independent));
  }
  return {
    response,
    coherence,
    how: `${s.segments} segments of ${segment} samples, Hann window, 50 % overlap`,
  };
}
