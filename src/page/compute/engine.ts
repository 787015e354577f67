import type { Figure } from "../../report/figures/figure.ts";
import { get, set, tell, textNow, usePage } from "../state.ts";
import { stepOf } from "../steps.ts";
import type {
  Drawn,
  FigureId,
  FigureRequest,
  FullAnswer,
  LookAnswer,
  LookRequest,
  MapAnswer,
  MapRequest,
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
    const { wanted, step, shape, stripState, full, preview } = state;
    const asks = [now, wanted, step, shape, stripState, full, preview];
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
  const { draft, wanted, shape, stripState, step, window, full } = get();
  const whole = full !== null && full.text === text ? full.result : null;
  const figures = Object.values(wanted);
  return {
    text,
    name: bareName(draft?.name ?? null),
    figures: only === undefined ? figures : figures.filter(({ id }) => only.includes(id)),
    shape,
    groups: only === undefined ? stepOf(step).groups : [],
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
let still: ReturnType<typeof setTimeout> | undefined;

function lookSoon(): void {
  lookWanted = true;
  clearTimeout(still);
  if (!looking) void lookLoop();
}

/** Looks while something new is asked for, at the window before that where it is wanted. */
async function lookLoop(windowWanted = false): Promise<void> {
  looking = true;
  let due = false;
  try {
    if (windowWanted) await windowAfter(textNow(get()));
    while (lookWanted) {
      lookWanted = false;
      const text = textNow(get());
      if (text === null) continue;
      const request = requestOf(text);
      take(text, await quick.call((remote) => remote.look(request) as Promise<LookAnswer>));
      due = windowIsDue(text);
    }
  } catch {
    // The line has told what happened and asks again where that helps.
  } finally {
    looking = false;
  }
  if (due) still = setTimeout(() => void lookLoop(true), STILL);
}

function take(text: string, answer: LookAnswer, keepRest = false): void {
  if (!answer.ok) {
    set({ problems: answer.problems });
    return;
  }
  const before = get().answer;
  const kept = keepRest && before !== null;
  const figures = kept ? { ...before.figures, ...answer.figures } : answer.figures;
  const groups = kept ? before.groups : answer.groups;
  set({ answer: { ...answer, figures, groups }, answerText: text, problems: [] });
  const state = get();
  if (state.preview === null && state.full?.text !== text) rest();
}

/** Whether the window that is drawn belongs to another text. */
function windowIsDue(text: string): boolean {
  const { window, preview, problems } = get();
  return window?.text !== text && preview?.keepsWindow !== true && problems.length === 0;
}

/** The window of the text, when it is not the one that is drawn. */
async function windowAfter(text: string | null): Promise<void> {
  if (text === null || !windowIsDue(text)) return;
  const state = get();
  const name = bareName(state.draft?.name ?? null);
  const found = await quick.call((remote) => remote.windowOf(text, name));
  if (found === null || textNow(get()) !== text) return;
  set({ window: { text, window: found.window } });
  if (lookWanted || get().wanted.window === undefined) return;
  const request = requestOf(text, ["window"]);
  take(text, await quick.call((remote) => remote.look(request) as Promise<LookAnswer>), true);
}

/** A call in the line of what must be quick, after what was asked before. */
export const askQuick: WorkerLine["call"] = (ask) => quick.call(ask);

/** A call in the line of long studies. */
export const askStudy: WorkerLine["call"] = (ask) => study.call(ask);

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

/** Numbers of a picture that is on the page, as CSV; null where it is gone. */
export async function numbersOf(id: FigureId): Promise<string | null> {
  const text = textNow(get());
  if (text === null) return null;
  const request = requestOf(text);
  return quick.call((remote) => remote.tableOf(request, id) as Promise<string | null>);
}

/** Another part of a map that was begun for this text; null where it is gone. */
export const drawMap = (text: string, request: MapRequest): Promise<MapAnswer | null> =>
  study.call((remote) => remote.mapAgain(text, request) as Promise<MapAnswer | null>);

/** Numbers of such a map, as CSV. */
export const numbersOfMap = (text: string, request: MapRequest): Promise<string | null> =>
  study.call((remote) => remote.mapTable(text, request) as Promise<string | null>);

/** A picture as a file: its own size, title and origin line, in the colours of paper. */
export async function pictureOnPaper(id: FigureId, origin: string): Promise<Figure | null> {
  const text = textNow(get());
  if (text === null) return null;
  const request = requestOf(text, []);
  return quick.call((remote) => remote.onPaper(request, id, origin) as Promise<Figure | null>);
}

/** A picture for the printer; null where the design has none. */
export async function drawForPrint(figure: FigureRequest): Promise<Drawn | null> {
  const text = textNow(get());
  if (text === null) return null;
  const asked: LookRequest = { ...requestOf(text, []), state: null, shape: "closed" };
  const request = { ...asked, figures: [figure] };
  try {
    const answer = await study.call((remote) => remote.look(request) as Promise<LookAnswer>);
    return answer.ok ? (answer.figures[figure.id] ?? null) : null;
  } catch {
    return null;
  }
}
