import { expect, test } from "vitest";
import { exampleDesign } from "../../test/examples/support.ts";
import { shapeStudy } from "./shape.ts";
import type { ShapeDrive } from "./shapeDrives.ts";
import { gateForGasPulse, withGate } from "./shapeGate.ts";
import { shapeTracer } from "./shapeTrace.ts";

const DRIVE: ShapeDrive = {
  shape: "ZV",
  drive: "switch",
  edges: "closing only",
  commands: [
    { time: 0, state: "high" },
    { time: 200e-6, state: "low" },
    { time: 206e-6, state: "off" },
    { time: 380e-6, state: "low" },
  ],
  remark: null,
};

test("another gate moves the closing edge as a whole and leaves the opening one", () => {
  const times = withGate(DRIVE, 200e-6, 150e-6)!.commands!.map(({ time }) => time);
  [0, 150e-6, 156e-6, 330e-6].forEach((time, i) => {
    expect(times[i]).toBeCloseTo(time, 12);
  });
  expect(withGate(DRIVE, 200e-6, 0)).toBeNull();
  expect(withGate({ ...DRIVE, commands: null }, 200e-6, 1e-4)).toBeNull();
});

test("the gate that is found gives a gas pulse as long as wanted, also in a comparison of its own", () => {
  const design = exampleDesign("first-valve", [
    "reedlift: 1",
    "reedlift: 1\npulse: {step: 4 µs, duration: 3 ms}",
  ]);
  const widthOf = (gate: number) => {
    const study = shapeStudy(design, { gate, landing: "none" });
    const row = study.rows.find(({ shape, drive }) => shape === "ZV" && drive === "switch")!;
    const trace = shapeTracer(design, study.setting, "stiffness");
    return { row, trace, width: trace(row, 1)!.figures.gas!.main_width_s! };
  };
  const { row, trace, width } = widthOf(200e-6);
  const wanted = 0.9 * width;
  const gate = gateForGasPulse(row, 200e-6, wanted, trace)!;
  const again = widthOf(gate).width;
  expect(again).toBeLessThanOrEqual(wanted * (1 + 1e-6));
  // The last step is halved five times, from a twentieth of the gate.
  expect(again).toBeGreaterThan(0.97 * wanted);
  expect(gateForGasPulse(row, 200e-6, 1e-6, trace)).toBeNull();
});
