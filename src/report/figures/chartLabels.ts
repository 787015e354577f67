import { type Box, overlaps } from "./labels.ts";
import { line, type Point, type TextLook, text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { QUIET, SIZE } from "./theme.ts";

/** How bad it is to stand outside, over other words, over a line, on the far side of words. */
const COST = { outside: 1e6, words: 1e3, line: 1, behind: 500 };
/** Height of a line of small text, px. */
export const TEXT_LINE = 12;

/** Words in one or more lines, and where they may stand. */
export interface Block {
  lines: readonly string[];
  look?: TextLook;
  /** Look of the lines after the first; default: the same. */
  rest?: TextLook;
}

/** Labels of a chart: words keep clear of words first, of lines and marks second. */
export interface ChartLabels {
  /** Marks a place that words had better not cover. */
  take: (box: Box) => void;
  /** Whether nothing stands there, inside the bounds. */
  free: (box: Box) => boolean;
  /** Whether no words stand there, inside the bounds; lines may. */
  clear: (box: Box) => boolean;
  /** Marks a place of words that are drawn elsewhere. */
  reserve: (box: Box) => void;
  /** Words about the point (x, y), as near to it as there is room, with a leader where they stand off. */
  callout: (block: Block, x: number, y: number) => string[];
  /** The same, but nothing where they would cover other words or leave the bounds. */
  calloutIfFree: (block: Block, x: number, y: number) => string[];
}

export function chartLabels(bounds: Box, gap = 2): ChartLabels {
  const marks: Box[] = [];
  const words: Box[] = [];
  const outside = (b: Box) =>
    Math.max(0, bounds.x - b.x) +
    Math.max(0, bounds.y - b.y) +
    Math.max(0, b.x + b.width - bounds.x - bounds.width) +
    Math.max(0, b.y + b.height - bounds.y - bounds.height);
  const shared = (a: Box, b: Box) =>
    (Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x) + gap) *
    (Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y) + gap);
  const over = (box: Box, list: readonly Box[]) =>
    list.reduce((sum, other) => sum + (overlaps(box, other, gap) ? shared(box, other) : 0), 0);
  const hard = (box: Box) => COST.outside * outside(box) + COST.words * over(box, words);
  const placed = (block: Block, x: number, y: number, must: boolean): string[] => {
    const size = sizeOf(block);
    let best: { box: Box; cost: number; hard: number } | null = null;
    for (const box of boxesAbout(x, y, size)) {
      const near = nearest(box, x, y);
      const behind = words.some((other) => onLine({ x, y }, near, other)) ? COST.behind : 0;
      const bad = hard(box);
      const distance = Math.hypot(near.x - x, near.y - y);
      const cost = bad + behind + COST.line * over(box, marks) + 0.01 * distance;
      if (best === null || cost < best.cost) best = { box, cost, hard: bad };
      if (bad + behind === 0 && over(box, marks) === 0) break;
    }
    if (best === null || (!must && best.hard > 0)) return [];
    words.push(best.box);
    return drawn(block, best.box, x, y);
  };
  return {
    take: (box) => {
      marks.push(box);
    },
    reserve: (box) => {
      words.push(box);
    },
    free: (box) => hard(box) === 0 && over(box, marks) === 0,
    clear: (box) => hard(box) === 0,
    callout: (block, x, y) => placed(block, x, y, true),
    calloutIfFree: (block, x, y) => placed(block, x, y, false),
  };
}

const lookOf = ({ look = {}, rest = look }: Block, i: number): TextLook => ({
  size: SIZE.small,
  ...(i === 0 ? look : rest),
});

function sizeOf(block: Block): { width: number; height: number } {
  const widths = block.lines.map((words, i) => {
    const look = lookOf(block, i);
    return textWidth(words, look.size, look.weight === "bold");
  });
  return { width: Math.max(...widths), height: TEXT_LINE * block.lines.length };
}

/** Boxes about a point: at rising distance, right and left of it, above and below. */
function* boxesAbout(
  x: number,
  y: number,
  { width, height }: { width: number; height: number },
): Generator<Box> {
  for (let reach = 10; reach <= 170; reach += 8)
    for (const [dx, dy] of [
      [1, -1],
      [-1, -1],
      [1, 1],
      [-1, 1],
    ] as const)
      for (const [across, up] of [
        [1, 1],
        [0.3, 1],
        [1.2, 0],
        [2.2, 0.8],
        [-0.5, 1],
      ] as const) {
        if (up === 0 && dy > 0) continue;
        const at = Math.min(reach * across, 130);
        yield {
          x: dx > 0 ? x + at : x - at - width,
          y: up === 0 ? y - height / 2 : dy < 0 ? y - reach * up - height : y + reach * up,
          width,
          height,
        };
      }
  yield { x: x - width / 2, y: y - 12 - height, width, height };
}

const nearest = (box: Box, x: number, y: number): Point => ({
  x: Math.min(Math.max(x, box.x), box.x + box.width),
  y: Math.min(Math.max(y, box.y), box.y + box.height),
});

function drawn(block: Block, box: Box, x: number, y: number): string[] {
  const near = nearest(box, x, y);
  const far = Math.hypot(near.x - x, near.y - y);
  const anchor = box.x + box.width <= x ? "end" : "start";
  const at = anchor === "end" ? box.x + box.width : box.x;
  const out = block.lines.map((words, i) =>
    text(at, box.y + 9.5 + TEXT_LINE * i, words, { ...lookOf(block, i), anchor, halo: true }),
  );
  if (far > 16) {
    const [ux, uy] = [(near.x - x) / far, (near.y - y) / far];
    out.unshift(
      line(x + 6 * ux, y + 6 * uy, near.x - 2 * ux, near.y - 2 * uy, {
        stroke: QUIET,
        "stroke-width": 0.7,
      }),
    );
  }
  return out;
}

/** Whether a straight line runs through a box, looked at every 3 px. */
function onLine(from: Point, to: Point, box: Box): boolean {
  const count = Math.max(1, Math.ceil(Math.hypot(to.x - from.x, to.y - from.y) / 3));
  for (let k = 0; k <= count; k++) {
    const x = from.x + ((to.x - from.x) * k) / count;
    const y = from.y + ((to.y - from.y) * k) / count;
    if (x >= box.x && x <= box.x + box.width && y >= box.y && y <= box.y + box.height) return true;
  }
  return false;
}
