import type { Design } from "../../design/design.ts";
import type { StateFigures } from "../../sheet/result.ts";
import { printFigure } from "../figureUnits.ts";
import { fixed } from "./axis.ts";
import { labelSheet } from "./labels.ts";
import { layerFill } from "./sideStrip.ts";
import { arrowHead, line, part, polygon, rect, text } from "./svg.ts";
import { textWidth, wrapWords } from "./textSize.ts";
import { FIELD, GRAPHITE, INK, NOT_MET, PAPER, QUIET, SAND_EDGE, SIZE } from "./theme.ts";

export interface PanelPlace {
  x: number;
  /** Top of the stack. */
  y: number;
  width: number;
  /** Height of the whole stack. */
  height: number;
}

export interface PanelLook {
  /** Width of the stack as drawn, px. */
  stack: number;
  pxPerField: number;
  id: string;
  /** Layers too low for their field's number beside the potentials. */
  thin: boolean;
  /** Forces up to this are rounding, N. */
  forceFloor: number;
}

/** Heights of the layers' lower and upper faces, px, bottom layer first. */
export function layerFaces(design: Design, place: PanelPlace): { low: number; high: number }[] {
  const total = design.strip.layers.reduce((sum, layer) => sum + layer.thickness, 0);
  let z = 0;
  return design.strip.layers.map((layer) => {
    const low = place.y + place.height * (1 - z / total);
    z += layer.thickness;
    return { low, high: place.y + place.height * (1 - z / total) };
  });
}

/** One state of the section: layers, poling and field arrows, potentials at the conductors. */
export function sectionPanel(
  design: Design,
  group: { states: readonly StateFigures[] },
  place: PanelPlace,
  look: PanelLook,
): string[] {
  const { pxPerField, id, thin, stack } = look;
  const state = group.states[0]!;
  const faces = layerFaces(design, place);
  const out: string[] = [];
  const right = place.x + stack;
  const labels = labelSheet(
    { x: right, y: place.y - 14, width: place.width, height: place.height + 28 },
    1,
  );
  const optional: [string, number, Record<string, string>][] = [];
  design.strip.layers.forEach((layer, i) => {
    const { low, high } = faces[i]!;
    const height = low - high;
    const ceramic = design.materials[layer.material]?.kind === "ceramic";
    const field = state.layers.find((f) => f.layer === i);
    const along = field?.field_along_poling_V_m ?? 0;
    const middle = (low + high) / 2;
    const arrow = (field?.field_V_m ?? 0) * pxPerField;
    out.push(
      part(`layer-${i}`, [
        rect(place.x, high, stack, height, { fill: layerFill(design, layer.material) }),
        along < 0 ? rect(place.x, high, stack, height, { fill: `url(#${id}-against)` }) : "",
        rect(place.x, high, stack, height, {
          fill: "none",
          stroke: ceramic ? SAND_EDGE : GRAPHITE,
          "stroke-width": 0.8,
        }),
        layer.poling === 0 ? "" : polingArrow(place.x + stack * 0.3, low, high, layer.poling),
        Math.abs(arrow) < 2 ? "" : fieldArrow(place.x + stack * 0.66, middle, arrow, along < 0),
      ]),
    );
    if (field === undefined) return;
    const words =
      along === 0
        ? "no field"
        : `${printFigure("E_V_m", Math.abs(along), null, { digits: 3 })} ${along < 0 ? "against" : "with"}`;
    optional.push([words, middle + 3.6, { fill: along < 0 ? NOT_MET : along > 0 ? FIELD : QUIET }]);
  });
  let widest = 0;
  for (const { name, y } of conductors(design, faces)) {
    const drawn = line(place.x - 4, y, right + 4, y, { stroke: GRAPHITE, "stroke-width": 2.4 });
    out.push(part(`electrode-${name}`, [drawn]));
    const volts = state.potentials_V[name];
    if (volts === undefined) continue;
    widest = Math.max(widest, textWidth(`${name} ${potential(volts)}`, SIZE.small, true) + 14);
    out.push(
      labels.put(
        thin ? `${name} ${potential(volts)}` : potential(volts),
        [{ x: right + 8, y: y + 3.6 }],
        {
          size: SIZE.small,
          weight: "bold",
        },
      ),
    );
  }
  // Thin layers have no room for both in one column: their fields stand in a second one.
  const column = right + (thin ? 8 + widest : 8);
  for (const [words, y, look] of optional)
    if (labels.free({ x: column, y: y - 7, width: 1, height: 9 }))
      out.push(labels.put(words, [{ x: column, y }], { size: SIZE.small, ...look }));
  out.push(...panelTexts(group.states, place, look.forceFloor));
  return out;
}

function potential(volts: number): string {
  const size = Math.abs(volts);
  return `${fixed(volts, size >= 100 || Number.isInteger(volts) ? 0 : 1)} V`;
}

/** Faces of one electrode nearer than this are drawn as one, px: a glue line or a vane between them. */
const TOGETHER = 8;

/** Each electrode where its faces stand; a metal layer, or faces close together, once in the middle. */
export function conductors(
  design: Design,
  faces: readonly { low: number; high: number }[],
): { name: string; y: number }[] {
  const found = new Map<string, number[]>();
  const add = (name: string | null, y: number) => {
    if (name !== null) found.set(name, [...(found.get(name) ?? []), y]);
  };
  const metal = new Map<string, { low: number; high: number }>();
  design.strip.layers.forEach((layer, i) => {
    add(layer.bottom, faces[i]!.low);
    add(layer.top, faces[i]!.high);
    if (layer.conductor !== null) {
      metal.set(layer.conductor, faces[i]!);
      add(layer.conductor, (faces[i]!.low + faces[i]!.high) / 2);
    }
  });
  const out: { name: string; y: number }[] = [];
  for (const [name, ys] of found) {
    const vane = metal.get(name);
    const reach = vane === undefined ? TOGETHER : vane.low - vane.high + 0.5;
    for (const group of near(
      [...ys].sort((p, q) => p - q),
      reach,
    ))
      out.push({ name, y: (group[0]! + group[group.length - 1]!) / 2 });
  }
  return out.sort((p, q) => p.y - q.y);
}

/** Sorted numbers in groups that span no more than `reach`. */
function near(sorted: readonly number[], reach: number): number[][] {
  const groups: number[][] = [];
  for (const y of sorted) {
    const last = groups[groups.length - 1];
    if (last !== undefined && y - last[0]! <= reach) last.push(y);
    else groups.push([y]);
  }
  return groups;
}

/** Hollow arrow along the poling. */
function polingArrow(x: number, low: number, high: number, poling: 1 | -1): string {
  const height = low - high;
  const length = Math.min(0.72 * height, 40);
  const [half, shaft, head] = [
    Math.min(8, length / 3),
    Math.min(3.6, length / 7),
    Math.min(13, length * 0.42),
  ];
  const middle = (low + high) / 2;
  const [tail, tip] = [middle + (poling * length) / 2, middle - (poling * length) / 2];
  const neck = tip + poling * head;
  return polygon(
    [
      { x: x - shaft, y: tail },
      { x: x - shaft, y: neck },
      { x: x - half, y: neck },
      { x, y: tip },
      { x: x + half, y: neck },
      { x: x + shaft, y: neck },
      { x: x + shaft, y: tail },
    ],
    { fill: PAPER, stroke: INK, "stroke-width": 1, "stroke-linejoin": "round" },
  );
}

/** Solid arrow of the field, length to scale; with a doubled shaft where it is against the poling. */
function fieldArrow(x: number, middle: number, length: number, against: boolean): string {
  const tip = middle - length / 2;
  const tail = middle + length / 2;
  const colour = against ? NOT_MET : FIELD;
  const size = Math.abs(length);
  const head = size < 12 ? size : 9;
  const neck = tip + Math.sign(length) * head * 0.8;
  const shafts = size < 12 ? [] : against ? [-2.2, 2.2] : [0];
  return [
    ...shafts.map((dx) =>
      line(x + dx, tail, x + dx, neck, { stroke: colour, "stroke-width": against ? 1.6 : 2.6 }),
    ),
    arrowHead({ x, y: tail }, { x, y: tip }, head, against ? 5 : 4.4, { fill: colour }),
  ].join("");
}

/** Names above the stack; what the strip does, below it. */
function panelTexts(
  states: readonly StateFigures[],
  place: PanelPlace,
  forceFloor: number,
): string[] {
  const state = states[0]!;
  const lines = namesWithin(
    states.map((s) => s.name),
    place.width - 22,
  );
  const top = place.y - 16 - (lines.length - 1) * 13;
  const u = (state as unknown as Record<string, unknown>).u_free_deflection_m;
  const deflection = printFigure("x_m", state.free_deflection_m, typeof u === "number" ? u : null, {
    digits: 3,
  });
  const force = Math.abs(state.blocking_force_N) > forceFloor ? state.blocking_force_N : 0;
  const below = place.y + place.height;
  return [
    ...lines.map((words, i) =>
      text(place.x - 4, top + i * 13, words, {
        size: SIZE.small,
        ...(state.kind === "switch" ? { weight: "bold" as const } : {}),
      }),
    ),
    text(place.x - 4, below + 19, `free ${deflection}`, { size: SIZE.small }),
    text(
      place.x - 4,
      below + 33,
      `held at zero by ${printFigure("F_N", force, null, { digits: 3 })}`,
      {
        size: SIZE.small,
        fill: QUIET,
      },
    ),
  ];
}

const NAME_LINES = 3;

/** As many names as three lines hold, the rest counted. */
function namesWithin(names: readonly string[], width: number): string[] {
  for (let shown = names.length; shown > 1; shown--) {
    const rest = names.length - shown;
    const words = names.slice(0, shown).join("; ") + (rest === 0 ? "" : `; and ${rest} more`);
    const lines = wrapWords(words, width, SIZE.small);
    if (lines.length <= NAME_LINES) return lines;
  }
  const rest = names.length - 1;
  const words = `${names[0] ?? ""}${rest > 0 ? `; and ${rest} more` : ""}`;
  return wrapWords(words, width, SIZE.small).slice(0, NAME_LINES);
}
