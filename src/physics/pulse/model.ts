import type {
  CubicMetre,
  CubicMetrePerSecond,
  Farad,
  Kelvin,
  Metre,
  Newton,
  NewtonMetre,
  NewtonMetrePerVolt,
  Pascal,
  Ratio,
  Second,
  Volt,
} from "../../units/aliases.ts";
import type { PadLaw } from "../pad.ts";
import type { SeatLoad, SeatModel } from "../seatForce.ts";
import type { Circuit } from "./circuit.ts";
import type { GasTable } from "./gasTable.ts";

/** Everything that a transient run needs: plain numbers, shared by all runs, never changed by one. */
export interface PulseModel {
  strip: TransientStrip;
  electrics: StripElectrics | null;
  circuit: Circuit | null;
  seat: TransientSeat | null;
  chamber: TransientChamber | null;
  plenum: TransientPlenum | null;
}

/** Coordinates of the strip with gas loading and width effect in them. */
export interface TransientStrip {
  count: number;
  /** Plain modes among the coordinates. */
  modes: number;
  omega: Float64Array;
  /** Damping ratios, structure and gas together. */
  zeta: Float64Array;
  /** Share of the damping that the gas has. */
  gasShare: Float64Array;
  /** Deflection at the pad along the opening direction. */
  pad: Float64Array;
  jump: Float64Array;
  /** Deflection (+z) at `places`, places × count. */
  at: Float64Array;
  places: readonly Metre[];
  /** +1: opening is +z. */
  side: 1 | -1;
  /** Moment that stands for a constant curvature (thermal). */
  restMoment: NewtonMetre;
}

/** One hysteretic branch of a layer: see hysteresis.ts. */
export interface LossBranch {
  density: number;
  reach: number;
  /** Ends of its working loop: charge and v_h, in the closed state and in the open one. */
  closed: { q: number; v: Volt };
  open: { q: number; v: Volt };
}

export interface StripElectrics {
  layers: number;
  /** Electrode index of each layer's faces. */
  bottom: Int32Array;
  top: Int32Array;
  /** Capacitance with bending held, between the layers' transducing voltages, layers × layers. */
  capacitance: Float64Array;
  /** Piezo moment per transducing volt. */
  theta: Float64Array;
  /** In charge, in series with the transducing part; null: linear. */
  series: (LossBranch | null)[];
  /** Domain switching without strain, in parallel: capacitance and branch; null: none. */
  parallel: ({ capacitance: Farad; branch: LossBranch } | null)[];
  /** For the margins of the field. */
  thickness: Float64Array;
  poling: Int8Array;
  thetaSmall: readonly NewtonMetrePerVolt[];
}

export interface TransientSeat {
  model: SeatModel;
  load: SeatLoad;
  pad: PadLaw;
  /** Indentation up to which the pad's law is tabulated. */
  padDepth: Metre;
  /** Multiplies the pad's force against indentation in motion. */
  dynamicFactor: Ratio;
  restitution: Ratio;
  stickForce: Newton;
  /** Stretch over which sticking lets go. */
  stickStretch: Metre;
  /** Seat plane from rest, under pressure. */
  standOff: Metre;
  /** Largest lift that the gas table must hold. */
  top: Metre;
  /** The gas table at the start, where it is at hand. */
  table?: GasTable;
  /** Squeeze film 2π µ R_m w³, N·s·m²; 0: none. */
  squeeze: number;
  /** Gap below which the film does not get thinner (roughness). */
  squeezeGap: Metre;
  /** Largest force of the film. */
  squeezeMax: Newton;
  /** Impact speed that the restitution is taken at before there was an impact. */
  referenceSpeed: number;
}

export interface TransientChamber {
  volume: CubicMetre;
  pumpingSpeed: CubicMetrePerSecond;
  basePressure: Pascal;
  /** R_s T_wall, J/kg. */
  specific: number;
}

export interface TransientPlenum {
  /** null: held. */
  volume: CubicMetre | null;
  feedConductance: CubicMetrePerSecond | null;
  pressure: Pascal;
  temperature: Kelvin;
  gamma: Ratio;
  /** R_s T_0. */
  specific: number;
}

/** A command to the drive: the switch's state, or the voltage of a drawn waveform from here on. */
export interface DriveCommand {
  time: Second;
  state: "high" | "low" | "off" | "wave";
  /** Drawn waveform: voltage at this time, straight to the next command. */
  voltage?: Volt;
}
