import { arrowHead, line, type Point, text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { QUIET, SIZE } from "./theme.ts";

const HEAD = 8;
const GAP = 2;
const BEYOND = 3;

export interface DimensionLook {
  /** Where the words stand when they do not fit between the arrows. Default "after". */
  side?: "before" | "after";
  stroke?: string;
  /** Paper behind the words. */
  halo?: boolean;
}

/** Witness lines from two features and a dimension line at `y` between them, arrows and words. */
export function horizontalDimension(
  a: Point,
  b: Point,
  y: number,
  words: string,
  look: DimensionLook = {},
): string[] {
  const [left, right] = a.x <= b.x ? [a, b] : [b, a];
  const stroke = look.stroke ?? QUIET;
  const thin = { stroke, "stroke-width": 0.7 };
  const out = [left, right].map((p) => {
    const way = Math.sign(y - p.y) || 1;
    return line(p.x, p.y + way * GAP, p.x, y + way * BEYOND, thin);
  });
  const width = textWidth(words, SIZE.small);
  const room = right.x - left.x;
  const head = { fill: stroke };
  const word = (x: number, anchor: "start" | "middle" | "end", up: number) =>
    text(x, y - up, words, { size: SIZE.small, anchor, halo: look.halo ?? true });
  if (room >= width + 2 * HEAD + 6) {
    out.push(
      line(left.x, y, right.x, y, thin),
      arrowHead({ x: right.x, y }, { x: left.x, y }, HEAD, 2.2, head),
      arrowHead({ x: left.x, y }, { x: right.x, y }, HEAD, 2.2, head),
      word((left.x + right.x) / 2, "middle", 3.5),
    );
    return out;
  }
  const reach = HEAD + 10;
  out.push(
    line(left.x - reach, y, left.x, y, thin),
    line(right.x, y, right.x + reach, y, thin),
    arrowHead({ x: left.x - 9, y }, { x: left.x, y }, HEAD, 2.2, head),
    arrowHead({ x: right.x + 9, y }, { x: right.x, y }, HEAD, 2.2, head),
    look.side === "before"
      ? word(left.x - reach - 3, "end", -3.6)
      : word(right.x + reach + 3, "start", -3.6),
  );
  return out;
}

/** As `horizontalDimension`, upright at `x`; the words stand beside the line. */
export function verticalDimension(
  a: Point,
  b: Point,
  x: number,
  words: string,
  look: DimensionLook = {},
): string[] {
  const [top, bottom] = a.y <= b.y ? [a, b] : [b, a];
  const stroke = look.stroke ?? QUIET;
  const thin = { stroke, "stroke-width": 0.7 };
  const out = [top, bottom].map((p) => {
    const way = Math.sign(x - p.x) || 1;
    return line(p.x + way * GAP, p.y, x + way * BEYOND, p.y, thin);
  });
  const room = bottom.y - top.y;
  const head = { fill: stroke };
  const before = look.side === "before";
  const word = (y: number) =>
    text(before ? x - 6 : x + 6, y, words, {
      size: SIZE.small,
      anchor: before ? "end" : "start",
      halo: look.halo ?? true,
    });
  if (room >= 2 * HEAD + 4) {
    out.push(
      line(x, top.y, x, bottom.y, thin),
      arrowHead({ x, y: bottom.y }, { x, y: top.y }, HEAD, 2.2, head),
      arrowHead({ x, y: top.y }, { x, y: bottom.y }, HEAD, 2.2, head),
      word((top.y + bottom.y) / 2 + 3.6),
    );
    return out;
  }
  const reach = HEAD + 8;
  out.push(
    line(x, top.y - reach, x, top.y, thin),
    line(x, bottom.y, x, bottom.y + reach, thin),
    arrowHead({ x, y: top.y - 9 }, { x, y: top.y }, HEAD, 2.2, head),
    arrowHead({ x, y: bottom.y + 9 }, { x, y: bottom.y }, HEAD, 2.2, head),
    word((top.y + bottom.y) / 2 + 3.6),
  );
  return out;
}
