import { expect, test } from "vitest";
import { exampleDesign } from "../../test/examples/support.ts";
import { pulse } from "./pulse.ts";
import { pulseMargins } from "./pulseMargins.ts";
import { shapeStudy } from "./shape.ts";
import { shapeTracer } from "./shapeTrace.ts";

const GATE = 200e-6;
const design = exampleDesign("first-valve", [
  "reedlift: 1",
  "reedlift: 1\npulse: {step: 4 µs, duration: 4 ms}",
]);
const study = shapeStudy(design, { gate: GATE, landing: "none" });
const trace = shapeTracer(design, study.setting, "stiffness");
const rowOf = (shape: string, drive: string) =>
  study.rows.find((row) => row.shape === shape && row.drive === drive)!;

test("the step is judged as a plain pulse of the same gate is", () => {
  const plain = pulse(design, { gate: GATE, surprises: false }).result;
  const { figures } = trace(rowOf("step", "switch"), 1)!;
  const margins = pulseMargins(design, [figures]);
  expect(margins.map(({ id }) => id)).toEqual(plain.margins.map(({ id }) => id));
  margins.forEach(({ value }, i) => {
    // The steps are the same but for the last digits of 4 ms over 1000.
    expect(value! / plain.margins[i]!.value!).toBeCloseTo(1, 6);
  });
});

test("runs in time give the figures of the comparison, for switch and waveform, at any resonance", () => {
  for (const [shape, drive] of [
    ["ZVD", "switch"],
    ["ZV", "waveform"],
    ["raised cosine", "waveform"],
  ] as const) {
    const row = rowOf(shape, drive);
    for (const [ratio, compared] of [
      [1, row.exact],
      [0.95, row.low],
      [1.05, row.high],
    ] as const) {
      const { figures } = trace(row, ratio)!;
      // Both kernels agree to 1e-10; what is computed longer adds no contact.
      expect(figures.impact_speed_m_s).toBeCloseTo(compared!.impactSpeed, 8);
      expect(figures.peak_lift_m).toBeCloseTo(compared!.peakLift, 12);
      expect(figures.open_delay_s).toBeCloseTo(compared!.openDelay!, 11);
    }
  }
});

test("what can't be made has no run", () => {
  expect(trace({ ...rowOf("step", "switch"), commands: null }, 1)).toBeNull();
});
