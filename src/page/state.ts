import { create } from "zustand";
import type { Problem } from "../design/problem.ts";
import type { SheetResult, WindowFigures } from "../sheet/result.ts";
import type { Draft } from "./document/draft.ts";
import type { Folder } from "./server.ts";
import type { PictureId, StepId } from "./steps.ts";
import type { FigureRequest, LookAnswer, ShownSheet } from "./worker/requests.ts";

export type Good = LookAnswer & { ok: true };

/** A short message at the foot of the page, until it is put away. */
export interface Notice {
  id: number;
  kind: "told" | "caution" | "trouble";
  text: string;
  /** Something that can be done about it. */
  act?: { name: string; do: () => void };
}

/** The design was changed in two places. */
export interface Conflict {
  name: string;
  /** What is on disk now; null when the file is gone. */
  disk: { text: string; sha256: string } | null;
}

/** A picture whose numbers can be shown as a table or taken as a file. */
export interface NumbersOf {
  /** Name of a file without its end. */
  name: string;
  title: string;
  sentence: string;
  csv: () => Promise<string | null>;
}

export type Dialog =
  | { kind: "open" }
  | { kind: "new" }
  | { kind: "text"; line?: number }
  | { kind: "save-as"; why?: string }
  | { kind: "conflict" }
  | { kind: "keys" }
  | { kind: "theory"; step: StepId }
  | { kind: "numbers"; of: NumbersOf };

export type Theme = "as the system" | "light" | "dark";

export interface PageState {
  folder: Folder | null;
  draft: Draft | null;
  /** Hash of the file on disk that `draft.saved` is the text of. */
  diskHash: string | null;
  /** Text while something is dragged, not yet a change. */
  preview: { text: string; keepsWindow: boolean } | null;
  step: StepId;
  picture: Partial<Record<StepId, PictureId>>;
  shape: "closed" | "open";
  /** State of the strip that section and drive chain show. */
  stripState: string | null;
  /** Requirement that was touched. */
  margin: string | null;
  /** Input that should take the focus. */
  focus: string | null;
  /** Last answer that could be computed, and the text it belongs to. */
  answer: Good | null;
  answerText: string | null;
  problems: Problem[];
  window: { text: string; window: WindowFigures } | null;
  full: { text: string; result: SheetResult } | null;
  /** Pictures on the page and their sizes. */
  wanted: Record<string, FigureRequest>;
  conflict: Conflict | null;
  notices: Notice[];
  serverThere: boolean;
  /** The computation stopped for good, until the next change. */
  stopped: string | null;
  saving: boolean;
  dialog: Dialog | null;
  theme: Theme;
  /** How the bench stands; it is computed where the bench is. */
  benchMark: "not looked at" | "open question" | "answered" | "not met";
  /** A sentence for screen readers. */
  said: string;
}

export const usePage = create<PageState>()(() => ({
  folder: null,
  draft: null,
  diskHash: null,
  preview: null,
  step: "length",
  picture: {},
  shape: "closed",
  stripState: null,
  margin: null,
  focus: null,
  answer: null,
  answerText: null,
  problems: [],
  window: null,
  full: null,
  wanted: {},
  conflict: null,
  notices: [],
  serverThere: true,
  stopped: null,
  saving: false,
  dialog: null,
  theme: "as the system",
  benchMark: "not looked at",
  said: "",
}));

export const get = usePage.getState;
export const set = usePage.setState;

/** The text that is computed: the previewed one while something is dragged. */
export const textNow = (state: PageState): string | null =>
  state.preview?.text ?? state.draft?.text ?? null;

/** The sheet with uncertainties where it belongs to the text on the page, else the quick one. */
export function sheetNow(state: PageState): ShownSheet | null {
  if (state.full !== null && state.full.text === textNow(state)) return state.full.result;
  return state.answer?.sheet ?? null;
}

let notices = 0;

export function tell(kind: Notice["kind"], text: string, act?: Notice["act"]): void {
  const id = ++notices;
  const notice: Notice = { id, kind, text, ...(act === undefined ? {} : { act }) };
  set((state) => ({
    notices: [...state.notices.filter((n) => n.text !== text), notice].slice(-4),
  }));
  if (kind === "told") setTimeout(() => putAway(id), 6000);
}

export function putAway(id: number): void {
  set((state) => ({ notices: state.notices.filter((notice) => notice.id !== id) }));
}
