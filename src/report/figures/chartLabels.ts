import { type Box, overlaps } from "./labels.ts";
import { line, type Point, type TextLook, text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { QUIET, SIZE } from "./theme.ts";

/** How bad it is to stand outside, over words, over a line (a px² each), behind words, and far away (a px). */
const COST = { outside: 1e6, words: 1e3, line: 1, behind: 500, leader: 2 };
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
  const marks = raster(bounds);
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
      const distance = Math.hypot(near.x - x, near.y - y);
      if (best !== null && COST.leader * distance >= best.cost) continue;
      const bad = hard(box);
      if (best !== null && bad >= best.cost) continue;
      const behind = words.some((other) => onLine({ x, y }, near, other)) ? COST.behind : 0;
      const covered = marks.under(box, gap);
      const cost = bad + behind + COST.line * covered + COST.leader * distance;
      if (best === null || cost < best.cost) best = { box, cost, hard: bad };
    }
    if (best === null || (!must && best.hard > 0)) return [];
    words.push(best.box);
    return drawn(block, best.box, x, y);
  };
  return {
    take: marks.take,
    reserve: (box) => {
      words.push(box);
    },
    free: (box) => hard(box) === 0 && marks.under(box, gap) === 0,
    clear: (box) => hard(box) === 0,
    callout: (block, x, y) => placed(block, x, y, true),
    calloutIfFree: (block, x, y) => placed(block, x, y, false),
  };
}

/** Side of a cell of the raster, px. */
const CELL = 3;

/** What is marked, on a raster: how much of a box is marked costs the same for one mark and a thousand. */
function raster(bounds: Box) {
  const columns = Math.max(1, Math.ceil(bounds.width / CELL));
  const rows = Math.max(1, Math.ceil(bounds.height / CELL));
  const marked = new Uint8Array(columns * rows);
  const sums = new Uint32Array((columns + 1) * (rows + 1));
  let fresh = true;
  const span = (from: number, size: number, origin: number, count: number) => {
    const first = Math.max(0, Math.floor((from - origin) / CELL));
    return [first, Math.min(count, Math.ceil((from + size - origin) / CELL))] as const;
  };
  const add = () => {
    for (let j = 0; j < rows; j++) {
      let sum = 0;
      for (let i = 0; i < columns; i++) {
        sum += marked[j * columns + i]!;
        const at = (j + 1) * (columns + 1) + i + 1;
        sums[at] = sums[at - columns - 1]! + sum;
      }
    }
    fresh = true;
  };
  return {
    take: (box: Box): void => {
      const [a, b] = span(box.x, box.width, bounds.x, columns);
      const [c, d] = span(box.y, box.height, bounds.y, rows);
      for (let j = c; j < d; j++) for (let i = a; i < b; i++) marked[j * columns + i] = 1;
      fresh = false;
    },
    /** Marked area under a box and `gap` px about it, px². */
    under: (box: Box, gap: number): number => {
      if (!fresh) add();
      const [a, b] = span(box.x - gap, box.width + 2 * gap, bounds.x, columns);
      const [c, d] = span(box.y - gap, box.height + 2 * gap, bounds.y, rows);
      if (b <= a || d <= c) return 0;
      const wide = columns + 1;
      const cells =
        sums[d * wide + b]! - sums[c * wide + b]! - sums[d * wide + a]! + sums[c * wide + a]!;
      return CELL * CELL * cells;
    },
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
