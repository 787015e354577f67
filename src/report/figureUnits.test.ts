import { expect, test } from "vitest";
import { figurePlaces } from "../sheet/flatten.ts";
import { kindOfUnit, machineUnit, printFigure, unitOfFigure } from "./figureUnits.ts";
import { valveResult } from "./fixtures/index.test-data.ts";

test("the unit of a figure comes from the end of its name", () => {
  expect(unitOfFigure("throughput_Pa_m3_s").kind).toBe("throughput");
  expect(unitOfFigure("swing_f1_product_m_s").kind).toBe("speed");
  expect(unitOfFigure("bending_stiffness_N_m2").kind).toBe("bending stiffness");
  expect(unitOfFigure("sealing_line_force_N_m").kind).toBe("line force");
  expect(unitOfFigure("tip_stiffness_N_m").kind).toBe("stiffness");
  expect(unitOfFigure("clamp_line_stress_Pa").kind).toBe("stress");
  expect(unitOfFigure("mean_pressure_Pa").kind).toBe("pressure");
  expect(unitOfFigure("time_to_1_mbar_s").kind).toBe("time");
  expect(unitOfFigure("rate_V_s").print?.unit).toBe("V/ms");
  expect(unitOfFigure("pulse_area_V_s").print?.unit).toBe("V·s");
  expect(unitOfFigure("pulse_area_A_s").print?.unit).toBe("A·s");
  expect(unitOfFigure("open_area_ratio").kind).toBe("ratio");
});

test("every figure of a sheet whose name ends in a unit is found in the table", () => {
  const result = valveResult();
  const plain = new Set<string>();
  for (const { path, key, arrayKey } of figurePlaces(result)) {
    const name = arrayKey ?? String(key);
    if (path.startsWith("margins.") || path.startsWith("large_signal.")) continue;
    if (unitOfFigure(name).machine === "1") plain.add(name);
  }
  expect([...plain].sort()).toEqual([
    "compressibility",
    "crack_open_force_ratio",
    "open_area_ratio",
    "opening_voltage_fraction",
    "overshoot",
    "pulses_per_day",
    "q_air",
    "q_gas",
    "q_vacuum",
    "reynolds_orifice",
    "width_factor_compliance",
    "width_factor_deflection",
    "width_factor_frequency",
  ]);
});

test("figures print with the unit of the trade", () => {
  expect(printFigure("lift_open_m", 1.234567e-5)).toBe("12.35 μm");
  expect(printFigure("lift_open_m", 1.234567e-5, 2.1e-6)).toBe("12.3 ± 2.1 μm");
  expect(printFigure("clamp_line_stress_Pa", 11.2e6, 0.8e6, { ascii: true })).toBe("11.2(8) MPa");
  expect(printFigure("thermal_shift_at_pad_m_K", -2.5e-6)).toBe("−2.5 μm/K");
  expect(printFigure("advance_turns", 0.25)).toBe("0.25 turns");
});

test("a unit written as text is read; a kelvin is a difference, a pascal of stress a stress", () => {
  expect(kindOfUnit("Pa·m3/s")).toBe("throughput");
  expect(kindOfUnit("K")).toBe("temperature difference");
  expect(kindOfUnit("Pa", "contact stress on the seat, closed")).toBe("stress");
  expect(kindOfUnit("Pa", "tension at the clamp line")).toBe("stress");
  expect(kindOfUnit("Pa", "mean chamber pressure")).toBe("pressure");
  expect(kindOfUnit("V/m")).toBe("field");
  expect(kindOfUnit("furlong")).toBeNull();
});

test("units for machine files are plain", () => {
  expect(machineUnit("throughput")).toBe("Pa*m^3/s");
  expect(machineUnit("resistance")).toBe("ohm");
  expect(machineUnit("ratio")).toBe("1");
});
