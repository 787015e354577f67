import type { Design, StripSegment } from "../design/design.ts";
import { type Section, sectionOf } from "../physics/section.ts";
import type { Metre, Ratio } from "../units/aliases.ts";

/** A piece of the free length that is alike along itself, but for a taper. */
export interface StripPiece {
  from: Metre;
  to: Metre;
  /** Section at the strip's width at the clamp. */
  section: Section;
  /** Width at its ends in units of that at the clamp. */
  start: Ratio;
  end: Ratio;
  /** Layer of the strip that each layer of the section is, bottom to top. */
  layers: readonly number[];
}

/** Whether the strip is anything else than alike along its free length on the clamp's springs. */
export function hasDetails(design: Design): boolean {
  const { strip, clamp } = design;
  return (
    strip.segments.length > 0 ||
    (strip.widthAtTip !== null && strip.widthAtTip !== strip.width) ||
    clamp.foundationModulus !== null
  );
}

/** Where a segment lies from the clamp edge, cut off at both ends of the free length. */
export function segmentPlace(segment: StripSegment, freeLength: Metre): { from: Metre; to: Metre } {
  const within = (x: Metre) => Math.min(Math.max(x, 0), freeLength);
  return segment.measuredFrom === "clamp"
    ? { from: within(segment.from), to: within(segment.to) }
    : { from: within(freeLength - segment.to), to: within(freeLength - segment.from) };
}

/** What is off at a place of the strip. */
export interface Missing {
  bare: ReadonlySet<string>;
  removed: ReadonlySet<number>;
}

/** Pieces of the free length from the clamp edge on, with what is off in each. */
export function piecePlaces(design: Design): { from: Metre; to: Metre; missing: Missing }[] {
  const { freeLength, segments } = design.strip;
  const places = segments.map((segment) => ({ segment, ...segmentPlace(segment, freeLength) }));
  const least = 1e-6 * freeLength;
  const cuts = [0];
  for (const x of places.flatMap(({ from, to }) => [from, to]).sort((a, b) => a - b))
    if (x - (cuts[cuts.length - 1] as number) > least && freeLength - x > least) cuts.push(x);
  return cuts.map((from, i) => {
    const to = cuts[i + 1] ?? freeLength;
    const middle = 0.5 * (from + to);
    const over = places.filter((place) => place.from < middle && middle < place.to);
    return {
      from,
      to,
      missing: {
        bare: new Set(over.flatMap(({ segment }) => segment.bare)),
        removed: new Set(over.flatMap(({ segment }) => segment.removed)),
      },
    };
  });
}

/**
 * The pieces of a strip whose full section is `whole`. RangeError where a draw of the layers leaves no
 * section.
 */
export function stripPieces(design: Design, whole: Section): StripPiece[] {
  const { layers, freeLength, width, widthAtTip } = design.strip;
  const tip = widthAtTip === null ? 1 : widthAtTip / width;
  const widthAt = (x: Metre) => 1 + ((tip - 1) * x) / freeLength;
  return piecePlaces(design).map(({ from, to, missing }) => {
    const kept = layers.flatMap((_, i) => (missing.removed.has(i) ? [] : [i]));
    const off = (name: string | null) => name !== null && missing.bare.has(name);
    const alike =
      kept.length === layers.length && !layers.some(({ bottom, top }) => off(bottom) || off(top));
    const section = alike
      ? whole
      : sectionOf(
          kept.map((i) => {
            const own = whole.layers[i] as Section["layers"][number];
            const layer = layers[i] as (typeof layers)[number];
            return { ...own, electroded: own.electroded && !off(layer.bottom) && !off(layer.top) };
          }),
          { field: design.model.field },
        );
    return { from, to, section, start: widthAt(from), end: widthAt(to), layers: kept };
  });
}
