import type { Ampere, Second, Volt } from "../../units/aliases.ts";
import { type CircuitRail, type SupplyState, WIRE } from "./circuit.ts";
import type { Electric } from "./electricState.ts";

/** Gives the drive a command; what it does to diodes and limits follows at the next step. */
export function command(el: Electric, state: Electric["commanded"], drive: Volt): void {
  el.commanded = state;
  el.drive = drive;
  chooseOutput(el);
  el.peakCurrent = Math.max(el.peakCurrent, Math.abs(outputCurrent(el)));
}

/** Puts the drive into a state of rest: its command, and every supply as it is then. */
export function chooseAtRest(el: Electric, output: Electric["commanded"], off: boolean): void {
  el.commanded = output;
  chooseOutput(el);
  if (!off) chooseSupplies(el, el.v);
}

const nodeVoltage = (el: Electric, rail: number) =>
  rail < 0 ? 0 : el.v[el.circuit.railNode[rail]!]!;

/** State of the output at the start of a step. */
export function chooseOutput(el: Electric): void {
  const sw = el.circuit.spec.switch;
  if (sw === null) return;
  el.outputSign = 0;
  const v = el.v[el.circuit.output]!;
  if (el.commanded === "wave") {
    el.output = "wave";
    return;
  }
  const high = nodeVoltage(el, sw.high);
  const low = nodeVoltage(el, sw.low);
  if (el.commanded === "off") {
    const noise = 1e-12 * (Math.abs(high) + Math.abs(low));
    const upper = high >= low ? "diode high" : "diode low";
    const lower = high >= low ? "diode low" : "diode high";
    if (v > Math.max(high, low) + noise) el.output = upper;
    else if (v < Math.min(high, low) - noise) el.output = lower;
    else el.output = "off";
    return;
  }
  el.output = el.commanded;
  if (sw.currentMax === null) return;
  const [node, series] = el.commanded === "high" ? [high, sw.seriesHigh] : [low, sw.seriesLow];
  const i = (node - v) / Math.max(series + sw.onResistance, WIRE);
  if (Math.abs(i) <= sw.currentMax) return;
  el.output = "limited";
  el.outputSign = (el.commanded === "high" ? 1 : 2) * Math.sign(i);
}

/** Current into the output node at this time. */
export function outputCurrent(el: Electric): Ampere {
  const sw = el.circuit.spec.switch;
  if (sw === null || el.output === "off") return 0;
  if (el.output === "limited") return Math.sign(el.outputSign) * sw.currentMax!;
  const v = el.v[el.circuit.output]!;
  const high = el.output === "high" || el.output === "diode high";
  const series = high || el.output === "wave" ? sw.seriesHigh : sw.seriesLow;
  const from = el.output === "wave" ? el.drive : nodeVoltage(el, high ? sw.high : sw.low);
  return (from - v) / Math.max(series + sw.onResistance, WIRE);
}

/** Time constant of the output's node through the switch as it stands. */
export function outputTimeConstant(el: Electric): Second {
  const sw = el.circuit.spec.switch;
  if (sw === null) return Number.POSITIVE_INFINITY;
  const { nodes, capacitance } = el.internal;
  const at = el.circuit.output;
  const towardsHigh = el.commanded === "high" || el.output === "diode high";
  const series = towardsHigh ? sw.seriesHigh : sw.seriesLow;
  return capacitance[at * nodes + at]! * Math.max(series + sw.onResistance, WIRE);
}

/** How long the switch's current limit holds about, from now on; Infinity where it does not act. */
export function limitHolds(el: Electric): Second {
  if (el.output !== "limited") return Number.POSITIVE_INFINITY;
  const limit = el.circuit.spec.switch!.currentMax!;
  return outputTimeConstant(el) * (limitedCurrent(el, el.v) / limit - 1);
}

/** Current that a plain source would drive in the limit's direction at potentials v. */
function limitedCurrent(el: Electric, v: Float64Array): Ampere {
  const sw = el.circuit.spec.switch!;
  const rail = Math.abs(el.outputSign) === 1 ? sw.high : sw.low;
  const node = rail < 0 ? 0 : v[el.circuit.railNode[rail]!]!;
  const series = Math.abs(el.outputSign) === 1 ? sw.seriesHigh : sw.seriesLow;
  const i = (node - v[el.circuit.output]!) / Math.max(series + sw.onResistance, WIRE);
  return i * Math.sign(el.outputSign);
}

/** Whether the limited output would be out of its limit at potentials v. */
export const leavesLimit = (el: Electric, v: Float64Array): boolean =>
  limitedCurrent(el, v) < el.circuit.spec.switch!.currentMax!;

/** Whether it has driven the node past where it is switched to. */
export const crosses = (el: Electric, v: Float64Array): boolean => limitedCurrent(el, v) < 0;

/** Current of a supply that counts as none: rounding of its voltage over its resistance. */
export function supplyNoise({ voltage, outputResistance }: CircuitRail): Ampere {
  return 1e-10 + (1e-12 * Math.abs(voltage)) / Math.max(outputResistance, WIRE);
}

/**
 * Puts supplies into the state that the potentials at the end of a step call for; true: changed. Where
 * these states go round (`settling`), a supply stays a plain source for this step.
 */
export function chooseSupplies(el: Electric, v: Float64Array, settling = false): boolean {
  let changed = false;
  const { rails } = el.circuit.spec;
  for (let r = 0; r < rails.length; r++) {
    const rail = rails[r]!;
    const sign = rail.voltage < 0 ? -1 : 1;
    const i = (rail.voltage - v[el.circuit.railNode[r]!]!) / Math.max(rail.outputResistance, WIRE);
    const noise = supplyNoise(rail);
    let wanted: SupplyState = "linear";
    let wantedSign = 1;
    if (!rail.sinks && sign * i < -noise) wanted = "blocked";
    else if (rail.currentLimit !== null && Math.abs(i) > rail.currentLimit * (1 + 1e-9) + noise) {
      wanted = "limited";
      wantedSign = Math.sign(i);
    }
    if (settling && (wanted !== el.supplies[r] || wantedSign !== el.supplySigns[r])) {
      wanted = "linear";
      wantedSign = 1;
    }
    if (wanted !== el.supplies[r] || wantedSign !== el.supplySigns[r]) {
      el.supplies[r] = wanted;
      el.supplySigns[r] = wantedSign;
      changed = true;
    }
  }
  return changed;
}
