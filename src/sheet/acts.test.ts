import { expect, test } from "vitest";
import {
  EXAMPLES,
  type ExampleName,
  exampleDesign,
  marginOf,
  sheetOf,
} from "../../test/examples/support.ts";
import { withFreeLength } from "../design/values.ts";
import { type Acts, attachActs, marginSensitivities } from "./acts.ts";
import { evaluate } from "./evaluate.ts";

const actsOf = (name: ExampleName, ...edits: [string | RegExp, string][]): Acts =>
  marginSensitivities(exampleDesign(name, ...edits));

const slope = (acts: Acts, id: string, key: string): number =>
  acts[id]?.find((act) => act.key === key)?.per_relative_change ?? 0;

/** The step is 1e-4; closed forms below have third derivatives of their own size: 1e-8 of them. */
const DIGITS = 7;

test("the field margin falls with the rail voltage by |V|/(t E_max)", () => {
  // 1 − |V|/(t E_max): 150 V over 0.2 mm against 1.5 kV/mm.
  const acts = actsOf("first-valve");
  expect(slope(acts, "field_with_poling", "rails.bias.voltage")).toBeCloseTo(
    -150 / (0.2e-3 * 1.5e6),
    DIGITS,
  );
});

test("a layer that alone is the thinnest has the whole slope, two equal ones half of it each", () => {
  // Thicker: another layer binds, slope 0; thinner: |V|/(t E_max) = 0.5. One-sided halves have an h/2 in them.
  const equal = actsOf("first-valve");
  for (const layer of [0, 2])
    expect(slope(equal, "field_with_poling", `strip.layers.${layer}.thickness`)).toBeCloseTo(
      0.25,
      4,
    );
  const lower = actsOf("first-valve", ["thickness: 0.20(1) mm", "thickness: 0.19(1) mm"]);
  expect(slope(lower, "field_with_poling", "strip.layers.0.thickness")).toBeCloseTo(
    150 / (0.19e-3 * 1.5e6),
    DIGITS,
  );
  expect(slope(lower, "field_with_poling", "strip.layers.2.thickness")).toBe(0);
});

test("mean pressure follows pumping speed, bleed time capacitor, resistor and voltage in closed form", () => {
  const acts = actsOf("first-valve");
  const result = sheetOf("first-valve");
  const base = exampleDesign("first-valve").chamber?.basePressure ?? 0;
  // p = base + Q/S: ∂(1 − p/p_max)/∂ln S = (p − base)/p_max, p_max = 1e-4 mbar.
  expect(slope(acts, "mean_pressure", "chamber.pumping_speed")).toBeCloseTo(
    ((result.gas?.mean_pressure_Pa ?? 0) - base) / 1e-2,
    DIGITS,
  );
  // t = RC ln(|V|/60 V), limit 5 s: the strip's own capacitance adds a few nanofarads to 2.2 µF.
  const RC = 680e3 * 2.2e-6;
  expect(slope(acts, "bleed.bias", "rails.bias.voltage")).toBeCloseTo(-RC / 5, 2);
  expect(slope(acts, "bleed.bias", "rails.bias.bleeder")).toBeCloseTo(
    marginOf(result, "bleed.bias").margin! - 1,
    DIGITS,
  );
});

test("the free length moves swing by its square and resonance down; pad and masses move with it", () => {
  const narrow: [string, string] = ["reedlift: 1", "reedlift: 1\nmodel: {width: narrow}"];
  const acts = actsOf("mirror-shutter", narrow);
  const swing = marginOf(sheetOf("mirror-shutter", [narrow]), "swing").margin!;
  // Swing = Δκ L²/2 without the width effect.
  expect(slope(acts, "swing", "strip.free_length")).toBeCloseTo(2 * (swing + 1), DIGITS);
  expect(slope(acts, "resonance", "strip.free_length")).toBeLessThan(-1);
  // With the place of the mirror given from the clamp, the same: it is glued to the strip.
  const fixed = actsOf("mirror-shutter", narrow, ["from_tip: 1.0 mm", "position: 21.0 mm"]);
  expect(slope(fixed, "resonance", "strip.free_length")).toBeCloseTo(
    slope(acts, "resonance", "strip.free_length"),
    DIGITS,
  );
});

test("wishes act on their own margins with the margin itself", () => {
  const acts = actsOf("crossed-beam-helium");
  const result = sheetOf("crossed-beam-helium");
  // t/t_shortest − 1 and 1 − (rate/f1)/limit are linear in the wish.
  expect(slope(acts, "gas_pulse", "need.gas_pulse")).toBeCloseTo(
    marginOf(result, "gas_pulse").margin! + 1,
    DIGITS,
  );
  expect(slope(acts, "rate", "need.rate")).toBeCloseTo(
    marginOf(result, "rate").margin! - 1,
    DIGITS,
  );
});

test.each(EXAMPLES)(
  "lists of %s are sorted and foretell what one per cent of length does",
  (name) => {
    // Independent of the step: a hundred times as far, one-sided.
    const design = exampleDesign(name);
    const acts = marginSensitivities(design);
    const before = evaluate(design, { detail: false }).margins;
    for (const row of before) {
      const list = acts[row.id] ?? [];
      const sizes = list.map((act) => Math.abs(act.per_relative_change));
      expect(sizes).toEqual([...sizes].sort((a, b) => b - a));
      for (const { key } of list)
        expect(design.inputs.find((input) => input.key === key)?.origin).toBe("file");
    }
    const longer = withFreeLength(design, design.strip.freeLength * 1.01);
    for (const row of evaluate(longer, { detail: false }).margins) {
      const was = before.find((r) => r.id === row.id)?.margin ?? 0;
      const expected = slope(acts, row.id, "strip.free_length") * Math.log(1.01);
      // One per cent further on: a second-order term of a few times 1e-4 of the slopes here.
      expect(Math.abs(row.margin! - was - expected)).toBeLessThan(1e-3 * (1 + Math.abs(was) * 2));
    }
  },
);

test("inputs of zero and of tables are left out, and a sheet takes the lists row by row", () => {
  const acts = actsOf("first-valve", ["stand_off: -5 µm", "stand_off: 0 µm"]);
  const keys = new Set(Object.values(acts).flatMap((list) => list.map((act) => act.key)));
  expect(keys.has("seat.stand_off")).toBe(false);
  expect([...keys].some((key) => key.startsWith("materials."))).toBe(false);
  const result = sheetOf("first-valve");
  attachActs(result, acts);
  for (const row of result.margins) expect(row.acts).toEqual(acts[row.id]);
});
