import { FONT, INK, PAPER, SIZE } from "./theme.ts";

/** Attributes of an element; undefined ones are left out. */
export type Attributes = Record<string, string | number | undefined>;

/** A coordinate with at most two decimals. RangeError for a number that is not finite. */
export function n(x: number): string {
  if (!Number.isFinite(x)) throw new RangeError(`a coordinate must be finite: got ${x}`);
  const text = x.toFixed(2).replace(/\.?0+$/, "");
  return text === "-0" ? "0" : text;
}

export function escapeText(text: string): string {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");
}

/** An element with its children, one line. */
export function el(name: string, attributes: Attributes, children = ""): string {
  const list = Object.entries(attributes)
    .filter(([, value]) => value !== undefined)
    .map(([key, value]) => {
      const text = typeof value === "number" ? n(value) : String(value);
      return ` ${key}="${escapeText(text).replaceAll('"', "&quot;")}"`;
    })
    .join("");
  return children === "" ? `<${name}${list}/>` : `<${name}${list}>${children}</${name}>`;
}

/** A group of the drawing that can be touched, by the name of what it shows. */
export function part(name: string, pieces: readonly string[]): string {
  const drawn = pieces.filter((piece) => piece !== "");
  return drawn.length === 0 ? "" : el("g", { "data-part": name }, drawn.join(""));
}

export interface Point {
  x: number;
  y: number;
}

export function line(
  x1: number,
  y1: number,
  x2: number,
  y2: number,
  more: Attributes = {},
): string {
  return el("line", { x1, y1, x2, y2, stroke: INK, "stroke-width": 1, ...more });
}

export function rect(
  x: number,
  y: number,
  width: number,
  height: number,
  more: Attributes = {},
): string {
  return el("rect", { x, y, width: Math.max(0, width), height: Math.max(0, height), ...more });
}

export function circle(cx: number, cy: number, r: number, more: Attributes = {}): string {
  return el("circle", { cx, cy, r, ...more });
}

export function pathData(points: readonly Point[], closed = false): string {
  const [first, ...rest] = points;
  if (first === undefined) return "";
  return `M${n(first.x)} ${n(first.y)}${rest.map((p) => `L${n(p.x)} ${n(p.y)}`).join("")}${closed ? "Z" : ""}`;
}

export function polyline(points: readonly Point[], more: Attributes = {}): string {
  return el("path", { d: pathData(points), fill: "none", stroke: INK, "stroke-width": 1, ...more });
}

export function polygon(points: readonly Point[], more: Attributes = {}): string {
  return el("path", { d: pathData(points, true), ...more });
}

export interface TextLook {
  size?: number;
  weight?: "bold";
  anchor?: "start" | "middle" | "end";
  fill?: string;
  /** Degrees about (x, y): −90 reads upwards. */
  turn?: -90;
  /** Paper-coloured outline under the letters, for text over hatching or lines. */
  halo?: boolean;
}

/** Text whose baseline starts (or is centred, or ends) at (x, y). */
export function text(x: number, y: number, words: string, look: TextLook = {}): string {
  const { size = SIZE.text, weight, anchor = "start", fill = INK, turn, halo = false } = look;
  return el(
    "text",
    {
      x,
      y,
      "font-size": size,
      "font-weight": weight,
      "text-anchor": anchor === "start" ? undefined : anchor,
      fill,
      transform: turn === undefined ? undefined : `rotate(${turn} ${n(x)} ${n(y)})`,
      ...(halo
        ? { stroke: PAPER, "stroke-width": 3, "stroke-linejoin": "round", "paint-order": "stroke" }
        : {}),
    },
    escapeText(words),
  );
}

/** Filled arrowhead with its point at `tip`, coming from the direction of `from`. */
export function arrowHead(
  from: Point,
  tip: Point,
  length = 8,
  half = 2.4,
  more: Attributes = {},
): string {
  const d = Math.hypot(tip.x - from.x, tip.y - from.y) || 1;
  const [ux, uy] = [(tip.x - from.x) / d, (tip.y - from.y) / d];
  const base = { x: tip.x - ux * length, y: tip.y - uy * length };
  return polygon(
    [
      tip,
      { x: base.x - uy * half, y: base.y + ux * half },
      { x: base.x + uy * half, y: base.y - ux * half },
    ],
    { fill: INK, ...more },
  );
}

/** Pattern of parallel lines at 45° (rising) or −45° (falling), `gap` px apart. */
export function hatch(
  id: string,
  way: "rising" | "falling",
  gap: number,
  stroke: string,
  fill = "none",
  width = 0.7,
): string {
  const turn = way === "rising" ? 45 : -45;
  return el(
    "pattern",
    {
      id,
      width: gap,
      height: gap,
      patternUnits: "userSpaceOnUse",
      patternTransform: `rotate(${turn})`,
    },
    (fill === "none" ? "" : rect(0, 0, gap, gap, { fill })) +
      line(0, 0, 0, gap, { stroke, "stroke-width": width * 2 }),
  );
}

/** Pattern of staggered dots. */
export function dots(id: string, gap: number, fill: string, ground: string, r = 0.8): string {
  return el(
    "pattern",
    { id, width: gap, height: gap, patternUnits: "userSpaceOnUse" },
    rect(0, 0, gap, gap, { fill: ground }) +
      circle(gap / 4, gap / 4, r, { fill }) +
      circle((3 * gap) / 4, (3 * gap) / 4, r, { fill }),
  );
}

export interface SheetOfPaper {
  width: number;
  height: number;
  /** Short name, used for ids. */
  name: string;
  title: string;
  /** Sentence for those who can't see the picture. */
  sentence: string;
  defs?: readonly string[];
  /** Without ground and without a type of its own: the page around it has both. */
  bare?: boolean;
}

/** A finished SVG document, one element a line, on opaque paper. */
export function svgDocument(paper: SheetOfPaper, body: readonly string[]): string {
  const { width, height, name, title, sentence, defs = [], bare = false } = paper;
  const type = bare ? "" : ` font-family="${FONT}"`;
  const lines = [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${n(width)} ${n(height)}" width="${n(width)}" height="${n(height)}" role="img" aria-labelledby="${name}-title ${name}-sentence"${type}>`,
    el("title", { id: `${name}-title` }, escapeText(title)),
    el("desc", { id: `${name}-sentence` }, escapeText(sentence)),
    ...(defs.length === 0 ? [] : ["<defs>", ...defs, "</defs>"]),
    bare ? "" : rect(0, 0, width, height, { fill: PAPER }),
    ...body.filter((part) => part !== ""),
    "</svg>",
  ];
  return `${lines.filter((line) => line !== "").join("\n")}\n`;
}
