import { expect, test } from "vitest";
import { compare, enNumber } from "./compare.ts";
import type { Kind, Prediction } from "./kind.ts";
import type { Reduction, Value } from "./reduction.ts";

const value = (
  key: string,
  x: number | null,
  u: number | null,
  more: Partial<Value> = {},
): Value => ({
  key,
  name: key,
  value: x,
  u,
  degreesOfFreedom: Number.POSITIVE_INFINITY,
  budget: [],
  ...more,
});

const KIND: Kind = {
  name: "made",
  summary: "",
  roles: [],
  settings: [],
  files: { min: 1, max: 1 },
  reduce: () => {
    throw new Error("not called");
  },
  mismatches: [
    { key: "f_Hz", high: "stiffer or shorter than drawn", low: "clamped at a longer length" },
  ],
};

const reduction = (...values: Value[]): Reduction => ({
  kind: "made",
  values,
  fits: [],
  warnings: [],
  tables: [],
  marks: [],
  covariance: null,
});

const predicted = (key: string, x: number, u: number, of: Prediction["of"] = "design") => ({
  key,
  value: x,
  u,
  from: "sheet",
  of,
});

// Formula of ISO 13528:2015, 9.7; the numbers are worked here by hand: 0.04/√(0.04² + 0.03²) = 0.8,
// −0.3/√(0.1² + 0.2²) = −1.3416; U = 2 u.
test("En is the difference over the expanded uncertainties", () => {
  expect(enNumber(10.04, 0.02, 10, 0.015)).toBeCloseTo(0.8, 12);
  expect(enNumber(5, 0.05, 5.3, 0.1)).toBeCloseTo(-1.341640786499873, 12);
});

test("what agrees says so; what does not says which way and what that usually means", () => {
  const found = reduction(value("f_Hz", 100, 1));
  const [same] = compare(KIND, found, [predicted("f_Hz", 101, 1)]);
  expect(same).toMatchObject({ agrees: true, says: "agrees with the design" });
  const [low] = compare(KIND, found, [predicted("f_Hz", 110, 1)]);
  expect(low).toMatchObject({
    agrees: false,
    says: "below the design: clamped at a longer length",
    difference: -10,
  });
  expect(low!.relative).toBeCloseTo(-10 / 110, 12);
  const [high] = compare(KIND, found, [predicted("f_Hz", 90, 1, "catalogue")]);
  expect(high!.says).toBe("above the catalogue: stiffer or shorter than drawn");
});

test("exactly at its expanded uncertainty a value still agrees", () => {
  const [edge] = compare(KIND, reduction(value("f_Hz", 110, 3)), [predicted("f_Hz", 100, 4)]);
  expect(edge).toMatchObject({ en: 1, agrees: true });
});

test("without an uncertainty on either side nothing is judged, and why is said", () => {
  const [exact] = compare(KIND, reduction(value("f_Hz", 100, 1)), [predicted("f_Hz", 300, 0)]);
  expect(exact).toMatchObject({ en: null, agrees: null, difference: -200 });
  expect(exact!.reason).toContain("the design's number");
  expect(exact!.says).toContain("not judged");
  const none = value("f_Hz", 100, null, { reason: "one sweep shows no scatter" });
  const [bare] = compare(KIND, reduction(none), [predicted("f_Hz", 300, 5, "catalogue")]);
  expect(bare!.reason).toBe("the measured value has no uncertainty: one sweep shows no scatter");
  const [both] = compare(KIND, reduction(value("f_Hz", 100, 0)), [predicted("f_Hz", 300, 0)]);
  expect(both!.reason).toContain("; the design's number");
});

test("design and catalogue stand side by side in the order of the values; what was not found is left out", () => {
  const found = reduction(value("a_m", 1, 0.1), value("b_m", null, null), value("c_m", 2, 0.1));
  const rows = compare(KIND, found, [
    predicted("c_m", 2, 0.1),
    predicted("b_m", 2, 0.1),
    predicted("a_m", 1, 0.1, "catalogue"),
    predicted("a_m", 1, 0.1),
  ]);
  expect(rows.map(({ key, of }) => `${key} ${of}`)).toEqual([
    "a_m design",
    "a_m catalogue",
    "c_m design",
  ]);
});

test("the rounding of a computation is no uncertainty", () => {
  const [row] = compare(KIND, reduction(value("a_m", 1, 0.1)), [predicted("a_m", 0.3, 4.6e-15)]);
  expect(row).toMatchObject({ en: null, predicted: { value: 0.3, u: null } });
});

test("a value that rests on the design's own numbers is not judged by it, but by the catalogue", () => {
  const made = value("a_N", 1, 0.1, {
    budget: [
      { source: "blocking force 0.72(7) N, from the design", u: 0.08 },
      { source: "line", u: 0.06 },
    ],
  });
  const rows = compare(KIND, reduction(made), [
    predicted("a_N", 1, 0.1),
    predicted("a_N", 1, 0.1, "catalogue"),
  ]);
  expect(rows[0]).toMatchObject({ en: null, agrees: null });
  expect(rows[0]!.reason).toContain("not independent");
  expect(rows[1]).toMatchObject({ en: 0, agrees: true });
  const little = value("a_N", 1, 0.1, {
    budget: [
      { source: "line", u: 0.099 },
      { source: "arm, from the design", u: 0.014 },
    ],
  });
  expect(compare(KIND, reduction(little), [predicted("a_N", 1, 0.1)])[0]!.agrees).toBe(true);
});

test("a prediction of zero has no relative difference", () => {
  const [row] = compare(KIND, reduction(value("a_m", 1, 0.1)), [predicted("a_m", 0, 1)]);
  expect(row!.relative).toBeNull();
  expect(row!.agrees).toBe(true);
});
