import { create } from "zustand";
import { openDesign, refreshFolder } from "../actions.ts";
import { ServerGone, writeFile } from "../server.ts";
import { get, set, tell, textNow } from "../state.ts";
import type { CalibrateAnswer } from "../worker/benchRequests.ts";
import { reducedJson, useBench } from "./bench.ts";
import { bench } from "./benchLine.ts";
import { bareName } from "./engine.ts";

/** Reductions of this session that a calibration is made from, and what it found. */

export interface Collected {
  id: number;
  /** "lever: monday.csv". */
  name: string;
  /** As `reedlift reduce --json` writes it. */
  json: string;
  /** Whether it is used. */
  used: boolean;
}

interface CalibrateState {
  collected: readonly Collected[];
  running: boolean;
  answer: CalibrateAnswer | null;
  /** Text of the design that the answer belongs to. */
  text: string | null;
  /** File that the calibrated design was written to. */
  written: string | null;
}

export const useCalibrate = create<CalibrateState>()(() => ({
  collected: [],
  running: false,
  answer: null,
  text: null,
  written: null,
}));

const put = useCalibrate.setState;
let numbers = 0;

/** Keeps the values on the page for a calibration; the same measurement of the same files is replaced. */
export async function collect(): Promise<void> {
  const { kind, files } = useBench.getState();
  const json = await reducedJson();
  if (json === null) return;
  const name = `${kind}: ${files.map(({ file }) => file.name).join(", ")}`;
  put((state) => ({
    collected: [
      ...state.collected.filter((each) => each.name !== name),
      { id: ++numbers, name, json, used: true },
    ],
    answer: null,
    written: null,
  }));
  tell("told", `${name} is kept for a calibration.`);
}

export function putIn(id: number, used: boolean): void {
  put((state) => ({
    collected: state.collected.map((each) => (each.id === id ? { ...each, used } : each)),
    answer: null,
    written: null,
  }));
}

export function letGo(id: number): void {
  put((state) => ({
    collected: state.collected.filter((each) => each.id !== id),
    answer: null,
    written: null,
  }));
}

/** Corrects the design on the page by what is used. */
export async function calibrateNow(): Promise<void> {
  const text = textNow(get());
  const data = useCalibrate.getState().collected.filter(({ used }) => used);
  if (text === null || data.length === 0) return;
  put({ running: true, answer: null, written: null });
  try {
    const file = get().draft?.name ?? null;
    const answer = (await bench().calibrate({
      design: { text, name: bareName(file), file },
      data: data.map(({ name, json }) => ({ name, json })),
      version: get().folder?.version ?? "",
    })) as CalibrateAnswer;
    put({ answer, text });
    if (answer.ok) set({ said: answer.verdict });
  } catch (error) {
    const found = error instanceof Error ? error.message : "it stopped";
    put({ answer: { ok: false, refusals: [{ where: "calibration", found, allowed: "" }] }, text });
  } finally {
    put({ running: false });
  }
}

/** Writes the calibrated design as a new file, never over one that is there. */
export async function writeRevision(): Promise<void> {
  const { answer } = useCalibrate.getState();
  if (answer?.ok !== true || answer.revision === null) return;
  const { name, text } = answer.revision;
  try {
    const saved = await writeFile(name, text, null);
    if (saved.kind === "conflict")
      tell("trouble", `${name} is there already. Open it, or rename it, and calibrate again.`);
    else if (saved.kind === "refused") tell("trouble", `Not written: ${saved.message}.`);
    else {
      put({ written: name });
      void refreshFolder();
      tell("told", `The calibrated design is written to ${name}.`);
    }
  } catch (error) {
    if (!(error instanceof ServerGone)) throw error;
    set({ serverThere: false });
    tell("trouble", "Not written: the program behind this page does not answer.");
  }
}

export const openRevision = (name: string): Promise<boolean> => openDesign(name);
