import type { Design } from "../../design/design.ts";
import { formatQuantity } from "../../units/index.ts";
import { escapeText, n } from "../figures/svg.ts";
import type { Lever } from "./lever.ts";
import type { PolarityTest } from "./polarity.ts";

/*
 * Drawings in millimetres of paper: one unit of their coordinates is 1 mm when the page is printed at its own size.
 */

export interface Drawing {
  svg: string;
  /** "1 : 5" or "5 : 1". */
  scale: string;
  /** Millimetres of paper for a millimetre of the real thing. */
  factor: number;
  sentence: string;
}

/** Millimetres of paper that a drawing may take. */
export const PAPER_WIDTH = 176;
const INK = "#22262B";
const QUIET = "#5A6068";
const BEAM = "#A63D00";
const TEXT = 2.9;

const SCALES = [10, 5, 2, 1, 1 / 2, 1 / 5, 1 / 10, 1 / 20, 1 / 50];
const named = (factor: number) => (factor >= 1 ? `${factor} : 1` : `1 : ${Math.round(1 / factor)}`);
const fitting = (size: number, room: number) =>
  SCALES.find((factor) => size * factor <= room) ?? (SCALES.at(-1) as number);

type More = Record<string, string | number>;
const attributes = (more: More) =>
  Object.entries(more)
    .map(([key, value]) => ` ${key}="${typeof value === "number" ? n(value) : value}"`)
    .join("");
const line = (x1: number, y1: number, x2: number, y2: number, more: More = {}) =>
  `<line${attributes({ x1, y1, x2, y2, stroke: INK, "stroke-width": 0.25, ...more })}/>`;
const text = (x: number, y: number, words: string, more: More = {}) =>
  `<text${attributes({ x, y, "font-size": TEXT, fill: INK, ...more })}>${escapeText(words)}</text>`;
const end = { "text-anchor": "end" };
const middle = { "text-anchor": "middle" };

function svg(name: string, height: number, sentence: string, body: readonly string[]): string {
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${PAPER_WIDTH} ${n(height)}" width="${PAPER_WIDTH}mm" height="${n(height)}mm" role="img" aria-labelledby="${name}-sentence"><title id="${name}-sentence">${escapeText(sentence)}</title>${body.join("")}</svg>`;
}

/** A dimension line with strokes at its ends. */
function dimension(
  x1: number,
  y1: number,
  x2: number,
  y2: number,
  words: string,
  off = 1.2,
): string {
  const d = Math.hypot(x2 - x1, y2 - y1);
  const [ux, uy] = [(x2 - x1) / d, (y2 - y1) / d];
  const thin = { stroke: QUIET, "stroke-width": 0.18 };
  const tick = (x: number, y: number) =>
    line(
      x - 1.2 * (ux - uy) * 0.7,
      y - 1.2 * (uy + ux) * 0.7,
      x + 1.2 * (ux - uy) * 0.7,
      y + 1.2 * (uy + ux) * 0.7,
      thin,
    );
  const [mx, my] = [(x1 + x2) / 2 + uy * off, (y1 + y2) / 2 - ux * off];
  const turn = (Math.atan2(uy, ux) * 180) / Math.PI;
  return (
    line(x1, y1, x2, y2, thin) +
    tick(x1, y1) +
    tick(x2, y2) +
    text(mx, my, words, { ...middle, transform: `rotate(${n(turn)} ${n(mx)} ${n(my)})` })
  );
}

const length = (value: number) => formatQuantity(value, 0, "length", { digits: 3 });

/** Laser, strip, mirror, screen and the beams of both states in the plane of the strip. */
export function leverDrawing(design: Design, lever: Lever): Drawing {
  const { incidence: a, distance } = lever;
  const mm = (x: number) => 1000 * x;
  const reach = mm(distance) * Math.sin(a);
  const height = mm(distance) * Math.cos(a);
  const laser = Math.min(0.15, distance) * 1000;
  const factor = fitting(
    Math.max((reach + laser * Math.sin(a) + 40) / (PAPER_WIDTH - 12), height / 95),
    1,
  );
  const s = factor;
  const strip = design.strip.freeLength * 1000 * s;
  const clamp = design.clamp.length * 1000 * s;
  const x0 = 6 + laser * Math.sin(a) * s + 4;
  const y0 = 12 + height * s + 8;
  const place = { x: x0, y: y0 };
  const clampX = x0 - mm(lever.mirror) * s;
  const beam = (slope: number, more: More) => {
    // Turned by 2θ from the beam at rest; cut where it meets the screen.
    const turn = 2 * Math.atan(slope);
    const long = (mm(distance) * s) / Math.cos(turn);
    const at = a - turn;
    return line(x0, y0, x0 + long * Math.sin(at), y0 - long * Math.cos(at), {
      stroke: BEAM,
      "stroke-width": 0.2,
      ...more,
    });
  };
  const centre = { x: x0 + reach * s, y: y0 - height * s };
  const half = 12;
  const [sx, sy] = [-Math.cos(a), -Math.sin(a)];
  const body = [
    // Strip in its clamp, to scale along it.
    `<rect${attributes({ x: clampX - clamp, y: y0 - 1.4, width: clamp, height: 3.6, fill: "none", stroke: INK, "stroke-width": 0.25 })}/>`,
    line(clampX, y0 + 0.4, clampX + strip, y0 + 0.4, { "stroke-width": 0.5 }),
    text(1, y0 + 7, "strip in its clamp"),
    // Beams.
    line(x0 - laser * Math.sin(a) * s, y0 - laser * Math.cos(a) * s, x0, y0, {
      stroke: BEAM,
      "stroke-width": 0.35,
    }),
    text(x0 - laser * Math.sin(a) * s - 2, y0 - laser * Math.cos(a) * s - 2, "laser"),
    beam(0, { "stroke-width": 0.35 }),
    ...lever.states.map((state) => beam(state.slope, { "stroke-dasharray": "1.2 0.8" })),
    `<circle${attributes({ cx: place.x, cy: place.y, r: 0.7, fill: INK })}/>`,
    // Screen.
    line(centre.x - half * sx, centre.y - half * sy, centre.x + half * sx, centre.y + half * sy, {
      "stroke-width": 0.6,
    }),
    text(centre.x + 11, centre.y + 8, "screen, square to the beam at 0 V"),
    // Normal of the mirror.
    line(x0, y0, x0, y0 - 22, {
      stroke: QUIET,
      "stroke-width": 0.18,
      "stroke-dasharray": "0.6 0.6",
    }),
    text(x0 - 1, y0 - 23, `${Math.round((a * 180) / Math.PI)}° to the normal`, {
      fill: QUIET,
      ...middle,
    }),
  ];
  // The distance, beside the beam at rest.
  const off = 8;
  const [ox, oy] = [Math.cos(a) * off, Math.sin(a) * off];
  body.push(dimension(x0 + ox, y0 + oy, centre.x + ox, centre.y + oy, length(distance), 1.4));
  const sentence = `The optical lever, ${named(factor)}: screen ${length(distance)} from the mirror, which sits ${length(lever.mirror)} from the clamp edge; a tip that goes up sends the spot up.`;
  return { svg: svg("lever", y0 + 10, sentence, body), scale: named(factor), factor, sentence };
}

/** The strip from the side with pad and mirror, enlarged along it. */
export function stripDrawing(design: Design, lever: Lever): Drawing {
  const length_mm = design.strip.freeLength * 1000;
  const clamp = Math.min(design.clamp.length * 1000, 6);
  const factor = fitting(length_mm + clamp, PAPER_WIDTH - 40);
  const s = factor;
  const x0 = 12 + clamp * s;
  const y0 = 16;
  const thick = Math.max(
    1.2,
    design.strip.layers.reduce((sum, l) => sum + l.thickness, 0) * 1000 * s,
  );
  const at = (x: number) => x0 + x * 1000 * s;
  const mirror = at(lever.mirror);
  const body = [
    `<rect${attributes({ x: x0 - clamp * s, y: y0 - 3, width: clamp * s, height: thick + 6, fill: "#F4F2EC", stroke: INK, "stroke-width": 0.25 })}/>`,
    text(x0 - clamp * s + 1, y0 - 4, "clamp"),
    `<rect${attributes({ x: x0, y: y0, width: length_mm * s, height: thick, fill: "#EBD8B2", stroke: INK, "stroke-width": 0.25 })}/>`,
    `<rect${attributes({ x: mirror - 0.5 * s, y: y0 - 0.9, width: s, height: 0.9, fill: "#C2C5C9", stroke: INK, "stroke-width": 0.25 })}/>`,
    text(mirror, y0 - 2, "mirror, 1 mm", middle),
    dimension(x0, y0 + thick + 5, mirror, y0 + thick + 5, length(lever.mirror)),
    dimension(
      x0,
      y0 + thick + 11,
      at(design.strip.freeLength),
      y0 + thick + 11,
      `free length ${length(design.strip.freeLength)}`,
    ),
  ];
  if (design.pad !== undefined) {
    const pad = at(design.pad.position);
    body.push(
      line(pad, y0 + thick, pad, y0 + thick + 3, { "stroke-width": 0.9 }),
      text(pad + 1.2, y0 + thick + 3.4, `pad at ${length(design.pad.position)}`),
    );
  }
  const sentence = `The strip from the side, ${named(factor)} along it: mirror at ${length(lever.mirror)} of ${length(design.strip.freeLength)} free length.`;
  return {
    svg: svg("strip", y0 + thick + 15, sentence, body),
    scale: named(factor),
    factor,
    sentence,
  };
}

const SCALE_LENGTH = 150;

/** A scale of 1 : 1 to cut out as the screen, with where the spot should stand. */
export function screenDrawing(lever: Lever, tests: readonly PolarityTest[]): Drawing {
  const x0 = (PAPER_WIDTH - SCALE_LENGTH) / 2;
  const zero = PAPER_WIDTH / 2;
  const y0 = 16;
  const body = [line(x0, y0, x0 + SCALE_LENGTH, y0, { "stroke-width": 0.3 })];
  for (let i = -SCALE_LENGTH / 2; i <= SCALE_LENGTH / 2; i++) {
    const long = i % 10 === 0 ? 4 : i % 5 === 0 ? 2.8 : 1.8;
    body.push(
      line(zero + i, y0, zero + i, y0 + long, { "stroke-width": i % 10 === 0 ? 0.25 : 0.15 }),
    );
    if (i % 10 === 0)
      body.push(text(zero + i, y0 + 7.4, i === 0 ? "0 V" : String(i).replace("-", "−"), middle));
  }
  body.push(text(x0 - 1, y0 + 1, "down", end), text(x0 + SCALE_LENGTH + 1, y0 + 1, "up"));
  const mark = (spot: number, name: string, up: number) => {
    const mm = 1000 * spot;
    const beyond = Math.abs(mm) > SCALE_LENGTH / 2;
    const x = zero + Math.max(-SCALE_LENGTH / 2, Math.min(SCALE_LENGTH / 2, mm));
    return (
      line(x, y0 - up, x, y0, { stroke: BEAM, "stroke-width": 0.4 }) +
      text(x, y0 - up - 1, `${name}${beyond ? `, beyond: ${length(spot)}` : ""}`, {
        ...middle,
        fill: BEAM,
      })
    );
  };
  lever.states.forEach((state, i) => {
    body.push(mark(state.spot, state.name, 4 + 4 * (i % 2)));
  });
  const smallest = tests.map(({ spot }) => Math.abs(spot)).filter((x) => x > 0);
  const note =
    smallest.length === 0
      ? ""
      : `At the low voltage of the polarity test the spot moves by ${length(Math.min(...smallest))} to ${length(Math.max(...smallest))}.`;
  body.push(
    text(
      PAPER_WIDTH / 2,
      y0 + 12.4,
      `Millimetres, 1 : 1. Measure it: 150 mm from end to end. ${note}`,
      { ...middle, fill: QUIET },
    ),
  );
  const sentence = `Scale of 150 mm to cut out as the screen, 1 : 1, with the places of the spot: ${lever.states.map((state) => `${state.name} ${length(state.spot)}`).join(", ")}.`;
  return { svg: svg("screen", y0 + 15, sentence, body), scale: "1 : 1", factor: 1, sentence };
}
