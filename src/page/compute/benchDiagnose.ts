import { create } from "zustand";
import { get, set, textNow } from "../state.ts";
import type { DiagnoseAnswer, SymptomLook } from "../worker/benchRequests.ts";
import { useCalibrate } from "./benchCalibrate.ts";
import { bench } from "./benchLine.ts";
import { bareName } from "./engine.ts";

/** What was noticed, what tests gave, and what the symptom finder makes of it. */
interface DiagnoseState {
  look: SymptomLook | null;
  /** Ids of what was noticed. */
  noticed: readonly string[];
  /** Outcome by id of a test. */
  outcomes: Readonly<Record<string, string>>;
  running: boolean;
  answer: DiagnoseAnswer | null;
  /** Text of the design that the answer belongs to. */
  text: string | null;
}

export const useDiagnose = create<DiagnoseState>()(() => ({
  look: null,
  noticed: [],
  outcomes: {},
  running: false,
  answer: null,
  text: null,
}));

const now = useDiagnose.getState;
const put = useDiagnose.setState;

export async function lookAtSymptoms(): Promise<void> {
  if (now().look === null) put({ look: (await bench().symptoms()) as SymptomLook });
}

export function notice(id: string, is: boolean): void {
  put((state) => ({
    noticed: is ? [...state.noticed, id] : state.noticed.filter((each) => each !== id),
  }));
  void diagnoseNow();
}

/** Takes the outcome of a test, "" takes it back. */
export function tellOutcome(test: string, outcome: string): void {
  put((state) => {
    const { [test]: _, ...rest } = state.outcomes;
    return { outcomes: outcome === "" ? rest : { ...rest, [test]: outcome } };
  });
  void diagnoseNow();
}

let turn = 0;

/** Ranks the causes by what is told so far. */
export async function diagnoseNow(): Promise<void> {
  const mine = ++turn;
  const text = textNow(get());
  const data = useCalibrate.getState().collected.filter(({ used }) => used);
  const { noticed, outcomes } = now();
  if (text === null || noticed.length + data.length + Object.keys(outcomes).length === 0) {
    put({ answer: null, running: false });
    return;
  }
  put({ running: true });
  try {
    const answer = (await bench().diagnose({
      design: { text, name: bareName(get().draft?.name ?? null) },
      symptoms: noticed,
      data: data.map(({ name, json }) => ({ name, json })),
      outcomes,
    })) as DiagnoseAnswer;
    if (mine !== turn) return;
    put({ answer, text, running: false });
    if (answer.ok) set({ said: answer.verdict });
  } catch (error) {
    if (mine !== turn) return;
    const found = error instanceof Error ? error.message : "it stopped";
    put({
      answer: { ok: false, refusals: [{ where: "the search", found, allowed: "" }] },
      running: false,
      text,
    });
  }
}
