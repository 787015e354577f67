import { describe, expect, test } from "vitest";
import type { Design } from "../../src/design/design.ts";
import { withFreeLength, withValues } from "../../src/design/values.ts";
import { evaluate } from "../../src/sheet/evaluate.ts";
import { type ExampleName, exampleDesign } from "./support.ts";

/*
 * A stated law says which way a margin must go with an input; between neighbouring values it must
 * also not jump: halving the step halves the largest change (continuity), measured on a fine scan.
 */

interface Law {
  margin: string;
  input: string;
  example: ExampleName;
  /** +1: the margin grows with the input. */
  sign: 1 | -1;
  from: number;
  to: number;
  set: (design: Design, factor: number) => Design;
  law: string;
}

const scaled =
  (...path: (string | number)[]) =>
  (design: Design, factor: number): Design => {
    let node: unknown = design;
    for (const key of path) node = (node as Record<string | number, unknown>)[key];
    return withValues(design, [{ path, value: (node as number) * factor }]);
  };

const shifted = (metres: number) => (design: Design, factor: number) =>
  withValues(design, [
    { path: ["seat", "standOff"], value: (design.seat?.standOff ?? 0) + metres * factor },
  ]);

const length = (design: Design, factor: number) =>
  withFreeLength(design, design.strip.freeLength * factor);

const A = "crossed-beam-helium" as const;
const C = "kilohertz-hydrogen" as const;
const pressure = scaled("need", "plenumPressure");

const LAWS: Law[] = [
  {
    margin: "crack_open_force",
    input: "plenum pressure",
    example: A,
    sign: -1,
    from: 0.5,
    to: 2,
    set: pressure,
    law: "F = Δp A",
  },
  {
    margin: "opening_voltage",
    input: "plenum pressure",
    example: A,
    sign: -1,
    from: 0.5,
    to: 2,
    set: pressure,
    law: "V_open linear in p0",
  },
  {
    margin: "mean_pressure",
    input: "plenum pressure",
    example: A,
    sign: -1,
    from: 0.5,
    to: 1.25, // beyond, the strip no longer opens and nothing flows
    set: pressure,
    law: "choked flow ∝ p0",
  },
  {
    margin: "crack_open_force",
    input: "seat diameter",
    example: A,
    sign: -1,
    from: 0.7,
    to: 1.5,
    set: scaled("seat", "diameter"),
    law: "F ∝ D²",
  },
  {
    margin: "sealing",
    input: "stand-off",
    example: A,
    sign: 1,
    from: 0,
    to: 1,
    set: shifted(8e-6),
    law: "preload grows with the stand-off",
  },
  {
    margin: "lift",
    input: "stand-off",
    example: A,
    sign: -1,
    from: 0,
    to: 1,
    set: shifted(8e-6),
    law: "lift = y_open − stand-off",
  },
  {
    margin: "opening_voltage",
    input: "stand-off",
    example: A,
    sign: -1,
    from: 0,
    to: 1,
    set: shifted(8e-6),
    law: "threshold rises with the stand-off",
  },
  {
    margin: "gas_pulse",
    input: "free length",
    example: A,
    sign: -1,
    from: 0.7,
    to: 1.4,
    set: length,
    law: "f1 ∝ 1/L²",
  },
  {
    margin: "rate",
    input: "free length",
    example: C,
    sign: -1,
    from: 0.7,
    to: 1.4,
    set: length,
    law: "f1 ∝ 1/L²",
  },
  {
    margin: "ring_down",
    input: "free length",
    example: C,
    sign: -1,
    from: 0.7,
    to: 1.4,
    set: length,
    law: "τ = Q/(π f1)",
  },
  {
    margin: "lift",
    input: "free length",
    example: A,
    sign: 1,
    from: 0.9,
    to: 1.4,
    set: length,
    law: "swing ∝ L²",
  },
  {
    margin: "mean_pressure",
    input: "rate",
    example: C,
    sign: -1,
    from: 0.2,
    to: 3,
    set: scaled("need", "rate"),
    law: "p = Q f/S",
  },
  {
    margin: "exhaust",
    input: "rate",
    example: C,
    sign: -1,
    from: 0.2,
    to: 3,
    set: scaled("need", "rate"),
    law: "flow ∝ f",
  },
  {
    margin: "temperature",
    input: "rate",
    example: C,
    sign: -1,
    from: 0.2,
    to: 3,
    set: scaled("need", "rate"),
    law: "heat ∝ f",
  },
  {
    margin: "supply_current.bias",
    input: "rate",
    example: C,
    sign: -1,
    from: 0.2,
    to: 3,
    set: scaled("need", "rate"),
    law: "I = C V f",
  },
  {
    margin: "field_with_poling",
    input: "bias",
    example: A,
    sign: -1,
    from: 0.5,
    to: 1.5,
    set: scaled("rails", "bias", "voltage"),
    law: "E = V/t",
  },
  {
    margin: "crack_open_force",
    input: "bias",
    example: A,
    sign: 1,
    from: 0.8,
    to: 1.5,
    set: scaled("rails", "bias", "voltage"),
    law: "force ∝ V",
  },
  {
    margin: "rail_droop.bias",
    input: "storage",
    example: A,
    sign: 1,
    from: 0.3,
    to: 5,
    set: scaled("rails", "bias", "storage"),
    law: "ΔV = Q/(C_r + C_t)",
  },
  {
    margin: "bleed.bias",
    input: "bleeder",
    example: A,
    sign: -1,
    from: 0.3,
    to: 5,
    set: scaled("rails", "bias", "bleeder"),
    law: "t = R C ln(V/V_low)",
  },
  {
    margin: "switch_current",
    input: "series resistor",
    example: A,
    sign: 1,
    from: 0.3,
    to: 3,
    set: scaled("switch", "seriesResistor"),
    law: "I = V/R",
  },
  {
    margin: "plenum_droop",
    input: "plenum volume",
    example: A,
    sign: 1,
    from: 0.3,
    to: 3,
    set: scaled("plenum", "volume"),
    law: "Δp ∝ 1/V",
  },
];

function scan(law: Law, points: number): number[] {
  const design = exampleDesign(law.example);
  return Array.from({ length: points }, (_, i) => {
    const factor = law.from + ((law.to - law.from) * i) / (points - 1);
    const rows = evaluate(law.set(design, factor), { detail: false }).margins;
    const margin = rows.find((row) => row.id === law.margin)?.margin;
    if (margin === undefined || margin === null) throw new Error(`no ${law.margin} at ${factor}`);
    return margin;
  });
}

const steps = (values: number[]) => values.slice(1).map((v, i) => v - (values[i] as number));

describe("margins follow the laws they come from", () => {
  test.each(LAWS)("$margin goes one way with $input: $law", (law) => {
    for (const step of steps(scan(law, 41))) expect(step * law.sign).toBeGreaterThan(0);
  });

  test.each(LAWS)("$margin does not jump with $input", (law) => {
    const coarse = Math.max(...steps(scan(law, 101)).map(Math.abs));
    const fine = Math.max(...steps(scan(law, 201)).map(Math.abs));
    expect(fine).toBeLessThan(0.62 * coarse);
  });
});
