import { inverse, Matrix } from "ml-matrix";
import { expect, test } from "vitest";
import { EPSILON_0 } from "../materials.ts";
import { CERAMICS } from "./ceramics.ts";
import { ELASTOMERS } from "./elastomers.ts";
import { PASSIVES } from "./passive.ts";

// Stress-charge constants, GPa and C/m2: D. Berlincourt, H. H. A. Krueger (rev. C. Near 2003),
// Properties of piezoelectricity ceramics, TP-226, sec. III, as transcribed in a public materials table.
const PUBLISHED = [
  {
    name: "hard ceramic, Navy I",
    c11: 139,
    c12: 77.8,
    c13: 74.3,
    c33: 115,
    e31: -5.2,
    e33: 15.1,
    eps33S: 635,
    density: 7500,
  },
  {
    name: "soft ceramic, Navy II",
    c11: 121,
    c12: 75.4,
    c13: 75.2,
    c33: 111,
    e31: -5.4,
    e33: 15.8,
    eps33S: 830,
    density: 7750,
  },
  {
    name: "soft ceramic",
    c11: 126,
    c12: 79.5,
    c13: 84.1,
    c33: 117,
    e31: -6.55,
    e33: 23.3,
    eps33S: 1470,
    density: 7500,
  },
] as const;

const within = (ratio: number) => expect(Math.abs(ratio - 1)).toBeLessThan(0.02);

test.each(PUBLISHED)(
  "$name follows from its published stress-charge constants within 2 %",
  (row) => {
    const c = new Matrix([
      [row.c11, row.c12, row.c13],
      [row.c12, row.c11, row.c13],
      [row.c13, row.c13, row.c33],
    ]).mul(1e9);
    const s = inverse(c);
    const d31 = row.e31 * (s.get(0, 0) + s.get(0, 1)) + row.e33 * s.get(0, 2);
    const d33 = 2 * row.e31 * s.get(0, 2) + row.e33 * s.get(2, 2);
    const eps33T = row.eps33S * EPSILON_0 + 2 * row.e31 * d31 + row.e33 * d33;
    const record = CERAMICS[row.name] as (typeof CERAMICS)[string];
    within(record.young_modulus_Pa.value * s.get(0, 0));
    within(record.d31_m_V.value / d31);
    within((record.eps33T_relative.value * EPSILON_0) / eps33T);
    within(record.poisson_ratio.value / (-s.get(0, 1) / s.get(0, 0)));
    expect(record.density_kg_m3.value).toBe(row.density);
  },
);

// Printed by the same source: d31 -171 and -274 pC/N, free relative permittivity 1700 and 3400.
test("the soft classes carry the printed d31 and permittivity", () => {
  expect(CERAMICS["soft ceramic, Navy II"]?.d31_m_V.value).toBe(-171e-12);
  expect(CERAMICS["soft ceramic"]?.d31_m_V.value).toBe(-274e-12);
  expect(CERAMICS["soft ceramic, Navy II"]?.eps33T_relative.value).toBe(1700);
  expect(CERAMICS["soft ceramic"]?.eps33T_relative.value).toBe(3400);
});

// Berlincourt-type tables and Erturk, Inman, J. Vib. Acoust. 130 (2008) 041002: d31 -171 and -190 pC/N,
// Y11E 61 and 66 GPa for the same class.
test("published sources of one class lie within two standard uncertainties of the table", () => {
  const record = CERAMICS["soft ceramic, Navy II"] as (typeof CERAMICS)[string];
  for (const [entry, others] of [
    [record.d31_m_V, [-171e-12, -190e-12]],
    [record.young_modulus_Pa, [61e9, 66e9]],
  ] as const)
    for (const other of others)
      expect(Math.abs(other - entry.value)).toBeLessThan(2 * (entry.u as number));
});

test("every ceramic has d31 < 0 and a coupling below 1 at any corner of its spread", () => {
  for (const record of Object.values(CERAMICS)) {
    expect(record.d31_m_V.value).toBeLessThan(0);
    const high = (entry: { value: number; u?: number }, sign: number) =>
      entry.value + sign * 2 * (entry.u ?? 0);
    const d31 = high(record.d31_m_V, -1);
    const k31 =
      (d31 * d31 * high(record.young_modulus_Pa, 1)) /
      (EPSILON_0 * high(record.eps33T_relative, -1));
    expect(k31).toBeLessThan(0.5);
  }
});

test("no name stands in two tables", () => {
  const names = [CERAMICS, PASSIVES, ELASTOMERS].flatMap((table) => Object.keys(table));
  expect(new Set(names).size).toBe(names.length);
});

test("every number is finite and its uncertainty does not reach its sign", () => {
  for (const table of [CERAMICS, PASSIVES, ELASTOMERS])
    for (const [name, record] of Object.entries(table))
      for (const [key, entry] of Object.entries(record)) {
        if (typeof entry !== "object") continue;
        const { value, u } = entry as { value: number; u?: number };
        expect(Number.isFinite(value), `${name} ${key}`).toBe(true);
        if (!key.includes("expansion") && !key.includes("coefficient"))
          expect(2 * (u ?? 0), `${name} ${key}`).toBeLessThanOrEqual(Math.abs(value));
      }
});
