import fc from "fast-check";
import { expect, test } from "vitest";
import { parseQuantity, type QuantityKind } from "./index.ts";
import { stepLastDigit } from "./step.ts";

/** Text, steps, the text after; written by hand. */
const STEPS: [string, number, string][] = [
  ["0.30 mm", 1, "0.31 mm"],
  ["0.30 mm", 10, "0.40 mm"],
  ["0.30 mm", -1, "0.29 mm"],
  ["0.30 mm", 0, "0.30 mm"],
  ["4 bar", 1, "5 bar"],
  ["4bar", 1, "5bar"],
  ["4 bar(g)", 1, "5 bar(g)"],
  ["9 mm", 1, "10 mm"],
  ["10 mm", -1, "9 mm"],
  ["9.9", 1, "10.0"],
  ["10.0", -1, "9.9"],
  ["99.9 mm", 1, "100.0 mm"],
  ["0.1 mm", -1, "0.0 mm"],
  ["0.0 mm", -1, "-0.1 mm"],
  ["-150 V", -1, "-151 V"],
  ["-150 V", 1, "-149 V"],
  ["\u2212150 V", -1, "\u2212151 V"],
  ["-1 V", 1, "0 V"],
  ["-1 V", 2, "1 V"],
  ["1 V", -2, "-1 V"],
  ["-0.1 mm", 1, "0.0 mm"],
  ["+12 µm", 1, "+13 µm"],
  ["+12 µm", -12, "0 µm"],
  ["+12 µm", -13, "-1 µm"],
  ["1e-3 mbar", 1, "2e-3 mbar"],
  ["9e-3 mbar", 1, "10e-3 mbar"],
  ["1.0E+3 Pa", 1, "1.1E+3 Pa"],
  ["1e\u22123 m", 1, "2e\u22123 m"],
  ["1e-400 m", 1, "2e-400 m"],
  ["0.20(1) mm", 1, "0.21(1) mm"],
  ["12.3(1.5) mm", -1, "12.2(1.5) mm"],
  ["20(1)e-2 mm", 1, "21(1)e-2 mm"],
  ["0.42 ± 0.02 mm", 1, "0.43 ± 0.02 mm"],
  ["0.42±0.02mm", 1, "0.43±0.02mm"],
  ["(0.42 ± 0.02) mm", 1, "(0.43 ± 0.02) mm"],
  ["( 0.42 ± 0.02 ) mm", 1, "( 0.43 ± 0.02 ) mm"],
  ["0.42 mm ± 3 %", 1, "0.43 mm ± 3 %"],
  ["0.42 mm ± 20 µm", 1, "0.43 mm ± 20 µm"],
  ["0.42 mm, U = 0.04 mm, k = 2", 1, "0.43 mm, U = 0.04 mm, k = 2"],
  ["0.40..0.44 mm", 1, "0.41..0.45 mm"],
  ["0.98 … 0.99 mm", 1, "0.99 … 1.00 mm"],
  ["9 mm ... 9 mm", 1, "10 mm ... 10 mm"],
  ["  0.42   mm ", 1, "  0.43   mm "],
  ["0.42\u00a0mm", 1, "0.43\u00a0mm"],
  ["t = 0.42 mm", 1, "t = 0.43 mm"],
  ["free length 2=9 mm", 1, "free length 2=10 mm"],
  [".5 mm", 1, ".6 mm"],
  [".9 mm", 1, "1.0 mm"],
  ["-.1 mm", 1, ".0 mm"],
  ["5. mm", 1, "6. mm"],
  ["007 V", 1, "008 V"],
  ["000.9 V", 1, "001.0 V"],
  ["1_234.5 mm", 1, "1_234.6 mm"],
  ["9_999 Pa", 1, "10_000 Pa"],
  ["999_999 Pa", 1, "1_000_000 Pa"],
  ["1_000 Pa", -1, "999 Pa"],
  ["1\u2009234.567\u200989 mm", 1, "1\u2009234.567\u200990 mm"],
  ["12_34 Pa", 1, "12_35 Pa"],
  ["22 °C", 1, "23 °C"],
  ["-40 °C", -1, "-41 °C"],
  ["50 %", 1, "51 %"],
  ["12e-6 1/K", 1, "13e-6 1/K"],
  ["110 W m-1 K-1", 1, "111 W m-1 K-1"],
  ["0.1 mm", 1, "0.2 mm"],
  ["0.2 mm", 1, "0.3 mm"],
  ["0.30000000000000004 mm", 1, "0.30000000000000005 mm"],
  ["9007199254740993 nm", 1, "9007199254740994 nm"],
];

test.each(STEPS)("%j by %i is %j", (text, steps, after) => {
  expect(stepLastDigit(text, steps)).toBe(after);
});

const NONE = [
  "",
  " ",
  "mm",
  "soft ceramic",
  "FKM 75 Shore A",
  "4 foo",
  "4 bar foo",
  "0,42 mm",
  "0.42(2 mm",
  "0.42 ± mm",
  "0.42 0.43 mm",
  "1.2 × 10 mm",
  "inf mm",
  "NaN",
  "-",
  "--5 mm",
  "0.40..0.5 mm",
  "400 µm..0.44 mm",
  "yes",
  "2024-01-05",
];

test.each(NONE)("%j is no quantity, or none that can be stepped", (text) => {
  expect(stepLastDigit(text, 1)).toBeNull();
});

test("a number that would get too long to be read is not stepped", () => {
  const nines = "9".repeat(60);
  expect(stepLastDigit(`${nines} m`, -1)).toBe(`${"9".repeat(59)}8 m`);
  expect(stepLastDigit(`${nines} m`, 1)).toBeNull();
});

test("steps that are not whole are misuse", () => {
  for (const steps of [0.5, Number.NaN, Number.POSITIVE_INFINITY, 2 ** 53])
    expect(() => stepLastDigit("1 mm", steps)).toThrow(RangeError);
});

/** Numbers as people write them, with the place of their last digit. */
const written = fc
  .record({
    sign: fc.constantFrom("", "-", "\u2212", "+"),
    digits: fc.bigInt({ min: 0n, max: 10n ** 12n }),
    places: fc.nat(9),
    exponent: fc.option(fc.integer({ min: -9, max: 9 }), { nil: null }),
    spread: fc.constantFrom("", "(1)", "(23)"),
  })
  .map(({ sign, digits, places, exponent, spread }) => {
    const padded = digits.toString().padStart(places + 1, "0");
    const cut = padded.length - places;
    const decimals = places === 0 ? "" : `.${padded.slice(cut)}`;
    return {
      signed: digits === 0n ? 0n : sign === "-" || sign === "\u2212" ? -digits : digits,
      text: `${digits === 0n ? "" : sign}${padded.slice(0, cut)}${decimals}${spread}${exponent === null ? "" : `e${exponent}`} V`,
      place: (exponent ?? 0) - places,
    };
  });

test("the value moves by exactly the units of its last place that were asked", () => {
  fc.assert(
    fc.property(
      written,
      fc.integer({ min: -1000, max: 1000 }),
      ({ text, signed, place }, steps) => {
        const after = stepLastDigit(text, steps);
        const result = parseQuantity(after ?? "", "voltage");
        if (!result.ok) throw new Error(result.problem.message);
        // An own reading of the decimal: JavaScript's, of whole digits with an exponent.
        const due = Number(`${signed + BigInt(steps)}e${place}`);
        expect(result.quantity.value).toBe(due === 0 ? 0 : due);
      },
    ),
    { numRuns: 3000 },
  );
});

test("there and back again is the same text, where the number of digits and the sign stay", () => {
  fc.assert(
    fc.property(written, fc.integer({ min: -1000, max: 1000 }), ({ text, signed }, steps) => {
      const moved = signed + BigInt(steps);
      const size = (n: bigint) => (n < 0n ? -n : n).toString().length;
      fc.pre(size(moved) === size(signed) && moved > 0n === signed > 0n && moved !== 0n);
      expect(stepLastDigit(stepLastDigit(text, steps) as string, -steps)).toBe(text);
    }),
    { numRuns: 3000 },
  );
});

test("what it gives is a quantity of the same kind, unit and uncertainty, for any text that is one", () => {
  const pieces = ["0.42", "9.9", "1_000", "1e-3", "-", "(2)", " ", "mm", "±", "..", "%", "(", ")"];
  const text = fc.array(fc.constantFrom(...pieces), { maxLength: 7 }).map((list) => list.join(""));
  const kinds: QuantityKind[] = ["length", "ratio"];
  fc.assert(
    fc.property(
      text,
      fc.constantFrom(...kinds),
      fc.integer({ min: -3, max: 3 }),
      (given, kind, n) => {
        const before = parseQuantity(given, kind);
        const after = stepLastDigit(given, n);
        if (after === null) return;
        expect(after.replace(/[\d_.-]/g, "")).toBe(given.replace(/[\d_.-]/g, ""));
        if (!before.ok) return;
        const read = parseQuantity(after, kind);
        if (!read.ok) throw new Error(`${given} by ${n} is ${after}: ${read.problem.message}`);
        expect(read.quantity.unit).toBe(before.quantity.unit);
        if (!/%/.test(given)) expect(read.quantity.u).toBeCloseTo(before.quantity.u, 15);
      },
    ),
    { numRuns: 5000 },
  );
});
