import type { FigureOptions } from "../../report/figures/figure.ts";
import type { PulseResult } from "../../studies/pulseResult.ts";
import type { RatesResult } from "../../studies/ratesResult.ts";
import type { QuantityKind } from "../../units/index.ts";
import type { Drawn } from "./requests.ts";

/** What the page asks a worker about a pulse, and what comes back. Everything here can be copied. */

/** The traces at the size that they have on the page. */
export interface PulseWanted {
  size: { width: number; height: number };
  /** Part of the time that is shown, s; all of it where it is absent. */
  time?: readonly [number, number];
}

export interface PulseRequest extends PulseWanted {
  text: string;
  /** Name of the design where the file gives none. */
  name: string;
}

/** One curve of a panel with its values on the run's grid, SI. */
export interface PulseCurve {
  id: string;
  name: string;
  values: Float64Array;
}

/** Where a panel of the traces lies and what it shows: enough to put a cursor on it. */
export interface PulsePanel {
  id: string;
  title: string;
  kind: QuantityKind;
  /** px on the picture. */
  top: number;
  bottom: number;
  /** SI values at the bottom and at the top. */
  from: number;
  to: number;
  /** Words in place of values, for a gate. */
  levels: readonly { value: number; words: string }[] | null;
  curves: PulseCurve[];
}

/** Shapes of the strip for a drawing that moves: deflection along +z at places along it, m. */
export interface PulseMotion {
  places: readonly number[];
  /** Grid indices of the frames, and their shapes, frames × places. */
  index: readonly number[];
  shape: Float64Array;
  /** Both rest shapes as the side view draws them, at the same places, and their lifts. */
  rest: Record<"closed" | "open", { shape: readonly number[]; lift: number }>;
  /** From the clamp edge to the middle of the pad, and to the end of everything. */
  pad: number;
  tip: number;
  hasPad: boolean;
  hasSeat: boolean;
}

/** A figure in words: what it is, its value, what it is counted from. */
export interface PulseRow {
  label: string;
  /** null: there is none, and `from` says why. */
  value: string | null;
  from: string;
}

export interface PulseGroup {
  id: string;
  title: string;
  rows: PulseRow[];
}

export interface PulseGiven {
  ok: true;
  /** Of the quick run: surprises without what mends them, no run at half the step. */
  result: PulseResult;
  step: number;
  /** Points of the grid. */
  count: number;
  /** Main opening with some before and after, s; null where the valve does not open. */
  main: readonly [number, number] | null;
  /** Shortest and longest gate that the strip can follow, s. */
  gates: readonly [number, number];
  traces: Drawn;
  panels: PulsePanel[];
  motion: PulseMotion;
  groups: PulseGroup[];
  /** What must be known before the figures are trusted, and what to do about it. */
  cautions: { text: string; action: string }[];
  /** Command line after the name of the file. */
  command: string;
}

/** Why a design has no pulse. */
export interface PulseRefused {
  ok: false;
  reason: string;
  /** Step of the page where it can be mended, and the input to begin with. */
  mend: { step: "wiring" | "drive" | "pulse"; focus: string } | null;
}

export type PulseAnswer = PulseGiven | PulseRefused;

/** A scan of repetition rates, and how it is drawn. */
export interface RatesRequest {
  kind: "rates";
  size: { width: number; height: number };
  view?: FigureOptions["view"];
  /** Nothing more is computed: what is known is drawn. */
  stopped: boolean;
}

/** A map of gates against rates. */
export interface RateMapRequest extends Omit<RatesRequest, "kind"> {
  kind: "rate map";
}

/** Drives compared. */
export interface ShapesRequest extends Omit<RatesRequest, "kind"> {
  kind: "shapes";
}

/** One drive of a comparison in words. */
export interface ShapeLine {
  id: string;
  name: string;
  /** The one that files are written of. */
  taken: boolean;
  shaped: string;
  /** Speed at the seat, or what rings on: at the design's resonance, and at the worst. */
  lands: string;
  worst: string;
  /** At the design's resonance, at the worst. */
  satellites: string;
  opens: string;
  /** Over that of the step. */
  gas: string;
  need: string;
  remark: string | null;
}

/** A scan, map or comparison as far as it is computed. */
export interface RatesAnswer {
  /** null: too little is known for a picture. */
  figure: Drawn | null;
  /** Of a scan, without the single rates. */
  result: Omit<RatesResult, "rates"> | null;
  /** Rate that its margins are those of, Hz; null: none is computed. */
  judged: number | null;
  /** Of a comparison of drives. */
  drives: ShapeLine[] | null;
  done: number;
  total: number;
  /** Why it does not go on, or has not begun; null: it does, or is done. */
  reason: string | null;
}
