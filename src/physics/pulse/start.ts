import { solve } from "../../numerics/linear.ts";
import type { Second } from "../../units/aliases.ts";
import { settle } from "../seat.ts";
import { type Circuit, networkOf, type OutputState } from "./circuit.ts";
import { huntCoefficient } from "./contact.ts";
import { newElectric } from "./electric.ts";
import { layerMoment } from "./electricLayers.ts";
import { chooseAtRest } from "./electricOutput.ts";
import type { Electric } from "./electricState.ts";
import { gasTable, tableFlow } from "./gasTable.ts";
import { EDGE_PARTS } from "./kernel.ts";
import type { PulseModel, StripElectrics } from "./model.ts";
import type { Energies, PulseState } from "./state.ts";

/*
 * The state at the start: rails and electrodes at rest (leakage and bleeders drawing), the strip in
 * static equilibrium on its seat, on the branch that the statics of the seat gives. The pad's surface has
 * crept to that equilibrium and stays so during the pulse, while its answer to motion is stiffer by
 * the dynamic factor: the surface that the pad meets lies at y_0 + δ_d with
 * dynamicFactor · F_pad(δ_d) = contact force at rest.
 */

const noEnergy = (): Energies => ({
  gasIn: 0,
  structural: 0,
  gasDamping: 0,
  contactLoss: 0,
  film: 0,
  stick: 0,
  moment: 0,
});

/** First part of the first step where supplies are switched on: below a wire's 1 mΩ with 10 pF. */
const TURN_ON: Second = 3e-16;

export interface StartOptions {
  /** State of the output before the start. */
  output: "high" | "low" | "off";
  /** Supplies off and every node at 0 V: the start-up of the rails is what is run. */
  unpowered?: boolean;
}

/** Node potentials at rest with the output in a state; floating electrodes keep no charge. */
export function restPotentials(
  circuit: Circuit,
  strip: StripElectrics,
  output: OutputState,
): Float64Array {
  const n = circuit.nodes;
  const supplies = circuit.spec.rails.map(() => "linear" as const);
  const net = networkOf(circuit, output, 0, supplies, new Int8Array(supplies.length));
  const Y = Float64Array.from(net.conductance);
  const J = Float64Array.from(net.source);
  // A node without any path: held by its capacitances, C v = 0.
  const weak = 1e-15;
  for (let k = 0; k < strip.layers; k++) {
    const top = circuit.electrodeNode[strip.top[k]!]!;
    const bottom = circuit.electrodeNode[strip.bottom[k]!]!;
    const g = weak * (strip.capacitance[k * strip.layers + k]! / 1e-9);
    if (top >= 0) Y[top * n + top]! += g;
    if (bottom >= 0) Y[bottom * n + bottom]! += g;
    if (top >= 0 && bottom >= 0) {
      Y[top * n + bottom]! -= g;
      Y[bottom * n + top]! -= g;
    }
  }
  for (let i = 0; i < n; i++) Y[i * n + i]! += weak * 1e-6;
  return solve(Y, n, J) ?? new Float64Array(n);
}

/** The static state that a run starts from. RangeError where the start is not determined. */
export function startState(model: PulseModel, options: StartOptions): PulseState {
  const { strip, circuit, electrics, seat, plenum, chamber } = model;
  const { count, omega, pad, jump } = strip;
  let electric: Electric | null = null;
  let moment = strip.restMoment;
  let force = 0;
  let contact = 0;
  let gasForce = 0;
  let surface = seat?.standOff ?? Number.NEGATIVE_INFINITY;
  let y = 0;
  let slope = 0;
  let indentation = 0;
  let padFlexibility = 0;
  let padPerMoment = 0;
  let slopePerMoment = 0;
  for (let i = 0; i < count; i++) {
    const square = omega[i]! * omega[i]!;
    padFlexibility += (pad[i]! * pad[i]!) / square;
    padPerMoment += (pad[i]! * jump[i]!) / square;
    slopePerMoment += (jump[i]! * jump[i]!) / square;
  }
  const closedOutput = options.output;
  const potentials: Float64Array | null =
    circuit === null || electrics === null
      ? null
      : options.unpowered === true
        ? new Float64Array(circuit.nodes)
        : restPotentials(circuit, electrics, closedOutput);
  // Charge, moment and contact hang on each other weakly: a few rounds settle them.
  for (let round = 0; round < 60; round++) {
    if (potentials !== null && circuit !== null && electrics !== null) {
      electric = newElectric(circuit, electrics, potentials, slope, "closed");
      moment = layerMoment(electric, slope) + strip.restMoment;
    }
    const free = padPerMoment * moment;
    if (seat !== null) {
      const load =
        plenum === null
          ? { ...seat.load, plenumPressure: seat.load.downstreamPressure }
          : seat.load;
      const problem = {
        stripStiffness: 1 / padFlexibility,
        freePosition: free,
        standOff: seat.standOff,
        seat: seat.model,
        load,
      };
      const at = settle(problem, Math.min(free, seat.standOff));
      y = at.y;
      contact = at.contactForce;
      gasForce = at.gasForce;
      force = contact + gasForce;
      indentation = contact > 0 ? seat.pad.indentationFor(contact / seat.dynamicFactor) : 0;
      surface = contact > 0 ? y + indentation : seat.standOff;
    } else y = free;
    const next = padPerMoment * force + slopePerMoment * moment;
    const moved = Math.abs(next - slope);
    slope = next;
    if (moved <= 1e-14 * (Math.abs(slope) + 1e-9)) break;
  }
  const q = new Float64Array(count);
  for (let i = 0; i < count; i++)
    q[i] = (pad[i]! * force + jump[i]! * moment) / (omega[i]! * omega[i]!);
  if (electric !== null) chooseAtRest(electric, closedOutput, options.unpowered === true);
  const touching = contact > 0;
  const gas =
    seat === null || plenum === null
      ? null
      : (seat.table ?? gasTable(seat.model, seat.load, seat.top));
  return {
    time: 0,
    q,
    p: new Float64Array(count),
    electric,
    moment,
    slope,
    y,
    speed: 0,
    force,
    contact,
    gasForce,
    flow: gas === null ? 0 : tableFlow(gas, y - surface),
    plenum: plenum?.pressure ?? 0,
    plenumMass: 1,
    plenumLoss: 0,
    chamber: chamber?.basePressure ?? 0,
    surface,
    hunt: seat === null ? 0 : huntCoefficient(seat.restitution, seat.referenceSpeed),
    touching,
    meeting: 0,
    stuck: seat !== null && seat.stickForce > 0 && touching,
    gas,
    energy: noEnergy(),
    rates: noEnergy(),
    fine: options.unpowered === true ? TURN_ON : 0,
    growth: EDGE_PARTS.growth,
    mass: 0,
    impactSpeed: 0,
    contacts: 0,
    failed: null,
  };
}
