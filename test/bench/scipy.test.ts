import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { ringDown } from "../../src/bench/trace/ringDown.ts";
import { fitDampedSinusoids, pencilStart } from "../../src/numerics/dampedSinusoids.ts";
import { crossSpectrum, welchSpectrum } from "../../src/numerics/welch.ts";

/*
 * Recordings of a struck drum skin and a struck steel triangle (CC0, data/recordings.json says whose) against SciPy
 * on the same samples (data/scipy.json, made by perf/bench_scipy.py): Welch spectra, and damped oscillations by
 * curve_fit with its covariance.
 */
interface Recording {
  name: string;
  rate_Hz: number;
  samples: number[];
}
interface Reference {
  name: string;
  welch: { segment: number; overlap: number; frequency_Hz: number[]; density: number[] }[];
  window: [number, number];
  ring: { modes: number; parameters: number[]; u: number[]; residual_sum_of_squares: number }[];
}
const read = (name: string) =>
  JSON.parse(readFileSync(new URL(`data/${name}`, import.meta.url), "utf8"));
const { recordings } = read("recordings.json") as { recordings: Recording[] };
const { recordings: references, cross } = read("scipy.json") as {
  recordings: Reference[];
  cross: { re: number[]; im: number[]; coherence: number[] };
};
const pairs = recordings.map((recording) => ({
  ...recording,
  reference: references.find(({ name }) => name === recording.name) as Reference,
}));

test.each(pairs)(
  "$name: the same spectrum as SciPy's, for lengths with and without a factor of two",
  ({ samples, rate_Hz, reference }) => {
    for (const { segment, overlap, frequency_Hz, density } of reference.welch) {
      const ours = welchSpectrum(samples, rate_Hz, { segment, overlap: overlap / segment });
      expect(ours.frequency.length).toBe(frequency_Hz.length);
      const peak = Math.max(...density);
      density.forEach((expected, k) => {
        expect(ours.frequency[k]).toBeCloseTo(frequency_Hz[k] as number, 8);
        expect(Math.abs((ours.density[k] as number) - expected)).toBeLessThan(
          1e-11 * expected + 1e-15 * peak,
        );
      });
    }
  },
);

test.each(pairs)(
  "$name: the same damped oscillations and covariance as SciPy's",
  ({ samples, rate_Hz, reference }) => {
    const [from, to] = reference.window;
    const y = Float64Array.from(samples.slice(from, to));
    for (const { modes, parameters, u, residual_sum_of_squares } of reference.ring) {
      const starts = pencilStart(y, 1 / rate_Hz, modes).sort((a, b) => a.omega - b.omega);
      expect(starts.length).toBe(modes);
      const { result } = fitDampedSinusoids(y, 1 / rate_Hz, starts);
      expect(result.status).toBe("converged");
      expect(result.chiSquared / residual_sum_of_squares).toBeCloseTo(1, 9);
      const scale = result.chiSquared / (y.length - parameters.length);
      parameters.forEach((expected, j) => {
        const own = u[j] as number;
        expect(Math.abs((result.parameters[j] as number) - expected)).toBeLessThan(1e-4 * own);
        const covariance = result.covariance as Float64Array;
        const ours = Math.sqrt((covariance[j * parameters.length + j] as number) * scale);
        expect(Math.abs(ours / own - 1)).toBeLessThan(1e-3);
      });
    }
  },
);

test.each(pairs)(
  "$name: the ring-down finds the same frequency, and more than one oscillation by itself",
  ({ samples, rate_Hz, reference }) => {
    const [from, to] = reference.window;
    const y = Float64Array.from(samples.slice(from, to));
    const one = reference.ring[0] as Reference["ring"][number];
    const [, alpha = 0, omega = 0] = one.parameters;
    const ring = ringDown(y, 1 / rate_Hz, 1);
    expect(ring?.modes[0]?.frequency).toBeCloseTo(Math.hypot(alpha, omega) / (2 * Math.PI), 4);
    expect(ringDown(y, 1 / rate_Hz, null)?.modes.length).toBeGreaterThan(1);
  },
);

test("what one oscillation leaves of the drum hangs together, and the uncertainty is raised for it", () => {
  const drum = pairs.find(({ name }) => name === "drum") as (typeof pairs)[number];
  const [from, to] = drum.reference.window;
  const ring = ringDown(Float64Array.from(drum.samples.slice(from, to)), 1 / drum.rate_Hz, 1);
  expect(ring?.correlation).toBeGreaterThan(0.5);
  const plain = drum.reference.ring[0]?.u[1] as number;
  expect(ring?.modes[0]?.uAlpha).toBeCloseTo(plain * (ring?.raised as number), 4);
  expect(ring?.raised).toBeGreaterThan(1.5);
});

test("cross spectrum and coherence of both recordings as SciPy's", () => {
  const [x, y] = recordings.map(({ samples }) => samples) as [number[], number[]];
  const ours = crossSpectrum(x, y, 1, { segment: 256 });
  const peak = Math.max(...cross.re.map((re, k) => Math.hypot(re, cross.im[k] as number)));
  cross.re.forEach((re, k) => {
    expect(Math.abs((ours.re[k] as number) - re)).toBeLessThan(1e-13 * peak);
    expect(Math.abs((ours.im[k] as number) - (cross.im[k] as number))).toBeLessThan(1e-13 * peak);
    const size = (ours.re[k] as number) ** 2 + (ours.im[k] as number) ** 2;
    const coherence = size / ((ours.xx[k] as number) * (ours.yy[k] as number));
    expect(coherence).toBeCloseTo(cross.coherence[k] as number, 10);
  });
});
