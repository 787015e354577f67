import { expect, test } from "vitest";
import { changeDraft, type Draft, openDraft, undo } from "./draft.ts";
import { dropKept, type KeepStore, keepDraft, keptElsewhere, keptHere } from "./keep.ts";

/** A store like a browser's, with room for `most` characters. */
function storeOf(most = 1e6): KeepStore & { items: Map<string, string> } {
  const items = new Map<string, string>();
  return {
    items,
    get length() {
      return items.size;
    },
    key: (i) => [...items.keys()][i] ?? null,
    getItem: (key) => items.get(key) ?? null,
    setItem: (key, value) => {
      if (value.length > most) throw new Error("no room");
      items.set(key, value);
    },
    removeItem: (key) => void items.delete(key),
  };
}

const TEXT = "reedlift: 1\nstrip:\n  width: 5 mm\n";
function edited(): Draft {
  const result = changeDraft(openDraft("a.reed.yaml", TEXT, TEXT), "width", [
    { kind: "set", path: ["strip", "width"], value: "6 mm" },
  ]);
  if (!result.ok) throw new Error(result.reason);
  return result.draft;
}

test("a kept draft comes back to its own tab with its log", () => {
  const store = storeOf();
  const draft = edited();
  expect(keepDraft(store, "t1", draft, "2026-01-01T00:00:00Z")).toBe(true);
  const kept = keptHere(store, "t1", "a.reed.yaml");
  expect(kept?.draft).toEqual(draft);
  expect(kept && undo(kept.draft).text).toBe(TEXT);
  expect(keptHere(store, "t2", "a.reed.yaml")).toBeNull();
});

test("other tabs see unsaved drafts, the latest first, and saved ones not", () => {
  const store = storeOf();
  const draft = edited();
  keepDraft(store, "t1", draft, "2026-01-01T00:00:00Z");
  keepDraft(store, "t2", draft, "2026-01-02T00:00:00Z");
  keepDraft(store, "t3", { ...draft, saved: draft.text }, "2026-01-03T00:00:00Z");
  expect(keptElsewhere(store, "t9").map(({ tab }) => tab)).toEqual(["t2", "t1"]);
  expect(keptElsewhere(store, "t1").map(({ tab }) => tab)).toEqual(["t2"]);
  const [first] = keptElsewhere(store, "t9");
  dropKept(store, first?.key ?? "");
  expect(keptElsewhere(store, "t9").map(({ tab }) => tab)).toEqual(["t1"]);
});

test("a design without changes leaves nothing behind", () => {
  const store = storeOf();
  keepDraft(store, "t1", edited(), "");
  keepDraft(store, "t1", openDraft("a.reed.yaml", TEXT, TEXT), "");
  expect(store.items.size).toBe(0);
});

test("no room is told and damage is not taken for a draft", () => {
  expect(keepDraft(storeOf(10), "t1", edited(), "")).toBe(false);
  const store = storeOf();
  store.setItem("reedlift draft t1 a.reed.yaml", "{half");
  store.setItem("reedlift draft t2 a.reed.yaml", '{"text": 3}');
  store.setItem("somebody else's", "x");
  expect(keptHere(store, "t1", "a.reed.yaml")).toBeNull();
  expect(keptElsewhere(store, "t9")).toEqual([]);
});
