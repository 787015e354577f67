import type {
  Ampere,
  Coulomb,
  Farad,
  Hertz,
  Joule,
  Ohm,
  Ratio,
  Second,
  Volt,
} from "../units/aliases.ts";
import {
  electrodeCapacitance,
  nodeVoltage,
  solvePotentials,
  type Terminal,
  type WiringModel,
} from "./wiringModel.ts";

/** A rail's supply and its storage capacitor. */
export interface RailSupply {
  name: string;
  voltage: Volt;
  /** null: no limit stated. */
  currentLimit: Ampere | null;
  outputResistance: Ohm;
  /** Whether the supply can take current back. */
  sinks: boolean;
  /** Storage capacitor at the switch; null: none. */
  storage: Farad | null;
  storageEsr: Ohm;
  leakageResistance: Ohm | null;
  /** Bleeder across the storage capacitor; null: none. */
  bleeder: Ohm | null;
}

/** What a rail gives on one edge. */
export interface RailEdge {
  /** Charge delivered with the rail held at its voltage; negative: the strip returns charge. */
  charge: Coulomb;
  /** Capacitance hanging on the rail after the edge, C_t. */
  capacitance: Farad;
}

/**
 * Charge that every rail gives on each edge, and the capacitance it sees afterwards.
 *
 * On an edge the electrodes' charges change by Δq = G Δv (floating electrodes keep theirs). A rail
 * gives the change on the electrodes wired to it; the node the output is switched to gives the
 * change on the switched electrodes and on the output's own capacitance. Where bias and switch
 * share a node the charge that one returns the other takes: it circulates.
 */
export function railEdges(model: WiringModel): { toHigh: RailEdge; toLow: RailEdge }[] {
  const g = electrodeCapacitance(model);
  const on = model.rails.map((rail) => rail.voltage);
  const charges = (rails: number[], node: Terminal | null) => {
    const solved = solvePotentials(model, { rails, output: nodeVoltage(model, node, rails) }, g);
    const n = model.electrodes.length;
    const wired = model.rails.map((rail) => {
      let q = 0;
      for (let e = 0; e < n; e++) {
        if (model.terminals[e] !== rail.name) continue;
        for (let f = 0; f < n; f++) q += g[e * n + f]! * solved.potentials[f]!;
      }
      return q;
    });
    return { wired, output: solved.outputCharge };
  };
  const high = charges(on, model.switchHigh);
  const low = charges(on, model.switchLow);
  return model.rails.map((rail, r) => {
    const unit = on.map((_, i) => (i === r ? 1 : 0));
    const edge = (from: typeof high, to: typeof high, node: Terminal | null): RailEdge => {
      const self = charges(unit, node);
      const feeds = node === rail.name;
      return {
        charge: to.wired[r]! - from.wired[r]! + (feeds ? to.output - from.output : 0),
        capacitance: self.wired[r]! + (feeds ? self.output : 0),
      };
    };
    return {
      toHigh: edge(low, high, model.switchHigh),
      toLow: edge(high, low, model.switchLow),
    };
  });
}

/**
 * Charge sharing: a reservoir C_r at V0 is connected to an uncharged load C_t.
 * V_final = V0 C_r/(C_r + C_t); energy lost = ½ V0² C_r C_t/(C_r + C_t), whatever the resistance.
 */
export function chargeSharing(
  reservoir: Farad,
  load: Farad,
  voltage: Volt,
): { final: Volt; droop: Volt; energyLost: Joule } {
  const sum = reservoir + load;
  return {
    final: (voltage * reservoir) / sum,
    droop: (voltage * load) / sum,
    energyLost: (0.5 * voltage * voltage * reservoir * load) / sum,
  };
}

/** Sag (positive) or lift (negative) of a rail by one edge, Q/(C_r + C_t). */
export function edgeDroop(edge: RailEdge, storage: Farad): Volt {
  const sum = storage + edge.capacitance;
  return sum > 0 ? edge.charge / sum : 0;
}

/**
 * How far charge that the strip returns lifts a rail whose supply can't sink: Q/(C_r + C_t) of the
 * worse edge, 0 where none returns. It is bounded: the opposite edge takes the charge back. A larger storage
 * capacitor, a supply that sinks, or bias and switch on one node mends it.
 */
export function railLift(
  edges: { toHigh: RailEdge; toLow: RailEdge },
  storage: Farad,
  sinks: boolean,
): Volt {
  if (sinks) return 0;
  return Math.max(0, -edgeDroop(edges.toHigh, storage), -edgeDroop(edges.toLow, storage));
}

/**
 * Storage capacitance that keeps the droop of an edge at or below `fraction` of the rail voltage:
 * C_r = Q/(δ V) − C_t; for a load charged from 0 V this is C_t (1 − δ)/δ.
 */
export function storageForDroop(edge: RailEdge, voltage: Volt, fraction: number): Farad {
  if (!(fraction > 0)) throw new RangeError(`droop fraction must be above 0: got ${fraction}`);
  if (voltage === 0) return 0;
  return Math.max(0, Math.abs(edge.charge / voltage) / fraction - edge.capacitance);
}

/**
 * Voltage of a capacitor after a time on a supply: constant current I_max while (V_set − v)/R
 * exceeds it, then exponential with R C. Without a limit the exponential alone; with R = 0 the
 * voltage arrives at V_set at the current limit's pace (at once without a limit). A supply that
 * can't sink leaves a voltage above V_set where it is.
 */
export function recharge(
  start: Volt,
  supply: Pick<RailSupply, "voltage" | "currentLimit" | "outputResistance" | "sinks">,
  capacitance: Farad,
  time: Second,
): Volt {
  const sign = supply.voltage < 0 ? -1 : 1;
  const gap = sign * (supply.voltage - start);
  if (gap < 0 && !supply.sinks) return start;
  const direction = gap < 0 ? -1 : 1;
  const size = Math.abs(gap);
  const r = supply.outputResistance;
  const limit = supply.currentLimit;
  if (limit === null) {
    const left = r > 0 ? size * Math.exp(-time / (r * capacitance)) : 0;
    return supply.voltage - sign * direction * left;
  }
  const knee = Math.min(size, limit * r);
  const ramp = limit > 0 ? ((size - knee) * capacitance) / limit : Number.POSITIVE_INFINITY;
  const left =
    time <= ramp
      ? size - (limit * time) / capacitance
      : r > 0
        ? knee * Math.exp(-(time - ramp) / (r * capacitance))
        : 0;
  return supply.voltage - sign * direction * Math.max(0, left);
}

/** Rail voltage before and its largest sag within one pulse: both edges, recharged after each. */
function onePulse(
  supply: RailSupply,
  edges: { toHigh: RailEdge; toLow: RailEdge },
  period: Second,
  duty: Ratio,
  start: Volt,
): { end: Volt; sag: Volt } {
  const set = supply.voltage;
  const sign = set < 0 ? -1 : 1;
  const storage = supply.storage ?? 0;
  const share = (v: Volt, edge: RailEdge) => v - edgeDroop(edge, storage) * (v / set);
  const opened = share(start, edges.toHigh);
  const held = recharge(opened, supply, storage + edges.toHigh.capacitance, duty * period);
  const closed = share(held, edges.toLow);
  return {
    end: recharge(closed, supply, storage + edges.toLow.capacitance, (1 - duty) * period),
    sag: Math.max(0, sign * (set - opened), sign * (set - closed)),
  };
}

/**
 * Largest sag of a rail within a burst of pulses at a steady rate, starting from its set value.
 * Every edge shares charge, v → v − (Q/V) v/(C_r + C_t) (exact where one rail feeds the strip);
 * between edges the supply recharges through its resistance and current limit.
 */
export function burstDroop(
  supply: RailSupply,
  edges: { toHigh: RailEdge; toLow: RailEdge },
  rate: Hertz,
  duty: Ratio,
  pulses: number,
): Volt {
  if (supply.voltage === 0 || !(rate > 0)) return 0;
  let v = supply.voltage;
  let droop = 0;
  for (let i = 0; i < pulses; i++) {
    const pulse = onePulse(supply, edges, 1 / rate, duty, v);
    droop = Math.max(droop, pulse.sag);
    v = pulse.end;
  }
  return droop;
}

/**
 * Sag that an endless burst ends at: the fixed point of one pulse, bracketed between 0 V and the
 * set value (one pulse maps voltages monotonically and brings them closer together).
 */
export function steadyDroop(
  supply: RailSupply,
  edges: { toHigh: RailEdge; toLow: RailEdge },
  rate: Hertz,
  duty: Ratio,
): Volt {
  const set = supply.voltage;
  if (set === 0 || !(rate > 0)) return 0;
  const first = onePulse(supply, edges, 1 / rate, duty, set);
  if (first.end / set >= 1 - 1e-9) return first.sag;
  // Regula falsi (Illinois): within a regime of the recharge one pulse is affine, so few steps do.
  const excess = (u: Ratio) => onePulse(supply, edges, 1 / rate, duty, u * set).end / set - u;
  let [a, b] = [0, 1];
  let [fa, fb] = [excess(0), first.end / set - 1];
  let side = 0;
  let u = a;
  for (let i = 0; i < 60 && b - a > 1e-12; i++) {
    u = (a * fb - b * fa) / (fb - fa);
    const fu = excess(u);
    if (Math.abs(fu) < 1e-13) break;
    if (fu >= 0) {
      a = u;
      fa = fu;
      if (side === 1) fb /= 2;
      side = 1;
    } else {
      b = u;
      fb = fu;
      if (side === -1) fa /= 2;
      side = -1;
    }
  }
  return onePulse(supply, edges, 1 / rate, duty, u * set).sag;
}

/** Voltage from which `recharge` arrives at `end` (not beyond the set value) in this time. */
function rechargeStart(end: Volt, supply: RailSupply, capacitance: Farad, time: Second): Volt {
  const sign = supply.voltage < 0 ? -1 : 1;
  const gap = sign * (supply.voltage - end);
  const { outputResistance: r, currentLimit: limit } = supply;
  let before = Number.POSITIVE_INFINITY;
  if (r > 0) before = gap === 0 ? 0 : gap * Math.exp(time / (r * capacitance));
  if (limit !== null && before > limit * r) {
    const exponential = gap < limit * r ? r * capacitance * Math.log((limit * r) / gap) : 0;
    before = Math.max(gap, limit * r) + (limit * (time - exponential)) / capacitance;
  }
  return supply.voltage - sign * before;
}

/**
 * Highest rate at which the endless burst keeps the sag at or below `droopMax` (above 0 V); null
 * when a single pulse exceeds it, at most 1 MHz.
 *
 * A rate is allowed when a pulse that starts at the lowest voltage which still meets the limit at
 * both edges ends no lower: then the fixed point lies above it.
 */
export function rateForDroop(
  supply: RailSupply,
  edges: { toHigh: RailEdge; toLow: RailEdge },
  duty: Ratio,
  droopMax: Volt,
): Hertz | null {
  const set = supply.voltage;
  if (set === 0) return null;
  const sign = set < 0 ? -1 : 1;
  const storage = supply.storage ?? 0;
  const keptHigh = 1 - edgeDroop(edges.toHigh, storage) / set;
  const keptLow = 1 - edgeDroop(edges.toLow, storage) / set;
  const floor = set - sign * droopMax;
  const held = floor / keptLow;
  if (!(sign * set * keptHigh >= sign * floor && sign * set >= sign * held)) return null;
  const allowed = (rate: Hertz) => {
    const capacitance = storage + edges.toHigh.capacitance;
    const opened = rechargeStart(held, supply, capacitance, duty / rate);
    const start = (sign * Math.max(sign * floor, sign * opened)) / keptHigh;
    if (sign * start > sign * set) return false;
    return sign * (onePulse(supply, edges, 1 / rate, duty, start).end - start) >= 0;
  };
  let low = Math.log(1e-3);
  let high = Math.log(1e6);
  if (allowed(1e6)) return 1e6;
  if (!allowed(1e-3)) return null;
  for (let i = 0; i < 24; i++) {
    const middle = 0.5 * (low + high);
    if (allowed(Math.exp(middle))) low = middle;
    else high = middle;
  }
  return Math.exp(low);
}

/**
 * Mean current a supply must give at a rate: net charge per cycle times the rate, plus what bleeder
 * and leakage take.
 */
export function supplyCurrent(
  supply: RailSupply,
  edges: { toHigh: RailEdge; toLow: RailEdge },
  rate: Hertz,
): Ampere {
  const sign = supply.voltage < 0 ? -1 : 1;
  const perCycle = sign * (edges.toHigh.charge + edges.toLow.charge);
  return Math.max(0, perCycle) * rate + standingCurrent(supply);
}

/** Current into bleeder and leakage, A. */
export function standingCurrent(supply: RailSupply): Ampere {
  const v = Math.abs(supply.voltage);
  return (
    (supply.bleeder === null ? 0 : v / supply.bleeder) +
    (supply.leakageResistance === null ? 0 : v / supply.leakageResistance)
  );
}

/** Highest rate that the current limit carries; null where nothing limits it. */
export function rateForCurrent(
  supply: RailSupply,
  edges: { toHigh: RailEdge; toLow: RailEdge },
): Hertz | null {
  if (supply.currentLimit === null) return null;
  const sign = supply.voltage < 0 ? -1 : 1;
  const perCycle = sign * (edges.toHigh.charge + edges.toLow.charge);
  if (!(perCycle > 0)) return null;
  return Math.max(0, supply.currentLimit - standingCurrent(supply)) / perCycle;
}
