import { expect, test } from "vitest";
import { exampleDesign } from "../../test/examples/support.ts";
import { shapeStudy } from "./shape.ts";
import { shapeDrawing } from "./shapeDrawing.ts";
import { judgeShapes, type ShapeAsked } from "./shapeJudge.ts";

const ASKED: ShapeAsked = { cause: "stiffness", by: "switch", seed: 1, drive: null };
/** A gas pulse long enough for drives that land softly; the step lets satellites out. */
const design = exampleDesign(
  "first-valve",
  ["reedlift: 1", "reedlift: 1\npulse: {step: 4 µs, gate: 200 µs, duration: 3 ms}"],
  [/gas_pulse: \d+ µs/, "gas_pulse: 300 µs"],
);
const study = shapeStudy(design, { landingsMax: 20 });
const judged = judgeShapes(design, study, ASKED);
const { result } = judged;
const drive = (id: string) => result.drives.find((each) => each.id === id)!;

test("the best is the softest of those that keep every requirement", () => {
  const kept = result.drives.filter(({ need_met }) => need_met === true);
  expect(kept.length).toBeGreaterThan(1);
  expect(kept.length).toBeLessThan(result.drives.length);
  const softest = Math.min(...kept.map(({ score }) => score!));
  expect(drive(result.best!).score).toBe(softest);
  expect(result.taken).toBe(result.best);
  expect(result.verdict).toMatchObject({ met: true });
  expect(result.margins.every(({ met }) => met)).toBe(true);
  const own = kept.filter(({ made_by }) => made_by === "switch").map(({ score }) => score!);
  expect(drive(result.best_by_switch!).score).toBe(Math.min(...own));
});

test("the step fails by its satellites, in the words of a plain pulse", () => {
  expect(drive("step")).toMatchObject({ need_met: false, unmet: ["satellites"], gas_over_step: 1 });
});

test("an asked drive is taken and judged, whatever it keeps", () => {
  const asked = judgeShapes(design, study, { ...ASKED, drive: "step" }).result;
  expect(asked.taken).toBe("step");
  expect(asked.best).toBe(result.best);
  expect(asked.verdict).toMatchObject({ met: false, binding: "satellites" });
  expect(() => judgeShapes(design, study, { ...ASKED, drive: "nudge" })).toThrow(
    'there is no drive "nudge": step, zv-switch',
  );
});

test("the worst of three resonances stands beside each drive, and null has its reason", () => {
  for (const [i, { exact, low, high, worst }] of result.drives.entries()) {
    const speeds = [exact, low, high].map((run) => run!.impact_speed_m_s!);
    expect(worst.impact_speed_m_s).toBe(Math.max(...speeds));
    expect(exact!.ringing_share).toBeNull();
    expect(result.reasons[`drives.${i}.exact.ringing_share`]).toContain("seat");
  }
  expect(result.reasons["timing.interaction point"]).toContain("interaction_distance");
  expect(result.setting.slew_max_V_per_s).toBeNull();
  expect(result.reasons["setting.slew_max_V_per_s"]).toBeDefined();
});

test("a drawing holds the taken drive, the step and others of different shape, each at nine frequencies", () => {
  const drawing = shapeDrawing(design, study, judged, "stiffness");
  const ids = drawing.drives.map(({ id }) => id);
  expect(ids.slice(0, 2)).toEqual([result.taken, "step"]);
  expect(ids).toHaveLength(5);
  expect(new Set(ids).size).toBe(5);
  expect(drawing.errors[4]).toBe(0);
  drawing.drives.forEach(({ id, landings, lift }) => {
    // −5 %, none, +5 % are those of the comparison.
    const { low, exact, high } = drive(id);
    expect([landings[2], landings[4], landings[6]]).toEqual(
      [low, exact, high].map((run) => expect.closeTo(run!.impact_speed_m_s!, 9)),
    );
    const shown = Array.from({ length: lift.length }, (_, i) => lift[i]!);
    // Grid points miss the peak between them.
    expect(Math.max(...shown) / exact!.peak_lift_m).toBeGreaterThan(0.995);
  });
  expect(drawing.end).toBeGreaterThan(200e-6);
});

test("without a seat drives are judged by what rings on, and no gas is timed", () => {
  const shutter = exampleDesign("mirror-shutter", [
    "reedlift: 1",
    "reedlift: 1\npulse: {step: 20 µs, duration: 30 ms}",
  ]);
  const rung = shapeStudy(shutter, { gate: 5e-3, landing: "none" });
  const told = judgeShapes(shutter, rung, ASKED);
  for (const { exact, worst, gas_over_step } of told.result.drives) {
    expect(exact).toMatchObject({ impact_speed_m_s: null, gas_kg: null, satellites: null });
    expect(worst.ringing_share).toBeGreaterThan(0);
    expect(gas_over_step).toBeNull();
  }
  expect(told.result.timing.every(({ channel }) => channel !== "gas")).toBe(true);
  expect(told.result.reasons["timing.gas"]).toBe("no gas passes");
  expect(told.result.reasons.search).toBe("no soft landing was asked for");
  expect(shapeDrawing(shutter, rung, told, "stiffness").measure).toBe("ringing");
});
