import { type Edit, editDesign } from "../../design/edit.ts";

/*
 * The design on the page is a text and the log of described changes that led to it. Each change
 * carries its inverse, so that undo gives back the same bytes; what is on disk is remembered beside.
 */

/** One thing a person did, as edits of the text and the edits that take them back. */
export interface Change {
  /** Plain words: "free length 8.4 mm". */
  what: string;
  edits: readonly Edit[];
  /** In the order in which they are applied. */
  inverse: readonly Edit[];
  /** Changes of the same kind in a row (steps of one value) become one. */
  merge?: string;
}

export interface Draft {
  /** Name of the file, null for a design that was never saved. */
  name: string | null;
  /** Text on disk when it was last read or written, null when there is none. */
  saved: string | null;
  text: string;
  log: readonly Change[];
  /** Changes of the log that are in `text`; those after it can be redone. */
  at: number;
}

/** What a browser keeps of a draft between two visits. */
export interface StoredDraft {
  name: string | null;
  saved: string | null;
  text: string;
  log: readonly Change[];
  at: number;
}

/** Changes kept at most. */
const KEPT = 1000;

export function openDraft(name: string | null, text: string, saved: string | null): Draft {
  return { name, saved, text, log: [], at: 0 };
}

export const isDirty = (draft: Draft): boolean => draft.text !== draft.saved;
export const canUndo = (draft: Draft): boolean => draft.at > 0;
export const canRedo = (draft: Draft): boolean => draft.at < draft.log.length;

export type Changed = { ok: true; draft: Draft } | { ok: false; reason: string };

/** The text with the edits made one after the other, and what takes them back. */
export function applyEdits(
  text: string,
  edits: readonly Edit[],
): { ok: true; text: string; inverse: Edit[] } | { ok: false; reason: string } {
  const inverse: Edit[] = [];
  let now = text;
  for (const edit of edits) {
    const result = editDesign(now, edit);
    if (!result.ok) return result;
    now = result.text;
    inverse.unshift(result.inverse);
  }
  return { ok: true, text: now, inverse };
}

/** Makes a change; what had been undone before it is forgotten. A change that alters nothing is none. */
export function changeDraft(
  draft: Draft,
  what: string,
  edits: readonly Edit[],
  merge?: string,
): Changed {
  const applied = applyEdits(draft.text, edits);
  if (!applied.ok) return applied;
  if (applied.text === draft.text) return { ok: true, draft };
  const before = draft.log.slice(0, draft.at);
  const last = before[before.length - 1];
  const joins = merge !== undefined && last?.merge === merge;
  const step = joins
    ? between(replayed(draft.text, last.inverse), applied.text)
    : { edits, inverse: applied.inverse };
  const change: Change = { what, ...step, ...(merge === undefined ? {} : { merge }) };
  const log = [...(joins ? before.slice(0, -1) : before), change].slice(-KEPT);
  return { ok: true, draft: { ...draft, text: applied.text, log, at: log.length } };
}

/** The one piece in which two texts differ, as an edit each way. */
function between(from: string, to: string): Pick<Change, "edits" | "inverse"> {
  const most = Math.min(from.length, to.length);
  let head = 0;
  while (head < most && from[head] === to[head]) head++;
  let tail = 0;
  while (tail < most - head && from.at(-1 - tail) === to.at(-1 - tail)) tail++;
  const piece = (text: string) => text.slice(head, text.length - tail);
  const edit = (a: string, b: string): Edit[] => [
    { kind: "replace", from: head, to: a.length - tail, text: piece(b) },
  ];
  return { edits: edit(from, to), inverse: edit(to, from) };
}

/** Puts a whole other text in place, as one change that can be undone. */
export function replaceText(draft: Draft, what: string, text: string): Changed {
  return changeDraft(draft, what, [{ kind: "replace", from: 0, to: draft.text.length, text }]);
}

/** Ends a run of steps: the next step of the same value is a change of its own. */
export function endRun(draft: Draft): Draft {
  const last = draft.log[draft.at - 1];
  if (last?.merge === undefined) return draft;
  const { merge: _, ...rest } = last;
  return { ...draft, log: draft.log.map((change, i) => (i === draft.at - 1 ? rest : change)) };
}

export function undo(draft: Draft): Draft {
  const change = draft.log[draft.at - 1];
  if (change === undefined) return draft;
  return { ...draft, text: replayed(draft.text, change.inverse), at: draft.at - 1 };
}

export function redo(draft: Draft): Draft {
  const change = draft.log[draft.at];
  if (change === undefined) return draft;
  return { ...draft, text: replayed(draft.text, change.edits), at: draft.at + 1 };
}

function replayed(text: string, edits: readonly Edit[]): string {
  const applied = applyEdits(text, edits);
  if (!applied.ok) throw new RangeError(`a kept change does not fit its text: ${applied.reason}`);
  return applied.text;
}

/** The draft after its text was written to (or read from) the file. */
export function markSaved(draft: Draft, name: string, text: string): Draft {
  return endRun({ ...draft, name, saved: text });
}

/** Reads what was kept; null when it is damaged. */
export function restoreDraft(kept: unknown): Draft | null {
  if (typeof kept !== "object" || kept === null) return null;
  const { name, saved, text, log, at } = kept as Partial<StoredDraft>;
  if (typeof text !== "string" || !Array.isArray(log) || typeof at !== "number") return null;
  if (!(Number.isInteger(at) && at >= 0 && at <= log.length)) return null;
  const whole = log.every(
    (change: Partial<Change>) =>
      typeof change?.what === "string" &&
      Array.isArray(change.edits) &&
      Array.isArray(change.inverse),
  );
  if (!whole) return null;
  return {
    name: typeof name === "string" ? name : null,
    saved: typeof saved === "string" ? saved : null,
    text,
    log,
    at,
  };
}
