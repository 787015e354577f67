import { describe, expect, test } from "vitest";
import { CURRENT } from "../../src/bench/current/current.ts";
import { CUT } from "../../src/bench/cut/cut.ts";
import { IMPEDANCE } from "../../src/bench/impedance/impedance.ts";
import type { Kind, Prediction } from "../../src/bench/kind.ts";
import { RAIL } from "../../src/bench/rail/rail.ts";
import type { Reduction } from "../../src/bench/reduction.ts";
import type { Design } from "../../src/design/design.ts";
import { checkDesign } from "../../src/sheet/check.ts";
import { EXAMPLES, exampleDesign } from "../examples/support.ts";
import { settingsOf } from "./coverage.ts";

/** A reduction that found these values and no others. */
const holding = (values: Record<string, number>): Reduction => ({
  kind: "",
  values: Object.entries(values).map(([key, value]) => ({
    key,
    name: key,
    value,
    u: value / 1000,
    degreesOfFreedom: 10,
    budget: [],
  })),
  fits: [],
  warnings: [],
  tables: [],
  marks: [],
  covariance: null,
});

const predicted = (
  kind: Kind,
  design: Design,
  found: Record<string, number> = {},
  settings: Record<string, string> = {},
) =>
  new Map<string, Prediction>(
    kind.predict!(design, [], settingsOf(settings), holding(found)).map((p) => [p.key, p]),
  );

/** Figures of the check sheet, lists and uncertainties included. */
// biome-ignore lint/suspicious/noExplicitAny: any figure by name
const sheetOf = (design: Design) => checkDesign(design, { waysOut: false }).result as any;

describe.each(EXAMPLES)("%s", (name) => {
  const design = exampleDesign(name);
  const sheet = sheetOf(design);
  const is = (p: Prediction | undefined, value: number, u: number) => {
    expect(p?.of).toBe("design");
    expect(p?.value).toBe(value);
    expect(p?.u).toBe(u);
  };

  test("impedance: small-signal capacitance, tan δ, and the resonance nearest to each that was found", () => {
    const [f1, f2] = sheet.modes.open_air_Hz;
    const found = predicted(IMPEDANCE, design, {
      series_resonance_Hz: 0.97 * f1,
      series_resonance_2_Hz: 1.02 * f2,
    });
    is(
      found.get("capacitance_F"),
      sheet.strip.capacitance_small_signal_F,
      sheet.strip.u_capacitance_small_signal_F,
    );
    const tan = found.get("loss_tangent")!;
    expect(tan.value).toBeGreaterThan(0.001);
    expect(tan.value).toBeLessThan(0.05);
    is(found.get("series_resonance_Hz"), f1, sheet.modes.u_open_air_Hz[0]);
    is(found.get("series_resonance_2_Hz"), f2, sheet.modes.u_open_air_Hz[1]);
    // f_p/f_s as between open and short circuit; k² = 1 − (f_s/f_p)².
    const k = found.get("coupling_factor")!.value;
    const [s, p] = [sheet.modes.open_vacuum_Hz[0], sheet.modes.open_circuit_vacuum_Hz[0]];
    expect(k).toBeCloseTo(Math.sqrt(1 - (s / p) ** 2), 12);
    expect(found.get("parallel_resonance_Hz")!.value).toBeCloseTo((f1 * p) / s, 8);
    expect(found.get("quality_factor")!.value).toBe(sheet.modes.q_air[0]);
  });

  test("impedance: other surroundings, and a resonance far from all", () => {
    const vacuum = predicted(
      IMPEDANCE,
      design,
      { series_resonance_Hz: sheet.modes.open_vacuum_Hz[0] },
      { around: "vacuum" },
    );
    is(
      vacuum.get("series_resonance_Hz"),
      sheet.modes.open_vacuum_Hz[0],
      sheet.modes.u_open_vacuum_Hz[0],
    );
    const far = predicted(IMPEDANCE, design, {
      series_resonance_Hz: sheet.modes.open_air_Hz[0] / 3,
    });
    is(far.get("series_resonance_Hz"), sheet.modes.open_air_Hz[0], sheet.modes.u_open_air_Hz[0]);
    expect(far.has("coupling_factor")).toBe(false);
  });

  test("current: charge of an edge with the sign that was found, capacitance at large signal", () => {
    const found = predicted(CURRENT, design, { charge_on_C: -3e-6, charge_off_C: 3e-6 });
    const { charge_per_cycle_C: q, u_charge_per_cycle_C: u } = sheet.drive;
    is(found.get("charge_on_C"), -q, u);
    is(found.get("charge_off_C"), q, u);
    is(
      found.get("capacitance_large_signal_F"),
      sheet.strip.capacitance_large_signal_F,
      sheet.strip.u_capacitance_large_signal_F,
    );
    // 10–90 % of an exponential is ln 9 time constants.
    expect(found.get("time_constant_s")!.value).toBeCloseTo(
      sheet.drive.edge_10_90_s / 2.1972246,
      11,
    );
    expect(found.get("peak_current_A")!.value).toBe(sheet.drive.peak_current_A);
  });

  test("rail: sag of the rail that is meant, and its charge", () => {
    for (const [rail, { storage }] of Object.entries(design.rails)) {
      const found = predicted(RAIL, design, {}, { rail });
      const row = sheet.drive.rails.find((r: { name: string }) => r.name === rail);
      if (row === undefined || row.droop_V === null) {
        expect(found.has("droop_per_edge_V")).toBe(false);
        continue;
      }
      is(found.get("droop_per_edge_V"), row.droop_V, row.u_droop_V ?? 0);
      if (storage !== null)
        expect(found.get("charge_per_edge_C")!.value).toBeCloseTo(row.droop_V * storage, 15);
    }
    expect(() => predicted(RAIL, design, {}, { rail: "none such" })).toThrow(
      /a rail of the design/,
    );
  });

  test("cut: capacitance and first resonance of the piece that the design has", () => {
    const found = predicted(CUT, design);
    is(
      found.get("capacitance_after_F"),
      sheet.strip.capacitance_small_signal_F,
      sheet.strip.u_capacitance_small_signal_F,
    );
    is(found.get("resonance_after_Hz"), sheet.modes.open_air_Hz[0], sheet.modes.u_open_air_Hz[0]);
  });
});
