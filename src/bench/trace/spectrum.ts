import { welchSpectrum } from "../../numerics/welch.ts";
import type { ResultTable } from "../reduction.ts";

/** Rows of the table at most; denser spectra are thinned by keeping the highest of neighbours. */
const ROWS = 2000;
/** Segments that are averaged when no length is asked for. */
const SEGMENTS = 16;
const LONGEST = 65536;

/** Power spectral density by Welch's method, Hann window, 50 % overlap. `segment` in s, null: about 16 segments. */
export function spectrumTable(
  y: Float64Array,
  interval: number,
  segment: number | null,
  unit: string,
): ResultTable {
  let n = 1;
  while (2 * n <= Math.min(LONGEST, (2 * y.length) / (SEGMENTS + 1))) n *= 2;
  if (segment !== null) n = Math.round(segment / interval);
  n = Math.max(8, Math.min(n, y.length));
  const { frequency, density, segments, bandwidth } = welchSpectrum(y, 1 / interval, {
    segment: n,
  });
  const group = Math.ceil(frequency.length / ROWS);
  const rows: number[][] = [];
  for (let k = 0; k < frequency.length; k += group) {
    let best = k;
    for (let j = k; j < Math.min(k + group, frequency.length); j++)
      if (density[j]! > density[best]!) best = j;
    rows.push([frequency[best]!, density[best]!]);
  }
  const width = bandwidth.toPrecision(3);
  const thinned = group > 1 ? `, highest of every ${group} bins` : "";
  return {
    key: "spectrum",
    title: `power spectral density (Welch: Hann window, 50 % overlap, ${segments} segments of ${n} samples, mean of each taken off, ${width} Hz noise bandwidth${thinned})`,
    columns: [
      { key: "frequency_Hz", name: "frequency" },
      { key: "density", name: `density, ${unit === "" ? "1" : `${unit}²`}/Hz` },
    ],
    rows,
  };
}
