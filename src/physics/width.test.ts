import { expect, test } from "vitest";
import { COMPLIANCE_TABLE_END, widthFactors } from "./width.ts";

test("the table's own points come back at ν = 0.31", () => {
  const at = (ratio: number) => widthFactors(ratio, 0.31, 1);
  expect(at(0.2)).toEqual({
    deflection: expect.closeTo(1.043, 12) as number,
    frequency: expect.closeTo(1.014, 12) as number,
    compliance: expect.closeTo(0.979, 12) as number,
  });
  expect(at(1).deflection).toBeCloseTo(1.1, 12);
  expect(at(5).frequency).toBeCloseTo(1.049, 12);
});

test("a narrow strip and the narrow option have factors of 1", () => {
  const one = { deflection: 1, frequency: 1, compliance: 1 };
  expect(widthFactors(0, 0.31, 1)).toEqual(one);
  expect(widthFactors(0.4, 0.31, 0)).toEqual(one);
  expect(widthFactors(3, 0, 1)).toEqual(one);
});

test("deflection and frequency rise with the width, compliance falls to 0.5 and recovers a little", () => {
  let before = widthFactors(0, 0.31, 1);
  for (let ratio = 0.01; ratio <= 12; ratio += 0.01) {
    const now = widthFactors(ratio, 0.31, 1);
    expect(now.deflection).toBeGreaterThanOrEqual(before.deflection);
    expect(now.frequency).toBeGreaterThanOrEqual(before.frequency);
    if (ratio <= 0.5) expect(now.compliance).toBeLessThanOrEqual(before.compliance);
    before = now;
  }
});

test("beyond the table its end values are held", () => {
  expect(widthFactors(50, 0.31, 1)).toEqual(widthFactors(10, 0.31, 1));
  expect(widthFactors(4, 0.31, 1).compliance).toBe(
    widthFactors(COMPLIANCE_TABLE_END, 0.31, 1).compliance,
  );
});

test("half the correction is half of factor − 1", () => {
  const full = widthFactors(0.3, 0.31, 1);
  const half = widthFactors(0.3, 0.31, 0.5);
  expect(half.deflection - 1).toBeCloseTo((full.deflection - 1) / 2, 14);
  expect(half.compliance - 1).toBeCloseTo((full.compliance - 1) / 2, 14);
});

test("other Poisson's ratios scale as stated", () => {
  const base = widthFactors(0.4, 0.31, 1);
  const other = widthFactors(0.4, 0.25, 1);
  expect((other.deflection - 1) / (base.deflection - 1)).toBeCloseTo(0.25 / 0.31, 12);
  expect((other.frequency - 1) / (base.frequency - 1)).toBeCloseTo(
    (1 / Math.sqrt(1 - 0.0625) - 1) / (1 / Math.sqrt(1 - 0.0961) - 1),
    12,
  );
  expect((other.compliance - 1) / (base.compliance - 1)).toBeCloseTo((0.25 / 0.31) ** 2, 12);
});

test("the limit of a very wide plate: f1 within 1 % of (1 − ν²)^−½, deflection within 1 % of 1 + ν", () => {
  const wide = widthFactors(10, 0.31, 1);
  expect(Math.abs(wide.frequency / (1 / Math.sqrt(1 - 0.31 ** 2)) - 1)).toBeLessThan(0.01);
  expect(Math.abs(wide.deflection / 1.31 - 1)).toBeLessThan(0.01);
});

test("misuse is refused", () => {
  expect(() => widthFactors(-1, 0.3, 1)).toThrow("width over length must be >= 0: got -1");
  expect(() => widthFactors(1, 1.5, 1)).toThrow("Poisson's ratio must be within");
});
