import { describe, expect, it } from "vitest";
import type { Design } from "../../src/design/design.ts";
import { pulse } from "../../src/studies/pulse.ts";
import { NoPulseError } from "../../src/studies/pulseOptions.ts";
import { rateOrder, rates, ratesResult, ratesSteps } from "../../src/studies/rates.ts";
import { rateCase, trainAt } from "../../src/studies/ratesCase.ts";
import { ratesPlan } from "../../src/studies/ratesPlan.ts";
import type { RateFigures } from "../../src/studies/ratesResult.ts";
import { exampleDesign } from "../examples/support.ts";

const first = exampleDesign("first-valve");
const krypton = exampleDesign("krypton-buffer");

/** The first valve with a supply that can't follow: its rail sags until charge drawn and charge given balance. */
const starved = (): Design => {
  const bias = first.rails.bias as Design["rails"][string];
  return { ...first, rails: { ...first.rails, bias: { ...bias, currentLimit: 2e-3 } } };
};

describe("a train at one rate", () => {
  it("gives gas and lift of the same train run pulse by pulse in fine steps", () => {
    const plan = ratesPlan(first, { count: 2 });
    for (const rate of [30, 900]) {
      const run = pulse(first, { count: 6, rate, gate: plan.gate, step: plan.step });
      const last = run.result.pulses.at(-1)!;
      const found = rateCase(first, plan, rate);
      expect(found.period).toBe(1);
      // The run's plenum is not refilled: 3.5e-5 a pulse, six of them.
      expect(Math.abs(found.gas_mol! / last.gas!.amount_mol - 1)).toBeLessThan(4e-4);
      expect(Math.abs(found.peak_lift_m / last.peak_lift_m - 1)).toBeLessThan(1e-4);
    }
  }, 60_000);

  it("piles gas up in the chamber as V/S and the gas of one pulse say", () => {
    const plan = ratesPlan(krypton, { count: 2 });
    const chamber = plan.made.model.chamber!;
    const tau = chamber.volume / chamber.pumpingSpeed;
    for (const rate of [5, 20, 60, 150]) {
      const found = rateCase(krypton, plan, rate);
      const mass = found.gas_mol! * krypton.gas!.molarMass;
      // Mean: all gas leaves by the pump. Peak: a short pulse's step, the series of what is left of earlier ones.
      const mean = chamber.basePressure + (mass * chamber.specific * rate) / chamber.pumpingSpeed;
      const step = (mass * chamber.specific) / chamber.volume;
      const peak = chamber.basePressure + step / (1 - Math.exp(-1 / (rate * tau)));
      expect(Math.abs(found.chamber_mean_Pa! / mean - 1)).toBeLessThan(1e-4);
      // Pumped while it flows: at most the pulse over τ, a few milliseconds' worth of 0.1 s.
      expect(found.chamber_peak_Pa!).toBeLessThan(peak);
      expect(found.chamber_peak_Pa!).toBeGreaterThan(0.995 * peak);
      expect(found.slow.find((s) => s.name === "chamber")!.time_constant_s).toBeCloseTo(tau, 8);
    }
  }, 60_000);

  it("brings a starved rail where the run alone brings it, in a fraction of the pulses", () => {
    const design = starved();
    const plan = ratesPlan(design, { count: 2, ceramic: "linear" });
    const rate = 1200;
    const found = rateCase(design, plan, rate);
    const brute = trainAt(plan, rate);
    let last = brute.next();
    // λ = 0.993: 1500 pulses leave 1e-5.
    for (let n = 1; n < 1500; n++) last = brute.next();
    expect(found.period).toBe(1);
    expect(found.rail_sag).toBeGreaterThan(0.05);
    expect(Math.abs(found.rail_sag - last.railSag[0]!)).toBeLessThan(2e-4);
    expect(Math.abs(found.gas_over_single - last.gas / plan.single.gas)).toBeLessThan(5e-4);
    expect(found.pulses_run).toBeLessThan(100);
    // The supply gives its limit, all the time.
    expect(found.supply_current_A).toBeCloseTo(2e-3, 6);
  }, 120_000);

  it("follows the ceramic's memory to where a rail sags that its supply can't hold", () => {
    const plan = ratesPlan(first, { count: 2 });
    const rate = 1600;
    const found = rateCase(first, plan, rate);
    const brute = trainAt(plan, rate);
    let last = brute.next();
    for (let n = 1; n < 700; n++) last = brute.next();
    expect(found.period).toBe(1);
    expect(found.rail_sag).toBeGreaterThan(0.1);
    // What hysteresis leaves of another way to the same voltage; moves of a fifth of the way: 4 % and 0.06.
    expect(Math.abs(found.gas_over_single - last.gas / plan.single.gas)).toBeLessThan(0.01);
    expect(Math.abs(found.rail_sag - last.railSag[0]!)).toBeLessThan(0.01);
  }, 120_000);

  it("warms the strip by what one more pulse of a fine run takes", () => {
    const rate = 200;
    const plan = ratesPlan(first, { count: 2 });
    const lost = (count: number) =>
      pulse(first, { count, rate, gate: plan.gate, step: plan.step })
        .result.audit.rows.filter((row) => /hysteresis|strip damping/.test(row.what))
        .reduce((sum, row) => sum + row.energy_J, 0);
    const found = rateCase(first, plan, rate);
    expect(Math.abs(found.strip_heat_W / ((lost(5) - lost(4)) * rate) - 1)).toBeLessThan(2e-3);
    expect(found.strip_temperature_K).toBeCloseTo(
      first.surroundings.ambientTemperature + found.strip_heat_W * plan.perWatt,
      9,
    );
  }, 60_000);
});

describe("the spectrum of the drive", () => {
  it("is that of a rectangle of the gate's length, rounded by the series resistor", () => {
    const plan = ratesPlan(first, { count: 2, ceramic: "linear" });
    for (const f of [100, 500, 1000, 2000]) {
      const rectangle = Math.abs(Math.sin(Math.PI * f * plan.gate) / (Math.PI * f));
      // 470 Ω and some 20 nF: 1/√(1 + (2πf RC)²) is 0.99 at 2 kHz.
      expect(Math.abs(plan.spectrum(f) / rectangle - 1)).toBeLessThan(0.015);
    }
  });
});

describe("a scan", () => {
  it("does not hang on the order of its rates", () => {
    const options = { count: 9, from: 400, to: 2000 };
    const whole = rates(first, options);
    const plan = ratesPlan(first, options);
    const cases = new Array<RateFigures | null>(plan.rates.length).fill(null);
    for (const i of rateOrder(cases.length).reverse())
      cases[i] = rateCase(first, plan, plan.rates[i]!);
    expect(ratesResult(first, plan, cases)).toEqual(whole);
  }, 60_000);

  it("can be stopped, and says what it has so far", () => {
    const options = { count: 17, from: 20, to: 200 };
    const steps = ratesSteps(first, options);
    let told = steps.next();
    for (let i = 0; i < 3; i++) told = steps.next();
    if (told.done === true) throw new Error("ended too early");
    expect(told.value.done).toBe(4);
    const some = ratesResult(first, ratesPlan(first, options), told.value.cases);
    expect(some.rates).toHaveLength(4);
    expect(some.rates[0]!.rate_Hz).toBe(20);
    expect(some.rates.at(-1)!.rate_Hz).toBe(200);
  }, 60_000);

  it("has the wanted rate among its rates, rises, and ends where the gate leaves no room", () => {
    const plan = ratesPlan(first, {});
    expect(plan.rates).toContain(first.need.rate);
    expect(plan.rates).toHaveLength(201);
    expect(plan.rates.every((f, i) => i === 0 || f > plan.rates[i - 1]!)).toBe(true);
    expect(plan.rates[0]).toBe(1);
    expect(1 / plan.rates.at(-1)!).toBeGreaterThan(plan.commanded);
    expect(() => ratesPlan(first, { to: 1e5 })).toThrow(/leaves no room/);
    expect(() => ratesPlan(first, { from: 300, to: 200 })).toThrow(RangeError);
    expect(() => ratesPlan(first, { count: 1 })).toThrow(RangeError);
  });

  it("refuses a design whose single pulse lets no gas through", () => {
    expect(() => ratesPlan(first, { gate: 5e-6 })).toThrow(NoPulseError);
  });

  it("compares travel where there is no gas: a free strip adds up at a third of its resonance", () => {
    const mirror = exampleDesign("mirror-shutter");
    const plan = ratesPlan(mirror, { count: 2, ceramic: "linear", gate: 0.5e-3, step: 5e-6 });
    const f1 = plan.made.firstResonance;
    const at = (rate: number) => rateCase(mirror, plan, rate);
    const third = at(f1 / 3);
    expect(third.gas_mol).toBeNull();
    // Linear: between lines the ringing of earlier pulses cancels to about half, on one it adds up.
    expect(third.gas_over_single).toBeGreaterThan(1.5);
    expect(third.gas_over_single).toBeGreaterThan(1.3 * at(f1 / 3.5).gas_over_single);
    expect(third.state).toBe("differs");
  }, 60_000);
});
