import { expect, test } from "vitest";
import { plenumDroop, plenumRecovery, pulseTrain, pumpDownTime, stuckOpen } from "./chamber.ts";
import { GAS_CONSTANT, gasNamed } from "./gases.ts";

const TRAIN = {
  amountPerPulse: 1e-7,
  rate: 25,
  volume: 8e-3,
  pumpingSpeed: 0.08,
  basePressure: 1e-5,
  temperature: 293.15,
};

/** Highest and mean pressure of the 2000th period, pulse by pulse and in small exact steps between. */
function simulated(train: typeof TRAIN): { peak: number; mean: number } {
  const step = (train.amountPerPulse * GAS_CONSTANT * train.temperature) / train.volume;
  const tau = train.volume / train.pumpingSpeed;
  let p = train.basePressure;
  let peak = 0;
  let mean = 0;
  for (let n = 0; n < 2000; n++) {
    p += step;
    peak = p;
    mean = 0;
    for (let i = 0; i < 1000; i++) {
      const next =
        train.basePressure + (p - train.basePressure) * Math.exp(-1 / (1000 * train.rate * tau));
      mean += (p + next) / 2000;
      p = next;
    }
  }
  return { peak, mean };
}

test.each([0.5, 5, 25, 400])("a train of %d Hz reaches the computed peak and mean", (rate) => {
  const train = { ...TRAIN, rate };
  const { peak, mean } = simulated(train);
  const closed = pulseTrain(train);
  expect(closed.peakPressure / peak).toBeCloseTo(1, 10);
  // The trapezoid of the oracle is off by (period/(1000 τ))²/12.
  expect(closed.meanPressure / mean).toBeCloseTo(1, 4);
});

test("a single pulse raises the base pressure by its step, and nothing piles up", () => {
  const one = pulseTrain({ ...TRAIN, rate: null });
  expect(one.peakPressure).toBe(TRAIN.basePressure + one.step);
  expect(one.meanPressure).toBe(TRAIN.basePressure);
  expect(one.pilesUp).toBe(false);
});

test("pulses pile up when the time constant is longer than the period", () => {
  const tau = TRAIN.volume / TRAIN.pumpingSpeed;
  expect(pulseTrain({ ...TRAIN, rate: 1.001 / tau }).pilesUp).toBe(true);
  expect(pulseTrain({ ...TRAIN, rate: 0.999 / tau }).pilesUp).toBe(false);
});

test("peak and mean rise with the rate, and at a high rate the peak is the mean", () => {
  const at = (rate: number) => pulseTrain({ ...TRAIN, rate });
  expect(at(20).meanPressure).toBeGreaterThan(at(10).meanPressure);
  expect(at(20).peakPressure).toBeGreaterThan(at(10).peakPressure);
  expect(at(1e6).peakPressure / at(1e6).meanPressure).toBeCloseTo(1, 4);
});

test("pumping down by a factor e takes one time constant", () => {
  expect(pumpDownTime(0.02, 0.005, Math.E, 1)).toBeCloseTo(4, 12);
});

const STUCK = {
  massFlow: 5e-6,
  molarMass: gasNamed("Ar").molarMass,
  volume: 0.02,
  pumpingSpeed: 0.3,
  basePressure: 1e-4,
  temperature: 293.15,
};

test("a valve stuck open ends where the pump takes what comes", () => {
  const { pressure } = stuckOpen({ ...STUCK, target: 100 });
  const pumped =
    ((pressure - STUCK.basePressure) * STUCK.pumpingSpeed * STUCK.molarMass) /
    (GAS_CONSTANT * STUCK.temperature);
  expect(pumped / STUCK.massFlow).toBeCloseTo(1, 12);
});

test("the time to a target agrees with small steps of the chamber's equation", () => {
  const target = 0.07;
  const { timeToTarget } = stuckOpen({ ...STUCK, target });
  const inflow = (STUCK.massFlow / STUCK.molarMass) * GAS_CONSTANT * STUCK.temperature;
  const dt = 1e-6;
  let p = STUCK.basePressure;
  let t = 0;
  while (p < target) {
    p += ((inflow - STUCK.pumpingSpeed * (p - STUCK.basePressure)) / STUCK.volume) * dt;
    t += dt;
  }
  expect(Math.abs((timeToTarget as number) / t - 1)).toBeLessThan(1e-3);
});

test("a target above what the flow can hold is never reached, one below the base at once", () => {
  const { pressure } = stuckOpen({ ...STUCK, target: 1 });
  expect(stuckOpen({ ...STUCK, target: pressure }).timeToTarget).toBeNull();
  expect(stuckOpen({ ...STUCK, target: 0.99 * pressure }).timeToTarget).not.toBeNull();
  expect(stuckOpen({ ...STUCK, target: 1e-5 }).timeToTarget).toBe(0);
  expect(stuckOpen({ ...STUCK, massFlow: 0, target: 1 }).timeToTarget).toBeNull();
});

const PLENUM = {
  gas: gasNamed("He"),
  pressure: 20e5,
  temperature: 295,
  volume: 1e-6,
  mass: 1e-9,
};

test("a small pulse lowers the plenum by γ times its share of the gas, a whole fill by all of it", () => {
  const held = (20e5 * 1e-6 * PLENUM.gas.molarMass) / (GAS_CONSTANT * 295);
  const share = PLENUM.mass / held;
  expect(plenumDroop(PLENUM) / 20e5 / (PLENUM.gas.gamma * share)).toBeCloseTo(1, 3);
  expect(plenumDroop({ ...PLENUM, mass: held })).toBe(20e5);
  expect(plenumDroop({ ...PLENUM, mass: 0 })).toBe(0);
});

test("the droop is that of an adiabatic vessel emptied in small steps", () => {
  // dp = −γ R_s T dm/V with T following p^{(γ−1)/γ}.
  const { gas, volume } = PLENUM;
  const mass = 1e-6;
  const n = 200_000;
  let p = 20e5;
  for (let i = 0; i < n; i++) {
    const t = 295 * (p / 20e5) ** ((gas.gamma - 1) / gas.gamma);
    p -= ((gas.gamma * GAS_CONSTANT * t) / gas.molarMass / volume) * (mass / n);
  }
  expect(Math.abs(plenumDroop({ ...PLENUM, mass }) / (20e5 - p) - 1)).toBeLessThan(1e-4);
});

test("a fed plenum settles to the computed lack before each pulse and in the mean", () => {
  const conductance = 5e-5;
  const rate = 30;
  const tau = PLENUM.volume / conductance;
  const held = (20e5 * 1e-6 * PLENUM.gas.molarMass) / (GAS_CONSTANT * 295);
  const fall = (20e5 * PLENUM.mass) / held;
  let lack = 0;
  let mean = 0;
  for (let n = 0; n < 200; n++) {
    mean = (lack + fall) * -Math.expm1(-1 / (rate * tau)) * tau * rate;
    lack = (lack + fall) * Math.exp(-1 / (rate * tau));
  }
  const got = plenumRecovery(PLENUM, conductance, rate);
  expect(got.timeConstant).toBeCloseTo(0.02, 12);
  expect(got.lackBeforePulse / lack).toBeCloseTo(1, 10);
  expect(got.meanLack / mean).toBeCloseTo(1, 10);
});
