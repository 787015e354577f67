import { type Draft, isDirty, restoreDraft } from "./draft.ts";

/*
 * Drafts are kept in the browser, one entry a file and tab, so that a reload, a crash or a second
 * tab loses nothing. A tab holds a lock of its own name while it lives: an entry whose tab is gone
 * is a draft that somebody left behind.
 */

const PREFIX = "reedlift draft ";

export interface Kept {
  key: string;
  tab: string;
  draft: Draft;
  /** ISO time at which it was kept. */
  time: string;
}

export interface KeepStore {
  readonly length: number;
  key(index: number): string | null;
  getItem(key: string): string | null;
  setItem(key: string, value: string): void;
  removeItem(key: string): void;
}

/** Name under which a draft that has no file yet is kept. */
export const UNSAVED = "(new)";

const keyOf = (tab: string, name: string | null) => `${PREFIX}${tab} ${name ?? UNSAVED}`;

/** Keeps a draft; one without changes is let go. False when the browser has no room. */
export function keepDraft(store: KeepStore, tab: string, draft: Draft, time: string): boolean {
  const key = keyOf(tab, draft.name);
  try {
    if (draft.log.length === 0 && !isDirty(draft)) store.removeItem(key);
    else store.setItem(key, JSON.stringify({ ...draft, time }));
    return true;
  } catch {
    return false;
  }
}

export function dropKept(store: KeepStore, key: string): void {
  store.removeItem(key);
}

/** What this tab kept of a file. */
export function keptHere(store: KeepStore, tab: string, name: string | null): Kept | null {
  return readKept(store, keyOf(tab, name));
}

/** Drafts with unsaved changes that other tabs kept, latest first. */
export function keptElsewhere(store: KeepStore, tab: string): Kept[] {
  const keys = Array.from({ length: store.length }, (_, i) => store.key(i) ?? "");
  return keys
    .filter((key) => key.startsWith(PREFIX) && !key.startsWith(`${PREFIX}${tab} `))
    .flatMap((key) => readKept(store, key) ?? [])
    .filter((kept) => isDirty(kept.draft))
    .sort((a, b) => (a.time < b.time ? 1 : -1));
}

function readKept(store: KeepStore, key: string): Kept | null {
  const text = store.getItem(key);
  if (text === null) return null;
  try {
    const entry: unknown = JSON.parse(text);
    const draft = restoreDraft(entry);
    if (draft === null) return null;
    const { time } = entry as { time?: unknown };
    const tab = key.slice(PREFIX.length).split(" ")[0] as string;
    return { key, tab, draft, time: typeof time === "string" ? time : "" };
  } catch {
    return null;
  }
}
