import type { Design } from "../../design/design.ts";
import type { Figure } from "../../report/figures/figure.ts";
import { rateChart } from "../../report/figures/rateChart.ts";
import { rateMap } from "../../report/figures/rateMap.ts";
import { judgedRate } from "../../report/text/ratesText.ts";
import { type RatesProgress, ratesResult, ratesSteps } from "../../studies/rates.ts";
import { type RatesMap, ratesMapSteps } from "../../studies/ratesMap.ts";
import { type RatesPlan, ratesPlan } from "../../studies/ratesPlan.ts";
import type { RatesResult } from "../../studies/ratesResult.ts";
import { forPage } from "./forPage.ts";
import type { RateMapRequest, RatesAnswer, RatesRequest, ShapesRequest } from "./pulseRequests.ts";
import { shapesFigure } from "./pulseShapes.ts";

/*
 * Scans of rates and maps of gates against rates that were begun are kept, so that another size or part of the
 * picture and a second look cost a drawing.
 */

/** Studies that are kept at most, the last ones used. */
const KEPT = 3;
/** Gates of the map, over the present one. */
const GATES = [0.5, 2] as const;

interface Scan {
  kind: "rates";
  design: Design;
  plan: RatesPlan;
  steps: Iterator<RatesProgress, RatesResult>;
  progress: RatesProgress | null;
  done: boolean;
}

interface Chart {
  kind: "rate map";
  design: Design;
  steps: Iterator<RatesMap, RatesMap>;
  map: RatesMap | null;
  done: boolean;
}

type Begun = Scan | Chart;
type AnyRequest = RatesRequest | RateMapRequest;

const begun = new Map<string, Begun>();
const keyOf = (text: string, { kind }: AnyRequest) => `${kind}\n${text}`;

function begin(design: Design, { kind }: AnyRequest): Begun {
  const plan = ratesPlan(design);
  if (kind === "rates")
    return { kind, design, plan, steps: ratesSteps(design), progress: null, done: false };
  const { gate } = plan;
  const steps = ratesMapSteps(design, { gate, lengths: [GATES[0] * gate, GATES[1] * gate] });
  return { kind, design, steps, map: null, done: false };
}

function heldFor(text: string, design: Design, request: AnyRequest): Begun {
  const key = keyOf(text, request);
  const found = begun.get(key) ?? begin(design, request);
  begun.delete(key);
  begun.set(key, found);
  const [oldest] = begun.keys();
  if (begun.size > KEPT && oldest !== undefined) begun.delete(oldest);
  return found;
}

/**
 * Goes on with the study of a design where it stands; each answer has what is known by then.
 * RangeError where the design has none.
 */
export function* ratesStudy(
  text: string,
  design: Design,
  request: AnyRequest,
): Generator<RatesAnswer | undefined, RatesAnswer | undefined, undefined> {
  const held = heldFor(text, design, request);
  if (known(held)) yield answerOf(held, request);
  if (request.stopped) return answerOf(held, request);
  let drawn = doneOf(held);
  while (!held.done) {
    step(held);
    // Later ones change less of the picture.
    if (!held.done && doneOf(held) < drawn + 1 + drawn / 8) yield undefined;
    else {
      drawn = doneOf(held);
      if (!held.done) yield answerOf(held, request);
    }
  }
  return answerOf(held, request);
}

function step(held: Begun): void {
  if (held.kind === "rates") {
    const next = held.steps.next();
    if (next.done === true) held.done = true;
    else held.progress = next.value;
  } else {
    const next = held.steps.next();
    held.map = next.value;
    held.done = next.done === true;
  }
}

const known = (held: Begun): boolean =>
  held.kind === "rates" ? held.progress !== null : held.map !== null;
const doneOf = (held: Begun): number =>
  (held.kind === "rates" ? held.progress?.done : held.map?.done) ?? 0;

function answerOf(held: Begun, request: AnyRequest): RatesAnswer | undefined {
  const figure = figureOf(held, request);
  if (held.kind === "rate map") {
    if (held.map === null || figure === null) return undefined;
    const { done, total } = held.map;
    return {
      figure: forPage(figure),
      result: null,
      judged: null,
      drives: null,
      done,
      total,
      reason: null,
    };
  }
  if (held.progress === null) return undefined;
  const { done, total } = held.progress;
  const { rates, ...result } = resultOf(held);
  const judged = judgedRate({ rates, ...result })?.rate_Hz ?? null;
  return {
    figure: figure === null ? null : forPage(figure),
    result,
    judged,
    drives: null,
    done,
    total,
    reason: null,
  };
}

const resultOf = ({ design, plan, progress }: Scan): RatesResult =>
  ratesResult(design, plan, progress?.cases ?? []);

function figureOf(held: Begun, { size, view }: AnyRequest): Figure | null {
  const options = { size, bare: true, ...(view === undefined ? {} : { view }) };
  if (held.kind === "rates") return rateChart(held.design, resultOf(held), options);
  return held.map === null ? null : rateMap(held.design, held.map, options);
}

/** Numbers of such a study as CSV; null where it is not known here. */
export function ratesNumbers(text: string, request: AnyRequest | ShapesRequest): string | null {
  if (request.kind === "shapes") return shapesFigure(text, { size: request.size })?.csv ?? null;
  const held = begun.get(keyOf(text, request));
  return held === undefined ? null : (figureOf(held, request)?.csv ?? null);
}

/** Its picture as a file for paper; null where it is not known here. */
export function ratesOnPaper(
  text: string,
  request: AnyRequest | ShapesRequest,
  origin: string,
): Figure | null {
  if (request.kind === "shapes") return shapesFigure(text, { origin });
  const held = begun.get(keyOf(text, request));
  if (held === undefined) return null;
  if (held.kind === "rates") return rateChart(held.design, resultOf(held), { origin });
  return held.map === null ? null : rateMap(held.design, held.map, { origin });
}
