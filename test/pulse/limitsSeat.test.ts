import { describe, expect, test } from "vitest";
import { gasNamed } from "../../src/physics/gases.ts";
import { type PadLaw, padLaw } from "../../src/physics/pad.ts";
import { auditBetween, auditPoint } from "../../src/physics/pulse/audit.ts";
import { huntCoefficient } from "../../src/physics/pulse/contact.ts";
import { advance, newRun } from "../../src/physics/pulse/kernel.ts";
import type { PulseModel, TransientSeat } from "../../src/physics/pulse/model.ts";
import { startState } from "../../src/physics/pulse/start.ts";
import { strip } from "./rig.ts";

/*
 * A mass that flies at a seat, on a spring so soft that it counts for nothing in the time of a contact: bounces
 * of a mass on a spring have closed forms, and the law of Hunt and Crossley 1975 has a closed first integral.
 */
const M = 1e-5;
const K = 1e5;
const GAP = 5e-6;

/** A spring from the first touch on (the design's own laws begin softly). */
const linear: PadLaw = {
  force: (depth) => K * Math.max(0, depth),
  tangent: () => K,
  indentationFor: (force) => force / K,
};
const thin = padLaw({
  law: "thin layer",
  youngModulus: 6e6,
  poissonRatio: 0.495,
  thickness: 5e-4,
  sealDiameter: 4.5e-4,
  landWidth: 5e-5,
  cordDiameter: null,
  stiffness: null,
});
const cord = padLaw({
  law: "round cord",
  youngModulus: 6e6,
  poissonRatio: 0.495,
  thickness: 5e-4,
  sealDiameter: 4.5e-4,
  landWidth: 5e-5,
  cordDiameter: 3e-4,
  stiffness: null,
});

function seatOf(change: Partial<TransientSeat> & { pad: PadLaw }): TransientSeat {
  return {
    model: {
      form: "land",
      arrangement: "pressure closes",
      sealDiameter: 4.5e-4,
      landWidth: 5e-5,
      orificeDiameter: 1.5e-4,
      dischargeCurtain: 0.8,
      dischargeOrifice: 0.9,
      pad: change.pad,
      stickForce: 0,
    },
    load: {
      gas: gasNamed("Ar")!,
      plenumPressure: 0,
      plenumTemperature: 295,
      downstreamPressure: 0,
    },
    dynamicFactor: 1,
    restitution: 1,
    stickForce: 0,
    stickStretch: 1e-6,
    standOff: -GAP,
    top: 1e-3,
    padDepth: 6e-5,
    squeeze: 0,
    squeezeGap: 2e-6,
    squeezeMax: 1,
    referenceSpeed: 0.1,
    ...change,
  };
}

const falling = (seat: TransientSeat): PulseModel => ({
  strip: strip({ omega: Float64Array.of(1), pad: Float64Array.of(1 / Math.sqrt(M)) }),
  electrics: null,
  circuit: null,
  seat,
  chamber: null,
  plenum: null,
});

interface Bounce {
  /** Time in contact, crossings interpolated. */
  time: number;
  /** Speed away over speed at meeting. */
  ratio: number;
  audit: number;
  depth: number;
}

/** Lets the mass meet the seat at a speed, at a step, until it is off again. */
function bounce(seat: TransientSeat, speed: number, step: number): Bounce {
  const model = falling(seat);
  const run = newRun(model, step);
  const state = startState(model, { output: "low" });
  expect(state.contact).toBe(0);
  state.p[0] = -speed * Math.sqrt(M);
  state.speed = -speed;
  const before = auditPoint(model, state);
  let last = GAP;
  let from = Number.NaN;
  let to = Number.NaN;
  let depth = 0;
  const limit = Math.ceil((2 * GAP) / speed / step + (80 * Math.sqrt(M / K)) / step);
  for (let n = 1; n <= limit && Number.isNaN(to); n++) {
    advance(run, state, [], 1);
    const lift = state.y - state.surface;
    const at = step * (n - 1 + last / (last - lift));
    if (last > 0 && lift <= 0) from = at;
    if (last < 0 && lift >= 0) to = at;
    depth = Math.max(depth, -lift);
    last = lift;
  }
  const audit = auditBetween(before, auditPoint(model, state));
  return {
    time: to - from,
    ratio: state.speed / speed,
    audit: Math.abs(audit.residual) / (0.5 * M * speed * speed),
    depth,
  };
}

describe("an elastic bounce", () => {
  test.each([0.05, 0.3, 1.5])("on a stiff spring at %s m/s takes π√(m/k), all speed kept", (v) => {
    const h = 2e-7;
    const found = bounce(seatOf({ pad: linear }), v, h);
    const omega = Math.sqrt(K / M);
    // ωh = 0.02: straight forces over a step stretch the period by (ωh)²/12, make and break cost h/π of it.
    expect(Math.abs((found.time * omega) / Math.PI - 1)).toBeLessThan(2e-3);
    expect(Math.abs(found.ratio - 1)).toBeLessThan(2e-4);
    expect(Math.abs((found.depth * omega) / v - 1)).toBeLessThan(1e-3);
    expect(found.audit).toBeLessThan(2e-4);
  });

  test("keeps its energy better by the square of the step", () => {
    const off = (h: number) => {
      // Twenty phases of the meeting against the grid.
      let sum = 0;
      for (let i = 0; i < 20; i++)
        sum +=
          (bounce(seatOf({ pad: linear, standOff: -GAP * (1 + i * 0.0317) }), 0.3, h).ratio - 1) **
          2;
      return Math.sqrt(sum / 20);
    };
    // Between first order and better than second: make and break fall anywhere within a step.
    expect(off(4e-7) / off(1e-7)).toBeGreaterThan(7);
  });

  test("at the default step of 1 µs (ωh = 0.1) keeps its speed to 0.5 %", () => {
    expect(Math.abs(bounce(seatOf({ pad: linear }), 0.3, 1e-6).ratio - 1)).toBeLessThan(5e-3);
  });

  test("sinks as deep as the pad's energy takes the mass's", () => {
    for (const pad of [thin, cord]) {
      const found = bounce(seatOf({ pad }), 0.2, 2e-7);
      let work = 0;
      const parts = 4000;
      for (let i = 0; i < parts; i++)
        work += pad.force(((i + 0.5) / parts) * found.depth) * (found.depth / parts);
      expect(Math.abs(work / (0.5 * M * 0.04) - 1)).toBeLessThan(1e-3);
      expect(Math.abs(found.ratio - 1)).toBeLessThan(1e-3);
    }
  });

  test("with a dynamic factor of 2 the spring is twice as stiff", () => {
    const found = bounce(seatOf({ pad: linear, dynamicFactor: 2 }), 0.3, 1e-7);
    expect(Math.abs((found.time * Math.sqrt((2 * K) / M)) / Math.PI - 1)).toBeLessThan(2e-3);
  });
});

/*
 * Restitution. m ẍ = −F_el(x)(1 + c ẋ) gives m v dv/(1 + c v) = −F_el dx, so that, whatever F_el is,
 *   c v_i − ln(1 + c v_i) = −c v_o − ln(1 − c v_o)
 * links the speeds in and out (K. H. Hunt, F. R. E. Crossley 1975); c is the one that gives v_o = e v_i.
 */
describe("restitution", () => {
  test("the law's factor keeps the identity, and nears 3 (1 − e)/2 for small losses", () => {
    for (const e of [0.05, 0.1, 0.4, 0.7, 0.95, 0.999]) {
      const X = huntCoefficient(e, 1);
      const left = X - Math.log1p(X);
      expect(Math.abs((-e * X - Math.log1p(-e * X)) / left - 1), String(e)).toBeLessThan(1e-9);
    }
    expect(0.02 * huntCoefficient(0.02, 1)).toBeCloseTo(1, 12);
    // Hunt and Crossley's own limit for e near 1.
    expect(huntCoefficient(1 - 1e-6, 1) / 1.5e-6).toBeCloseTo(1, 5);
    expect(huntCoefficient(0.9999, 1) / huntCoefficient(0.99991, 1)).toBeCloseTo(1 / 0.9, 3);
    // e = 0.4: the root by hand, X = 2.0825.
    expect(huntCoefficient(0.4, 1)).toBeCloseTo(2.0825, 4);
  });

  test.each([
    ["linear", linear],
    ["thin layer", thin],
    ["round cord", cord],
  ])("with a %s pad the run gives the wanted ratio of speeds at 0.02 to 2 m/s", (_, pad) => {
    for (const wanted of [0.2, 0.4, 0.7, 0.95])
      for (const v of [0.02, 0.1, 0.5, 2]) {
        const found = bounce(seatOf({ pad, restitution: wanted }), v, 1e-7);
        expect(Math.abs(found.ratio / wanted - 1), `${wanted} ${v}`).toBeLessThan(2e-2);
        // At a heavily damped meeting the force jumps within the first step.
        expect(found.audit).toBeLessThan(5e-3);
      }
  });

  test("at the default step of 1 µs the outcome is the wanted one within 5 %", () => {
    for (const v of [0.05, 0.2, 1]) {
      const found = bounce(seatOf({ pad: linear, restitution: 0.4 }), v, 1e-6);
      expect(Math.abs(found.ratio / 0.4 - 1)).toBeLessThan(0.05);
    }
  });

  test("an impact below 1 mm/s is damped as one of 1 mm/s: it keeps more of its speed", () => {
    const slow = bounce(seatOf({ pad: linear, restitution: 0.4 }), 1e-4, 1e-7).ratio;
    expect(slow).toBeGreaterThan(0.8);
    expect(huntCoefficient(1, 0.1)).toBe(0);
    expect(huntCoefficient(0.4, 0.1)).toBeCloseTo(10 * huntCoefficient(0.4, 1), 12);
  });
});

test("a film thinner than its seat's roughness slows the pad, and what it takes is booked", () => {
  const model = falling(
    seatOf({ pad: linear, squeeze: 3e-18, squeezeGap: 2e-6, squeezeMax: 10, standOff: -4e-6 }),
  );
  const run = newRun(model, 1e-8);
  const state = startState(model, { output: "low" });
  const v = 0.05;
  state.p[0] = -v * Math.sqrt(M);
  state.speed = -v;
  const before = auditPoint(model, state);
  while (state.y - state.surface > 2.5e-6) advance(run, state, [], 1);
  // m dv = −(s/h³) dh without other forces: v = v_0 − (s/2m)(1/h² − 1/h_0²).
  const h = state.y - state.surface;
  const expected = v - (3e-18 / (2 * M)) * (1 / h ** 2 - 1 / 4e-6 ** 2);
  expect(Math.abs(-state.speed / expected - 1)).toBeLessThan(1e-4);
  const audit = auditBetween(before, auditPoint(model, state));
  const film = audit.rows.find((row) => row.what === "film at the seat")!.energy;
  expect(film / (0.5 * M * (v ** 2 - expected ** 2))).toBeCloseTo(1, 3);
});

test("a force that holds it at the seat comes to rest at the pad's own indentation", () => {
  // Pressed by a preload: the strip's spring wants it 20 µm below the seat.
  const model = falling(seatOf({ pad: linear, restitution: 0.3, standOff: 0 }));
  model.strip.omega[0] = Math.sqrt(2000 / M);
  model.strip.zeta[0] = 0.05;
  model.strip.jump[0] = 1e3;
  model.strip.restMoment = (-20e-6 * 2000) / (1e3 * Math.sqrt(M));
  const state = startState(model, { output: "low" });
  // Spring against spring: contact = k_s k_p/(k_s + k_p) · 20 µm.
  const expected = ((2000 * K) / (2000 + K)) * 20e-6;
  expect(state.contact / expected).toBeCloseTo(1, 6);
  expect(state.y / (-expected / K)).toBeCloseTo(1, 6);
  const run = newRun(model, 1e-6);
  const { y } = state;
  advance(run, state, [], 10_000);
  expect(Math.abs(state.y - y)).toBeLessThan(1e-15);
  expect(Math.abs(state.speed)).toBeLessThan(1e-9);
});
