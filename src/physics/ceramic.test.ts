import { expect, test } from "vitest";
import {
  atTemperature,
  creepDeflection,
  creepFactor,
  fieldAgainstPolingLimit,
  judgeField,
  rayleighStatics,
  rayleighStrain,
  temperatureLimit,
} from "./ceramic.ts";

test("at 1 kV/mm the default ratio 0.667 raises d31 by a third and opens the loop to 12.5 % of the swing", () => {
  const law = rayleighStatics(-250e-12, 2 / 3, 1e6);
  expect(law.largeSignal).toBeCloseTo((-250e-12 * 4) / 3, 22);
  expect(law.loopWidthOverSwing).toBeCloseTo(0.125, 14);
});

test("swing and loop width come out of the loop itself", () => {
  // Area of the Rayleigh loop is (4/3) α E0³ and its swing (d0 + α E0)·2 E0 (Rayleigh 1887).
  const d0 = -250e-12;
  const field = 1.2e6;
  const e0 = field / 2;
  const alpha = (0.667 * d0) / 1e6;
  const law = rayleighStatics(d0, 0.667, field);
  const swing = rayleighStrain(d0, alpha, e0, e0, 1) - rayleighStrain(d0, alpha, e0, -e0, -1);
  expect(law.largeSignal * field).toBeCloseTo(swing, 15);
  let area = 0;
  const n = 2000;
  for (let i = 0; i < n; i++) {
    const e = -e0 + ((i + 0.5) * field) / n;
    area +=
      ((rayleighStrain(d0, alpha, e0, e, 1) - rayleighStrain(d0, alpha, e0, e, -1)) * field) / n;
  }
  expect(area / ((4 / 3) * alpha * e0 ** 3)).toBeCloseTo(1, 6);
  const width = rayleighStrain(d0, alpha, e0, 0, 1) - rayleighStrain(d0, alpha, e0, 0, -1);
  expect(width / swing).toBeCloseTo(law.loopWidthOverSwing, 14);
});

test("a catalogue value is not counted twice: at its own field it gives itself back", () => {
  const law = rayleighStatics(-330e-12, 0.667, 1e6, "catalogue");
  expect(law.largeSignal).toBeCloseTo(-330e-12, 22);
  expect(law.smallSignal).toBeCloseTo(-330e-12 / (1 + 0.667 / 2), 22);
  expect(rayleighStatics(-330e-12, 0.667, 0, "catalogue").smallSignal).toBe(-330e-12);
});

test("the limit against the poling is the smaller of 0.2 kV/mm and a third of the coercive field", () => {
  // Coercive fields in kV/mm, textbook values (Jaffe, Cook & Jaffe; Uchino), unverified, from
  // memory: navy type VI 0.7, II 1.1, I 1.5, III 2.0; all leave the fixed limit in force.
  for (const coercive of [0.7e6, 1.1e6, 1.5e6, 2.0e6])
    expect(fieldAgainstPolingLimit(0.2e6, coercive, 1 / 3)).toBe(0.2e6);
  expect(fieldAgainstPolingLimit(0.2e6, 0.45e6, 1 / 3)).toBeCloseTo(0.15e6, 6);
});

test("fields are judged on both sides of the poling", () => {
  const limits = { withMax: 1.5e6, withCaution: 1e6, againstMax: 0.2e6 };
  expect(judgeField(0.9e6, limits)).toBe("allowed");
  expect(judgeField(1.2e6, limits)).toBe("caution");
  expect(judgeField(1.6e6, limits)).toBe("with poling exceeded");
  expect(judgeField(-0.1e6, limits)).toBe("allowed");
  expect(judgeField(-0.3e6, limits)).toBe("against poling exceeded");
});

test("the temperature limit is half the Curie temperature in °C, or the glue's where it is lower", () => {
  expect(temperatureLimit(273.15 + 200, 0.5, null)).toEqual({ temperature: 373.15, by: "ceramic" });
  expect(temperatureLimit(273.15 + 350, 0.5, 273.15 + 100)).toEqual({
    temperature: 373.15,
    by: "glue",
  });
});

test("properties follow a straight line about 25 °C and say when they leave 0 to 80 °C", () => {
  expect(atTemperature(-250e-12, 0.003, 298.15)).toEqual({ value: -250e-12, inRange: true });
  expect(atTemperature(1, 0.003, 318.15).value).toBeCloseTo(1.06, 12);
  const cold = atTemperature(1, 0.003, 77);
  expect(cold.inRange).toBe(false);
  expect(cold.value).toBeCloseTo(1 - 0.003 * 25, 12);
});

test("creep grows by 1.5 % a decade and superposes over steps", () => {
  expect(creepFactor(-1)).toBe(0);
  expect(creepFactor(0)).toBe(1);
  expect(creepFactor(1e4) - creepFactor(1e3)).toBeCloseTo(0.015, 5);
  const there = { time: 0, deflection: 1 };
  const back = { time: 100, deflection: -1 };
  expect(creepDeflection([there, back], 50)).toBe(creepFactor(50));
  const rest = creepDeflection([there, back], 3600);
  expect(rest).toBeGreaterThan(0);
  expect(rest).toBeCloseTo(0.015 * Math.log10(3600.1 / 3500.1), 12);
});
