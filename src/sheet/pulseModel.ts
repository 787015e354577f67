import type { Design } from "../design/design.ts";
import { buildBeam, staticCompliance } from "../physics/beam.ts";
import { rayleighStatics } from "../physics/ceramic.ts";
import { GAS_CONSTANT, viscosity } from "../physics/gases.ts";
import { loadedModes } from "../physics/gasload.ts";
import { modes } from "../physics/modes.ts";
import { transientBasis } from "../physics/pulse/basis.ts";
import { buildCircuit, type Circuit, type CircuitSwitch } from "../physics/pulse/circuit.ts";
import { type GasTable, gasTable } from "../physics/pulse/gasTable.ts";
import type {
  LossBranch,
  PulseModel,
  StripElectrics,
  TransientSeat,
  TransientStrip,
} from "../physics/pulse/model.ts";
import { fullOpeningLift } from "../physics/seat.ts";
import type { Metre, Ratio } from "../units/aliases.ts";
import { buildElectrical, type ElectricalModel } from "./electrical.ts";
import { keeper } from "./kept.ts";
import { workingGasOf } from "./modeSheet.ts";
import { seatState } from "./seatState.ts";
import {
  buildStrip,
  ceramicOf,
  elastomerOf,
  type StripModel,
  stripBeamSpec,
} from "./stripModel.ts";

/** Plain modes of the transient. */
export const TRANSIENT_MODES = 8;
/**
 * Damping ratio of the coordinates that stand for the static answer of all higher modes: they follow
 * their load and do not ring.
 */
const STATIC_DAMPING = 0.9;
/** Degree of the beam's elements for that many modes. */
const ORDER = 24;
/** Places along the strip at which its shape is drawn, clamp and tip included. */
export const SHAPE_PLACES = 41;

/** The transient model of a design with what the statics says of the same design. */
export interface DesignPulse {
  model: PulseModel;
  /** State of the output that closes the valve (or is its rest state), and the one that opens it. */
  closed: "high" | "low";
  open: "high" | "low";
  strip: StripModel;
  electrical: ElectricalModel;
  /** Free swing and lift that the statics gives. */
  staticLift: Metre | null;
  firstResonance: number;
  ringDown: number;
}

/** Why a design has no pulse. */
export interface NoPulse {
  reason: string;
}

/**
 * The transient model; a reason where the design has no wiring, its wiring is refused, or there is no
 * switch to give it a command.
 */
export function pulseModel(design: Design, modesWanted = TRANSIENT_MODES): DesignPulse | NoPulse {
  const strip = buildStrip(design);
  const electrical = buildElectrical(design, strip);
  if (electrical === null)
    return { reason: "the design has no wiring: give `wiring`, `rails` and `switch`" };
  const { judgement } = electrical;
  if (design.switch === undefined)
    return { reason: "the design has no switch: give `switch` with its two nodes" };
  if (judgement.closedState === null || !judgement.accepted)
    return { reason: `the wiring is refused: ${judgement.reasons.map((r) => r.text).join("; ")}` };
  const closed = judgement.closedState;
  const state = seatState(design, strip, electrical);
  const transient = stripTransient(design, strip, modesWanted);
  const electrics = electricsOf(design, strip, electrical, closed, transient);
  const seat = state === null ? null : seatOf(design, state, transient);
  const { gas, need } = design;
  const gasConstant = gas === undefined ? 0 : GAS_CONSTANT / gas.molarMass;
  const model: PulseModel = {
    strip: transient,
    electrics,
    circuit: circuitOf(design),
    seat,
    chamber:
      design.chamber === undefined || gas === undefined || seat === null
        ? null
        : {
            volume: design.chamber.volume,
            pumpingSpeed: design.chamber.pumpingSpeed,
            basePressure: design.chamber.basePressure,
            specific: gasConstant * design.chamber.wallTemperature,
          },
    plenum:
      gas === undefined || seat === null
        ? null
        : {
            volume: design.plenum.volume,
            feedConductance: design.plenum.feedConductance,
            pressure: need.plenumPressure,
            temperature: need.plenumTemperature,
            gamma: gas.gamma,
            specific: gasConstant * need.plenumTemperature,
          },
  };
  const first = (transient.omega[0] as number) / (2 * Math.PI);
  return {
    model,
    closed,
    open: closed === "high" ? "low" : "high",
    strip,
    electrical,
    staticLift: state === null ? null : Math.max(0, state.open.lift),
    firstResonance: first,
    ringDown: 1 / ((transient.zeta[0] as number) * (transient.omega[0] as number)),
  };
}

const keptTransient = keeper<TransientStrip>();

/** As {@link newTransient}, kept as long as nothing of it changes: a drive's input leaves it as it is. */
function stripTransient(design: Design, strip: StripModel, wanted: number): TransientStrip {
  const gas = workingGasOf(design);
  const { surroundings, strip: own } = design;
  const parts = [
    strip,
    wanted,
    gas?.density,
    gas?.viscosity,
    surroundings.wallDistance,
    surroundings.ambientTemperature,
    own.structuralQ,
    own.referenceTemperature,
    design.seat?.side,
  ];
  return keptTransient(parts, () => newTransient(design, strip, wanted));
}

/** Coordinates with the width effect and the gas around the strip in them. */
function newTransient(design: Design, strip: StripModel, wanted: number): TransientStrip {
  const spec = { ...stripBeamSpec(design, strip.section), order: ORDER };
  const places = Array.from(
    { length: SHAPE_PLACES },
    (_, i) => (strip.tip * i) / (SHAPE_PLACES - 1),
  );
  const beam = buildBeam(spec);
  const raw = modes(beam, wanted);
  const basis = transientBasis(raw, strip.pad, wanted, places);
  const { width } = strip;
  // Frequencies × f, compliance × c, deflection per moment × d, the same coupling for charge and moment:
  // φ scales with f √c and s with d f/√c.
  const f = width.frequency;
  // The width effect is the strip's own: the clamp's give stands beside it, as in the statics.
  const compliance = 1 / (strip.padStiffness * staticCompliance(beam, strip.pad, strip.pad));
  const padScale = f * Math.sqrt(compliance);
  const jumpScale = (width.deflection * f) / Math.sqrt(compliance);
  const working = workingGasOf(design);
  const loaded =
    working === null
      ? null
      : loadedModes(raw, {
          density: working.density,
          viscosity: working.viscosity,
          width: strip.section.width,
          wallDistance: design.surroundings.wallDistance,
          structuralQ: design.strip.structuralQ,
        });
  const { count } = basis;
  const omega = new Float64Array(count);
  const zeta = new Float64Array(count);
  const gasShare = new Float64Array(count);
  const pad = new Float64Array(count);
  const jump = new Float64Array(count);
  const at = basis.at.slice();
  const side = design.seat?.side === "above" ? -1 : 1;
  for (let i = 0; i < count; i++) {
    const mode = Math.min(i, raw.count - 1);
    const vacuum = raw.omega[mode] as number;
    const slowed =
      loaded === null ? 1 : (2 * Math.PI * (loaded.frequencies[mode] as number)) / vacuum;
    const q = loaded === null ? design.strip.structuralQ : (loaded.q[mode] as number);
    omega[i] = (basis.omega[i] as number) * f * slowed;
    const plain = i < basis.modes;
    zeta[i] = plain ? 0.5 / q : STATIC_DAMPING;
    gasShare[i] = loaded === null || !plain ? 0 : 1 - q / design.strip.structuralQ;
    pad[i] = (basis.pad[i] as number) * padScale * slowed * side;
    jump[i] = (basis.jump[i] as number) * jumpScale * slowed;
    for (let p = 0; p < places.length; p++)
      at[p * count + i] = (at[p * count + i] as number) * padScale * slowed;
  }
  const above = design.surroundings.ambientTemperature - design.strip.referenceTemperature;
  return {
    count,
    modes: basis.modes,
    omega,
    zeta,
    gasShare,
    pad,
    jump,
    at,
    places,
    side,
    restMoment: strip.section.thermalCurvature * strip.section.bendingStiffness * above,
  };
}

/** Slope jump per moment, free of contact. */
function slopeFlexibility({ count, jump, omega }: TransientStrip): number {
  let sum = 0;
  for (let i = 0; i < count; i++) sum += ((jump[i] as number) / (omega[i] as number)) ** 2;
  return sum;
}

function electricsOf(
  design: Design,
  strip: StripModel,
  electrical: ElectricalModel,
  closed: "high" | "low",
  transient: TransientStrip,
): StripElectrics {
  const { section } = strip;
  const { layers } = electrical.model;
  const n = layers.length;
  const theta = Float64Array.from(layers, (layer) => layer.theta);
  const capacitance = section.cAxial.map((c) => c * design.strip.freeLength);
  for (let k = 0; k < n; k++)
    capacitance[k * n + k] =
      (capacitance[k * n + k] as number) +
      (section.cClamped[k] as number) * design.clamp.electrodeLength;
  const out: StripElectrics = {
    layers: n,
    bottom: Int32Array.from(layers, (layer) => layer.bottom),
    top: Int32Array.from(layers, (layer) => layer.top),
    capacitance,
    theta,
    series: layers.map(() => null),
    parallel: layers.map(() => null),
    thickness: Float64Array.from(layers, (layer) => layer.thickness),
    poling: Int8Array.from(layers, (layer) => layer.poling),
    thetaSmall: Array.from(theta),
  };
  if (design.model.ceramic === "linear") return out;
  const flexibility = slopeFlexibility(transient);
  const scale = new Float64Array(n).fill(1);
  const closedState = electrical.states[closed === "high" ? 0 : 1];
  const openState = electrical.states[closed === "high" ? 1 : 0];
  for (let k = 0; k < n; k++) {
    const layer = layers[k] as (typeof layers)[number];
    const ceramic = ceramicOf(design, strip.layerNames[layer.index] as string);
    const vClosed = closedState?.deltaV[k] ?? 0;
    const vOpen = openState?.deltaV[k] ?? 0;
    const grown = largeSignalLayer({
      capacitance: capacitance[k * n + k] as number,
      theta: theta[k] as number,
      flexibility,
      closed: vClosed,
      open: vOpen,
      growth: growthOf(ceramic.rayleighRatio, layer, vClosed, vOpen),
      capacitanceFactor: design.model.largeSignalCapacitanceFactor,
      tanDelta: design.model.largeSignalTanDelta,
    });
    if (grown === null) continue;
    scale[k] = Math.sqrt(grown.capacitance / (capacitance[k * n + k] as number));
    theta[k] = grown.theta;
    out.series[k] = grown.series;
    out.parallel[k] = grown.parallel;
  }
  for (let k = 0; k < n; k++)
    for (let j = 0; j < n; j++)
      capacitance[k * n + j] =
        (capacitance[k * n + j] as number) * (scale[k] as number) * (scale[j] as number);
  return out;
}

function growthOf(
  ratio: Ratio,
  layer: ElectricalModel["model"]["layers"][number],
  closed: number,
  open: number,
) {
  const field = (v: number) => (-layer.poling * v) / layer.thickness;
  return rayleighStatics(1, ratio, Math.max(0, field(closed), field(open)));
}

/** Half-width that the plays reach, over the working loop's width. */
const REACH: Ratio = 0.55;
/** Loop width over swing of the parallel branch is kept below this: its elastance stays positive. */
const WIDEST: Ratio = 0.47;

/** Reach over the loop's width that keeps the rest of the elastance positive. */
const reachFor = (width: Ratio): Ratio => Math.min(REACH, (0.98 * (1 + 2 * width)) / (8 * width));

interface LayerCase {
  /** Low-field capacitance with bending held, and coupling. */
  capacitance: number;
  theta: number;
  flexibility: number;
  closed: number;
  open: number;
  growth: { largeSignal: number; loopWidthOverSwing: Ratio };
  capacitanceFactor: Ratio;
  tanDelta: Ratio;
}

/*
 * Large-signal constants of one layer that works between ΔV_a and ΔV_b, so that, moving freely,
 *   deflection per volt = low-field value × growth,   loop width/swing of the Rayleigh law,
 *   charge per volt = C_ls = factor × C_free,         loss per cycle = (π/4) C_ls ΔV² tan δ.
 * Charge with strain: C_1 = min(growth, factor) C_free, elastance A = 1/C_1 as end-to-end slope; its
 * plays have k q = 8 λ A (loop width k q²/8 = λ A q), reach R = 0.55 q and the rest
 *   1/(C (1 + κ)) = A (1 + 2λ) − k R,  κ = flexibility Θ²/C.
 * The rest of the charge and of the loss is a branch without strain, in parallel. Both loops stand on the
 * straight line through ΔV = 0 with that slope; the charge about which they lie is the working one.
 */
export function largeSignalLayer(layer: LayerCase): {
  capacitance: number;
  theta: number;
  series: LossBranch;
  parallel: { capacitance: number; branch: LossBranch } | null;
} | null {
  const { theta, flexibility, growth, closed, open } = layer;
  const step = Math.abs(open - closed);
  if (step === 0) return null;
  const free = layer.capacitance + flexibility * theta * theta;
  const first = Math.min(growth.largeSignal, layer.capacitanceFactor) * free;
  const width = growth.loopWidthOverSwing;
  const A = 1 / first;
  const rest = A * (1 + 2 * width - 8 * width * reachFor(width));
  const grown = theta * growth.largeSignal * A;
  const thetaIn = grown / rest;
  const own = 1 / rest - flexibility * thetaIn * thetaIn;
  if (!(own > 0)) return null;
  const total = layer.capacitanceFactor * free;
  const second = total - first;
  const loss = (Math.PI / 4) * total * step * step * layer.tanDelta;
  const firstLoss = (2 / 3) * width * first * step * step;
  const parallel =
    second > 1e-3 * total
      ? parallelBranch(second, Math.max(0, loss - firstLoss), step, closed, open)
      : null;
  return {
    capacitance: own,
    theta: thetaIn,
    series: loop(first, width, step, closed, open),
    parallel,
  };
}

/** Ends of a loop of end-to-end capacitance C and loop width λ. */
function loop(C: number, width: Ratio, step: number, closed: number, open: number): LossBranch {
  const q = C * step;
  const density = (8 * width) / (C * q);
  const share = 1 - (1 + 2 * width - 8 * width * reachFor(width));
  const reach = reachFor(width) * q;
  // v_h = total − what the rest of the elastance takes, at both ends on the line through zero.
  const end = (v: number) => ({ q: C * v, v: share * v });
  return { density, reach, closed: end(closed), open: end(open) };
}

function parallelBranch(C: number, loss: number, step: number, closed: number, open: number) {
  const width = Math.min(WIDEST, (1.5 * loss) / (C * step * step));
  const rest = (1 + 2 * width - 8 * width * reachFor(width)) / C;
  return { capacitance: 1 / rest, branch: loop(C, width, step, closed, open) };
}

function circuitOf(design: Design): Circuit {
  const names = Object.keys(design.rails);
  const rail = (terminal: string) => (terminal === "ground" ? -1 : names.indexOf(terminal));
  const sw = design.switch;
  const cable = design.cable.length * design.cable.capacitancePerMetre;
  const circuitSwitch: CircuitSwitch | null =
    sw === undefined
      ? null
      : {
          high: rail(sw.high),
          low: rail(sw.low),
          onResistance: sw.onResistance,
          seriesHigh: sw.seriesResistorHigh ?? sw.seriesResistor,
          seriesLow: sw.seriesResistorLow ?? sw.seriesResistor,
          currentMax: sw.currentMax,
          outputCapacitance: sw.outputCapacitance + cable,
          deadTime: sw.deadTime,
          delay: sw.delay,
        };
  return buildCircuit({
    electrodes: design.electrodes.map((electrode) => {
      const terminal = design.wiring?.[electrode] ?? "open";
      if (terminal === "ground" || terminal === "switched" || terminal === "open") return terminal;
      const index = names.indexOf(terminal);
      return index < 0 ? "open" : index;
    }),
    rails: Object.entries(design.rails).map(([name, r]) => ({
      name,
      voltage: r.voltage,
      outputResistance: r.outputResistance,
      currentLimit: r.currentLimit,
      sinks: r.sinks,
      storage: r.storage ?? 0,
      storageEsr: r.storageEsr,
      leakageResistance: r.leakageResistance,
      bleeder: r.bleeder,
    })),
    switch: circuitSwitch,
  });
}

/** Deepest indentation that is tabulated, over the pad's thickness. */
const PAD_SHARE = 0.4;
/** Stretch over which a sticking pad lets go. Unverified. */
const STICK_STRETCH: Metre = 1e-6;
/** Gap below which a film does not get thinner: roughness of a moulded pad. Unverified. */
const ROUGHNESS: Metre = 2e-6;
/** Headroom of the gas table over the free swing: a step overshoots to twice. */
const HEADROOM = 2.6;

const keptTable = keeper<GasTable>();

function seatOf(
  design: Design,
  state: NonNullable<ReturnType<typeof seatState>>,
  transient: TransientStrip,
): TransientSeat {
  const pad = design.pad as NonNullable<Design["pad"]>;
  const seat = design.seat as NonNullable<Design["seat"]>;
  const swing = Math.abs(state.openFree - state.closedFree);
  const { gas } = state.load;
  const ring =
    seat.form === "flat"
      ? 0.5 * (seat.diameter + seat.land - design.need.orificeDiameter)
      : seat.land;
  const width = Math.max(ring, 0);
  const radius =
    seat.form === "flat"
      ? 0.25 * (seat.diameter + seat.land + design.need.orificeDiameter)
      : 0.5 * seat.diameter;
  const top = Math.max(
    HEADROOM * swing * 1.4,
    6 * fullOpeningLift(state.model),
    // A valve that the gas holds open rests beyond its swing.
    2 * state.closed.lift,
    2 * state.open.lift,
    2 * (state.openFree - state.standOff),
  );
  return {
    model: state.model,
    load: state.load,
    pad: state.pad,
    padDepth: PAD_SHARE * (pad.cordDiameter ?? pad.thickness),
    dynamicFactor: elastomerOf(design, pad.material).dynamicFactor,
    restitution: pad.restitution,
    stickForce: pad.stickForce,
    stickStretch: STICK_STRETCH,
    standOff: state.standOff,
    top,
    table: keptTable([state.model, state.load, top], () => gasTable(state.model, state.load, top)),
    squeeze:
      2 * Math.PI * viscosity(gas, state.load.plenumTemperature) * radius * width * width * width,
    squeezeGap: ROUGHNESS,
    squeezeMax: state.load.plenumPressure * 2 * Math.PI * radius * width,
    referenceSpeed: Math.max(1e-3, 0.5 * swing * (transient.omega[0] as number)),
  };
}
