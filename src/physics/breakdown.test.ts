import { expect, test } from "vitest";
import {
  type LockoutInput,
  lockout,
  paschenCrossings,
  paschenMinimum,
  paschenVoltage,
} from "./breakdown.ts";
import { BREAKDOWN, breakdownRecord } from "./tables/breakdown.ts";

const input = (change: Partial<LockoutInput> = {}): LockoutInput => ({
  voltage: 300,
  gases: ["argon"],
  gapMin: 0.3e-3,
  gapMax: 5e-3,
  factor: 0.8,
  secondaryEmissionMin: 0.01,
  secondaryEmissionMax: 0.1,
  ...change,
});

/** Oracle: scans pd and reports where the voltage reaches the limit curve of any set. */
function scanned(gas: string, voltage: number, factor: number, emission: number[]) {
  const record = breakdownRecord(gas);
  const low = Math.min(
    ...record.sets.flatMap((set) => emission.map((g) => paschenMinimum(set, g).voltage)),
  );
  const target = Math.min(low, record.measuredMinimum?.value ?? Number.POSITIVE_INFINITY);
  let left = Number.POSITIVE_INFINITY;
  let right = 0;
  for (let i = 0; i < 200000; i++) {
    const pd = 1e-3 * 10 ** ((6 * i) / 200000);
    const curve = Math.min(
      ...record.sets.flatMap((set) => emission.map((g) => paschenVoltage(set, g, pd))),
    );
    if (voltage < (factor * curve * target) / low) continue;
    left = Math.min(left, pd);
    right = Math.max(right, pd);
  }
  return { left, right };
}

test("crossings lie on the curve, one each side of the minimum", () => {
  for (const record of BREAKDOWN)
    for (const set of record.sets)
      for (const gamma of [0.01, 0.1]) {
        const minimum = paschenMinimum(set, gamma);
        for (const ratio of [1 + 1e-9, 1.01, 2, 50]) {
          const crossing = paschenCrossings(set, gamma, ratio * minimum.voltage)!;
          expect(crossing.left).toBeLessThan(minimum.pd);
          expect(crossing.right).toBeGreaterThan(minimum.pd);
          for (const pd of [crossing.left, crossing.right])
            expect(paschenVoltage(set, gamma, pd) / (ratio * minimum.voltage)).toBeCloseTo(1, 8);
        }
        expect(paschenCrossings(set, gamma, 0.999 * minimum.voltage)).toBeNull();
      }
});

test("the minimum is the lowest point of the curve and the left side has no breakdown", () => {
  const set = breakdownRecord("N2").sets[0]!;
  const minimum = paschenMinimum(set, 0.01);
  for (const shift of [0.9, 0.99, 1.01, 1.1])
    expect(paschenVoltage(set, 0.01, shift * minimum.pd)).toBeGreaterThan(minimum.voltage);
  expect(paschenVoltage(set, 0.01, minimum.pd / 3)).toBe(Number.POSITIVE_INFINITY);
});

test("the band agrees with a scan over pd, all sets and both ends of the secondary emission", () => {
  for (const [gas, voltage] of [
    ["He", 180],
    ["Ne", 250],
    ["Ar", 300],
    ["Kr", 200],
    ["Xe", 400],
    ["H2", 250],
    ["N2", 300],
    ["air", 300],
    ["CO2", 400],
  ] as const) {
    const result = lockout(input({ gases: [gas], voltage }));
    const oracle = scanned(gas, voltage, 0.8, [0.01, 0.03, 0.1]);
    expect(result.status, gas).toBe("band");
    expect((result.band!.from * 5e-3) / oracle.left, gas).toBeCloseTo(1, 3);
    expect((result.band!.to * 0.3e-3) / oracle.right, gas).toBeCloseTo(1, 3);
  }
});

test("where the measured minimum is lower, the limit curve touches the factor times it", () => {
  const air = lockout(input({ gases: ["air"], secondaryEmissionMax: 0.01, voltage: 300 }));
  // Computed 305 V (A 15, B 365) is below the measured 327 V: no scaling.
  expect(air.lowestLimit).toBeCloseTo(0.8 * 305.2664904355674, 6);
  expect(air.minimumMeasured).toBe(327);
  const argon = lockout(input({ gases: ["Ar"], secondaryEmissionMax: 0.01 }));
  expect(argon.minimumComputed!.low).toBeGreaterThan(137);
  expect(argon.lowestLimit).toBeCloseTo(0.8 * 137, 9);
  const just = (v: number) =>
    lockout(input({ gases: ["Ar"], secondaryEmissionMax: 0.01, voltage: v }));
  expect(just(0.8 * 137 * 1.0001).status).toBe("band");
  expect(just(0.8 * 137 * 0.9999).status).toBe("below the minimum");
});

test("scaling gives a wider band than shifting the curve down by a constant", () => {
  const set = breakdownRecord("Ar").sets[0]!;
  const gamma = 0.01;
  const shift = paschenMinimum(set, gamma).voltage - 137;
  const scale = 137 / paschenMinimum(set, gamma).voltage;
  for (const v of [150, 200, 300, 1000]) {
    const scaledBand = paschenCrossings(set, gamma, v / scale)!;
    const shifted = paschenCrossings(set, gamma, v + shift)!;
    expect(scaledBand.left).toBeLessThanOrEqual(shifted.left);
    expect(scaledBand.right).toBeGreaterThanOrEqual(shifted.right);
  }
});

test("the band widens with the voltage, with the spread of gaps and with the secondary emission", () => {
  const base = lockout(input()).band!;
  const wider = [
    lockout(input({ voltage: 330 })).band!,
    lockout(input({ gapMin: 0.2e-3, gapMax: 6e-3 })).band!,
    lockout(input({ secondaryEmissionMax: 0.3 })).band!,
  ];
  for (const band of wider) {
    expect(band.from).toBeLessThan(base.from);
    expect(band.to).toBeGreaterThan(base.to);
  }
  const cold = lockout(input({ temperature: 146.575 })).band!;
  expect(cold.from / base.from).toBeCloseTo(0.5, 12);
});

test("a mixture takes its lowest component, and says what it does not know", () => {
  const mixture = lockout(input({ gases: ["N2", "Ar"] }));
  const argon = lockout(input({ gases: ["Ar"] }));
  expect(mixture.gas).toBe("Ar");
  expect(mixture.band!.from).toBeLessThanOrEqual(argon.band!.from);
  expect(mixture.band!.to).toBeGreaterThanOrEqual(argon.band!.to);
  expect(mixture.notes.some((note) => note.includes("Penning"))).toBe(true);
  const partly = lockout(input({ gases: ["Ar", "methane"] }));
  expect(partly.missing).toEqual(["CH4"]);
  expect(partly.status).toBe("band");
  const unknown = lockout(input({ gases: ["methane"] }));
  expect(unknown.status).toBe("no data");
  expect(unknown.band).toBeNull();
  expect(unknown.notes[0]).toContain("CH4");
});

test("a voltage below every minimum has no band, an unknown component keeps that open", () => {
  expect(lockout(input({ gases: ["N2"], voltage: 100 })).status).toBe("below the minimum");
  expect(lockout(input({ gases: ["N2", "O2"], voltage: 100 })).status).toBe("no data");
  expect(lockout(input({ voltage: -300 })).band).toEqual(lockout(input()).band);
  expect(lockout(input({ voltage: 0 })).status).toBe("below the minimum");
});

test("small gaps carry a note and impossible gaps are refused", () => {
  expect(lockout(input({ gapMin: 5e-6 })).notes[0]).toContain("law not valid");
  expect(lockout(input({ gapMin: 50e-6 })).notes[0]).toContain("0.1 mm");
  expect(lockout(input()).notes).toEqual([]);
  expect(() => lockout(input({ gapMin: 0 }))).toThrow(RangeError);
  expect(() => lockout(input({ gapMin: 1e-2 }))).toThrow(RangeError);
});
