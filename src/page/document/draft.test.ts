import { readFileSync } from "node:fs";
import fc from "fast-check";
import { expect, test } from "vitest";
import type { Edit } from "../../design/edit.ts";
import {
  canRedo,
  canUndo,
  changeDraft,
  type Draft,
  endRun,
  isDirty,
  markSaved,
  openDraft,
  redo,
  replaceText,
  restoreDraft,
  undo,
} from "./draft.ts";

const TEXT = readFileSync("examples/first-valve.reed.yaml", "utf8");
const set = (path: (string | number)[], value: string): Edit => ({ kind: "set", path, value });

function changed(draft: Draft, edits: Edit[], merge?: string): Draft {
  const result = changeDraft(draft, "a change", edits, merge);
  if (!result.ok) throw new Error(result.reason);
  return result.draft;
}

test("undo gives back the same bytes and redo the changed ones", () => {
  const start = openDraft("a", TEXT, TEXT);
  const one = changed(start, [set(["need", "plenum_pressure"], "12 bar")]);
  expect(isDirty(start)).toBe(false);
  expect(isDirty(one)).toBe(true);
  expect(one.text).toContain("plenum_pressure: 12 bar");
  const back = undo(one);
  expect(back.text).toBe(TEXT);
  expect(canUndo(back)).toBe(false);
  expect(redo(back).text).toBe(one.text);
});

test("a change after an undo forgets what could have been redone", () => {
  const one = changed(openDraft("a", TEXT, TEXT), [set(["strip", "width"], "6 mm")]);
  const other = changed(undo(one), [set(["strip", "width"], "4 mm")]);
  expect(canRedo(other)).toBe(false);
  expect(undo(other).text).toBe(TEXT);
});

test("steps of one value in a row are undone together until the run ends", () => {
  let draft = openDraft("a", TEXT, TEXT);
  for (const value of ["9.1 mm", "9.2 mm", "9.3 mm"])
    draft = changed(draft, [set(["strip", "free_length"], value)], "step strip.free_length");
  expect(draft.log).toHaveLength(1);
  expect(undo(draft).text).toBe(TEXT);
  const next = changed(
    endRun(draft),
    [set(["strip", "free_length"], "9.4 mm")],
    "step strip.free_length",
  );
  expect(next.log).toHaveLength(2);
  expect(undo(next).text).toBe(draft.text);
});

test("a refused edit leaves the draft as it was and says why", () => {
  const draft = openDraft("a", TEXT, TEXT);
  const result = changeDraft(draft, "x", [{ kind: "remove", path: ["no", "such"] }]);
  expect(result).toEqual({ ok: false, reason: "there is no no.such" });
});

test("a change that alters nothing is no change", () => {
  const draft = openDraft("a", TEXT, TEXT);
  const same = replaceText(draft, "same", TEXT);
  expect(same.ok && same.draft).toBe(draft);
});

test("saving keeps the log, so that a saved change can still be undone", () => {
  const one = changed(openDraft("a", TEXT, TEXT), [set(["strip", "width"], "6 mm")]);
  const saved = markSaved(one, "b.reed.yaml", one.text);
  expect(isDirty(saved)).toBe(false);
  expect(isDirty(undo(saved))).toBe(true);
  expect(undo(saved).text).toBe(TEXT);
});

test("what a browser kept is the same draft again, and damage is seen", () => {
  const one = changed(openDraft("a", TEXT, TEXT), [set(["strip", "width"], "6 mm")]);
  const back = restoreDraft(JSON.parse(JSON.stringify(one)));
  expect(back).toEqual(one);
  expect(back && undo(back).text).toBe(TEXT);
  for (const damaged of [
    null,
    3,
    {},
    { ...one, at: 9 },
    { ...one, log: [{}] },
    { ...one, text: 1 },
  ])
    expect(restoreDraft(damaged)).toBeNull();
});

test("random sequences of changes, undo and redo always lead back to the first text", () => {
  const paths = [
    ["strip", "width"],
    ["strip", "free_length"],
    ["need", "rate"],
    ["seat", "stand_off"],
  ];
  const units = ["mm", "mm", "Hz", "µm"];
  const step = fc.oneof(
    fc.record({ key: fc.nat(3), value: fc.integer({ min: 1, max: 99 }), merge: fc.boolean() }),
    fc.constantFrom("undo" as const, "redo" as const),
  );
  fc.assert(
    fc.property(fc.array(step, { maxLength: 12 }), (steps) => {
      let draft = openDraft("a", TEXT, TEXT);
      for (const s of steps) {
        if (s === "undo") draft = undo(draft);
        else if (s === "redo") draft = redo(draft);
        else
          draft = changed(
            draft,
            [set(paths[s.key]!, `${s.value} ${units[s.key]}`)],
            s.merge ? `step ${s.key}` : undefined,
          );
      }
      const end = draft.text;
      const depth = draft.at;
      while (canUndo(draft)) draft = undo(draft);
      expect(draft.text).toBe(TEXT);
      for (let i = 0; i < depth; i++) draft = redo(draft);
      expect(draft.text).toBe(end);
    }),
    { seed: 7, numRuns: 40 },
  );
});
