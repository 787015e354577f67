import type { Problem } from "../../design/problem.ts";
import type { Figure, FigureOptions } from "../../report/figures/figure.ts";
import type { SheetResult, StateFigures, WindowFigures } from "../../sheet/result.ts";
import type { InputWindow } from "../../studies/inputWindow.ts";
import type { MapKind } from "../../studies/maps.ts";
import type { ProposalNeed } from "../../studies/proposals.ts";
import type { RateMapRequest, RatesRequest, ShapesRequest } from "./pulseRequests.ts";

/** What the page asks a worker for, and what comes back. Everything here can be copied to a worker. */

export type FigureId =
  | "side-view"
  | "section"
  | "window"
  | "load-lines"
  | "lock-out"
  | "drive-chain";

/** One picture at the size it has on the page. */
export interface FigureRequest {
  id: FigureId;
  size: { width: number; height: number };
  view?: FigureOptions["view"];
}

export interface LookRequest {
  text: string;
  /** Name of the design where the file gives none. */
  name: string;
  figures: readonly FigureRequest[];
  /** Groups of figures in words that are wanted, by id. */
  groups: readonly string[];
  /** State that the side view shows solid. */
  shape: "closed" | "open";
  /** State of the strip that section and drive chain show; null: their own choice. */
  state: string | null;
  /** Numbers that came from elsewhere: the window, and the sheet with its uncertainties. */
  window: WindowFigures | null;
  full: SheetResult | null;
}

/** What the page needs to know of a design beside its figures. */
export interface DesignFacts {
  name: string;
  freeLength_m: number;
  tip_m: number;
  clampLength_m: number;
  hasSeat: boolean;
  hasGas: boolean;
  electrodes: string[];
  rails: string[];
  /** Names of materials by kind, built-in and the file's own. */
  layerMaterials: string[];
  padMaterials: string[];
}

/** A picture without its numbers: these are asked for when somebody wants them. */
export type Drawn = Pick<Figure, "name" | "title" | "svg" | "sentence" | "plot">;

/** What the page itself shows of a sheet. */
export type ShownSheet = Pick<
  SheetResult,
  "verdict" | "margins" | "cautions" | "wiring" | "ways_out"
>;

export type LookAnswer =
  | {
      ok: true;
      facts: DesignFacts;
      sheet: ShownSheet;
      /** States of the strip, by which section and drive chain are chosen. */
      states: Pick<StateFigures, "name" | "kind" | "what">[];
      warnings: Problem[];
      figures: Partial<Record<FigureId, Drawn>>;
      /** Figures of the sheet in words and text, as the terminal prints them. */
      groups: FigureGroup[];
    }
  | { ok: false; problems: Problem[] };

export interface FigureGroup {
  id: string;
  title: string;
  rows: { label: string; text: string }[];
}

export type FullAnswer = { ok: true; result: SheetResult } | { ok: false; problems: Problem[] };

export type WindowAnswer = { window: WindowFigures } | null;

/** A long study that runs in pieces. */
export type StudyRequest =
  | { kind: "proposals"; need: ProposalNeed }
  | { kind: "input windows"; keys: readonly string[] }
  /** The whole result of a pulse. */
  | { kind: "pulse" }
  /** Gates that meet what is asked of the pulse. */
  | { kind: "gates" }
  | RatesRequest
  | RateMapRequest
  | ShapesRequest
  | MapRequest;

/** A map over two inputs, and how it is drawn. */
export interface MapRequest {
  kind: "map";
  map: MapKind;
  columns: number;
  rows: number;
  size: { width: number; height: number };
  view?: FigureOptions["view"];
}

/** Windows of single inputs that are known so far. */
export type InputWindows = Record<string, InputWindow>;

/** A map as far as it is computed. */
export interface MapAnswer {
  figure: Drawn;
  done: number;
  total: number;
}
