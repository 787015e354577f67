import type { Design } from "../../design/design.ts";
import type { SeatFigures, SheetResult } from "../../sheet/result.ts";
import { printFigure } from "../figureUnits.ts";
import { axisUnit, bottomAxis, leftAxis, linear, note, plotClip, type Scale } from "./axis.ts";
import { csvText } from "./csv.ts";
import { endColumn } from "./curveNames.ts";
import { type Figure, type FigureOptions, frame, originLine } from "./figure.ts";
import { alongRun, calledOut, type LabelSheet, labelSheet } from "./labels.ts";
import { against, type LoadLine, type Snap, snapOpen } from "./snap.ts";
import {
  arrowHead,
  circle,
  el,
  line,
  type Point,
  polyline,
  rect,
  svgDocument,
  text,
} from "./svg.ts";
import { CURVES, INK, PAPER, PLOT_GROUND, QUIET, SHADE, SIZE } from "./theme.ts";

const WIDTH = 1080;
const HEIGHT = 520;
const PLOT = { left: 92, right: 800, top: 64, bottom: 432 };
const ID = "load-lines";

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
  const gas = load.gas_force_N.map((f) => -f);
  const snap = snapOpen(load);
  const x = linear(h[0]!, h[h.length - 1]!, [PLOT.left, PLOT.right]);
  const y = forceScale(load, works, seat);
  const runs = [
    { words: `strip, open (output ${openOutput(result)})`, values: load.strip_open_N, width: 2 },
    {
      words: `strip, closed (output ${closedOutput(result)})`,
      values: load.strip_closed_N,
      width: 2,
    },
    { words: "gas and pad together", values: works, width: 2.4 },
    { words: "gas alone", values: gas, width: 1.4 },
  ].map((curve) => ({
    ...curve,
    points: curve.values.map((f, i): Point => ({ x: x.at(h[i]!), y: y.at(f) })),
  }));

  const labels = labelSheet({
    x: PLOT.left + 3,
    y: PLOT.top + 3,
    width: PLOT.right - PLOT.left - 6,
    height: PLOT.bottom - PLOT.top - 6,
  });
  for (const run of runs) for (const box of alongRun(clipRun(run.points))) labels.take(box);
  if (snap !== null)
    for (const box of alongRun([
      { x: x.at(snap.from), y: y.at(snap.forceFrom) },
      { x: x.at(snap.to), y: y.at(snap.forceTo) },
    ]))
      labels.take(box);
  const body = [
    rect(PLOT.left, PLOT.top, PLOT.right - PLOT.left, PLOT.bottom - PLOT.top, {
      fill: PLOT_GROUND,
    }),
    ...contactSide(design, x),
    ...bottomAxis(x, PLOT.bottom, {
      name: "lift",
      unit: axisUnit("length", x.from, x.to),
      count: 9,
      grid: PLOT.top,
    }),
    ...leftAxis(y, PLOT.left, {
      name: "force towards opening",
      unit: axisUnit("force", y.from, y.to),
      count: 7,
      grid: PLOT.right,
    }),
    line(PLOT.left, y.at(0), PLOT.right, y.at(0), { stroke: QUIET, "stroke-width": 0.9 }),
    el(
      "g",
      { "clip-path": `url(#${ID}-plot)` },
      runs
        .map((run, i) =>
          polyline(run.points, {
            stroke: CURVES[i]!.line,
            "stroke-width": run.width,
            "stroke-dasharray": CURVES[i]!.dash === "" ? undefined : CURVES[i]!.dash,
            "stroke-linejoin": "round",
          }),
        )
        .join("") + snapMark(snap, x, y),
    ),
    ...equilibria(seat, load, x, y, labels),
    ...endLabels(runs, labels),
    ...snapWords(snap, x, y, labels),
    note(
      PLOT.left,
      PLOT.bottom + 54,
      "Rest where strip meets gas and pad: filled dot stable, open dot not. Left of zero the pad is pressed into the seat.",
    ),
  ];
  const title = "Load lines at the seat";
  const beside = `${design.gas?.name ?? "gas"} at ${printFigure("p_Pa", design.need.plenumPressure, null, { digits: 3 })}, ${design.seat?.arrangement ?? ""}`;
  const sentence = sentenceOf(seat, snap);
  const size = { width: WIDTH, height: HEIGHT };
  const defs = [plotClip(`${ID}-plot`, PLOT)];
  return {
    name: ID,
    title,
    sentence,
    csv: csvOf(design, load, works, options),
    svg: svgDocument({ ...size, name: ID, title, sentence, defs }, [
      ...frame(size, title, beside, originLine(design, options)),
      ...body,
    ]),
  };
}

const closedOutput = (result: SheetResult) => result.wiring?.closed_state ?? "low";
const openOutput = (result: SheetResult) => (closedOutput(result) === "low" ? "high" : "low");

/** From a little below the lowest force worth seeing to a little above the highest. */
function forceScale(load: LoadLine, works: readonly number[], seat: SeatFigures): Scale {
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
  return linear(low - pad, high + pad, [PLOT.bottom, PLOT.top]);
}

function interpolate(xs: readonly number[], ys: readonly number[], x: number): number {
  for (let i = 1; i < xs.length; i++) {
    if (x > xs[i]! && i < xs.length - 1) continue;
    const share = (x - xs[i - 1]!) / (xs[i]! - xs[i - 1]!);
    return ys[i - 1]! + Math.min(1, Math.max(0, share)) * (ys[i]! - ys[i - 1]!);
  }
  return ys[0] ?? 0;
}

function clipRun(points: readonly Point[]): Point[] {
  return points.filter((p) => p.y > PLOT.top && p.y < PLOT.bottom);
}

/** The side where pad and seat touch, dotted like the pad, with the lift of full opening. */
function contactSide(design: Design, x: Scale): string[] {
  const zero = x.at(0);
  const out: string[] = [];
  if (x.from < 0)
    out.push(
      rect(PLOT.left, PLOT.top, zero - PLOT.left, PLOT.bottom - PLOT.top, { fill: SHADE }),
      line(zero, PLOT.top, zero, PLOT.bottom, { stroke: INK, "stroke-width": 0.9 }),
    );
  const seat = design.seat;
  if (seat === undefined) return out;
  const d = design.need.orificeDiameter;
  const full = seat.form === "flat" ? d / 4 : (d * d) / (4 * seat.diameter);
  if (full > x.from && full < x.to)
    out.push(
      line(x.at(full), PLOT.top, x.at(full), PLOT.bottom, {
        stroke: QUIET,
        "stroke-width": 0.8,
        "stroke-dasharray": "3 3",
      }),
      text(
        x.at(full),
        PLOT.top - 6,
        `full opening ${printFigure("x_m", full, null, { digits: 3 })}`,
        {
          size: SIZE.small,
          anchor: "middle",
          fill: QUIET,
        },
      ),
    );
  return out;
}

interface Run {
  words: string;
  points: Point[];
}

/** Names of the curves: at the right end, or where a curve leaves the plot before it. */
function endLabels(runs: readonly Run[], labels: LabelSheet): string[] {
  const named = runs.map((run, i) => {
    const inside = clipRun(run.points);
    const end = inside[inside.length - 1];
    return { words: run.words, hue: CURVES[i]!, end };
  });
  const atRight = named.filter(({ end }) => end !== undefined && end.x > PLOT.right - 30);
  const early = named.filter(({ end }) => end !== undefined && end.x <= PLOT.right - 30);
  return [
    ...endColumn(
      atRight.map(({ words, hue, end }) => ({ words, hue, x: end!.x, y: end!.y })),
      { x: PLOT.right + 22, right: WIDTH - 16, top: PLOT.top + 6, bottom: PLOT.bottom - 4 },
    ),
    ...early.flatMap(({ words, hue, end }) =>
      calledOut(labels, words, end!.x, end!.y, { size: SIZE.small, fill: hue.text }),
    ),
  ];
}

function equilibria(
  seat: SeatFigures,
  load: LoadLine,
  x: Scale,
  y: Scale,
  labels: LabelSheet,
): string[] {
  const inRange = seat.equilibria.filter((e) => e.lift_m >= x.from && e.lift_m <= x.to);
  const spots = inRange.map((e) => {
    const strip = e.state === "open" ? load.strip_open_N : load.strip_closed_N;
    return { e, px: x.at(e.lift_m), py: y.at(interpolate(load.lift_m, strip, e.lift_m)) };
  });
  const seen = spots.filter(({ py }) => py >= PLOT.top && py <= PLOT.bottom);
  for (const { px, py } of seen) labels.take({ x: px - 7, y: py - 7, width: 14, height: 14 });
  const dots = seen.map(({ e, px, py }) =>
    circle(px, py, 5, { fill: e.stable ? INK : PAPER, stroke: INK, "stroke-width": 1.4 }),
  );
  const words = seen.flatMap(({ e, px, py }) =>
    calledOut(
      labels,
      `${e.state}${e.stable ? "" : ", not stable"}: ${printFigure("x_m", e.lift_m, null, { digits: 3 })}`,
      px,
      py,
      {
        size: SIZE.small,
      },
    ),
  );
  return [...words, ...dots];
}

function snapMark(snap: Snap | null, x: Scale, y: Scale): string {
  if (snap === null) return "";
  const a = { x: x.at(snap.from), y: y.at(snap.forceFrom) };
  const b = { x: x.at(snap.to), y: y.at(snap.forceTo) };
  return (
    line(a.x, a.y, b.x, b.y, { stroke: INK, "stroke-width": 1.1, "stroke-dasharray": "2 3" }) +
    arrowHead(a, b, 10, 3.4)
  );
}

function snapWords(snap: Snap | null, x: Scale, y: Scale, labels: LabelSheet): string[] {
  if (snap === null) return [];
  const um = (v: number) => printFigure("x_m", v, null, { digits: 2 });
  const middle = {
    x: (x.at(snap.from) + x.at(snap.to)) / 2,
    y: (y.at(snap.forceFrom) + y.at(snap.forceTo)) / 2,
  };
  return calledOut(labels, `snaps from ${um(snap.from)} to ${um(snap.to)}`, middle.x, middle.y, {
    size: SIZE.small,
    fill: QUIET,
  });
}

function sentenceOf(seat: SeatFigures, snap: Snap | null): string {
  const um = (v: number) => printFigure("x_m", v, null, { digits: 3 });
  const at = (state: "closed" | "open") => {
    const stable = seat.equilibria.filter((e) => e.state === state && e.stable);
    return stable.length === 0 ? "nowhere" : `at ${stable.map((e) => um(e.lift_m)).join(" or ")}`;
  };
  const jump =
    snap === null
      ? "it opens without a jump"
      : `it snaps from ${um(snap.from)} to ${um(snap.to)} on opening`;
  return `Forces at the seat against lift: the pad rests ${at("closed")} when closed and ${at("open")} when open; ${jump}.`;
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
