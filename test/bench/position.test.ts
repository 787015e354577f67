import { expect, test } from "vitest";
import {
  DETECTORS,
  type Detector,
  linearReach,
  placeOf,
  signalAt,
  slopeAt,
  steepestAt,
} from "../../src/bench/position/curves.ts";
import { POSITION } from "../../src/bench/position/kind.ts";
import { erf, erfc } from "../../src/numerics/errorFunction.ts";
import type { RandomStream } from "../../src/numerics/random.ts";
import { dataOf, settingsOf, statistics, valueAt } from "./coverage.ts";

test.each([
  // M. Abramowitz, I. Stegun, Handbook of Mathematical Functions (1964), table 7.1 and 7.3 (erfc), to their digits.
  [0.1, 0.112462916],
  [0.5, 0.5204998778],
  [1, 0.8427007929],
  [1.5, 0.9661051465],
  [2, 0.995322265],
])("error function of %f", (x, expected) => {
  expect(erf(x)).toBeCloseTo(expected, 9);
  expect(erf(-x)).toBe(-erf(x));
  expect(erfc(x)).toBeCloseTo(1 - expected, 9);
});

test("both branches of the error function meet, and its tail keeps its digits", () => {
  expect(erf(2.5 - 1e-12) / erf(2.5 + 1e-12)).toBeCloseTo(1, 11);
  // Asymptotic series of 7.1.23 at 6: e^(−36)/(6√π)(1 − 1/72 + 3/72² − 15/72³ + 105/72⁴).
  const tail =
    (Math.exp(-36) / (6 * Math.sqrt(Math.PI))) *
    (1 - 1 / 72 + 3 / 72 ** 2 - 15 / 72 ** 3 + 105 / 72 ** 4);
  expect(erfc(6) / tail).toBeCloseTo(1, 6);
});

const TRUE: Record<Detector, readonly number[]> = {
  "knife edge": [0.1, 2, 3e-3, 0.4e-3],
  "split diode": [0.02, 1.5, 3e-3, 0.4e-3],
  pinhole: [0.05, 1.2, 3e-3, 0.4e-3],
  "position-sensitive": [-0.3, 250],
};

test("knife edge and split diode are the light of the half planes, integrated strip by strip", () => {
  const w = 0.4e-3;
  for (const x of [-0.3e-3, 0, 0.17e-3, 0.5e-3]) {
    const n = 20_000;
    let open = 0;
    let all = 0;
    for (let i = 0; i < n; i++) {
      const t = -5 * w + (10 * w * (i + 0.5)) / n;
      const light = Math.exp((-2 * t * t) / (w * w));
      all += light;
      if (t < x) open += light;
    }
    expect(signalAt("knife edge", [0, 1, 0, w], x)).toBeCloseTo(open / all, 3);
    expect(signalAt("split diode", [0, 1, 0, w], x)).toBeCloseTo((2 * open) / all - 1, 3);
  }
});

test.each(DETECTORS)(
  "%s: slope is the derivative, place the inverse, the range where the slope is",
  (detector) => {
    const p = TRUE[detector];
    const at = steepestAt(detector, p) + (detector === "position-sensitive" ? 3e-3 : 0.1e-3);
    const h = 1e-8;
    const difference = (signalAt(detector, p, at + h) - signalAt(detector, p, at - h)) / (2 * h);
    expect(slopeAt(detector, p, at) / difference).toBeCloseTo(1, 6);
    expect(placeOf(detector, p, signalAt(detector, p, at))).toBeCloseTo(at, 12);
    if (detector === "position-sensitive") return;
    const reach = linearReach(detector, p, 0.05);
    const steepest = Math.abs(slopeAt(detector, p, steepestAt(detector, p)));
    const ends = [-1, 1].map(
      (side) => Math.abs(slopeAt(detector, p, steepestAt(detector, p) + side * reach)) / steepest,
    );
    expect(Math.min(...ends)).toBeCloseTo(0.95, 6);
    expect(placeOf(detector, p, 9)).toBeNaN();
  },
);

function scan(detector: Detector, noise: number, stream: RandomStream | null, n = 41) {
  const x = Array.from({ length: n }, (_, i) => 2e-3 + (2e-3 * i) / (n - 1));
  const signal = x.map(
    (at) => signalAt(detector, TRUE[detector], at) + noise * (stream?.normal() ?? 0),
  );
  return dataOf({ position: x, signal }, { position: "length", signal: "voltage" }, "scan.csv");
}

test.each(DETECTORS)("%s: 1000 noisy calibrations hold their truth", (detector) => {
  const p = TRUE[detector];
  const sensitivity = Math.abs(slopeAt(detector, p, steepestAt(detector, p)));
  const truths: Record<string, number> = { sensitivity_V_m: sensitivity };
  if (detector !== "position-sensitive") {
    truths.spot_radius_m = 0.4e-3;
    truths.centre_m = 3e-3;
    truths.upper_limit_V = (p[0] as number) + (p[1] as number);
    truths.linear_range_m = 2 * linearReach(detector, p, 0.05);
  }
  const found = statistics(1000, truths, (stream) =>
    POSITION.reduce(
      [scan(detector, 0.005, stream)],
      settingsOf({ detector, linearity: 0.05 }),
      null,
    ),
  );
  for (const { coverage, bias, sets } of Object.values(found)) {
    expect(sets).toBe(1000);
    expect(coverage).toBeGreaterThanOrEqual(0.92);
    expect(coverage).toBeLessThanOrEqual(0.98);
    expect(Math.abs(bias)).toBeLessThan(0.1);
  }
});

test("a second file becomes places, with the calibration's and the stage's uncertainty", () => {
  const detector = "split diode";
  const p = TRUE[detector];
  const signal = [2.9e-3, 3e-3, 3.15e-3, 2.85e-3].map((at) => signalAt(detector, p, at));
  const r = POSITION.reduce(
    [scan(detector, 0, null), dataOf({ signal }, { signal: "voltage" })],
    settingsOf({ detector, linearity: 0.05, "position-scale": [1.01, 0.01] }),
    null,
  );
  expect(valueAt(r, "travel_m").value).toBeCloseTo(0.3e-3 * 1.01, 9);
  expect(valueAt(r, "travel_m").u).toBeCloseTo(0.3e-3 * 0.01, 8);
  expect(valueAt(r, "highest_place_m").value).toBeCloseTo(3.15e-3 * 1.01, 9);
  expect(r.warnings.map(({ key }) => key)).toContain("beyond-linear");
  const bright = POSITION.reduce(
    [scan(detector, 0, null), dataOf({ signal: [...signal, 3] }, { signal: "voltage" })],
    settingsOf({ detector, linearity: 0.05 }),
    null,
  );
  expect(bright.warnings.map(({ key }) => key)).toContain("signal-saturated");
});

test("a position-sensitive detector that saturates at its ends keeps the line in the middle", () => {
  const x = Array.from({ length: 61 }, (_, i) => -6e-3 + 0.2e-3 * i);
  const signal = x.map((at) => Math.max(-1, Math.min(1, 250 * at)));
  const r = POSITION.reduce(
    [dataOf({ position: x, signal }, { position: "length", signal: "voltage" })],
    settingsOf({ detector: "position-sensitive" }),
    null,
  );
  expect((valueAt(r, "sensitivity_V_m").value as number) / 250).toBeCloseTo(1, 1);
  expect(valueAt(r, "linear_range_m").value).toBeGreaterThan(7e-3);
  expect(valueAt(r, "linear_range_m").value).toBeLessThan(9e-3);
  expect(r.warnings.map(({ key }) => key)).toContain("range-cut");
});

test("warnings: short scan, coarse points, clipped; refusals", () => {
  const keys = (x: number[], clip = 9) =>
    POSITION.reduce(
      [
        dataOf(
          {
            position: x,
            signal: x.map((at) => Math.min(clip, signalAt("knife edge", TRUE["knife edge"], at))),
          },
          { position: "length", signal: "voltage" },
        ),
      ],
      settingsOf({ detector: "knife edge" }),
      null,
    ).warnings.map(({ key }) => key);
  const grid = (from: number, to: number, n: number) =>
    Array.from({ length: n }, (_, i) => from + ((to - from) * i) / (n - 1));
  expect(keys(grid(2.2e-3, 3.2e-3, 30))).toContain("scan-short");
  expect(keys(grid(2e-3, 4e-3, 11))).toContain("points-coarse");
  expect(keys(grid(2e-3, 4e-3, 41), 1.8)).toContain("clipped");
  expect(() => keys(grid(2e-3, 2e-3, 9))).toThrow("one position");
  expect(() => keys(grid(2e-3, 4e-3, 3))).toThrow("at least 7");
});
