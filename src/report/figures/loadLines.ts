import type { Design } from "../../design/design.ts";
import type { SeatFigures, SheetResult } from "../../sheet/result.ts";
import { printFigure } from "../figureUnits.ts";
import { axisUnit, bottomAxis, leftAxis, linear, plotClip } from "./axis.ts";
import {
  chartDocument,
  chartSheet,
  clipped,
  notesUnder,
  type PlotSides,
  plotAxis,
  shown,
} from "./chartFrame.ts";
import { chartLabels } from "./chartLabels.ts";
import { csvText } from "./csv.ts";
import { curveNames } from "./curveNames.ts";
import { type Figure, type FigureOptions, originLine } from "./figure.ts";
import { alongRun } from "./labels.ts";
import {
  contactSide,
  equilibria,
  interpolate,
  jump,
  snapMark,
  snapWords,
} from "./loadLineMarks.ts";
import { against, type LoadLine, type Snap, snapOpen } from "./snap.ts";
import { el, line, type Point, polyline, rect } from "./svg.ts";
import { CURVES, PLOT_GROUND, QUIET } from "./theme.ts";

const OWN = { width: 1080, height: 520 };
const ID = "load-lines";
const TITLE = "Load lines at the seat";
/** Height from which there is room for a note, px. */
const ROOMY = 400;

interface Curve {
  id: string;
  words: string;
  values: readonly number[];
  width: number;
}

/**
 * Forces at the seat against lift: strip in both states, gas, gas with pad, the equilibria stable or
 * not, the snap. Null without a seat.
 */
export function loadLines(
  design: Design,
  result: SheetResult,
  options: FigureOptions = {},
): Figure | null {
  const seat = result.seat;
  if (seat === null || seat.load_line.lift_m.length < 2) return null;
  const load = seat.load_line;
  const h = load.lift_m;
  const works = against(load);
  const snap = snapOpen(load);
  const sheet = chartSheet(options, OWN);
  const names = Math.max(92, Math.min(250, 0.2 * sheet.width));
  const [left, right] = [72, sheet.width - names - 26];
  const notes = notesUnder(
    sheet.bare || sheet.height < ROOMY
      ? ""
      : "Rest where strip meets gas and pad: filled dot stable, open dot not. Left of zero the pad is pressed into the seat.",
    left,
    sheet.width - 12,
  );
  const bottom = sheet.bottom - 40 - (notes.height === 0 ? 0 : notes.height + 4);
  const plot: PlotSides = { left, right, top: sheet.top + 16, bottom };
  const [x0, x1] = shown([h[0]!, h[h.length - 1]!], options.view?.x);
  const x = linear(x0, x1, [left, right]);
  const [y0, y1] = shown(forces(load, works, seat), options.view?.y);
  const y = linear(y0, y1, [bottom, plot.top]);
  const curves = curvesOf(result, load, works);
  const drawn = curves.map((curve, i) => ({
    ...curve,
    hue: CURVES[i]!,
    runs: [curve.values.map((f, k): Point => ({ x: x.at(h[k]!), y: y.at(f) }))],
  }));

  const labels = chartLabels({
    x: left + 3,
    y: plot.top + 3,
    width: right - left - 6,
    height: bottom - plot.top - 6,
  });
  const lines = [
    ...drawn.flatMap(({ runs }) => runs),
    ...(snap === null ? [] : [jump(snap, x, y)]),
  ];
  for (const run of lines)
    for (const piece of clipped(run, plot)) for (const box of alongRun(piece)) labels.take(box);
  const rests = equilibria(seat, load, x, y, plot, labels);
  const body = [
    rect(left, plot.top, right - left, bottom - plot.top, { fill: PLOT_GROUND }),
    ...contactSide(design, x, plot),
    ...bottomAxis(x, bottom, {
      name: "lift",
      unit: axisUnit("length", x.from, x.to),
      count: (right - left) / 80,
      grid: plot.top,
    }),
    ...leftAxis(y, left, {
      name: "force towards opening",
      unit: axisUnit("force", y.from, y.to),
      count: (bottom - plot.top) / 46,
      grid: right,
    }),
    el(
      "g",
      { "clip-path": `url(#${ID}-plot)` },
      line(left, y.at(0), right, y.at(0), { stroke: QUIET, "stroke-width": 0.9 }) +
        drawn.map(curveLine).join("") +
        snapMark(snap, x, y),
    ),
    ...rests,
    ...snapWords(snap, x, y, plot, labels),
    ...curveNames(
      drawn,
      plot,
      { x: right + 22, right: sheet.width - 4, top: plot.top, bottom },
      labels,
    ),
    ...notes.put(bottom + 50),
  ];
  const sentence = sentenceOf(seat, snap);
  return {
    name: ID,
    title: TITLE,
    sentence,
    csv: csvOf(design, load, works, options),
    plot: {
      x: plotAxis(x, "lift", axisUnit("length", x.from, x.to)),
      y: plotAxis(y, "force towards opening", axisUnit("force", y.from, y.to)),
      series: curves.map(({ id, words, values }) => ({ id, name: words, x: h, y: values })),
    },
    svg: chartDocument(
      design,
      options,
      sheet,
      {
        name: ID,
        title: TITLE,
        beside: besideOf(design, sheet.width),
        sentence,
        defs: [plotClip(`${ID}-plot`, plot)],
      },
      body,
    ),
  };
}

function besideOf(design: Design, width: number): string {
  if (width < 640) return "";
  const pressure = printFigure("p_Pa", design.need.plenumPressure, null, { digits: 3 });
  return `${design.gas?.name ?? "gas"} at ${pressure}, ${design.seat?.arrangement ?? ""}`;
}

const closedOutput = (result: SheetResult) => result.wiring?.closed_state ?? "low";
const openOutput = (result: SheetResult) => (closedOutput(result) === "low" ? "high" : "low");

function curvesOf(result: SheetResult, load: LoadLine, works: readonly number[]): Curve[] {
  return [
    {
      id: "strip-open",
      words: `strip, open (output ${openOutput(result)})`,
      values: load.strip_open_N,
      width: 2,
    },
    {
      id: "strip-closed",
      words: `strip, closed (output ${closedOutput(result)})`,
      values: load.strip_closed_N,
      width: 2,
    },
    { id: "gas-and-pad", words: "gas and pad together", values: works, width: 2.4 },
    { id: "gas", words: "gas alone", values: load.gas_force_N.map((f) => -f), width: 1.4 },
  ];
}

function curveLine(curve: Curve & { hue: (typeof CURVES)[number]; runs: Point[][] }): string {
  const { dash, line: stroke } = curve.hue;
  const look = {
    stroke,
    "stroke-width": curve.width,
    "stroke-dasharray": dash === "" ? undefined : dash,
    "stroke-linejoin": "round",
  };
  return el("g", { "data-curve": curve.id }, curve.runs.map((run) => polyline(run, look)).join(""));
}

/** From a little below the lowest force worth seeing to a little above the highest. */
function forces(load: LoadLine, works: readonly number[], seat: SeatFigures): [number, number] {
  const closed = seat.equilibria.filter((e) => e.state === "closed").map((e) => e.lift_m);
  const at = (values: readonly number[], lift: number) => interpolate(load.lift_m, values, lift);
  const seen = [
    0,
    ...works.filter((_, i) => load.lift_m[i]! >= 0),
    ...load.strip_open_N,
    ...closed.map((lift) => at(load.strip_closed_N, lift)),
  ];
  const low = Math.min(...seen);
  const high = Math.max(...seen);
  const pad = 0.08 * (high - low || 1);
  return [low - pad, high + pad];
}

function sentenceOf(seat: SeatFigures, snap: Snap | null): string {
  const um = (v: number) => printFigure("x_m", v, null, { digits: 3 });
  const at = (state: "closed" | "open") => {
    const stable = seat.equilibria.filter((e) => e.state === state && e.stable);
    return stable.length === 0 ? "nowhere" : `at ${stable.map((e) => um(e.lift_m)).join(" or ")}`;
  };
  const way =
    snap === null
      ? "it opens without a jump"
      : `it snaps from ${um(snap.from)} to ${um(snap.to)} on opening`;
  return `Forces at the seat against lift: the pad rests ${at("closed")} when closed and ${at("open")} when open; ${way}.`;
}

function csvOf(
  design: Design,
  load: LoadLine,
  works: readonly number[],
  options: FigureOptions,
): string {
  return csvText(
    {
      figure: "load lines at the seat, forces along opening",
      design: design.name,
      origin: originLine(design, options),
    },
    [
      { name: "lift", unit: "m", values: load.lift_m },
      { name: "strip_open", unit: "N", values: load.strip_open_N },
      { name: "strip_closed", unit: "N", values: load.strip_closed_N },
      { name: "gas", unit: "N", values: load.gas_force_N },
      { name: "pad", unit: "N", values: load.pad_N },
      { name: "to_overcome", unit: "N", values: works },
    ],
  );
}
