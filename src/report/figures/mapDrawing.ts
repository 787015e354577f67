import type { Scale } from "./axis.ts";
import type { PlotSides } from "./chartFrame.ts";
import { type ChartLabels, chartLabels, TEXT_LINE } from "./chartLabels.ts";
import { alongRun, textBox } from "./labels.ts";
import { linesOf, ringsOf } from "./mapContours.ts";
import { deepestFirst, type MapGrid, type MapRegion, regionIndex } from "./mapRegions.ts";
import { circle, el, hatch, type Point, pathData, polyline, rect, text } from "./svg.ts";
import { textWidth, wrapWords } from "./textSize.ts";
import { CURVES, HAIR, INK, MET_FILL, PAPER, QUIET, SIZE } from "./theme.ts";

/** A plateau at a level (a field margin of just 50 %) has an outline when the contour lies so much below it. */
const BELOW = 1e-3;
/** Smallest margins that have a contour, and their line widths. */
const LEVELS = [
  { level: 0, width: 2.2, stroke: INK },
  { level: 0.25, width: 1, stroke: QUIET },
  { level: 0.5, width: 1, stroke: QUIET },
  { level: 1, width: 1, stroke: QUIET },
] as const;

/** Shortest contour that has its level written on it, px. */
const SHORTEST_NAMED = 90;
/** Widest line of a region's name, px. */
const NAME_WIDTH = 150;

/** One hatch for each hue, each with a way and a gap of its own, so that grey print tells them apart. */
export function hatches(name: string): string[] {
  const ways = [
    ["rising", 7],
    ["falling", 7],
    ["rising", 11],
    ["falling", 11],
    ["rising", 16],
  ] as const;
  return CURVES.map((hue, i) => hatch(`${name}-${i}`, ways[i]![0], ways[i]![1], hue.line));
}

/** Places of the grid in px: straight lines between its columns and rows. */
function placer(grid: MapGrid, x: Scale, y: Scale): (p: Point) => Point {
  const along = (values: readonly number[], at: number) => {
    const i = Math.min(Math.floor(at), values.length - 2);
    return values[i]! + (at - i) * (values[i + 1]! - values[i]!);
  };
  return (p) => ({ x: x.at(along(grid.x, p.x)), y: y.at(along(grid.y, p.y)) });
}

const path = (rings: readonly Point[][], place: (p: Point) => Point) =>
  rings.map((ring) => pathData(ring.map(place), true)).join("");

/**
 * Regions over each other, the largest over everything and each further one where it binds, then the met
 * part on top: no gaps where three of them meet.
 */
function regionFills(
  grid: MapGrid,
  regions: readonly MapRegion[],
  x: Scale,
  y: Scale,
  name: string,
): string[] {
  const place = placer(grid, x, y);
  const [columns, rows] = [grid.x.length, grid.y.length];
  const index = regionIndex(grid, regions);
  const out = regions.map((region, k) => {
    const from = index.map((own) => (own >= k || (k === 0 && own < 0) ? 1 : 0));
    const d = path(ringsOf(from, columns, rows, 0.5), place);
    return el(
      "g",
      { "data-binding": region.words },
      el("path", { d, fill: PAPER }) +
        el("path", { d, fill: region.hue.line, "fill-opacity": 0.09 }) +
        el("path", { d, fill: `url(#${name}-${k})`, "fill-opacity": 1, opacity: 0.4 }),
    );
  });
  const met = ringsOf(grid.margin, columns, rows, 0);
  if (met.length > 0) {
    const d = path(met, place);
    out.push(
      el(
        "g",
        { "data-part": "met" },
        el("path", { d, fill: PAPER, "fill-rule": "evenodd" }) +
          el("path", { d, fill: MET_FILL, "fill-rule": "evenodd" }),
      ),
    );
  }
  return out;
}

const lengthOf = (run: readonly Point[]) =>
  run.reduce(
    (sum, p, i) => sum + (i === 0 ? 0 : Math.hypot(p.x - run[i - 1]!.x, p.y - run[i - 1]!.y)),
    0,
  );

interface ContourDrawing {
  /** px. */
  runs: Point[][];
  line: string;
  /** Writes the level on the line, clear of what is there; nothing where there is no room. */
  put: (labels: ChartLabels) => string;
}

/** Contours of the smallest margin, that of zero first and strongest. */
function contourLines(grid: MapGrid, x: Scale, y: Scale): ContourDrawing[] {
  const place = placer(grid, x, y);
  const [columns, rows] = [grid.x.length, grid.y.length];
  return LEVELS.map(({ level, width, stroke }) => {
    const runs = linesOf(
      ringsOf(grid.margin, columns, rows, level * (1 - BELOW)),
      columns,
      rows,
    ).map((run) => run.map(place));
    return {
      runs,
      line: runs
        .map((run) => polyline(run, { stroke, "stroke-width": width, "stroke-linejoin": "round" }))
        .join(""),
      put: (labels) => {
        const words = `${100 * level} %`;
        const longest = [...runs]
          .filter((run) => lengthOf(run) > SHORTEST_NAMED)
          .sort((a, b) => b.length - a.length);
        for (const run of longest)
          for (const share of [0.5, 0.35, 0.65, 0.2, 0.8]) {
            const p = run[Math.round(share * (run.length - 1))]!;
            const at = { x: p.x, y: p.y + 3.6, anchor: "middle" as const };
            const box = textBox(at.x, at.y, words, { size: SIZE.small, anchor: "middle" });
            if (!labels.clear(box)) continue;
            labels.reserve(box);
            return (
              rect(box.x - 2, box.y, box.width + 4, box.height, { fill: MET_FILL }) +
              text(at.x, at.y, words, { size: SIZE.small, anchor: "middle" })
            );
          }
        return "";
      },
    };
  });
}

/** Each region's name where it is deepest; a region too small for its name has it beside, with a leader. */
function regionNames(
  grid: MapGrid,
  regions: readonly MapRegion[],
  x: Scale,
  y: Scale,
  plot: PlotSides,
  labels: ChartLabels,
): string[] {
  const place = placer(grid, x, y);
  const index = regionIndex(grid, regions);
  return regions.flatMap((region, k) => {
    const width = Math.min(NAME_WIDTH, 0.4 * (plot.right - plot.left));
    const lines = wrapWords(region.words, width, SIZE.small);
    const widest = Math.max(...lines.map((words) => textWidth(words, SIZE.small)));
    const height = TEXT_LINE * lines.length;
    const seen = deepestFirst(grid, index, k)
      .map(place)
      .filter(
        (p) => p.x >= plot.left && p.x <= plot.right && p.y >= plot.top && p.y <= plot.bottom,
      );
    for (const p of seen) {
      const cx = Math.min(Math.max(p.x, plot.left + widest / 2 + 5), plot.right - widest / 2 - 5);
      const cy = Math.min(Math.max(p.y, plot.top + height / 2 + 5), plot.bottom - height / 2 - 5);
      const box = { x: cx - widest / 2, y: cy - height / 2, width: widest, height };
      if (!labels.free(box)) continue;
      const first = cy - height / 2 + 9;
      labels.reserve(box);
      const look = {
        size: SIZE.small,
        anchor: "middle",
        fill: region.hue.text,
        halo: true,
      } as const;
      return lines.map((words, i) => text(cx, first + TEXT_LINE * i, words, look));
    }
    const [deepest] = seen;
    if (deepest === undefined) return [];
    return labels.calloutIfFree({ lines, look: { fill: region.hue.text } }, deepest.x, deepest.y);
  });
}

/**
 * A map on its finest complete lattice: regions, contours, names, frame, and on top the mark of what is present, which
 * `mark` draws after it has taken its place among the labels.
 */
export function filledMap(
  grid: MapGrid,
  regions: readonly MapRegion[],
  x: Scale,
  y: Scale,
  plot: PlotSides,
  name: string,
  mark: (labels: ChartLabels) => string,
): string[] {
  const labels = chartLabels({
    x: plot.left + 3,
    y: plot.top + 3,
    width: plot.right - plot.left - 6,
    height: plot.bottom - plot.top - 6,
  });
  const clip = { "clip-path": `url(#${name}-plot)` };
  const contours = contourLines(grid, x, y);
  for (const run of contours[0]?.runs ?? []) for (const box of alongRun(run)) labels.take(box);
  const present = mark(labels);
  const lines = contours.map((contour) => contour.put(labels));
  return [
    el("g", clip, regionFills(grid, regions, x, y, name).join("")),
    el("g", clip, contours.map((contour) => contour.line).join("")),
    rect(plot.left, plot.top, plot.right - plot.left, plot.bottom - plot.top, {
      fill: "none",
      stroke: HAIR,
    }),
    ...regionNames(grid, regions, x, y, plot, labels),
    ...lines,
    present,
  ];
}

/** The present place of a map with its words beside it; empty where it lies outside the plot. */
export function presentDot(
  at: Point,
  plot: PlotSides,
  labels: ChartLabels,
  lines: readonly string[],
): string {
  const inside = at.x >= plot.left && at.x <= plot.right && at.y >= plot.top && at.y <= plot.bottom;
  if (!inside) return "";
  labels.take({ x: at.x - 8, y: at.y - 8, width: 16, height: 16 });
  return el(
    "g",
    { "data-part": "present" },
    circle(at.x, at.y, 5, { fill: INK, stroke: PAPER, "stroke-width": 1.5 }) +
      labels
        .callout({ lines: [...lines], look: { weight: "bold" }, rest: {} }, at.x, at.y)
        .join(""),
  );
}

/** Before the coarsest lattice is complete: a dot for each cell computed, full where it is met. */
export function cellDots(cells: readonly (Point & { met: boolean })[], name: string): string {
  const dots = cells.map(({ x, y, met }) =>
    circle(x, y, 4, { fill: met ? MET_FILL : "none", stroke: QUIET }),
  );
  return el("g", { "clip-path": `url(#${name}-plot)` }, dots.join(""));
}
