import { expect, test } from "vitest";
import { exampleDesign } from "../../test/examples/support.ts";
import { evaluate } from "./evaluate.ts";

const sheet = (basis: string) =>
  evaluate(exampleDesign("mirror-shutter", [/^clamp:/m, `model: {d31_basis: ${basis}}\nclamp:`]), {
    detail: true,
  });
const swingRow = (basis: string) => {
  const row = sheet(basis).large_signal?.rows.find((r) => r.figure.startsWith("swing"));
  if (row === undefined) throw new Error("there is a swing");
  return row;
};

test("a low-field d31 grows with the field by 1 + x/2", () => {
  const row = swingRow("small signal");
  const along = Math.max(
    ...sheet("small signal").strip.states.flatMap((s) =>
      s.layers.map((l) => l.field_along_poling_V_m),
    ),
  );
  // x = 0.667 at 1 kV/mm (default of the tables).
  expect(row.large_signal / row.linear).toBeCloseTo(1 + (0.667 * along) / 1e6 / 2, 6);
});

test("a d31 from a catalogue already holds the growth: it is the large-signal figure", () => {
  const low = swingRow("small signal");
  const cat = swingRow("catalogue");
  expect(cat.large_signal).toBeCloseTo(low.linear, 12);
  expect(cat.linear / cat.large_signal).toBeCloseTo(low.linear / low.large_signal, 9);
});
