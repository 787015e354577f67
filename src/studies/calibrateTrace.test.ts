import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import type { Design } from "../design/design.ts";
import { readDesign } from "../design/readDesign.ts";
import { withFreeLength } from "../design/values.ts";
import { randomStream } from "../numerics/random.ts";
import { fitTrace } from "./calibrateTrace.ts";
import { pulse } from "./pulse.ts";

const read = readDesign(readFileSync("examples/krypton-buffer.reed.yaml", "utf8"));
if (!read.ok) throw new Error("the example is refused");
const DESIGN = read.design;
const GATE = 400e-6;

/** A step of this valve as a recorder has it: late by 5 µs, 4 % too large, 2 µm up, noise of 0.3 µm. */
function recorded(design: Design, noise = 0.3e-6, seed = 1) {
  const { series } = pulse(design, { gate: GATE, duration: 3e-3, surprises: false });
  const { step, lift: column } = series;
  const stream = randomStream(seed, 0);
  const time = Float64Array.from({ length: 1400 }, (_, i) => 2e-6 * i - 1e-4);
  const lift = time.map((t) => {
    const x = Math.max(0, (t - 5e-6) / step);
    const i = Math.min(Math.floor(x), series.count - 2);
    const at = column.values[i]! + (x - i) * (column.values[i + 1]! - column.values[i]!);
    return 2e-6 + 1.04 * at + noise * stream.normal();
  });
  return { time, lift, gate: GATE };
}

describe("a recorded step over the pulse of a strip that bends at 14.8 mm with Q 20", () => {
  const longer = withFreeLength(DESIGN, 14.8e-3);
  const truth = { ...longer, strip: { ...longer.strip, structuralQ: 20 } };
  const overlay = fitTrace(DESIGN, longer, recorded(truth));
  const { figures } = overlay;
  const value = (key: string) => figures.fitted.find((each) => each.key === key)!;

  test("delay, scale, zero, resonance and Q come back", () => {
    expect(figures.status).toBe("converged");
    // Tolerances are four of the standard uncertainties that noise of 0.3 µm in 1400 points leaves.
    expect(Math.abs(value("delay_s").value - 5e-6)).toBeLessThan(4 * value("delay_s").u!);
    expect(Math.abs(value("scale").value - 1.04)).toBeLessThan(4 * value("scale").u!);
    expect(Math.abs(value("zero_m").value - 2e-6)).toBeLessThan(4 * value("zero_m").u!);
    expect(Math.abs(value("resonance_factor").value - 1)).toBeLessThan(
      4 * value("resonance_factor").u!,
    );
    expect(Math.abs(value("structural_q").value - 20)).toBeLessThan(4 * value("structural_q").u!);
    expect(value("structural_q").u).toBeLessThan(0.2);
  });

  test("what is left falls to the noise of the recording; as designed it is far above", () => {
    expect(figures.rms_after_m).toBeLessThan(1.1 * 0.3e-6);
    expect(figures.noise_m).toBeGreaterThan(0.9 * 0.3e-6);
    expect(figures.rms_before_m).toBeGreaterThan(20 * figures.rms_after_m);
    expect(overlay.time.length).toBe(overlay.after.length);
  });

  test("uncalibrated, the resonance tells: lower by (14/14.8)²", () => {
    const found = fitTrace(DESIGN, DESIGN, recorded(truth)).figures.fitted;
    const factor = found.find((each) => each.key === "resonance_factor")!.value;
    expect(factor).toBeLessThan(0.95);
    expect(factor).toBeGreaterThan(0.85);
  });
});

test("too short a recording and one before the gate are refused", () => {
  const short = { time: Float64Array.of(0, 1e-6), lift: Float64Array.of(0, 0), gate: GATE };
  expect(() => fitTrace(DESIGN, DESIGN, short)).toThrow(/20 points/);
  const early = {
    time: Float64Array.from({ length: 30 }, (_, i) => i * 1e-6 - 1),
    lift: new Float64Array(30),
    gate: GATE,
  };
  expect(() => fitTrace(DESIGN, DESIGN, early)).toThrow(/before the gate/);
});
