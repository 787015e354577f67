import type { Joule, Newton, Pascal, Ratio, Second } from "../../units/aliases.ts";
import { copyElectric } from "./electric.ts";
import type { Electric } from "./electricState.ts";
import type { GasTable } from "./gasTable.ts";
import type { PulseModel } from "./model.ts";
import type { OscillatorStep } from "./oscillator.ts";
import type { PadTable } from "./padTable.ts";

/** Everything that changes during a run. */
export interface PulseState {
  time: Second;
  q: Float64Array;
  p: Float64Array;
  electric: Electric | null;
  /** Piezo and rest moment at this time. */
  moment: number;
  slope: number;
  y: number;
  speed: number;
  /** All force at the pad along the opening direction. */
  force: Newton;
  contact: Newton;
  gasForce: Newton;
  flow: number;
  plenum: Pascal;
  /** Gas in the plenum over that at its set pressure and temperature. */
  plenumMass: Ratio;
  /** What the flow takes of the pressure, Pa/s, at this time. */
  plenumLoss: number;
  chamber: Pascal;
  /** Surface that the pad meets, from rest. */
  surface: number;
  /** Restitution law's c of this contact. */
  hunt: number;
  touching: boolean;
  /** Speed at which the pad last met its seat. */
  meeting: number;
  /** Whether the stick force still holds. */
  stuck: boolean;
  gas: GasTable | null;
  energy: Energies;
  /** The same terms as powers, at this time. */
  rates: Energies;
  /** Part of a step that comes next while a fast edge is followed; 0: whole steps. */
  fine: Second;
  /** Growth of such parts. */
  growth: number;
  /** Gas let through since the start, kg. */
  mass: number;
  /** Largest |ẏ| at touching since it was last reset. */
  impactSpeed: number;
  contacts: number;
  failed: string | null;
}

/** Mechanical terms of the audit, J, running. */
export interface Energies {
  gasIn: Joule;
  structural: Joule;
  gasDamping: Joule;
  contactLoss: Joule;
  film: Joule;
  stick: Joule;
  /** ∫ M dσ as the strip sees it. */
  moment: Joule;
}

/** Receives the state at every grid time. */
export type Recorder = (state: PulseState, index: number) => void;

export interface Run {
  model: PulseModel;
  h: Second;
  whole: OscillatorStep;
  /** Shorter steps of the strip that were needed, by their length. */
  parts: Map<Second, OscillatorStep>;
  pad: PadTable | null;
  /** c v of the restitution law. */
  hunt: number;
}

export function copyState(state: PulseState): PulseState {
  return {
    ...state,
    q: state.q.slice(),
    p: state.p.slice(),
    electric: state.electric && copyElectric(state.electric),
    energy: { ...state.energy },
    rates: { ...state.rates },
  };
}

/** Marks a state whose numbers have left the finite. */
export function failed(state: PulseState): boolean {
  if (Number.isFinite(state.y) && Number.isFinite(state.moment)) return false;
  state.failed = `the motion left the finite at ${state.time} s`;
  return true;
}
