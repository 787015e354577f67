import type { Design } from "../../design/design.ts";
import { readDesign } from "../../design/readDesign.ts";
import { type InputWindow, inputWindowSteps } from "../../studies/inputWindow.ts";
import { stripProposalsSteps } from "../../studies/proposals.ts";
import { startJob } from "./jobs.ts";
import { mapSteps } from "./maps.ts";
import { ratesStudy } from "./pulseRates.ts";
import type { RatesAnswer } from "./pulseRequests.ts";
import { shapesStudy } from "./pulseShapes.ts";
import { gateSteps, wholePulseSteps } from "./pulseStudies.ts";
import type { InputWindows, StudyRequest } from "./requests.ts";

/** Starts a study of a design; null where the text is none, or has nothing to study. */
export function startStudy(text: string, name: string, request: StudyRequest): number | null {
  if (request.kind === "proposals") return startJob(stripProposalsSteps(request.need));
  const read = readDesign(text, { name });
  if (!read.ok) return null;
  try {
    return startJob(stepsOf(text, read.design, request));
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

type DesignStudy = Exclude<StudyRequest, { kind: "proposals" }>;

function stepsOf(text: string, design: Design, request: DesignStudy): Iterator<unknown, unknown> {
  switch (request.kind) {
    case "map":
      return mapSteps(text, design, request);
    case "input windows":
      return windowSteps(design, request.keys);
    case "pulse":
      return leftOut(wholePulseSteps(design));
    case "gates":
      return leftOut(gateSteps(design));
    case "rates":
    case "rate map":
      return withReason(ratesStudy(text, design, request));
    case "shapes":
      return withReason(shapesStudy(text, design, request));
  }
}

/** A study that ends where the design has none. */
function* leftOut(steps: Iterator<unknown, unknown>): Generator<unknown, unknown, undefined> {
  try {
    for (;;) {
      const next = steps.next();
      if (next.done === true) return next.value;
      yield next.value;
    }
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

const NOTHING: RatesAnswer = {
  figure: null,
  result: null,
  judged: null,
  drives: null,
  done: 0,
  total: 0,
  reason: null,
};

/** A study that ends with what it has and the reason where it can't go on. */
function* withReason(
  steps: Iterator<RatesAnswer | undefined, RatesAnswer | undefined>,
): Generator<RatesAnswer | undefined, RatesAnswer | undefined, undefined> {
  let last = NOTHING;
  try {
    for (;;) {
      const next = steps.next();
      last = next.value ?? last;
      if (next.done === true) return next.value;
      yield next.value;
    }
  } catch (error) {
    if (error instanceof RangeError) return { ...last, reason: error.message };
    throw error;
  }
}

/** The windows of several inputs, one after the other; an input that has none is left out. */
function* windowSteps(
  design: Design,
  keys: readonly string[],
): Generator<InputWindows | undefined, void, undefined> {
  const found: InputWindows = {};
  for (const key of keys) {
    const window = yield* oneWindow(design, key);
    if (window !== null) found[key] = window;
    yield { ...found };
  }
}

function* oneWindow(
  design: Design,
  key: string,
): Generator<undefined, InputWindow | null, undefined> {
  try {
    const steps = inputWindowSteps(design, key);
    for (;;) {
      const next = steps.next();
      if (next.done === true) return next.value;
      yield undefined;
    }
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}
