import { expect, test } from "vitest";
import type { Budget } from "../../sheet/uncertainty.ts";
import { budgetText } from "./budgetText.ts";
import { widthOf } from "./lines.ts";

const budget: Budget = {
  figure: "seat.lift_open_m",
  value: 12.6e-6,
  u: 2.1e-6,
  not_linear: false,
  lines: [
    line("materials.soft ceramic.d31", -2.1e-10, 1e-11, "piezo", -1.9e-6, 0.819),
    line("strip.layers.0.thickness", 2e-4, 1e-5, "length", 0.8e-6, 0.145),
    line("need.plenum_pressure", 4e5, 1e4, "pressure", -0.4e-6, 0.036),
  ],
};

function line(
  key: string,
  value: number,
  u: number,
  kind: string,
  contribution: number,
  share: number,
) {
  return {
    key,
    value,
    u,
    kind,
    origin: "table" as const,
    sensitivity: contribution / u,
    contribution,
    share,
  };
}

test("the budget lists each contributor with its value, contribution and share", () => {
  const text = budgetText(budget);
  expect(text).toContain("seat.lift_open_m = 12.6 ± 2.1 μm");
  const [, , first, second] = text.split("\n");
  expect(first).toMatch(/soft ceramic\.d31 +−210\(10\) pm\/V +−1\.9 μm +━+─+ +82 %/);
  expect(second).toMatch(/thickness +0\.20\(1\) mm +0\.8 μm/);
});

test("what is not listed is counted with its share", () => {
  expect(budgetText(budget, { most: 1 })).toContain("2 more contribute 18.1 % together.");
});

test("a figure without contributors says so; ASCII and width hold", () => {
  expect(budgetText({ ...budget, lines: [] })).toContain(
    "No input with an uncertainty acts on it.",
  );
  const text = budgetText(
    {
      ...budget,
      not_linear: true,
      lines: [line(`materials.${"long name ".repeat(14)}`, 1, 0.1, "ratio", 1e-6, 1)],
    },
    { ascii: true },
  );
  expect(text).toMatch(/^[\x20-\x7e\n]*$/);
  for (const row of text.split("\n")) expect(widthOf(row), row).toBeLessThanOrEqual(100);
});
