import type { Design } from "../../design/design.ts";
import type { Figure } from "../../report/figures/figure.ts";
import { mapChart } from "../../report/figures/mapChart.ts";
import { type DesignMap, designMapSteps } from "../../studies/maps.ts";
import { forPage } from "./forPage.ts";
import type { MapAnswer, MapRequest } from "./requests.ts";

/*
 * Maps that were begun are kept, so that another size, another part of it and a second look cost a
 * drawing and no evaluation.
 */

/** Maps that are kept at most, the last ones used. */
const KEPT = 4;
/** Evaluations of a map between two drawings of it. */
const REDRAWN = 40;

interface Begun {
  design: Design;
  steps: Iterator<DesignMap, DesignMap>;
  map: DesignMap | null;
  done: boolean;
}

const begun = new Map<string, Begun>();

const keyOf = (text: string, { map, columns, rows }: MapRequest): string =>
  `${map} ${columns} ${rows}\n${text}`;

function mapOf(text: string, design: Design, request: MapRequest): Begun {
  const key = keyOf(text, request);
  const { map: kind, columns, rows } = request;
  const found = begun.get(key) ?? {
    design,
    steps: designMapSteps(design, kind, { columns, rows }),
    map: null,
    done: false,
  };
  begun.delete(key);
  begun.set(key, found);
  const [oldest] = begun.keys();
  if (begun.size > KEPT && oldest !== undefined) begun.delete(oldest);
  return found;
}

/**
 * Goes on with the map of a design where it stands, drawn now and then. Ends without a map where the
 * design has none.
 */
export function* mapSteps(
  text: string,
  design: Design,
  request: MapRequest,
): Generator<MapAnswer | undefined, MapAnswer | undefined> {
  const held = mapOf(text, design, request);
  let since = REDRAWN - 1;
  while (!held.done) {
    if (!advance(held)) return undefined;
    since += 1;
    if (held.done || since < REDRAWN) yield undefined;
    else {
      since = 0;
      yield answerOf(held, request);
    }
  }
  return answerOf(held, request);
}

/** One evaluation further; false where the design has no such map. */
function advance(held: Begun): boolean {
  try {
    const next = held.steps.next();
    held.map = next.value;
    held.done = next.done === true;
    return true;
  } catch (error) {
    if (error instanceof RangeError) return false;
    throw error;
  }
}

function answerOf(held: Begun, request: MapRequest): MapAnswer | undefined {
  const figure = figureOf(held, request);
  if (figure === null || held.map === null) return undefined;
  const { done, total } = held.map;
  return { figure: forPage(figure), done, total };
}

function figureOf({ design, map }: Begun, { size, view }: MapRequest): Figure | null {
  if (map === null) return null;
  return mapChart(design, map, { size, bare: true, ...(view === undefined ? {} : { view }) });
}

/** A map as far as it is computed, in another part; null where it is not known here. */
export function mapAgain(text: string, request: MapRequest): MapAnswer | null {
  const held = begun.get(keyOf(text, request));
  return (held === undefined ? undefined : answerOf(held, request)) ?? null;
}

/** Its numbers as CSV; null where it is not known here. */
export function mapTable(text: string, request: MapRequest): string | null {
  const held = begun.get(keyOf(text, request));
  return held === undefined ? null : (figureOf(held, request)?.csv ?? null);
}
