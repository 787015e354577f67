import { get, set, tell, textNow, usePage } from "../state.ts";
import type {
  Drawn,
  FigureId,
  FigureRequest,
  FullAnswer,
  LookAnswer,
  LookRequest,
} from "../worker/requests.ts";
import { type Lost, WorkerLine } from "./line.ts";

/*
 * What is computed when. The quick worker draws and judges the text on the page at once, the newest
 * text only; the free-length window follows when nothing newer waits. The other worker computes the
 * whole sheet with uncertainties and ways out when the text has rested, and studies in between.
 */

/** How long nothing new is asked for before the window is computed, ms. */
const STILL = 120;
/** How long the text rests before the whole sheet is computed, ms. */
const REST = 200;

let quick: WorkerLine;
let study: WorkerLine;

export function startComputation(): void {
  const address = document.querySelector<HTMLMetaElement>('meta[name="worker"]')?.content ?? "";
  quick = new WorkerLine(address, (lost) => onLost(lost));
  study = new WorkerLine(address, (lost) => onLost(lost));
  let text: string | null = null;
  let asked: unknown[] = [];
  const changed = () => {
    const state = get();
    const now = textNow(state);
    const asks = [now, state.wanted, state.shape, state.stripState, state.full, state.preview];
    if (asks.every((value, i) => value === asked[i])) return;
    asked = asks;
    if (now !== text) {
      text = now;
      quick.reset();
      study.reset();
      if (state.stopped !== null) set({ stopped: null });
      rest();
    }
    lookSoon();
  };
  usePage.subscribe(changed);
  changed();
}

function onLost({ what, again }: Lost): void {
  if (again) {
    tell("caution", `The computation stopped (${what}) and was started again. Nothing is lost.`);
    setTimeout(lookSoon, 0);
    rest();
  } else {
    set({ stopped: what });
    tell("trouble", `The computation keeps stopping (${what}). It waits for your next change.`);
  }
}

function requestOf(text: string, only?: readonly FigureId[]): LookRequest {
  const { draft, wanted, shape, stripState, window, full } = get();
  const whole = full !== null && full.text === text ? full.result : null;
  const figures = Object.values(wanted);
  return {
    text,
    name: bareName(draft?.name ?? null),
    figures: only === undefined ? figures : figures.filter(({ id }) => only.includes(id)),
    shape,
    state: stripState,
    window: window?.window ?? null,
    full: whole,
  };
}

/** "first-valve" for "first-valve.reed.yaml". */
export function bareName(name: string | null): string {
  return name === null ? "design" : name.replace(/(\.reed)?\.(ya?ml|json)$/, "");
}

let looking = false;
let lookWanted = false;

function lookSoon(): void {
  lookWanted = true;
  wake?.();
  wake = null;
  if (!looking) void lookLoop();
}

async function lookLoop(): Promise<void> {
  looking = true;
  try {
    while (lookWanted) {
      lookWanted = false;
      const text = textNow(get());
      if (text === null) continue;
      const request = requestOf(text);
      take(text, await quick.call((remote) => remote.look(request) as Promise<LookAnswer>));
      if (lookWanted) continue;
      if (windowIsDue(text)) await stillness(STILL);
      if (lookWanted) continue;
      await windowAfter(text);
    }
  } catch {
    // The line has told what happened and asks again where that helps.
  } finally {
    looking = false;
  }
}

function take(text: string, answer: LookAnswer, keepFigures = false): void {
  if (!answer.ok) {
    set({ problems: answer.problems });
    return;
  }
  const before = get().answer;
  const figures = keepFigures ? { ...before?.figures, ...answer.figures } : answer.figures;
  set({ answer: { ...answer, figures }, answerText: text, problems: [] });
  const state = get();
  if (state.preview === null && state.full?.text !== text) rest();
}

let wake: (() => void) | null = null;

/** Waits until nothing new was asked for so long; something new ends the wait at once. */
function stillness(ms: number): Promise<void> {
  return new Promise((resolve) => {
    const timer = setTimeout(resolve, ms);
    wake = () => {
      clearTimeout(timer);
      resolve();
    };
  });
}

/** Whether the window that is drawn belongs to another text. */
function windowIsDue(text: string): boolean {
  const { window, preview, problems } = get();
  return window?.text !== text && preview?.keepsWindow !== true && problems.length === 0;
}

/** The window of the text, when it is not the one that is drawn. */
async function windowAfter(text: string): Promise<void> {
  if (!windowIsDue(text)) return;
  const state = get();
  const name = bareName(state.draft?.name ?? null);
  const found = await quick.call((remote) => remote.windowOf(text, name));
  if (found === null || textNow(get()) !== text) return;
  set({ window: { text, window: found.window } });
  if (lookWanted || get().wanted.window === undefined) return;
  const request = requestOf(text, ["window"]);
  take(text, await quick.call((remote) => remote.look(request) as Promise<LookAnswer>), true);
}

let resting: ReturnType<typeof setTimeout> | undefined;

function rest(): void {
  clearTimeout(resting);
  resting = setTimeout(() => void studyLoop(), REST);
}

/** A long study in pieces: returns false when it is done. */
export type StudyPiece = (line: WorkerLine) => Promise<boolean>;

let studying = false;
const pieces = new Map<string, StudyPiece>();

/** Runs a study beside the sheet, piece by piece; one with the same name takes its place. */
export function runStudy(name: string, piece: StudyPiece): () => void {
  pieces.set(name, piece);
  void studyLoop();
  return () => {
    if (pieces.get(name) === piece) pieces.delete(name);
  };
}

async function studyLoop(): Promise<void> {
  if (studying) return;
  studying = true;
  try {
    for (;;) {
      if (await fullSheet()) continue;
      const next = pieces.entries().next().value;
      if (next === undefined) break;
      const [name, piece] = next;
      const more = await piece(study).catch(() => false);
      if (pieces.get(name) !== piece) continue;
      pieces.delete(name);
      if (more) pieces.set(name, piece);
    }
  } catch {
    // The line has told what happened.
  } finally {
    studying = false;
  }
}

/** The whole sheet of the text that rests; false when there is nothing to do. */
async function fullSheet(): Promise<boolean> {
  const state = get();
  const text = state.draft?.text ?? null;
  if (text === null || state.preview !== null || state.full?.text === text) return false;
  if (state.answerText !== text) return false;
  const name = bareName(state.draft?.name ?? null);
  const answer = await study.call((remote) => remote.full(text, name) as Promise<FullAnswer>);
  if (answer.ok) set({ full: { text, result: answer.result } });
  return true;
}

/** A picture as a file: its own size, title and origin line, in the colours of paper. */
export async function pictureOnPaper(id: FigureId, origin: string): Promise<Drawn | null> {
  const text = textNow(get());
  if (text === null) return null;
  const request = requestOf(text, []);
  return quick.call((remote) => remote.onPaper(request, id, origin) as Promise<Drawn | null>);
}

/** Pictures for the printer, in the order asked for; those that the design has. */
export async function drawForPrint(figures: readonly FigureRequest[]): Promise<Drawn[]> {
  const text = textNow(get());
  if (text === null) return [];
  const request: LookRequest = { ...requestOf(text, []), figures, state: null, shape: "closed" };
  try {
    const answer = await study.call((remote) => remote.look(request) as Promise<LookAnswer>);
    return answer.ok ? figures.flatMap(({ id }) => answer.figures[id] ?? []) : [];
  } catch {
    return [];
  }
}
