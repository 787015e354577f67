import { parse } from "yaml";
import type { Edit } from "../design/edit.ts";
import { parameterAt } from "../design/parameters.ts";
import type { WayOut } from "../sheet/result.ts";
import { formatQuantity, parseQuantity } from "../units/index.ts";
import { bareName } from "./compute/engine.ts";
import {
  applyEdits,
  changeDraft,
  type Draft,
  endRun,
  isDirty,
  markSaved,
  openDraft,
  redo,
  replaceText,
  undo,
} from "./document/draft.ts";
import { type Kept, keepDraft, keptHere } from "./document/keep.ts";
import {
  at,
  keyOf,
  lengthEdits,
  type Path,
  rewritten,
  textAt,
  valueEdits,
} from "./document/values.ts";
import {
  readFile,
  readFolder,
  type Saved,
  ServerGone,
  ServerRefusal,
  writeFile,
} from "./server.ts";
import { get, set, tell } from "./state.ts";
import { tabName } from "./tab.ts";

/** The content of the text as plain values, remembered for the last text. */
let parsed: { text: string; tree: unknown } | null = null;

export function treeOf(text: string): unknown {
  if (parsed?.text === text) return parsed.tree;
  let tree: unknown = null;
  try {
    tree = parse(text, { version: "1.2", schema: "core", maxAliasCount: 100, logLevel: "silent" });
  } catch {
    // Not readable as it is: the problems say where; the inputs stay empty.
  }
  parsed = { text, tree };
  return tree;
}

export const draftTree = (): unknown => treeOf(get().draft?.text ?? "");

function put(draft: Draft): void {
  set({ draft, preview: null });
  keeping ??= setTimeout(keepNow, KEEP_AFTER);
}

/** How long a change waits until the browser keeps it, ms: many in a row are kept once. */
const KEEP_AFTER = 150;
let keeping: ReturnType<typeof setTimeout> | undefined;

/** Keeps the draft in the browser now, as when the page is left. */
export function keepNow(): void {
  clearTimeout(keeping);
  keeping = undefined;
  const { draft } = get();
  if (draft === null) return;
  if (!keepDraft(localStorage, tabName(), draft, new Date().toISOString()))
    tell("caution", "The browser has no room to keep your changes. Save them to the file.");
}

/** Makes a change; a refused one is told. */
export function change(what: string, edits: readonly Edit[], merge?: string): boolean {
  const { draft } = get();
  if (draft === null) return false;
  const result = changeDraft(draft, what, edits, merge);
  if (!result.ok) {
    tell("caution", `Not changed: ${result.reason}.`);
    set({ preview: null });
    return false;
  }
  put(result.draft);
  return true;
}

const label = (path: Path): string => parameterAt(path)?.label ?? keyOf(path);

export function setValue(path: Path, text: string, merge?: string): boolean {
  const words = text.trim() === "" ? `${label(path)} taken out` : `${label(path)} ${text.trim()}`;
  return change(words, valueEdits(draftTree(), path, text), merge);
}

/** Shows a text that is not a change yet, while something is dragged. */
function preview(edits: readonly Edit[], keepsWindow: boolean): void {
  const { draft } = get();
  if (draft === null) return;
  const applied = applyEdits(draft.text, edits);
  if (applied.ok) set({ preview: { text: applied.text, keepsWindow } });
}

export function previewLength(now: number, length: number): void {
  preview(lengthEdits(draftTree(), now, length), true);
}

/** Free length of the text on the page, m; that of the last answer where the text gives a range. */
export function lengthNow(): number {
  const read = parseQuantity(textAt(draftTree(), ["strip", "free_length"]), "length");
  return read.ok ? read.quantity.value : (get().answer?.facts.freeLength_m ?? 0);
}

export function setLength(now: number, length: number, merge?: string): void {
  const mm = formatQuantity(Math.round(length * 1e5) / 1e5, 0, "length", { unit: "mm", digits: 6 });
  change(`free length ${mm}`, lengthEdits(draftTree(), now, length), merge);
}

export function previewValue(path: Path, text: string): void {
  preview(valueEdits(draftTree(), path, text), false);
}

export function dropPreview(): void {
  if (get().preview !== null) set({ preview: null });
}

export function undoChange(): void {
  const { draft } = get();
  if (draft === null || draft.at === 0) return;
  const what = draft.log[draft.at - 1]?.what ?? "";
  put(undo(draft));
  set({ said: `Undone: ${what}` });
}

export function redoChange(): void {
  const { draft } = get();
  if (draft === null || draft.at === draft.log.length) return;
  const what = draft.log[draft.at]?.what ?? "";
  put(redo(draft));
  set({ said: `Done again: ${what}` });
}

export function endSteps(): void {
  const { draft } = get();
  if (draft !== null) set({ draft: endRun(draft) });
}

/** Puts the values of a way out into the design, as one change. */
export function takeWayOut(way: WayOut): void {
  const tree = draftTree();
  const edits: Edit[] = [];
  for (const { key, to, from } of way.changes) {
    if (key === "strip.free_length") {
      edits.push(...lengthEdits(tree, from, to));
      continue;
    }
    for (const path of pathsOf(tree, key)) {
      const parameter = parameterAt(path);
      if (parameter === null) continue;
      const step = 10 ** (Math.floor(Math.log10(Math.abs(to) || 1e-9)) - 3);
      const text = rewritten(parameter, textAt(tree, path), to, step);
      edits.push({ kind: "set", path, value: text.replaceAll("\u2212", "-") });
    }
  }
  change(way.text, edits);
}

/** Concrete paths of a key with `*`: every ceramic layer. */
function pathsOf(tree: unknown, key: string): Path[] {
  const parts = key.split(".");
  const star = parts.indexOf("*");
  if (star < 0) return [parts.map((part) => (/^\d+$/.test(part) ? Number(part) : part))];
  const head = parts.slice(0, star);
  const list = at(tree, head);
  if (!Array.isArray(list)) return [];
  return list.flatMap((item: Record<string, unknown>, i) =>
    item.poling === undefined || item.poling === "none"
      ? []
      : [[...head, i, ...parts.slice(star + 1)]],
  );
}

/** Puts another text in place of the whole one. */
export function setText(what: string, text: string): void {
  const { draft } = get();
  if (draft === null) return;
  const result = replaceText(draft, what, text);
  if (result.ok) put(result.draft);
}

// Files

export async function refreshFolder(): Promise<void> {
  try {
    set({ folder: await readFolder(), serverThere: true });
  } catch (error) {
    trouble(error);
  }
}

function trouble(error: unknown): void {
  if (error instanceof ServerGone) {
    set({ serverThere: false });
    return;
  }
  tell("trouble", error instanceof Error ? sentence(error.message) : "Something went wrong.");
}

const sentence = (text: string) =>
  `${text.charAt(0).toUpperCase()}${text.slice(1)}${/[.]$/.test(text) ? "" : "."}`;

/** Shows a design of the folder, with the changes that this tab kept of it. */
export async function openDesign(name: string): Promise<boolean> {
  try {
    const disk = await readFile(name);
    const kept = keptHere(localStorage, tabName(), name);
    const fresh = openDraft(name, disk.text, disk.text);
    // The text is read in a turn of its own, before the page is drawn with it.
    treeOf((kept?.draft ?? fresh).text);
    await turn();
    clean();
    if (kept === null) show(fresh, disk.sha256);
    else if (kept.draft.saved === disk.text) show(kept.draft, disk.sha256);
    else if (!isDirty(kept.draft)) show(fresh, disk.sha256);
    else {
      show(kept.draft, null);
      set({ conflict: { name, disk }, dialog: { kind: "conflict" } });
    }
    remember(name);
    return true;
  } catch (error) {
    if (error instanceof ServerRefusal && error.status === 404) {
      const kept = keptHere(localStorage, tabName(), name);
      if (kept !== null) {
        clean();
        show({ ...kept.draft, saved: null }, null);
        tell(
          "caution",
          `${name} is no longer in the folder. What you had is kept here: save it to put it back.`,
        );
        return true;
      }
    }
    trouble(error);
    return false;
  }
}

const turn = (): Promise<void> => new Promise((resolve) => setTimeout(resolve));

function clean(): void {
  if (keeping !== undefined) keepNow();
  set({
    conflict: null,
    dialog: null,
    preview: null,
    window: null,
    full: null,
    margin: null,
    stripState: null,
    problems: [],
  });
}

function show(draft: Draft, diskHash: string | null): void {
  set({ draft, diskHash });
  document.title = `${bareName(draft.name)} — Reedlift`;
}

function remember(name: string | null): void {
  const wanted = name === null ? "" : `#design=${encodeURIComponent(name)}`;
  if (location.hash !== wanted) history.replaceState(null, "", `${location.pathname}${wanted}`);
}

/** A design that has no file yet. */
export function startNew(text: string): void {
  clean();
  show(openDraft(null, text, null), null);
  put(openDraft(null, text, null));
  remember(null);
}

/** Takes up a draft that another tab left behind. */
export async function takeUp(kept: Kept): Promise<void> {
  const { draft } = kept;
  clean();
  show(draft, null);
  put(draft);
  if (draft.name === null) return;
  remember(draft.name);
  try {
    const disk = await readFile(draft.name);
    if (disk.text === draft.saved) set({ diskHash: disk.sha256 });
    else set({ conflict: { name: draft.name, disk }, dialog: { kind: "conflict" } });
  } catch (error) {
    if (!(error instanceof ServerRefusal)) trouble(error);
  }
}

export async function save(): Promise<void> {
  const { draft, diskHash } = get();
  if (draft === null) return;
  if (draft.name === null) set({ dialog: { kind: "save-as" } });
  else if (diskHash === null && draft.saved !== null && get().conflict !== null)
    set({ dialog: { kind: "conflict" } });
  else await write(draft.name, diskHash);
}

/** Writes the draft to a file; `over` is the hash of the file that may be replaced, null for a new one. */
export async function write(name: string, over: string | null): Promise<boolean> {
  const { draft } = get();
  if (draft === null) return false;
  const { text } = draft;
  set({ saving: true });
  try {
    return landed(name, text, over, await writeFile(name, text, over));
  } catch (error) {
    if (error instanceof ServerGone) {
      set({ serverThere: false });
      tell(
        "trouble",
        "Not saved: the program behind this page does not answer. Your changes are kept in this browser.",
      );
    } else trouble(error);
    return false;
  } finally {
    set({ saving: false });
  }
}

function landed(name: string, text: string, over: string | null, saved: Saved): boolean {
  if (saved.kind === "refused") {
    tell("trouble", `Not saved: ${saved.message}. Your changes are kept in this browser.`);
    return false;
  }
  if (saved.kind === "conflict") {
    if (over === null && get().draft?.name !== name) {
      set({ dialog: { kind: "save-as", why: `${name} is there already. Choose another name.` } });
      return false;
    }
    set({ conflict: { name, disk: saved.current }, dialog: { kind: "conflict" } });
    return false;
  }
  const now = get().draft;
  if (now === null) return true;
  const before = now.name;
  put(markSaved(now, name, text));
  set({ diskHash: saved.sha256, conflict: null, dialog: null, said: `Saved to ${name}` });
  if (before !== name) {
    keepDraft(localStorage, tabName(), openDraft(before, "", ""), "");
    document.title = `${bareName(name)} — Reedlift`;
    remember(name);
    void refreshFolder();
  }
  return true;
}

/** Both versions are there: mine over the one on disk. */
export async function keepMine(): Promise<void> {
  const { conflict } = get();
  if (conflict === null) return;
  await write(conflict.name, conflict.disk?.sha256 ?? null);
}

/** The one on disk takes the place of mine, as a change that undo takes back. */
export function takeDisk(): void {
  const { conflict, draft } = get();
  if (conflict?.disk == null || draft === null) return;
  const { text, sha256 } = conflict.disk;
  const result = replaceText(draft, "the version from the disk", text);
  if (!result.ok) return;
  put({ ...result.draft, name: conflict.name, saved: text });
  set({ diskHash: sha256, conflict: null, dialog: null });
  tell("told", "The version from the disk is shown. Undo brings yours back.");
}

/** Another program (or tab) changed a file of the folder. */
export async function diskChanged(name: string, sha256: string | null): Promise<void> {
  void refreshFolder();
  const { draft, diskHash } = get();
  if (draft === null || draft.name !== name || sha256 === diskHash) return;
  if (sha256 === null) {
    set({ diskHash: null, draft: { ...draft, saved: null } });
    tell(
      "caution",
      `${name} was taken out of the folder. What you see is kept here: save to put it back.`,
    );
    return;
  }
  try {
    const disk = await readFile(name);
    const now = get().draft;
    if (now === null || now.name !== name || disk.sha256 === get().diskHash) return;
    if (disk.text === now.text) {
      put(markSaved(now, name, disk.text));
      set({ diskHash: disk.sha256, conflict: null });
    } else if (!isDirty(now)) {
      const result = replaceText(now, "changed on disk", disk.text);
      if (!result.ok) return;
      put({ ...result.draft, saved: disk.text });
      set({ diskHash: disk.sha256 });
      tell(
        "caution",
        `${name} was changed on disk and is shown as it is now. Undo brings back what was here.`,
      );
    } else {
      set({ conflict: { name, disk } });
      tell("caution", `${name} was changed on disk while you have changes of your own.`, {
        name: "Compare both",
        do: () => set({ dialog: { kind: "conflict" } }),
      });
    }
  } catch (error) {
    trouble(error);
  }
}

/** What happened to the open file while nobody listened. */
export async function missedChanges(): Promise<void> {
  await refreshFolder();
  const { draft, diskHash, folder } = get();
  if (draft === null || draft.name === null || diskHash === null || folder === null) return;
  const now = folder.files.find(({ name }) => name === draft.name);
  if ((now?.sha256 ?? null) !== diskHash) await diskChanged(draft.name, now?.sha256 ?? null);
}

/** A name for a copy that the folder does not hold yet. */
export function copyName(name: string | null): string {
  const bare = bareName(name).replace(/-copy(-\d+)?$/, "");
  const taken = new Set(get().folder?.files.map((file) => file.name));
  for (let i = 1; ; i++) {
    const wanted = `${bare}-copy${i === 1 ? "" : `-${i}`}.reed.yaml`;
    if (!taken.has(wanted)) return wanted;
  }
}

export function download(name: string, text: string, type: string): void {
  const url = URL.createObjectURL(new Blob([text], { type }));
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 1000);
}
