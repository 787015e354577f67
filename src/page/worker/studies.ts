import type { Design } from "../../design/design.ts";
import { readDesign } from "../../design/readDesign.ts";
import { mapChart } from "../../report/figures/mapChart.ts";
import { type InputWindow, inputWindowSteps } from "../../studies/inputWindow.ts";
import { designMapSteps } from "../../studies/maps.ts";
import { stripProposalsSteps } from "../../studies/proposals.ts";
import { forPage } from "./forPage.ts";
import { startJob } from "./jobs.ts";
import type { InputWindows, MapAnswer, StudyRequest } from "./requests.ts";

/** Starts a study of a design; null where the text is none, or has nothing to study. */
export function startStudy(text: string, name: string, request: StudyRequest): number | null {
  if (request.kind === "proposals") return startJob(stripProposalsSteps(request.need));
  const read = readDesign(text, { name });
  if (!read.ok) return null;
  try {
    return startJob(stepsOf(read.design, request));
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

type DesignStudy = Exclude<StudyRequest, { kind: "proposals" }>;

function stepsOf(design: Design, request: DesignStudy): Iterator<unknown, unknown> {
  return request.kind === "map" ? mapSteps(design, request) : windowSteps(design, request.keys);
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

/** Evaluations of a map between two drawings of it. */
const REDRAWN = 40;

function* mapSteps(
  design: Design,
  { map: kind, columns, rows, size }: StudyRequest & { kind: "map" },
): Generator<MapAnswer | undefined, MapAnswer | undefined> {
  const steps = designMapSteps(design, kind, { columns, rows });
  let last: MapAnswer | undefined;
  let since = 0;
  for (;;) {
    const next = steps.next();
    const map = next.value;
    since += 1;
    if (next.done === true || since >= REDRAWN) {
      since = 0;
      const figure = mapChart(design, map, { size, bare: true });
      last = { figure: forPage(figure), done: map.done, total: map.total };
      if (next.done === true) return last;
      yield last;
    } else yield undefined;
  }
}
