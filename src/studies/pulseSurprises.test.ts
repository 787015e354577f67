import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import type { Design } from "../design/design.ts";
import { readDesign } from "../design/readDesign.ts";
import { pulse } from "./pulse.ts";
import { nextOfRow } from "./pulseSurprises.ts";

const EXAMPLES = join(import.meta.dirname, "../../examples");

function helium(change: Partial<Design["rails"][string]>): Design {
  const text = readFileSync(join(EXAMPLES, "crossed-beam-helium.reed.yaml"), "utf8");
  const read = readDesign(text, { name: "helium" });
  if (!read.ok) throw new Error("the example is refused");
  const { design } = read;
  const bias = design.rails.bias;
  if (bias === undefined) throw new Error("no bias rail");
  return { ...design, rails: { bias: { ...bias, ...change } } };
}

test("values of the E6 row (IEC 60063), at least a tenth further", () => {
  expect(nextOfRow(1e-6)).toBeCloseTo(1.5e-6, 12);
  expect(nextOfRow(6.8e-9)).toBeCloseTo(1e-8, 15);
  expect(nextOfRow(0.95e-3)).toBeCloseTo(1.5e-3, 12);
});

test("the example's rail surprises nobody", () => {
  expect(pulse(helium({}), { gate: 110e-6 }).result.surprises).toEqual([]);
});

/** One driven layer between a bias supply and a switch on another rail: its charge does not circulate. */
function apart(storage: number): Design {
  const text = `
reedlift: 1
need: {resonance_min: 100 Hz}
strip:
  width: 5 mm
  free_length: 9 mm
  layers:
    - {material: brass, thickness: 0.15 mm, conductor: vane}
    - {material: soft ceramic, thickness: 0.20 mm, poling: up, bottom: vane, top: upper face}
clamp: {length: 5 mm}
wiring: {vane: switched, upper face: bias}
rails:
  bias: {voltage: -60 V, sinks: no, current_limit: 1 A, storage: ${storage * 1e9} nF}
  drive: {voltage: 120 V, sinks: yes, storage: 4.7 µF}
switch: {high: drive, low: ground, series_resistor: 470 Ω}
`;
  const read = readDesign(text, { name: "apart" });
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.design;
}

test("a small storage behind a supply that can't sink is lifted, and what mends it does", () => {
  const { result } = pulse(apart(47e-9), { gate: 110e-6 });
  const lifted = result.surprises.find((s) => s.id === "lifted rail");
  expect(lifted?.rail).toBe("bias");
  expect(lifted?.text).toContain("can't take charge back");
  expect(lifted?.mend).toContain("a supply that sinks");
  const found = /storage of ([\d.]+) (nF|µF)/.exec(lifted?.mend ?? "");
  const farad = Number(found?.[1]) * (found?.[2] === "nF" ? 1e-9 : 1e-6);
  const kinds = (storage: number) =>
    pulse(apart(storage), { gate: 110e-6 }).result.surprises.map((s) => `${s.id} ${s.rail}`);
  expect(kinds(farad)).not.toContain("lifted rail bias");
  // The value before it in the row does not do.
  expect(kinds(farad / 1.5)).toContain("lifted rail bias");
});

test("a lift is the charge over storage and strip: ΔV = Q/(C_r + C_t)", () => {
  // Linear ceramic, supply blocked after the first edge: at the closing edge the upper layer returns
  // what it took at the opening one, so that the sag before the refill equals Q/(C_r + C_t).
  const design = helium({ storage: 100e-9, currentLimit: 1e-9, bleeder: null });
  const { series, made } = pulse(design, {
    gate: 110e-6,
    duration: 200e-6,
    ceramic: "linear",
    surprises: false,
  });
  const rail = series.rails[0]?.values as Float64Array;
  const output = series.output.values;
  const { electrics } = made.model;
  if (electrics === null) throw new Error("no layers");
  // Over the opening: the rail gives C (ΔV_upper changes) plus the motional charge; blocked-bending C
  // alone is within the coupling (a tenth) of it.
  const at = 100;
  const change = (output[at] as number) - (output[0] as number);
  const upper = electrics.capacitance[3] as number;
  const sag = (rail[at] as number) - (rail[0] as number);
  const expected = (upper * change) / (100e-9 + upper);
  expect(sag / expected).toBeGreaterThan(0.95);
  expect(sag / expected).toBeLessThan(1.2);
});

test("a supply too small to refill the rail in time is told with the current that does", () => {
  const weak = helium({ currentLimit: 0.3e-3 });
  const { result } = pulse(weak, { gate: 110e-6, count: 12, rate: 400 });
  const short = result.surprises.find((s) => s.id === "rail not back" || s.id === "sagging rail");
  expect(short).toBeDefined();
  expect(short?.mend).not.toBeNull();
});

test("the jet comes with the pulse, or the reason why not", () => {
  const { result } = pulse(helium({}), { gate: 110e-6 });
  // √(2γ/(γ − 1) R_s T0), helium at 22 °C.
  expect(result.jet?.terminal_speed_m_s).toBeCloseTo(
    Math.sqrt((5 * 8.314462618 * 295.15) / 4.002602e-3),
    -1,
  );
  const design = helium({});
  if (design.seat === undefined) throw new Error("no seat");
  const opens = { ...design, seat: { ...design.seat, arrangement: "pressure opens" as const } };
  const other = pulse(opens, { gate: 110e-6 }).result;
  expect(other.jet).toBeNull();
  expect(other.reasons.jet).toMatch(/vacuum side|does not open/);
});
