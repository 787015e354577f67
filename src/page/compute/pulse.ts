import { create } from "zustand";
import type { Figure } from "../../report/figures/figure.ts";
import { get, textNow, usePage } from "../state.ts";
import type { PulseAnswer, PulseRequest, PulseWanted } from "../worker/pulseRequests.ts";
import { askQuick, bareName } from "./engine.ts";

/*
 * The pulse of the text on the page while somebody looks at it: in the line of what must be quick, the newest
 * text only.
 */

export interface PulseState {
  /** What is looked at; null: nobody looks. */
  wanted: PulseWanted | null;
  /** Text that the answer belongs to. */
  text: string | null;
  answer: PulseAnswer | null;
}

export const usePulse = create<PulseState>()(() => ({ wanted: null, text: null, answer: null }));

/** Runs in a row that may be lost with their worker before the next change is waited for. */
const TRIES = 3;

let asking = false;
let due = false;
let lost = 0;

/** Says what is looked at; null ends it. What was computed stays until the next answer. */
export function wantPulse(wanted: PulseWanted | null): void {
  usePulse.setState({ wanted });
  ask();
}

let text: string | null = null;
usePage.subscribe((state) => {
  const now = textNow(state);
  if (now === text) return;
  text = now;
  lost = 0;
  ask();
});

function ask(): void {
  due = usePulse.getState().wanted !== null && textNow(get()) !== null;
  if (due && !asking) void loop();
}

async function loop(): Promise<void> {
  asking = true;
  try {
    while (due) {
      due = false;
      const { text: now, name } = named();
      const { wanted } = usePulse.getState();
      if (now === null || wanted === null) break;
      const request: PulseRequest = { ...wanted, text: now, name };
      const answer = await askQuick(
        (remote) => remote.pulseLook(request) as Promise<PulseAnswer | null>,
      );
      lost = 0;
      if (answer !== null) usePulse.setState({ text: now, answer });
    }
  } catch {
    // The line has told what happened and starts another worker.
    lost += 1;
    if (lost < TRIES) setTimeout(ask, 0);
  } finally {
    asking = false;
  }
}

/** The computed pulse on the page; null where there is none. */
export const pulseNow = (state: PulseState) => (state.answer?.ok === true ? state.answer : null);

const named = () => ({ text: textNow(get()), name: bareName(get().draft?.name ?? null) });

/** Every recorded quantity of the pulse on the page as a table file; null where there is none. */
export async function numbersOfPulse(): Promise<string | null> {
  const { text: now, name } = named();
  if (now === null) return null;
  const { folder, draft } = get();
  const origin = `reedlift ${folder?.version ?? ""}, ${draft?.name ?? "not saved"}`;
  return askQuick((remote) => remote.pulseTable(now, name, origin) as Promise<string | null>);
}

/** The traces as a file for paper. */
export async function pulsePaper(origin: string): Promise<Figure | null> {
  const { text: now, name } = named();
  if (now === null) return null;
  return askQuick((remote) => remote.pulseOnPaper(now, name, origin) as Promise<Figure | null>);
}
