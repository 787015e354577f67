import { expect, test } from "vitest";
import { gasNamed } from "../../physics/gases.ts";
import type { JetInput } from "../../sheet/jetResult.ts";
import { jetFigures } from "../../sheet/jetSheet.ts";
import { jetTable } from "./jetTable.ts";
import { textStyle } from "./style.ts";

const helium: JetInput = {
  gas: gasNamed("He"),
  sourcePressure: 20e5,
  sourceTemperature: 295,
  orificeDiameter: 150e-6,
  nozzle: { form: "sonic" },
  backgroundPressure: 0.02,
  chamberLength: null,
  chamberVolume: 0.06,
  pulse: 110e-6,
  skimmerDistance: 40e-3,
  skimmerDiameter: 1e-3,
  interactionDistance: 0.3,
};
const argon: JetInput = {
  ...helium,
  gas: gasNamed("Ar"),
  sourcePressure: 1e5,
  orificeDiameter: 0.2e-3,
  backgroundPressure: 10,
  pulse: null,
};
const CASES: JetInput[] = [helium, argon, { ...helium, gas: gasNamed("SF6") }];
const linesOf = (input: JetInput, options = {}) => jetTable(jetFigures(input), textStyle(options));

test("no line is wider than the columns, with ASCII alone where asked", () => {
  for (const input of CASES)
    for (const columns of [80, 100, 132])
      for (const ascii of [false, true])
        for (const line of linesOf(input, { columns, ascii })) {
          expect([...line].length).toBeLessThanOrEqual(columns);
          expect(line).toBe(line.trimEnd());
          if (ascii) expect(line).toMatch(/^[\x20-\x7e]*$/);
        }
});

test("figures are printed once, with the unit that the trade uses", () => {
  const text = linesOf(helium).join("\n");
  expect(text).toMatch(/terminal speed +1750 m\/s/);
  expect(text).toMatch(/density in the source +4.91e20 \/cm³/);
  expect(text).toMatch(/freezing surface +27.1 mm/);
  expect(text.match(/terminal speed ratio/g)).toHaveLength(1);
  expect(text).toMatch(/at the skimmer +at the interaction point/);
  // 0.3 m at 1750 m/s.
  expect(text).toMatch(/arrives after .* 171 μs/);
  expect(text).toMatch(/lost to the background +2.8 % +2.8 %/);
});

test("what is missing stands together under its reason", () => {
  const text = linesOf({ ...helium, gas: gasNamed("SF6") })
    .join(" ")
    .replace(/\s+/g, " ");
  expect(text.match(/None: /g)).toHaveLength(1);
  expect(text).toMatch(/None: .*terminal speed ratio, freezing surface.*: the free-jet fits hold/);
  expect(text).toMatch(/None at the skimmer: the free-jet fits/);
});

test("a place behind the Mach disk has no column but its reason", () => {
  const text = linesOf(argon).join("\n");
  expect(text).toContain("None at the skimmer: behind the Mach disk.");
  expect(text).not.toMatch(/arrives after/);
});

test("advice begins with a dash, a caution with its mark and what to do below it", () => {
  const lines = linesOf({ ...helium, pulse: 3e-6 });
  expect(lines.some((line) => line.startsWith("- Put the skimmer beyond 27.1 mm"))).toBe(true);
  const at = lines.findIndex((line) => line.startsWith("! A pulse of 3 μs lies between"));
  expect(at).toBeGreaterThan(0);
  expect(lines.slice(at).find((line) => line.startsWith("    "))).toMatch(/Expect a slower/);
});
