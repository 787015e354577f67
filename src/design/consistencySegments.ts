import { formatQuantity } from "../units/index.ts";
import type { ElectrodeLayer } from "./electrodes.ts";
import { electrodeNames } from "./electrodes.ts";
import { nearest } from "./nearest.ts";
import type { ProblemData } from "./problem.ts";
import {
  type GroupValue,
  groupAt,
  itemsAt,
  type Place,
  quantityAt,
  type Value,
  valueAt,
} from "./tree.ts";

type Report = (
  code: ProblemData["code"],
  place: Place,
  data?: ProblemData["data"],
  severity?: ProblemData["severity"],
) => void;

/** Rounding of lengths given in millimetres. */
const ROUNDING = 1e-12;

/**
 * Segments of the strip and the foundation under the clamp: order and reach of each segment, its
 * electrodes and layers.
 * @param longest the longest free length that the file allows; null where it has none
 */
export function checkSegments(
  root: GroupValue,
  layers: readonly ElectrodeLayer[],
  longest: number | null,
  report: Report,
): void {
  const clamp = groupAt(root, "clamp");
  const foundation = clamp?.keys.get("foundation_modulus");
  const springs = ["rotational_stiffness", "translational_stiffness"];
  if (foundation !== undefined && springs.some((key) => clamp?.given.has(key)))
    report("foundation-with-springs", foundation.place);
  const together = new Set<number>();
  for (const segment of itemsAt(root, "strip", "segments")) {
    if (segment.type !== "group") continue;
    const from = quantityAt(segment, "from")?.value;
    const to = quantityAt(segment, "to")?.value;
    const end = valueAt(segment, "to")?.place ?? segment.place;
    if (from !== undefined && to !== undefined && !(from < to)) report("segment-order", end);
    if (to !== undefined && longest !== null && to > longest + ROUNDING) {
      const tip = formatQuantity(Number(longest.toPrecision(9)), 0, "length", { unit: "mm" });
      report("beyond-tip", end, { what: "the segment", tip });
    }
    const gone = removedLayers(segment, layers.length, report);
    // At some free length two segments may lie on each other: all of them must leave one layer.
    const before = together.size;
    for (const i of gone) together.add(i);
    if (together.size === layers.length && before < layers.length && gone.size < layers.length) {
      const place = valueAt(segment, "removed")?.place ?? segment.place;
      report("segment-layers", place, { count: layers.length });
    }
    bareElectrodes(segment, layers, gone, longest, report);
    if (!segment.given.has("bare") && !segment.given.has("removed"))
      report("segment-empty", segment.place);
  }
}

const wordsAt = (
  segment: Value,
  key: string,
): { texts: readonly string[]; place: Place } | null => {
  const value = valueAt(segment, key);
  return value?.type === "words" ? { texts: value.texts, place: value.place } : null;
};

/** Numbers of the removed layers, 0 the lowest; those that cannot be are reported. */
function removedLayers(segment: Value, count: number, report: Report): Set<number> {
  const gone = new Set<number>();
  const removed = wordsAt(segment, "removed");
  if (removed === null) return gone;
  for (const text of removed.texts) {
    const number = /^[1-9]\d{0,3}$/.test(text) ? Number(text) : Number.NaN;
    if (number <= count) gone.add(number - 1);
    else report("segment-layers", { ...removed.place, found: text }, { count });
  }
  // From the outside inwards: what stays is in one piece.
  const stays = Array.from({ length: count }, (_, i) => i).filter((i) => !gone.has(i));
  const [first, last] = [stays[0] ?? 0, stays[stays.length - 1] ?? -1];
  const inner = [...gone].find((i) => i > first && i < last);
  if (stays.length === 0 && count > 0)
    report("segment-layers", { ...removed.place, found: String(count) }, { count });
  else if (inner !== undefined)
    report("segment-layers", { ...removed.place, found: String(inner + 1) }, { count });
  return gone;
}

function bareElectrodes(
  segment: Value,
  layers: readonly ElectrodeLayer[],
  gone: ReadonlySet<number>,
  longest: number | null,
  report: Report,
): void {
  const bare = wordsAt(segment, "bare");
  if (bare === null) return;
  const known = electrodeNames(layers);
  for (const name of bare.texts) {
    const place = { ...bare.place, path: [...bare.place.path, name], found: name };
    if (!known.includes(name)) {
      const near = nearest(name, known);
      report("unknown-electrode", place, { known, ...(near === null ? {} : { nearest: near }) });
    } else if (layers.some((layer, i) => isMetal(layer, i, name, layers) && !gone.has(i)))
      report("segment-conductor", place);
    else if (partsIt(segment, longest)) report("segment-parts-electrode", place, {}, "warning");
  }
}

/** A metal layer that the electrode is, by its own name or because it touches a face of that name. */
function isMetal(
  layer: ElectrodeLayer,
  i: number,
  name: string,
  layers: readonly ElectrodeLayer[],
): boolean {
  if (layer.conductor === name) return true;
  return layer.kind === "metal" && (layers[i - 1]?.top === name || layers[i + 1]?.bottom === name);
}

/** Whether metal stays on both sides. */
function partsIt(segment: Value, longest: number | null): boolean {
  const from = quantityAt(segment, "from")?.value ?? 0;
  const to = quantityAt(segment, "to")?.value ?? 0;
  return longest !== null && from > ROUNDING && to < longest - ROUNDING;
}
