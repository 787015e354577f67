import { buildBeam } from "../../src/physics/beam.ts";
import { modes } from "../../src/physics/modes.ts";
import { auditBetween, auditPoint } from "../../src/physics/pulse/audit.ts";
import { transientBasis } from "../../src/physics/pulse/basis.ts";
import { buildCircuit, networkOf } from "../../src/physics/pulse/circuit.ts";
import { huntCoefficient } from "../../src/physics/pulse/contact.ts";
import { gasTable, tableFlow, tableForce } from "../../src/physics/pulse/gasTable.ts";
import {
  branchRise,
  hysteresisSlope,
  moveHysteresis,
  newHysteresis,
  peekHysteresis,
} from "../../src/physics/pulse/hysteresis.ts";
import { advance, newRun } from "../../src/physics/pulse/kernel.ts";
import { flowMetrics, liftMetrics } from "../../src/physics/pulse/metrics.ts";
import type { PulseModel } from "../../src/physics/pulse/model.ts";
import { oscillatorStep, STRIDE } from "../../src/physics/pulse/oscillator.ts";
import { padForce, padTable } from "../../src/physics/pulse/padTable.ts";
import { commandsOf } from "../../src/physics/pulse/program.ts";
import { networkModes, stepMatrices } from "../../src/physics/pulse/propagator.ts";
import { restPotentials, startState } from "../../src/physics/pulse/start.ts";
import { declare, type InputMaker } from "./declare.ts";
import { circuit, electrics, halfBridge, pulseSeries, seat, strip } from "./pulseInputs.ts";

/** A pulse of a strip with seat, gas and drive, from rest. */
function wholeRun(i: InputMaker) {
  const { q } = i;
  const model: PulseModel = {
    strip: strip(i),
    electrics: electrics(i),
    circuit: circuit(i),
    seat: seat(i),
    chamber: {
      volume: q(1, "l"),
      pumpingSpeed: q(10, "l/s"),
      basePressure: q(1e-3, "mbar"),
      specific: q(6e4, "J/kg"),
    },
    plenum: {
      volume: q(1, "cm³"),
      feedConductance: q(1e-3, "l/s"),
      pressure: q(4, "bar"),
      temperature: q(295, "K"),
      gamma: 5 / 3,
      specific: q(6e4, "J/kg"),
    },
  };
  const run = newRun(model, q(1, "μs"));
  const state = startState(model, { output: "high" });
  const before = auditPoint(model, state);
  const start = { y: state.y, contact: state.contact };
  advance(
    run,
    state,
    [
      { time: q(0.3, "μs"), state: "low" },
      { time: q(60, "μs"), state: "high" },
    ],
    150,
  );
  const audit = auditBetween(before, auditPoint(model, state));
  return {
    start,
    y: state.y,
    speed: state.speed,
    mass: state.mass,
    contact: state.contact,
    moment: state.moment,
    voltages: state.electric!.v,
    chamber: state.chamber,
    plenum: state.plenum,
    in: audit.in,
    lost: audit.lost,
  };
}

const GAS_HOLDS = ["J/(mol·K)", "K"];
const GAS_BECAUSE = "molar gas constant; the tables state viscosities at 300 K";

export const PULSE = [
  declare({
    of: [newHysteresis, moveHysteresis, peekHysteresis, hysteresisSlope, branchRise],
    call: ({ q }) => {
      const h = newHysteresis(
        q(3e13, "V/C²"),
        q(4e-9, "C"),
        { q: q(0, "C"), v: q(3, "V") },
        { q: q(0, "C"), v: q(3, "V") },
      );
      for (const to of [3e-9, 1e-9, 2e-9, 6e-9, -2e-9]) moveHysteresis(h, q(to, "C"));
      return {
        v: h.v,
        dissipated: h.dissipated,
        work: h.work,
        ahead: peekHysteresis(h, q(1e-9, "C")),
        slope: hysteresisSlope(h),
        rise: branchRise(q(3e13, "V/C²"), q(4e-9, "C"), q(1e-9, "C")),
      };
    },
    outputs: { v: "V", dissipated: "J", work: "J", ahead: "V", slope: "V/C", rise: "V" },
  }),
  declare({
    of: [oscillatorStep],
    call: (i) => {
      const step = oscillatorStep(strip(i), i.q(3, "μs"));
      const row = step.table.slice(STRIDE, 2 * STRIDE);
      return {
        a: row[0],
        b: row[1],
        c: row[2],
        padPerForce: step.padPerForce,
        padPerMoment: step.padPerMoment,
        slopePerForce: step.slopePerForce,
        slopePerMoment: step.slopePerMoment,
        speedPerForce: step.speedPerForce,
        speedPerMoment: step.speedPerMoment,
      };
    },
    outputs: {
      a: "",
      b: "s",
      c: "1/s",
      padPerForce: "m/N",
      padPerMoment: "1/N",
      slopePerForce: "1/N",
      slopePerMoment: "1/(N·m)",
      speedPerForce: "m/(N·s)",
      speedPerMoment: "1/(N·s)",
    },
  }),
  declare({
    of: [transientBasis],
    call: ({ q }) => {
      const beam = buildBeam({
        segments: [
          {
            length: q(9, "mm"),
            bendingStiffness: q(3.2e-3, "N·m²"),
            massPerLength: q(0.02, "kg/m"),
            rotaryInertiaPerLength: q(4e-10, "kg·m"),
            shearFlexibility: q(2e-5, "1/N"),
            active: true,
          },
        ],
        clamp: { rotationalStiffness: null, translationalStiffness: null },
        masses: [],
        stations: [q(8.5, "mm")],
      });
      const basis = transientBasis(modes(beam, 1), q(8.5, "mm"), 3);
      return {
        omega: basis.omega,
        padSquares: basis.pad.map((x) => x * x),
        products: basis.pad.map((x, k) => x * basis.jump[k]!),
      };
    },
    outputs: { omega: "1/s", padSquares: "1/kg", products: "1/(kg·m)" },
    // Coordinates of an eigenproblem of 22 unknowns.
    tolerance: 1e-7,
  }),
  declare({
    of: [buildCircuit, networkOf],
    call: (i) => {
      const net = networkOf(circuit(i), "low", 0, ["linear"], [1]);
      return { conductance: net.conductance, source: net.source };
    },
    outputs: { conductance: "1/Ω", source: "A" },
  }),
  declare({
    of: [networkModes, stepMatrices],
    call: (i) => {
      const made = circuit(i);
      const net = networkOf(made, "low", 0, ["linear"], [1]);
      const caps = new Float64Array(made.nodes ** 2);
      const own = [2e-10, 3e-9, 2e-7].map((c) => i.q(c, "F"));
      for (let k = 0; k < made.nodes; k++) caps[k * made.nodes + k] = own[k]!;
      const { P, S } = stepMatrices(networkModes(net, caps, made.nodes), i.q(1, "μs"));
      return { P, S };
    },
    outputs: { P: "", S: "Ω" },
  }),
  declare({
    of: [gasTable, tableForce, tableFlow],
    call: (i) => {
      const { model, load } = seat(i);
      const table = gasTable(model, load, i.q(200, "μm"));
      return {
        force: tableForce(table, i.q(7, "μm")),
        closed: tableForce(table, i.q(0, "m")),
        flow: tableFlow(table, i.q(7, "μm")),
      };
    },
    outputs: { force: "N", closed: "N", flow: "kg/s" },
    holds: GAS_HOLDS,
    because: GAS_BECAUSE,
  }),
  declare({
    of: [padTable, padForce],
    call: (i) => {
      const table = padTable(seat(i));
      return [3, 40, 130].map((depth) => padForce(table, i.q(depth, "μm")));
    },
    outputs: { force: "N", slope: "N/m" },
    holds: GAS_HOLDS,
    because: GAS_BECAUSE,
  }),
  declare({
    of: [huntCoefficient],
    call: ({ q }) => huntCoefficient(0.4, q(0.1, "m/s")),
    outputs: "s/m",
  }),
  declare({
    of: [commandsOf],
    call: (i) =>
      commandsOf(
        [
          { time: i.q(0, "s"), state: "high" },
          { time: i.q(50, "μs"), state: "low" },
        ],
        halfBridge(i),
      ).map(({ time }) => time),
    outputs: "s",
  }),
  declare({
    of: [liftMetrics],
    call: (i) => liftMetrics(pulseSeries(i), { gate: i.q(30, "μs"), staticLift: i.q(15, "μm") }),
    outputs: {
      peak: "m",
      peakTime: "s",
      firstOpen: "s",
      openDelay: "s",
      rise: "s",
      closeDelay: "s",
      fall: "s",
      width: "s",
      staticDelay: "s",
      firstContact: "s",
      satellites: { each: { from: "s", to: "s", lift: "m", mass: "kg" } },
      reclosures: { each: { from: "s", to: "s", lift: "m", mass: "kg" } },
      impactSpeed: "m/s",
      contactMax: "N",
      indentationMax: "m",
      overshoot: "",
    },
  }),
  declare({
    of: [flowMetrics],
    call: (i) => flowMetrics(pulseSeries(i)),
    outputs: {
      mass: "kg",
      peak: "kg/s",
      peakTime: "s",
      openDelay: "s",
      rise: "s",
      mainWidth: "s",
      outerWidth: "s",
      equivalentTime: "s",
      centre: "s",
    },
  }),
  declare({
    of: [restPotentials],
    call: (i) => restPotentials(circuit(i), electrics(i), "low"),
    outputs: "V",
    // 10⁻¹⁵ S across the layers hold a node without any path.
    tolerance: 1e-6,
  }),
  declare({
    of: [startState, newRun, advance, auditPoint, auditBetween],
    name: "a whole pulse",
    call: wholeRun,
    outputs: {
      start: { y: "m", contact: "N" },
      y: "m",
      speed: "m/s",
      mass: "kg",
      contact: "N",
      moment: "N·m",
      voltages: "V",
      chamber: "Pa",
      plenum: "Pa",
      in: "J",
      lost: "J",
    },
    holds: [...GAS_HOLDS, "m", "s", "Ω"],
    because:
      "gas as above; positions settle to 10⁻¹³ m, impacts count from 1 mm/s, wires have 1 mΩ and nodes 10 pF",
    // A round more or less, by the last bit, where loops are found to 10⁻⁴ of the highest rail: 1.5e-5 seen.
    tolerance: 5e-5,
  }),
];
