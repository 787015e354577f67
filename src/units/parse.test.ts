import { createRequire } from "node:module";
import { expect, test } from "vitest";
import { offeredUnits, QUANTITY_KINDS, type QuantityKind, siUnit } from "./kinds.ts";
import { parseQuantity, type Quantity } from "./parse.ts";
import type { QuantityProblemCode } from "./problem.ts";
import { UNIT_SYMBOLS } from "./unitTable.ts";
import { readUnit, unitNamed } from "./unitText.ts";

function read(text: string, kind: QuantityKind): Quantity {
  const result = parseQuantity(text, kind);
  if (!result.ok) throw new Error(`${text}: ${result.problem.code}: ${result.problem.message}`);
  return result.quantity;
}

/** Text → SI double. Each value is the literal nearest to the exact product, written by hand. */
const READ: [QuantityKind, string, number][] = [
  ["length", "0.42 mm", 0.00042],
  ["length", "0.42mm", 0.00042],
  ["length", "  0.42   mm ", 0.00042],
  ["length", "0.42\u00a0mm", 0.00042],
  ["length", "t = 0.42 mm", 0.00042],
  ["length", "free length = 9 mm", 0.009],
  ["length", "0.1 µm", 1e-7],
  ["length", "0.1 \u00b5m", 1e-7],
  ["length", "0.1 \u03bcm", 1e-7],
  ["length", "0.1 um", 1e-7],
  ["length", "12 nm", 1.2e-8],
  ["length", "-12 µm", -1.2e-5],
  ["length", "\u221212 µm", -1.2e-5],
  ["length", "+12 µm", 1.2e-5],
  ["length", "1_234.5 mm", 1.2345],
  ["length", "1\u2009234.567\u200989 mm", 1.23456789],
  ["length", "1\u202f234 mm", 1.234],
  ["length", ".5 mm", 0.0005],
  ["length", "5. mm", 0.005],
  ["length", "1e-3m", 0.001],
  ["length", "1E3 mm", 1],
  ["length", "1e\u22123 m", 0.001],
  ["area", "3 mm2", 3e-6],
  ["area", "3 mm^2", 3e-6],
  ["area", "3 mm²", 3e-6],
  ["area", "3 mm·mm", 3e-6],
  ["volume", "40 l", 0.04],
  ["volume", "40 L", 0.04],
  ["volume", "3 cm³", 3e-6],
  ["mass", "4 mg", 4e-6],
  ["mass", "1 kg", 1],
  ["time", "120 µs", 0.00012],
  ["time", "5 min", 300],
  ["time", "2 h", 7200],
  ["time", "1 d", 86400],
  ["frequency", "50 Hz", 50],
  ["frequency", "1.5 kHz", 1500],
  ["angular frequency", "3 rad/s", 3],
  ["angular frequency", "3 rad s-1", 3],
  // pi/6 = 0.523598775598298873077...; Math.PI / 6 is the double below.
  ["angle", "30°", 0.5235987755982989],
  ["angle", "180 deg", Math.PI],
  ["angle", "2 mrad", 0.002],
  ["temperature", "22 °C", 295.15],
  ["temperature", "22 degC", 295.15],
  ["temperature", "22 ℃", 295.15],
  ["temperature", "-40 °C", 233.15],
  ["temperature", "295.15 K", 295.15],
  ["temperature difference", "15 K", 15],
  ["pressure", "4 bar", 400000],
  ["pressure", "4 bar(a)", 400000],
  ["pressure", "3 bar(g)", 401325],
  ["pressure", "-0.5 bar(g)", 51325],
  ["pressure", "0 psi(g)", 101325],
  ["pressure", "1e-4 mbar", 0.01],
  ["pressure", "760 Torr", 101325],
  ["pressure", "1 atm", 101325],
  ["pressure", "0.3 MPa", 300000],
  ["modulus", "60 GPa", 6e10],
  ["stress", "30 MPa", 3e7],
  ["pressure rate", "60 bar/min", 100000],
  ["force", "250 mN", 0.25],
  ["voltage", "-150 V", -150],
  ["field", "1.5 kV/mm", 1.5e6],
  ["piezo", "-210 pm/V", -2.1e-10],
  ["piezo", "-210 pC/N", -2.1e-10],
  ["capacitance", "22 nF", 2.2e-8],
  ["capacitance", "0.47 µF", 4.7e-7],
  ["capacitance per length", "100 pF/m", 1e-10],
  ["resistance", "470 Ω", 470],
  ["resistance", "470 \u2126", 470],
  ["resistance", "470 ohm", 470],
  ["resistance", "10 kΩ", 10000],
  ["resistance", "1 MΩ", 1e6],
  ["resistance", "1 Mohm", 1e6],
  ["expansion", "12 ppm/K", 1.2e-5],
  ["expansion", "12e-6 1/K", 1.2e-5],
  ["expansion", "12e-6 /K", 1.2e-5],
  ["expansion", "12e-6 K-1", 1.2e-5],
  ["expansion", "12e-6 K⁻¹", 1.2e-5],
  ["expansion", "0.3 %/K", 0.003],
  ["conductivity", "110 W/(m·K)", 110],
  ["conductivity", "110 W/(m K)", 110],
  ["conductivity", "110 W m-1 K-1", 110],
  ["thermal resistance", "85 K/W", 85],
  ["stiffness", "0.3 N/mm", 300],
  ["rotational stiffness", "40 N·m/rad", 40],
  ["volumetric flow", "600 l/s", 0.6],
  ["volumetric flow", "6 l/min", 0.0001],
  ["throughput", "1 mbar·l/s", 0.1],
  ["throughput", "1 mbar l/s", 0.1],
  ["throughput", "1 mbar*l/s", 0.1],
  ["throughput", "2 Pa·m3/s", 2],
  ["throughput", "2 Pa·m³/s", 2],
  ["molar flow", "3 µmol/s", 3e-6],
  ["length per pressure", "2 µm/bar", 2e-11],
  ["rotary inertia", "3 mg·mm²", 3e-12],
  ["bending stiffness", "1500 N·mm²", 0.0015],
  ["density", "7.8 g/cm³", 7800],
  ["ratio", "0.5", 0.5],
  ["ratio", "50 %", 0.5],
  ["ratio", "300 ppm", 0.0003],
  ["count", "4", 4],
];

test.each(READ)("reads a %s: %s", (kind, text, value) => {
  expect(read(text, kind).value).toBe(value);
});

/** Text → value, standard uncertainty. */
const WITH_UNCERTAINTY: [QuantityKind, string, number, number][] = [
  ["length", "0.42(2) mm", 0.00042, 0.00002],
  ["length", "0.420(13) mm", 0.00042, 0.000013],
  ["length", "12.3(15) mm", 0.0123, 0.0015],
  ["length", "12.3(1.5) mm", 0.0123, 0.0015],
  ["length", "12(1.5) mm", 0.012, 0.0015],
  ["length", "1230(150) mm", 1.23, 0.15],
  ["length", "20(1)e-2 mm", 0.0002, 0.00001],
  ["length", "0.42 ± 0.02 mm", 0.00042, 0.00002],
  ["length", "0.42±0.02mm", 0.00042, 0.00002],
  ["length", "0.42 +/- 0.02 mm", 0.00042, 0.00002],
  ["length", "0.42 +- 0.02 mm", 0.00042, 0.00002],
  ["length", "(0.42 ± 0.02) mm", 0.00042, 0.00002],
  ["length", "0.42 mm ± 0.02 mm", 0.00042, 0.00002],
  ["length", "0.42 mm ± 20 µm", 0.00042, 0.00002],
  ["length", "0.42 mm ± 3 %", 0.00042, 0.0000126],
  ["length", "-0.42 mm ± 3 %", -0.00042, 0.0000126],
  ["length", "0.42 mm U=0.04 k=2", 0.00042, 0.00002],
  ["length", "0.42 mm, U = 0.04 mm, k = 2", 0.00042, 0.00002],
  ["length", "0.42 mm U=40 µm k=2", 0.00042, 0.00002],
  ["temperature", "22.0(5) °C", 295.15, 0.5],
  ["temperature", "22 ± 0.5 °C", 295.15, 0.5],
  ["temperature", "22 °C ± 0.5 K", 295.15, 0.5],
  ["temperature", "22 °C ± 0.5 °C", 295.15, 0.5],
  ["temperature", "295 K ± 1 %", 295, 2.95],
  ["pressure", "3.00(5) bar(g)", 401325, 5000],
  ["pressure", "3 bar(g) ± 50 mbar", 401325, 5000],
  ["ratio", "1.05(2)", 1.05, 0.02],
  ["ratio", "1.05 ± 0.02", 1.05, 0.02],
  ["ratio", "(50 ± 3) %", 0.5, 0.03],
  ["ratio", "50(3) %", 0.5, 0.03],
];

test.each(WITH_UNCERTAINTY)("reads the uncertainty of a %s: %s", (kind, text, value, u) => {
  const quantity = read(text, kind);
  expect(quantity.value).toBe(value);
  expect(quantity.u).toBe(u);
  expect(quantity.distribution).toBe("normal");
});

test.each(["0.40..0.44 mm", "0.40…0.44 mm", "0.40 mm..0.44 mm", "0.40 mm .. 440 µm"])(
  "limits are a rectangular distribution of standard uncertainty half width over root three: %s",
  (text) => {
    // GUM (JCGM 100:2008) 4.3.7: u² = a²/3 for half width a.
    const { value, u, distribution, limits } = read(text, "length");
    expect(value).toBe(0.00042);
    expect(u).toBeCloseTo(0.00002 / Math.sqrt(3), 18);
    expect(distribution).toBe("rectangular");
    expect(limits).toEqual([0.0004, 0.00044]);
  },
);

test("a number without uncertainty has none, and says so", () => {
  expect(read("0.20 mm", "length")).toEqual({
    value: 0.0002,
    u: 0,
    distribution: "none",
    unit: "mm",
    digits: 2,
  });
  expect(read("0.42(0) mm", "length").distribution).toBe("none");
});

/** Refused: text → code, and what message or hint must name. */
const REFUSED: [QuantityKind, string, QuantityProblemCode, string][] = [
  ["length", "", "empty", "mm"],
  ["length", "mm", "no number", "number"],
  ["length", "- mm", "no number", "number"],
  ["length", "0.42", "no unit", "mm"],
  ["length", "0", "no unit", "mm"],
  ["length", "0,42 mm", "decimal comma", "0.42 mm"],
  ["length", "1,234 mm", "decimal comma", "1.234 mm or 1_234 mm"],
  ["length", "10 000 mm", "number grammar", "10_000"],
  ["length", "1.2 × 10-9 m", "number grammar", "e-9"],
  ["length", "inf mm", "not finite", "limit"],
  ["length", "-Infinity mm", "not finite", "limit"],
  ["length", "NaN mm", "not finite", "limit"],
  ["length", "∞ mm", "not finite", "limit"],
  ["length", "1e401 mm", "number size", "400"],
  ["length", "1e999999999999 mm", "number size", "400"],
  ["length", "1e310 m", "number size", "large"],
  ["length", "1e-320 m", "number size", "small"],
  ["length", `${"9".repeat(61)} mm`, "number size", "digits"],
  ["length", `${" ".repeat(250)}1 mm`, "number size", "200"],
  ["length", "5 foo", "unknown unit", "mm"],
  ["length", "5 MM", "unknown unit", "did you mean mm"],
  ["length", "5 micron", "unknown unit", "did you mean μm"],
  ["length", "5 V", "wrong unit", "mm"],
  ["length", "5 mm²", "wrong unit", "length"],
  ["length", "5 m°C", "offset unit", "prefix"],
  ["length", "5 %", "wrong unit", "length"],
  ["stress", "4 mpa", "unknown unit", "MPa"],
  ["pressure", "4 mPA", "unknown unit", "MPa"],
  ["pressure", "4 Mbar", "unknown unit", "did you mean mbar"],
  ["pressure", "4 barg", "unknown unit", "did you mean bar(g)"],
  ["pressure", "4 bara", "unknown unit", "did you mean bar(a)"],
  ["pressure", "60 psig", "unknown unit", "did you mean psi(g)"],
  ["pressure", "-2 bar(g)", "range", "vacuum"],
  ["pressure", "-2 bar", "range", "vacuum"],
  ["pressure", "3 bar(g) ± 3 %", "ambiguous uncertainty", "bar"],
  ["stress", "3 bar(g)", "wrong unit", "gas pressures"],
  ["pressure rate", "3 bar(g)/s", "unit grammar", "stands alone"],
  ["force", "3 N(g)", "unit grammar", "pressure"],
  ["temperature", "22 C", "wrong unit", "did you mean °C"],
  ["temperature", "22 k", "unknown unit", "K"],
  ["temperature", "22 m°C", "offset unit", "prefix"],
  ["temperature", "-300 °C", "range", "absolute zero"],
  ["temperature", "22 °C ± 3 %", "ambiguous uncertainty", "K"],
  ["temperature difference", "5 °C", "offset unit", "K"],
  ["expansion", "12 ppm/°C", "offset unit", "ppm/K"],
  ["frequency", "300 rad/s", "wrong unit", "2π"],
  ["frequency", "300 1/s", "wrong unit", "Hz"],
  ["frequency", "300 s-1", "wrong unit", "Hz"],
  ["frequency", "3 khz", "unknown unit", "did you mean kHz"],
  ["angular frequency", "50 Hz", "wrong unit", "2π"],
  ["voltage", "150 v", "unknown unit", "did you mean V"],
  ["capacitance", "22 nf", "unknown unit", "did you mean nF"],
  ["resistance", "10 KOhm", "unknown unit", "did you mean kΩ"],
  ["conductivity", "110 W/m/K", "ambiguous unit", "W/(m·K) or W·K/m"],
  ["conductivity", "110 W/m K", "ambiguous unit", "W/(m·K) or W·K/m"],
  ["conductivity", "110 W/(m·K", "unit grammar", ")"],
  ["speed", "1 m / 2 s", "ambiguous unit", "two ways"],
  ["area", "3 m0", "unit grammar", "exponent"],
  ["throughput", "1 W", "wrong unit", "mbar·l/s"],
  ["power", "1 mbar·l/s", "wrong unit", "W"],
  ["energy", "1 N·m", "wrong unit", "J"],
  ["throughput", "5 sccm", "standard state", "DIN 1343"],
  ["molar flow", "5 slm", "standard state", "need.standard_state"],
  ["volumetric flow", "5 sccm", "wrong unit", "moles"],
  ["mass flow", "5 sccm", "wrong unit", "moles"],
  ["throughput", "5 sccm·mbar", "unit grammar", "alone"],
  ["throughput", "5 SCCM", "unknown unit", "did you mean sccm"],
  ["throughput", "5 Mbar*L/S", "unknown unit", "did you mean mbar·l/s"],
  ["ratio", "3 mm", "wrong unit", "number"],
  ["ratio", "50 ± 3 %", "ambiguous uncertainty", "(50 ± 3) %"],
  ["ratio", "50 % ± 3 %", "ambiguous uncertainty", "(50 ± 3) %"],
  ["length", "3 % mm", "unit grammar", "pure number"],
  ["length", "0.42 ± 3 %", "no unit", "0.42 mm ± 3 %"],
  ["length", "0.42 mm ± 0.02", "uncertainty", "0.42 ± 0.02 mm"],
  ["length", "0.42 mm ± 0.02 V", "wrong unit", "length"],
  ["length", "0.42(2) ± 0.02 mm", "uncertainty", "two"],
  ["length", "0.42(2) mm ± 3 %", "uncertainty", "two"],
  ["length", "0.42 ± -0.02 mm", "uncertainty", "negative"],
  ["length", "0.42 mm U=0.04", "uncertainty", "k=2"],
  ["length", "0.42 mm U=0.04 k=0", "uncertainty", "k=2"],
  ["length", "0.42(x) mm", "unit grammar", "(x)"],
  ["length", "0.42(2 mm", "number grammar", "0.42(2) mm"],
  ["length", "(0.42 mm", "uncertainty", "not understood"],
  ["length", "0.44..0.40 mm", "limits", "lower"],
  ["length", "0.40..0.40 mm", "limits", "lower"],
  ["count", "2.5", "range", "whole"],
  ["count", "4 %", "wrong unit", "whole"],
];

test.each(REFUSED)("refuses a %s: %s (%s)", (kind, text, code, names) => {
  const result = parseQuantity(text, kind);
  if (result.ok) throw new Error(`accepted as ${result.quantity.value}`);
  expect(result.problem.code).toBe(code);
  expect(`${result.problem.message} ${result.problem.hint}`).toContain(names);
  expect(result.problem.got).toBe(text);
  expect(result.problem.allowed).not.toBe("");
});

test("a gauge pressure says as what it was read", () => {
  expect(read("3 bar(g)", "pressure").reading).toBe("4.01325 bar absolute");
  expect(read("500 mbar(g)", "pressure").reading).toBe("1513.25 mbar absolute");
  expect(read("4 bar", "pressure").reading).toBeUndefined();
});

test("sccm and Torr·l/s agree with the NIST factors", () => {
  // NIST factors as quoted on a public throughput page: 1 sccm = 0.0168875 mbar l/s (0 °C, 101325 Pa);
  // molar flow and Torr l/s: closed form, R = 8.314462618 J/(mol K).
  const standardState = { temperature: 273.15, pressure: 101325 };
  const throughput = parseQuantity("1 sccm", "throughput", { standardState });
  const molar = parseQuantity("1 sccm", "molar flow", { standardState });
  if (!throughput.ok || !molar.ok) throw new Error("refused");
  expect(throughput.quantity.value).toBe(0.00168875);
  expect(molar.quantity.value / 7.43583890091172e-7).toBeCloseTo(1, 9);
  expect(throughput.quantity.reading).toBe("counted at 0 °C and 1.01325 bar");
  expect(read("1 Torr·l/s", "throughput").value).toBeCloseTo(0.133322368421, 12);
  const sccm = read("1 Torr·l/s", "throughput").value / throughput.quantity.value;
  expect(sccm / 78.94736842102148).toBeCloseTo(1, 9);
});

test("the same sccm at another reference state is another flow", () => {
  const at = (temperature: number, pressure: number) => {
    const result = parseQuantity("1 slm", "molar flow", {
      standardState: { temperature, pressure },
    });
    if (!result.ok) throw new Error("refused");
    return result.quantity.value;
  };
  // Ideal gas: n = pV/(RT), so 0 °C over 20 °C is 293.15/273.15.
  expect(at(273.15, 101325) / at(293.15, 101325)).toBeCloseTo(293.15 / 273.15, 12);
  expect(at(293.15, 1e5) / at(293.15, 101325)).toBeCloseTo(1e5 / 101325, 12);
});

/** Our symbol → how the oracle spells it. The oracle reads neither µ nor Ω and adds the zero of °C. */
const ORACLE_SPELLING: Record<string, string> = {
  Torr: "torr",
  h: "hour",
  d: "day",
  Ω: "ohm",
  "°": "deg",
};
const ORACLE_LACKS = ["°C", "%", "ppm", "sccm", "slm"];

test("unit factors agree with a units library", () => {
  interface Reading {
    toSI(): { getValue(): number };
  }
  const oracle = createRequire(import.meta.url)("unitmath/dist/UnitMath.js") as (
    t: string,
  ) => Reading;
  let compared = 0;
  for (const unit of new Set(UNIT_SYMBOLS.values())) {
    if (ORACLE_LACKS.includes(unit.base)) continue;
    const prefix = unit.symbol.slice(0, unit.symbol.length - unit.base.length).replace("μ", "u");
    let theirs: number;
    try {
      theirs = oracle(`1 ${prefix}${ORACLE_SPELLING[unit.base] ?? unit.base}`)
        .toSI()
        .getValue();
    } catch {
      continue;
    }
    const ours = (Number(unit.factor.n) / Number(unit.factor.d)) * 10 ** unit.factor.e;
    expect(ours / theirs, unit.symbol).toBeCloseTo(1, 13);
    compared += 1;
  }
  expect(compared).toBeGreaterThan(80);
});

test("units that no power of ten makes are the nearest double", () => {
  // Torr = 101325/760 Pa and psi = 0.45359237·9.80665/0.0254² Pa are exact by definition (NIST SP 811,
  // appendix B, from memory); the quotients are written out to 20 digits by long division.
  expect(read("1 Torr", "pressure").value).toBe(Number("133.32236842105263158"));
  expect(read("1 psi", "pressure").value).toBe(Number("6894.7572931683613367"));
  expect(read("0.3 mTorr", "pressure").value).toBe(Number("0.039996710526315789474"));
});

test("every symbol means one thing", () => {
  const bySpelling = new Map<string, string>();
  for (const [spelling, unit] of UNIT_SYMBOLS) {
    expect(readUnit(spelling).ok, spelling).toBe(true);
    expect(bySpelling.get(spelling) ?? unit.symbol).toBe(unit.symbol);
    bySpelling.set(spelling, unit.symbol);
  }
  // A prefix and a unit never spell another unit: "min" is no milli-inch, "cd", "Pa", "mol" no prefix forms.
  const symbols = [...new Set([...UNIT_SYMBOLS.values()].map(({ symbol }) => symbol))];
  expect(symbols.length).toBe(new Set(UNIT_SYMBOLS.values()).size);
});

test("every kind accepts each unit it offers", () => {
  for (const kind of QUANTITY_KINDS) {
    const context = { standardState: { temperature: 293.15, pressure: 1e5 } };
    for (const unit of [siUnit(kind), ...offeredUnits(kind)]) {
      const result = parseQuantity(`3 ${unit}`, kind, context);
      expect(result.ok, `${kind}: ${unit}`).toBe(true);
    }
    expect(unitNamed(siUnit(kind)).factor, kind).toEqual({ n: 1n, d: 1n, e: 0 });
  }
});
