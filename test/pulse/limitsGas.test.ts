import { expect, test } from "vitest";
import { GAS_CONSTANT, gasNamed } from "../../src/physics/gases.ts";
import { padLaw } from "../../src/physics/pad.ts";
import { advance, newRun } from "../../src/physics/pulse/kernel.ts";
import type {
  PulseModel,
  TransientChamber,
  TransientPlenum,
  TransientSeat,
} from "../../src/physics/pulse/model.ts";
import { startState } from "../../src/physics/pulse/start.ts";
import type { PulseState } from "../../src/physics/pulse/state.ts";
import { strip } from "./rig.ts";

/*
 * A valve held wide open by a strip that gives way to nothing (10⁹ N/m): gas through the orifice alone, against the
 * closed forms of vessels. Choked flow ṁ = Cd A p √(γ/(R_s T)) (2/(γ + 1))^{(γ+1)/(2(γ−1))} (A. H. Shapiro 1953),
 * R_s = R/M with R of the SI.
 */
const ORIFICE = 2e-4;
const T0 = 295;
const P0 = 4e5;
const CD = 0.9;
/** Lift over the lift of full opening: the curtain takes 1/(2 a²) of the flow. */
const LIFT = 2e-3;

function wideOpen(
  gasName: string,
  change: { plenum?: Partial<TransientPlenum>; chamber?: Partial<TransientChamber> | null },
  lift = LIFT,
): PulseModel {
  const gas = gasNamed(gasName);
  const pad = padLaw({
    law: "linear",
    youngModulus: 6e6,
    poissonRatio: 0.495,
    thickness: 5e-4,
    sealDiameter: 6e-4,
    landWidth: 5e-5,
    cordDiameter: null,
    stiffness: 1e5,
  });
  const seat: TransientSeat = {
    model: {
      form: "land",
      arrangement: "pressure closes",
      sealDiameter: 6e-4,
      landWidth: 5e-5,
      orificeDiameter: ORIFICE,
      dischargeCurtain: 0.8,
      dischargeOrifice: CD,
      pad,
      stickForce: 0,
    },
    load: { gas, plenumPressure: P0, plenumTemperature: T0, downstreamPressure: 0 },
    pad,
    dynamicFactor: 1,
    restitution: 0.5,
    stickForce: 0,
    stickStretch: 1e-6,
    standOff: -lift,
    top: 2 * lift,
    padDepth: 1e-4,
    squeeze: 0,
    squeezeGap: 2e-6,
    squeezeMax: 1,
    referenceSpeed: 0.1,
  };
  const specific = GAS_CONSTANT / gas.molarMass;
  return {
    strip: strip({ omega: Float64Array.of(1e5), pad: Float64Array.of(1e5 / Math.sqrt(1e9)) }),
    electrics: null,
    circuit: null,
    seat,
    chamber:
      change.chamber === null || change.chamber === undefined
        ? null
        : {
            volume: 1e-3,
            pumpingSpeed: 0,
            basePressure: 0,
            specific: specific * T0,
            ...change.chamber,
          },
    plenum: {
      volume: null,
      feedConductance: null,
      pressure: P0,
      temperature: T0,
      gamma: gas.gamma,
      specific: specific * T0,
      ...change.plenum,
    },
  };
}

/** Choked mass flow of the orifice at p and T, written out here. */
function choked(
  gasName: string,
  p: number,
  T: number,
  area = (Math.PI / 4) * ORIFICE ** 2,
): number {
  const { gamma: g, molarMass } = gasNamed(gasName);
  const Rs = 8.314462618 / molarMass;
  return CD * area * p * Math.sqrt(g / (Rs * T)) * (2 / (g + 1)) ** ((g + 1) / (2 * (g - 1)));
}

function run(model: PulseModel, step: number, steps: number, each?: (s: PulseState) => void) {
  const made = newRun(model, step);
  const state = startState(model, { output: "low" });
  state.flow = choked("Ar", 0, 1);
  advance(made, state, [], steps, each);
  return state;
}

test.each(["Ar", "N2", "CH4"])(
  "%s through a wide open valve fills a chamber as choked flow does",
  (gas) => {
    const model = wideOpen(gas, { chamber: { volume: 1e-3 } });
    const step = 1e-6;
    const state = run(model, step, 20_000);
    const flow = choked(gas, P0, T0);
    // The curtain's share: m = p_m/p0 with ψ small before it, 1/(2 a²) with a = 96·0.8/0.9 at this lift… below 1e-3.
    expect(Math.abs(state.flow / flow - 1)).toBeLessThan(1e-3);
    // The first step starts from no flow: half a step is missing of 20 000.
    const filled = (state.flow * (20e-3 - 0.5 * step) * model.chamber!.specific) / 1e-3;
    expect(Math.abs(state.chamber / filled - 1)).toBeLessThan(1e-6);
    expect(Math.abs(state.mass / (state.flow * (20e-3 - 0.5 * step)) - 1)).toBeLessThan(1e-6);
  },
);

test("a pumped chamber comes to ṁ R T/S exponentially with V/S", () => {
  const [volume, speed, base] = [2e-4, 0.1, 1];
  const model = wideOpen("N2", {
    chamber: { volume, pumpingSpeed: speed, basePressure: base },
  });
  const values: number[] = [];
  const state = run(model, 1e-6, 10_000, (s) => {
    values.push(s.chamber);
  });
  const rise = (state.flow * model.chamber!.specific) / speed;
  for (const n of [100, 1000, 4000, 10_000]) {
    const law = base + rise * -Math.expm1((-(n - 0.5) * 1e-6 * speed) / volume);
    expect(Math.abs(values[n - 1]! / law - 1)).toBeLessThan(2e-5);
  }
  expect(rise).toBeGreaterThan(20);
});

test("a chamber that fills to half the plenum's pressure slows the flow as the isentropic law says", () => {
  // dp/dt = ṁ(p/p0) R T/V, integrated here by Runge–Kutta with the closed form of ψ.
  const gas = gasNamed("N2");
  const volume = 2e-8;
  const model = wideOpen("N2", { chamber: { volume } });
  const g = gas.gamma;
  const critical = (2 / (g + 1)) ** (g / (g - 1));
  const psi = (r: number) => {
    const x = Math.max(r, critical);
    return Math.sqrt(((2 * g) / (g - 1)) * (x ** (2 / g) - x ** ((g + 1) / g)));
  };
  const scale = choked("N2", P0, T0) / psi(0);
  const rate = (p: number) => (scale * psi(p / P0) * model.chamber!.specific) / volume;
  let p = 0;
  const h = 1e-6;
  // Long enough to pass the critical ratio.
  const steps = 3000;
  for (let n = 0; n < steps; n++) {
    const k1 = rate(p);
    const k2 = rate(p + 0.5 * h * k1);
    const k3 = rate(p + 0.5 * h * k2);
    p += (h / 6) * (k1 + 2 * k2 + 2 * k3 + rate(p + h * k3));
  }
  expect(p / P0).toBeGreaterThan(0.7);
  const state = run(model, h, steps);
  // The table of flow is renewed each 2e-4 of the ratio, and the curtain takes 1e-3.
  expect(Math.abs(state.chamber / p - 1)).toBeLessThan(2e-3);
});

test.each([
  ["Ar", 0.02],
  ["Ar", 0.3],
  ["N2", 0.5],
])("a plenum of %s that loses %s of its pressure empties adiabatically", (gas, droop) => {
  const { gamma: g, molarMass } = gasNamed(gas);
  const volume = 2e-7;
  const model = wideOpen(gas, { plenum: { volume } });
  // p = p0 [1 + (γ − 1)/2 · t/τ]^{−2γ/(γ−1)}, τ = m0/ṁ0 (A. H. Shapiro 1953, ch. 4).
  const m0 = (P0 * volume) / ((8.314462618 / molarMass) * T0);
  const tau = m0 / choked(gas, P0, T0);
  const time = ((2 * tau) / (g - 1)) * ((1 - droop) ** (-(g - 1) / (2 * g)) - 1);
  const steps = 20_000;
  const state = run(model, time / steps, steps);
  const lost = 1 - state.plenum / P0;
  // The curtain's 1e-3 of the flow.
  expect(Math.abs(lost / droop - 1)).toBeLessThan(2e-3);
  const gone = m0 * (1 - (1 - droop) ** (1 / g));
  expect(Math.abs(state.mass / gone - 1)).toBeLessThan(2e-3);
});

test("a fed plenum settles where the feed line brings what the orifice takes", () => {
  const feed = 1e-5;
  const model = wideOpen("Ar", { plenum: { volume: 1e-7, feedConductance: feed } });
  const state = run(model, 1e-6, 400_000);
  // G (p_set − p)/(R_s T) = ṁ(p): what flows in at the set temperature flows out.
  const flow = state.flow;
  const brought = (feed * (P0 - state.plenum)) / model.plenum!.specific;
  expect(Math.abs(brought / flow - 1)).toBeLessThan(1e-6);
  expect(state.plenum / P0).toBeLessThan(0.9);
  // In steady flow it has the temperature of the line, T/T_0 = r/μ.
  expect(Math.abs(state.plenum / P0 / state.plenumMass - 1)).toBeLessThan(1e-6);
});

test("a plenum that is fed while it empties goes as the first law says", () => {
  // dp/dt = γ/V [G (p_set − p) − R_s T ṁ], dm/dt = G (p_set − p)/(R_s T_0) − ṁ, integrated here by Runge–Kutta.
  const gas = gasNamed("Ar");
  const [volume, feed] = [1e-7, 1e-5];
  const model = wideOpen("Ar", { plenum: { volume, feedConductance: feed } });
  const Rs = 8.314462618 / gas.molarMass;
  const full = (P0 * volume) / (Rs * T0);
  const rates = ([p, m]: readonly [number, number]): [number, number] => {
    const T = (p * volume) / (m * Rs);
    const out = choked("Ar", p, T);
    return [
      (gas.gamma / volume) * (feed * (P0 - p) - Rs * T * out),
      (feed * (P0 - p)) / (Rs * T0) - out,
    ];
  };
  let x: [number, number] = [P0, full];
  const h = 1e-5;
  const moved = (k: [number, number], by: number): [number, number] => [
    x[0] + by * k[0],
    x[1] + by * k[1],
  ];
  const steps = 1500;
  for (let n = 0; n < steps; n++) {
    const k1 = rates(x);
    const k2 = rates(moved(k1, 0.5 * h));
    const k3 = rates(moved(k2, 0.5 * h));
    const k4 = rates(moved(k3, h));
    x = [0, 1].map((i) => x[i]! + (h / 6) * (k1[i]! + 2 * k2[i]! + 2 * k3[i]! + k4[i]!)) as [
      number,
      number,
    ];
  }
  const state = run(model, 1e-6, 15_000);
  // The curtain's 1e-3 of the flow.
  expect(Math.abs(state.plenum / x[0] - 1)).toBeLessThan(1e-3);
  expect(Math.abs((state.plenumMass * full) / x[1] - 1)).toBeLessThan(1e-3);
  expect(x[0] / P0).toBeLessThan(0.8);
});

test("the plenum's pressure and gas are of second order in the step", () => {
  const model = wideOpen("Ar", { plenum: { volume: 1e-7, feedConductance: 1e-5 } });
  const at = (steps: number) => {
    const state = startState(model, { output: "low" });
    state.flow = choked("Ar", P0, T0);
    advance(newRun(model, 8e-3 / steps), state, [], steps);
    return [state.plenum, state.plenumMass, state.mass] as const;
  };
  const [a, b, c] = [at(100), at(200), at(400)];
  for (const i of [0, 1, 2] as const)
    expect(Math.log2(Math.abs((a[i] - b[i]) / (b[i] - c[i])))).toBeGreaterThan(1.9);
});

test("a closed valve lets nothing through and its plenum keeps its pressure", () => {
  const model = wideOpen("He", { plenum: { volume: 1e-6 }, chamber: { volume: 1e-3 } }, -20e-6);
  const state = run(model, 1e-6, 2000);
  expect([state.mass, state.flow, state.chamber]).toEqual([0, 0, 0]);
  expect(state.plenum).toBe(P0);
  expect(state.contact).toBeGreaterThan(0);
});
