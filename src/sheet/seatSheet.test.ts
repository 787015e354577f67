import { describe, expect, test } from "vitest";
import { exampleDesign } from "../../test/examples/support.ts";
import type { Design } from "../design/design.ts";
import { withValues } from "../design/values.ts";
import { evaluate } from "./evaluate.ts";

const A = exampleDesign("crossed-beam-helium");
const seatOf = (design: Design) => {
  const { seat } = evaluate(design, { detail: true });
  if (seat === null) throw new Error("the example has a seat");
  return seat;
};
const set = (design: Design, path: string[], value: number) =>
  withValues(design, [{ path, value }]);

describe("stand-off range", () => {
  const range = seatOf(A).stand_off_range_m as [number, number];
  const rows = (standOff: number, design = A) =>
    evaluate(set(design, ["seat", "standOff"], standOff), { detail: false }).margins.filter((row) =>
      ["crack_open_force", "opening_voltage", "sealing", "lift"].includes(row.id),
    );

  test("inside it every requirement at the seat holds, outside one does not", () => {
    const [low, high] = range;
    for (const f of [0.001, 0.5, 0.999])
      expect(rows(low + f * (high - low)).every((row) => row.met)).toBe(true);
    const step = 1e-3 * (high - low);
    expect(rows(low - step).some((row) => !row.met)).toBe(true);
    expect(rows(high + step).some((row) => !row.met)).toBe(true);
  });

  test("with a tilted pad it starts where the lowest side of the ring still seals", () => {
    const tilted = set(A, ["pad", "tilt"], 0.002);
    const [low] = seatOf(tilted).stand_off_range_m as [number, number];
    expect(low).toBeGreaterThan(range[0]);
    const at = (x: number) => rows(x, tilted).find((row) => row.id === "sealing");
    expect(at(low + 1e-9)?.met).toBe(true);
    expect(at(low - 1e-8)?.met).toBe(false);
  });

  test("the body's bulge under pressure shifts it by the bulge", () => {
    const bulge = 5e-13;
    const shifted = seatOf(set(A, ["seat", "bodyDeflection"], bulge)).stand_off_range_m;
    expect(shifted?.[0]).toBeCloseTo(range[0] + bulge * 20e5, 9);
  });
});

describe("the sealing end of the stand-off range", () => {
  test.each([
    ["a land that the pressure closes", []],
    ["a land that the pressure opens", [["pressure closes", "pressure opens"]]],
    [
      "an O-ring, by its cord's contact",
      [
        ["form: land", "form: o-ring"],
        ["mass: 4 mg", "mass: 4 mg, law: round cord, cord_diameter: 0.3 mm"],
      ],
    ],
  ] as [string, [string, string][]][])("%s: just sealing", (_, edits) => {
    const design = exampleDesign("first-valve", ...edits);
    const [low] = seatOf(design).stand_off_range_m as [number, number];
    const { margins } = evaluate(set(design, ["seat", "standOff"], low), { detail: false });
    expect(margins.find((row) => row.id === "sealing")?.margin).toBeCloseTo(0, 6);
  });
});

describe("opening voltage", () => {
  test("its slope against pressure over the stiffness and swing is the effective seal area", () => {
    const sheet = evaluate(A, { detail: true });
    const curve = seatOf(A).opening_voltage_curve;
    const [a, b] = [curve[0], curve[4]];
    if (a === undefined || b === undefined) throw new Error("the curve has points");
    const slope = (b.voltage_V - a.voltage_V) / (b.pressure_Pa - a.pressure_Pa);
    const perVolt = ((sheet.strip.swing_at_pad_m as number) / 180) * sheet.strip.pad_stiffness_N_m;
    expect(slope * perVolt).toBeCloseTo(seatOf(A).effective_seal_area_m2, 12);
  });

  test("at that voltage the pad just leaves the seat", () => {
    const seat = seatOf(A);
    const volts = seat.opening_voltage_V;
    // A switched step of the opening voltage alone: the output reaches that far towards ground.
    expect(seat.opening_voltage_fraction).toBeCloseTo(volts / 180, 12);
    expect(seat.opening_voltage_fraction).toBeLessThan(1);
    const high = set(A, ["need", "plenumPressure"], 20e5 / seat.opening_voltage_fraction ** 4);
    expect(seatOf(high).opening_voltage_fraction).toBeGreaterThan(seat.opening_voltage_fraction);
  });

  test("above the full step the pad stays on the seat and the lift is null with a reason", () => {
    const sheet = evaluate(set(A, ["need", "plenumPressure"], 80e5), { detail: true });
    expect(sheet.seat?.opening_voltage_fraction).toBeGreaterThan(1);
    expect(sheet.seat?.lift_open_m).toBeNull();
    expect(sheet.reasons["seat.lift_open_m"]).toContain("does not leave the seat");
    const load = sheet.margins.find((row) => row.id === "mean_pressure");
    expect(load?.met).toBe(true);
    expect(load?.note).toContain("nothing flows");
  });
});

describe("first resonance against the stand-off", () => {
  test("it starts at the open value without a jump and rises with the preload", () => {
    const sheet = evaluate(A, { detail: true });
    const curve = sheet.seat?.f1_against_stand_off;
    if (curve === undefined) throw new Error("there is a curve");
    const open = sheet.modes.open_vacuum_Hz[0] as number;
    const first = curve.f1_Hz[0] as number;
    expect(Math.abs(first - open)).toBeLessThan(0.01 * open);
    const last = curve.f1_Hz.at(-1) as number;
    expect(last).toBeGreaterThan(1.05 * open);
  });
});

test("electrodes under the clamp add capacitance and no motion", () => {
  const plain = evaluate(A, { detail: false }).strip;
  const longer = evaluate(set(A, ["clamp", "electrodeLength"], 6e-3), { detail: false }).strip;
  expect(longer.swing_at_pad_m).toBe(plain.swing_at_pad_m);
  const ratio =
    (longer.capacitance_small_signal_F as number) / (plain.capacitance_small_signal_F as number);
  expect(ratio).toBeGreaterThan(1.6);
  expect(ratio).toBeLessThan(1.75);
});
