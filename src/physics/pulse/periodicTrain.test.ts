import { describe, expect, it } from "vitest";
import { buildCircuit, type CircuitRail, type CircuitSwitch } from "./circuit.ts";
import type { PulseModel, TransientStrip } from "./model.ts";
import { periodicState } from "./periodic.ts";
import type { TrainPulse } from "./periodicPulse.ts";
import { newTrain } from "./periodicTrain.ts";
import { commandsOf } from "./program.ts";
import { startState } from "./start.ts";

const OMEGA = 2 * Math.PI * 1000;
const ZETA = 0.02;
const THETA = 2e-6;
const VOLTS = 100;

/** One coordinate of a free strip with one linear layer, driven between ground and one rail. */
function oneMode(
  rail: Partial<CircuitRail>,
  sw: Partial<CircuitSwitch>,
  capacitance: number,
  coupled = true,
): PulseModel {
  const strip: TransientStrip = {
    count: 1,
    modes: 1,
    omega: Float64Array.of(OMEGA),
    zeta: Float64Array.of(ZETA),
    gasShare: new Float64Array(1),
    pad: Float64Array.of(100),
    jump: Float64Array.of(2000),
    at: new Float64Array(0),
    places: [],
    side: 1,
    restMoment: 0,
  };
  return {
    strip,
    electrics: {
      layers: 1,
      bottom: Int32Array.of(1),
      top: Int32Array.of(0),
      capacitance: Float64Array.of(capacitance),
      theta: Float64Array.of(coupled ? THETA : 0),
      series: [null],
      parallel: [null],
      thickness: Float64Array.of(2e-4),
      poling: Int8Array.of(1),
      thetaSmall: [THETA],
    },
    circuit: buildCircuit({
      electrodes: ["switched", "ground"],
      rails: [
        {
          name: "bias",
          voltage: VOLTS,
          outputResistance: 0,
          currentLimit: null,
          sinks: true,
          storage: 0,
          storageEsr: 0,
          leakageResistance: null,
          bleeder: null,
          ...rail,
        },
      ],
      switch: {
        high: 0,
        low: -1,
        onResistance: 0,
        seriesHigh: 0,
        seriesLow: 0,
        currentMax: null,
        outputCapacitance: 0,
        deadTime: 0,
        delay: 0,
        ...sw,
      },
    }),
    seat: null,
    chamber: null,
    plenum: null,
  };
}

function train(model: PulseModel, rate: number, gate: number, step = 1e-6) {
  const sw = model.circuit?.spec.switch as CircuitSwitch;
  const state = startState(model, { output: "low" });
  const made = newTrain(
    {
      model,
      commands: commandsOf(
        [
          { time: 0, state: "high" },
          { time: gate, state: "low" },
        ],
        sw,
      ),
      rate,
      step,
      commanded: gate,
      moment: THETA * VOLTS,
      delayAt: 0,
      rest: 0,
      refill: false,
      gas: 0,
    },
    state,
  );
  return { made, state };
}

describe("a linear strip in a train", () => {
  /*
   * z = q̇ + (ζω + iω_d) q of q̈ + 2ζω q̇ + ω² q = f turns as e^{(−ζω + iω_d)t}; a unit step of f adds, after a
   * time t, what it would alone. At an edge: the sum of all earlier pulses, a geometric series.
   */
  const wd = OMEGA * Math.sqrt(1 - ZETA * ZETA);
  const decay = ZETA * OMEGA;
  const f = 2000 * THETA * VOLTS;
  type Z = { re: number; im: number };
  const times = (a: Z, b: Z): Z => ({
    re: a.re * b.re - a.im * b.im,
    im: a.re * b.im + a.im * b.re,
  });
  const turn = (t: number): Z => ({
    re: Math.exp(-decay * t) * Math.cos(wd * t),
    im: Math.exp(-decay * t) * Math.sin(wd * t),
  });
  /** q about its static value f/ω², as z, right after a step up from rest: q − f/ω² = −f/ω². */
  const stepped: Z = { re: (-f / OMEGA ** 2) * decay, im: (-f / OMEGA ** 2) * wd };
  /** z after one pulse of length g, at the end of the period T. */
  const onePulse = (g: number, T: number): Z => {
    const a = times(stepped, turn(T));
    const b = times(stepped, turn(T - g));
    return { re: a.re - b.re, im: a.im - b.im };
  };
  const edgeOf = (g: number, T: number): Z => {
    const one = onePulse(g, T);
    const r = turn(T);
    const d = { re: 1 - r.re, im: -r.im };
    const size = d.re ** 2 + d.im ** 2;
    return times(one, { re: d.re / size, im: -d.im / size });
  };

  it("stands at each edge where the geometric series of its own decaying ringing says", () => {
    for (const [rate, gate] of [
      [310, 2e-4],
      [500, 3e-4],
      [777, 2e-4],
      [1000, 5e-4],
    ] as const) {
      const { made, state } = train(oneMode({}, {}, 1e-9), rate, gate);
      const found = periodicState(made, { most: 600 });
      expect(found.period, `${rate} Hz`).toBe(1);
      const want = edgeOf(gate, 1 / rate);
      const size = Math.hypot(stepped.re, stepped.im);
      // Change of 1e-4 a pulse, e^{−ζωT} from pulse to pulse: up to 1e-4/(1 − e^{−ζωT}) is left.
      const near = (1.5e-4 / (1 - Math.exp(-decay / rate)) + 1e-4) * size;
      const q = state.q[0] as number;
      expect(Math.abs(wd * q - want.im)).toBeLessThan(near);
      expect(Math.abs((state.p[0] as number) + decay * q - want.re)).toBeLessThan(near);
    }
  });

  it("builds up at f1/2 and is pulled down half way between two sub-harmonics", () => {
    const gate = 5e-4;
    const peak = (rate: number) =>
      (
        periodicState(train(oneMode({}, {}, 1e-9), rate, gate).made, { most: 900 })
          .cycle[0] as TrainPulse
      ).peak;
    const single = peak(20);
    expect(peak(500)).toBeGreaterThan(1.5 * single);
    expect(peak(400)).toBeLessThan(peak(500));
  });

  it("gives the same in coarse steps once it is quiet as in fine ones", () => {
    const pulse = (step: number) =>
      periodicState(
        train(oneMode({ storage: 1e-6, storageEsr: 0.1 }, {}, 1e-9), 5, 3e-4, step).made,
        {
          most: 20,
        },
      ).cycle[0] as TrainPulse;
    const [a, b] = [pulse(1e-6), pulse(2.5e-6)];
    expect(a.steps).toBeLessThan(0.5 * 0.2e6);
    expect(Math.abs(b.peak / a.peak - 1)).toBeLessThan(2e-4);
  });
});

describe("a rail in a train", () => {
  /*
   * Storage C_s behind R, a strip C_l that the switch puts on it for the gate g and empties after it:
   *   on  v1 = v0 C_s/(C_s + C_l),  v2 = V − (V − v1) e^{−g/R(C_s + C_l)},  off  v0 = V − (V − v2) e^{−(T − g)/R C_s}
   */
  const stands = (R: number, Cs: number, Cl: number, g: number, T: number) => {
    const share = Cs / (Cs + Cl);
    const on = Math.exp(-g / (R * (Cs + Cl)));
    const off = Math.exp(-(T - g) / (R * Cs));
    return (VOLTS * (1 - on * off)) / (1 - share * on * off);
  };

  it("comes to where charge drawn and charge returned balance, time constants up to 400 periods", () => {
    const [Cs, Cl, g, rate] = [1e-6, 20e-9, 2e-4, 1000];
    for (const R of [1e3, 1e4, 1e5, 4e5]) {
      const model = oneMode(
        { outputResistance: R, storage: Cs },
        { seriesHigh: 50, seriesLow: 50 },
        Cl,
        false,
      );
      const { made, state } = train(model, rate, g);
      const found = periodicState(made, { most: 600 });
      const want = stands(R, Cs, Cl, g, 1 / rate);
      expect(found.period, `${R} Ω`).toBe(1);
      const rail = state.electric?.v[model.circuit?.railNode[0] as number] as number;
      expect(Math.abs(rail - want) / VOLTS).toBeLessThan(2e-4);
      expect(found.slow[0]?.residual).toBeLessThanOrEqual(1e-4);
      // Mean current: the charge that the strip takes to ground at each pulse.
      const taken = (found.cycle[0] as TrainPulse).supplyCurrent[0] as number;
      const v2 = VOLTS - (VOLTS - (want * Cs) / (Cs + Cl)) * Math.exp(-g / (R * (Cs + Cl)));
      expect(Math.abs(taken / (Cl * v2 * rate) - 1)).toBeLessThan(0.01);
    }
  });

  it("in tens of pulses, where the run alone takes thousands to the same place", () => {
    const [Cs, Cl, g, rate, R] = [1e-6, 20e-9, 2e-4, 1000, 4e5];
    const model = oneMode(
      { outputResistance: R, storage: Cs },
      { seriesHigh: 50, seriesLow: 50 },
      Cl,
      false,
    );
    const quick = train(model, rate, g, 2.5e-6);
    const found = periodicState(quick.made, { most: 600 });
    expect(found.pulses).toBeLessThan(220);
    const slow = train(model, rate, g, 2.5e-6);
    // λ = 0.978: 700 pulses leave 2e-7.
    for (let n = 0; n < 700; n++) slow.made.next();
    const rail = (s: typeof slow.state) =>
      s.electric?.v[model.circuit?.railNode[0] as number] as number;
    expect(Math.abs(rail(quick.state) - rail(slow.state)) / VOLTS).toBeLessThan(1e-4);
  });
});
