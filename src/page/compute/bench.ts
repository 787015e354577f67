import { create } from "zustand";
import { merged, type Recipe } from "../../bench/import/recipe.ts";
import type { Figure } from "../../report/figures/figure.ts";
import { get, set, tell, textNow, usePage } from "../state.ts";
import type {
  FileAnswer,
  KindLook,
  Progress,
  ReducedAnswer,
  ReduceRequest,
} from "../worker/benchRequests.ts";
import type { TracePart } from "../worker/benchTrace.ts";
import type { Drawn } from "../worker/requests.ts";
import { bench, onBenchLost, proxy } from "./benchLine.ts";
import { bareName } from "./engine.ts";

/*
 * The bench of this tab: which measurement, which files and how they are read, what the set-up was, what came out.
 * The files stay where they are; the worker reads them and keeps their columns.
 */

export interface BenchFile {
  id: number;
  file: File;
  /** What the user said of it. */
  choices: Recipe;
  /** The kept recipe that it is read by, null: none. */
  by: Recipe | null;
  progress: Progress | null;
  answer: FileAnswer | null;
  /** A fault of reading that is none of the file's content. */
  trouble: string | null;
}

export interface BenchState {
  kinds: readonly KindLook[] | null;
  /** Name of the measurement. */
  kind: string | null;
  files: readonly BenchFile[];
  /** File that is looked at. */
  at: number | null;
  /** Texts of settings by kind and key. */
  settings: Readonly<Record<string, Readonly<Record<string, string>>>>;
  reducing: boolean;
  reduced: ReducedAnswer | null;
  /** What the last answer was asked with. */
  asked: ReduceRequest | null;
}

export const useBench = create<BenchState>()(() => ({
  kinds: null,
  kind: null,
  files: [],
  at: null,
  settings: {},
  reducing: false,
  reduced: null,
  asked: null,
}));

const now = useBench.getState;
const put = useBench.setState;

/** Asks the worker what can be measured; once. */
export async function startBench(): Promise<void> {
  if (now().kinds !== null) return;
  onBenchLost((what) => {
    put((state) => ({
      reducing: false,
      reduced: null,
      files: state.files.map((file) => ({ ...file, progress: null, answer: null })),
    }));
    tell("trouble", `The program of the bench stopped (${what}). The files are read again.`);
    for (const { id } of now().files) void readAgain(id);
  });
  try {
    const kinds = (await bench().kinds()) as readonly KindLook[];
    put({ kinds });
  } catch (error) {
    tell("trouble", `The bench can't begin: ${error instanceof Error ? error.message : "?"}.`);
  }
}

export const kindNow = (state: BenchState): KindLook | null =>
  state.kinds?.find(({ name }) => name === state.kind) ?? null;

export const fileNow = (state: BenchState): BenchFile | null =>
  state.files.find(({ id }) => id === state.at) ?? state.files[0] ?? null;

/** Another measurement: what is open is read anew for its columns. */
export function chooseKind(kind: string): void {
  if (kind === now().kind) return;
  put({ kind, reduced: null, asked: null });
  for (const { id } of now().files) void readAgain(id);
}

let numbers = 0;

/** Opens files; those beyond what the measurement takes replace what is there. */
export function openFiles(list: readonly File[]): void {
  const kind = kindNow(now());
  const room = kind?.files.max ?? 1;
  const files = list.map(
    (file): BenchFile => ({
      id: ++numbers,
      file,
      choices: {},
      by: null,
      progress: null,
      answer: null,
      trouble: null,
    }),
  );
  const kept = room > 1 ? now().files : [];
  const all = [...kept, ...files];
  for (const { id } of [...now().files, ...all])
    if (!all.slice(-room).some((file) => file.id === id)) void bench().close(id);
  if (all.length > room)
    tell("caution", `This measurement takes ${room === 1 ? "one file" : `${room} files`}.`);
  put({ files: all.slice(-room), at: files.at(-1)?.id ?? null, reduced: null, asked: null });
  set((state) => ({ picture: { ...state.picture, bench: "bench-file" } }));
  for (const { id } of files) void readAgain(id);
}

export function closeFile(id: number): void {
  void bench().stop(id);
  void bench().close(id);
  put((state) => ({
    files: state.files.filter((file) => file.id !== id),
    at: state.at === id ? null : state.at,
    reduced: null,
    asked: null,
  }));
}

const change = (id: number, part: Partial<BenchFile>) =>
  put((state) => ({
    files: state.files.map((file) => (file.id === id ? { ...file, ...part } : file)),
  }));

/** Takes what the user says of a file and reads it so. */
export function choose(id: number, said: Recipe): void {
  const file = now().files.find((each) => each.id === id);
  if (file === undefined) return;
  change(id, { choices: merged(file.choices, said) });
  void readAgain(id);
}

/** Takes lines of a recipe, as questions and faults offer them. */
export async function chooseLines(id: number, lines: readonly string[]): Promise<void> {
  const said = await Promise.all(lines.map((line) => bench().said(line) as Promise<Recipe>));
  choose(id, said.reduce(merged, {}));
}

/** Reads a file as it is, by a kept recipe or by none, without what was said of it. */
export function readBy(id: number, by: Recipe | null): void {
  change(id, { choices: {}, by });
  void readAgain(id);
}

/** Readings under way: the newest of a file counts. */
const turns = new Map<number, number>();

/** Reads a file for the measurement in hand, as its recipe and what was said of it have it. */
export async function readAgain(id: number): Promise<void> {
  const file = now().files.find((each) => each.id === id);
  const { kind } = now();
  if (file === undefined || kind === null) return;
  const turn = (turns.get(id) ?? 0) + 1;
  turns.set(id, turn);
  change(id, { progress: { share: 0, rows: 0 }, trouble: null });
  put({ reduced: null, asked: null });
  const current = () => turns.get(id) === turn;
  try {
    await bench().stop(id);
    const answer = (await bench().read(
      {
        id,
        file: file.file,
        kind,
        recipe: file.by,
        choices: file.choices,
      },
      proxy((progress: Progress) => {
        if (current()) change(id, { progress });
      }),
    )) as FileAnswer;
    if (!current()) return;
    change(id, { answer, progress: null });
    set({ said: answerWords(file.file.name, answer) });
  } catch (error) {
    if (!current()) return;
    const trouble = error instanceof Error ? error.message : "it could not be read";
    change(id, { progress: null, trouble });
  }
  reduceSoon();
}

/** Stops the reading of a file; what was read of it is let go. */
export function stopReading(id: number): void {
  turns.set(id, (turns.get(id) ?? 0) + 1);
  void bench().stop(id);
  change(id, { progress: null, answer: { outcome: "stopped" } });
}

function answerWords(name: string, answer: FileAnswer): string {
  if (answer.outcome === "data") return `${name}: ${answer.rows} rows read`;
  if (answer.outcome === "ask") return `${name}: ${answer.questions.length} questions are open`;
  if (answer.outcome === "refused") return `${name}: ${answer.problems[0]?.message ?? "refused"}`;
  return `${name}: stopped`;
}

export function setSetting(key: string, text: string): void {
  const { kind } = now();
  if (kind === null) return;
  put((state) => ({
    settings: { ...state.settings, [kind]: { ...state.settings[kind], [key]: text } },
  }));
  reduceSoon();
}

/** What the command and the worker are told of the set-up. */
export function settingsNow(state: BenchState): { key: string; text: string }[] {
  const texts = state.kind === null ? {} : (state.settings[state.kind] ?? {});
  return Object.entries(texts)
    .filter(([, text]) => text.trim() !== "")
    .map(([key, text]) => ({ key, text: text.trim() }));
}

/** How long nothing is changed before it is reduced, ms. */
const REST = 250;
let rest: ReturnType<typeof setTimeout> | undefined;
let reducing = false;

export function reduceSoon(): void {
  clearTimeout(rest);
  rest = setTimeout(() => void reduceNow(), REST);
}

/** Whether all files are there that the measurement needs. */
export function complete(state: BenchState): boolean {
  const kind = kindNow(state);
  return (
    kind !== null &&
    state.files.length >= kind.files.min &&
    state.files.every(({ answer, progress }) => progress === null && answer?.outcome === "data")
  );
}

async function reduceNow(): Promise<void> {
  const state = now();
  if (reducing || !complete(state) || state.kind === null) {
    mark();
    return;
  }
  const text = textNow(get());
  const request: ReduceRequest = {
    kind: state.kind,
    files: state.files.map(({ id }) => id),
    settings: settingsNow(state),
    design: text === null ? null : { text, name: bareName(get().draft?.name ?? null) },
  };
  if (JSON.stringify(request) === JSON.stringify(state.asked)) return;
  reducing = true;
  put({ reducing: true });
  try {
    const reduced = (await bench().reduce(request)) as ReducedAnswer;
    // Something newer may have been opened meanwhile.
    if (complete(now())) put({ reduced, asked: request });
    if (reduced.ok) set({ said: reduced.verdict });
  } catch (error) {
    const found = error instanceof Error ? error.message : "it stopped";
    put({
      reduced: { ok: false, refusals: [{ where: "the computation", found, allowed: "" }] },
      asked: request,
    });
  } finally {
    reducing = false;
    put({ reducing: false });
    mark();
    reduceSoon();
  }
}

let lastText: string | null = null;
usePage.subscribe((state) => {
  const text = textNow(state);
  if (text === lastText || state.preview !== null) return;
  lastText = text;
  if (now().reduced !== null) reduceSoon();
});

/** How the step stands in the list of steps. */
function mark(): void {
  const { files, reduced } = now();
  const benchMark =
    files.length === 0
      ? "not looked at"
      : reduced === null || !reduced.ok
        ? "open question"
        : reduced.beside.some(({ agrees }) => agrees === false)
          ? "not met"
          : "answered";
  if (get().benchMark !== benchMark) set({ benchMark });
}

/** A part of the trace of a file on so many pixel columns, all of it for null; null where it is gone. */
export async function tracePart(
  id: number,
  view: readonly [number, number] | null,
  width: number,
): Promise<TracePart | null> {
  return (await bench().trace(id, view, width)) as TracePart | null;
}

const origin = () => `reedlift ${get().folder?.version ?? ""}`;

/** The trace of a file as a picture for paper. */
export async function traceFile(
  id: number,
  view: readonly [number, number],
): Promise<Figure | null> {
  return (await bench().traceOnPaper(id, view, origin())) as Figure | null;
}

/** Samples of the part that is seen, or the smallest and largest of each column, as a table file. */
export async function traceNumbers(
  id: number,
  view: readonly [number, number],
): Promise<string | null> {
  return (await traceFile(id, view))?.csv ?? null;
}

/** The picture of a fit at a size on the page. */
export async function fitFigure(
  index: number,
  size: { width: number; height: number },
): Promise<Drawn | null> {
  return (await bench().fitFigure(index, size)) as Drawn | null;
}

/** The picture of a fit for paper. */
export async function fitPaper(index: number): Promise<Figure | null> {
  return (await bench().fitOnPaper(index, origin())) as Figure | null;
}

/** The values beside what was expected of them, as a picture for paper. */
export const comparisonPaper = async (): Promise<Figure | null> =>
  (await bench().comparisonOnPaper(origin())) as Figure | null;

/** What `reedlift reduce --json` writes of the values on the page. */
export const reducedJson = async (): Promise<string | null> =>
  (await bench().reducedJson(get().folder?.version ?? "")) as string | null;

export const reducedCsv = async (): Promise<string | null> =>
  (await bench().reducedCsv(origin())) as string | null;

/** A recipe as the text of a file. */
export const recipeFile = async (recipe: Recipe): Promise<string> =>
  (await bench().recipeText(recipe)) as string;

/** A recipe from the text of a file, or why it is none. */
export const recipeFrom = async (text: string): Promise<Recipe | string> =>
  (await bench().recipeOf(text)) as Recipe | string;
