import type { Design } from "../../design/design.ts";
import type { GuardBand, RateFigures, RatesResult } from "../../studies/ratesResult.ts";
import { printFigure } from "../figureUnits.ts";
import {
  type AxisUnit,
  axisUnit,
  bottomAxis,
  leftAxis,
  linear,
  logarithmic,
  plotClip,
  type Scale,
} from "./axis.ts";
import {
  chartDocument,
  chartSheet,
  clipped,
  notesUnder,
  type PlotSides,
  plotAxis,
  shown,
} from "./chartFrame.ts";
import { type ChartLabels, chartLabels } from "./chartLabels.ts";
import { type Figure, type FigureOptions, originLine } from "./figure.ts";
import { alongRun } from "./labels.ts";
import { harmonicMarks } from "./rateChartMarks.ts";
import { ratesTable } from "./ratesTable.ts";
import { circle, el, hatch, line, type Point, polyline, rect } from "./svg.ts";
import {
  CURVES,
  INK,
  MET_FILL,
  NOT_MET_HATCH,
  OFF_GROUND,
  PAPER,
  PLOT_GROUND,
  QUIET,
} from "./theme.ts";

const OWN = { width: 1080, height: 520 };
/** Height from which there is room for notes, px. */
const ROOMY = 400;
const ID = "rates";
const TITLE = "Repetition rate";
const PURE: AxisUnit = { unit: "", factor: 1 };
/** The vertical axis shows at least this much about 1, and never more than that. */
const LEAST = [0.85, 1.15] as const;
const MOST = [0, 3] as const;
const BEYOND = 0.04;

/**
 * Gas per pulse over that of a single pulse against the repetition rate: the allowed change lightly filled,
 * guard bands hatched, sub-harmonics of the first resonance marked above, each pulse of a period as a dot where
 * the train does not repeat from pulse to pulse. Null with fewer than two rates.
 */
export function rateChart(
  design: Design,
  result: RatesResult,
  options: FigureOptions = {},
): Figure | null {
  const { rates, setting, guard_bands: bands } = result;
  if (rates.length < 2) return null;
  const sheet = chartSheet(options, OWN);
  const [left, right] = [66, sheet.width - 24];
  const [f0, f1] = shown([firstShown(result), rates.at(-1)!.rate_Hz], options.view?.x);
  const x = logarithmic(Math.max(f0, 1e-9), f1, [left, right]);
  const marks = harmonicMarks(result, x);
  const notes = notesUnder(
    sheet.bare || sheet.height < ROOMY ? "" : noteOf(result),
    left,
    sheet.width - 12,
  );
  const plot: PlotSides = {
    left,
    right,
    top: sheet.top + marks.height + 4,
    bottom: sheet.bottom - 40 - (notes.height === 0 ? 0 : notes.height + 4),
  };
  const [y0, y1] = shown(heights(rates, setting.change), options.view?.y);
  const y = linear(y0, y1, [plot.bottom, plot.top]);
  const points = rates
    .filter((r) => r.state !== "failed")
    .map((r): Point => ({ x: x.at(r.rate_Hz), y: y.at(r.gas_over_single) }));
  const labels = chartLabels({
    x: left + 3,
    y: plot.top + 3,
    width: right - left - 6,
    height: plot.bottom - plot.top - 6,
  });
  for (const piece of clipped(points, plot)) for (const box of alongRun(piece)) labels.take(box);
  const clip = { "clip-path": `url(#${ID}-plot)` };
  const what = setting.measure === "gas" ? "gas per pulse" : "peak travel";
  const up = `${setting.measure} / single pulse`;
  const unit = axisUnit("frequency", x.from, x.to);
  const body = [
    rect(left, plot.top, right - left, plot.bottom - plot.top, { fill: PLOT_GROUND }),
    el("g", clip, grounds(result, x, y, plot).join("")),
    ...bottomAxis(x, plot.bottom, { name: "repetition rate", unit, grid: plot.top }),
    ...leftAxis(y, left, {
      name: up,
      unit: PURE,
      count: (plot.bottom - plot.top) / 42,
      grid: right,
    }),
    el("g", clip, marks.lines(plot)),
    el("g", clip, spread(rates, x, y)),
    el(
      "g",
      { ...clip, "data-curve": "gas" },
      polyline(points, { stroke: CURVES[0].line, "stroke-width": 2, "stroke-linejoin": "round" }),
    ),
    ...marks.put(plot),
    ...wantedMark(result, x, y, plot, labels),
    ...bandNames(bands, x, y, plot, labels),
    ...notes.put(plot.bottom + 50),
  ];
  const sentence = sentenceOf(result, what);
  return {
    name: ID,
    title: TITLE,
    sentence,
    get csv() {
      return ratesTable(design, result, originLine(design, options));
    },
    plot: {
      x: plotAxis(x, "repetition rate", unit),
      y: plotAxis(y, up, PURE),
      series: [
        {
          id: "gas",
          name: up,
          x: rates.map((r) => r.rate_Hz),
          y: rates.map((r) => (r.state === "failed" ? null : r.gas_over_single)),
        },
      ],
    },
    svg: chartDocument(
      design,
      options,
      sheet,
      {
        name: ID,
        title: TITLE,
        beside: sheet.width < 640 ? "" : `${what} against the repetition rate`,
        sentence,
        defs: [
          plotClip(`${ID}-plot`, plot),
          hatch(`${ID}-guard`, "rising", 8, NOT_MET_HATCH, "none", 0.6),
        ],
      },
      body,
    ),
  };
}

/** Parts of a decade below the first guard band, and below the wanted rate, that are shown. */
const BELOW_BAND = 0.1;
const BELOW_WANTED = 0.5;

/** Where the picture begins: slow rates, all the same, stand in the table only. */
function firstShown({ rates, guard_bands, setting }: RatesResult): number {
  const first = rates[0]!.rate_Hz;
  const band = guard_bands[0];
  if (band === undefined) return first;
  const wanted = setting.wanted_rate_Hz ?? Number.POSITIVE_INFINITY;
  const from = Math.min(BELOW_BAND * band.from_Hz, BELOW_WANTED * wanted);
  return rates.find((r) => r.rate_Hz >= Math.max(first, from))?.rate_Hz ?? first;
}

function heights(rates: readonly RateFigures[], change: number): [number, number] {
  const values = rates
    .filter((r) => r.state !== "failed")
    .flatMap((r) => [r.gas_least_over_single, r.gas_most_over_single]);
  const low = Math.min(LEAST[0], 1 - 2 * change, ...values);
  const high = Math.max(LEAST[1], 1 + 2 * change, ...values);
  const room = BEYOND * (high - low);
  return [Math.max(MOST[0], low - room), Math.min(MOST[1], high + room)];
}

/** The allowed change, and the guard bands over it. */
function grounds({ setting, guard_bands }: RatesResult, x: Scale, y: Scale, plot: PlotSides) {
  const [top, bottom] = [y.at(1 + setting.change), y.at(1 - setting.change)];
  const allowed = rect(plot.left, top, plot.right - plot.left, bottom - top, { fill: MET_FILL });
  const high = plot.bottom - plot.top;
  const bands = guard_bands.map(({ from_Hz, to_Hz }) => {
    const [a, b] = [x.at(from_Hz), x.at(to_Hz)];
    const width = Math.max(2, b - a);
    return (
      rect(a, plot.top, width, high, { fill: OFF_GROUND, "fill-opacity": 0.8 }) +
      rect(a, plot.top, width, high, { fill: `url(#${ID}-guard)` })
    );
  });
  const one = line(plot.left, y.at(1), plot.right, y.at(1), { stroke: QUIET, "stroke-width": 0.8 });
  return [allowed, el("g", { "data-part": "guard bands" }, bands.join("")), one];
}

/** From the smallest to the largest pulse, and each pulse of a longer period as a dot. */
function spread(rates: readonly RateFigures[], x: Scale, y: Scale): string {
  return rates
    .filter((r) => r.state !== "failed" && r.spread > 1e-3)
    .map((r) => {
      const at = x.at(r.rate_Hz);
      const stem = line(at, y.at(r.gas_least_over_single), at, y.at(r.gas_most_over_single), {
        stroke: CURVES[1].line,
        "stroke-width": 1,
      });
      const dots = r.gas_each_over_single.map((gas) =>
        circle(at, y.at(gas), 2, { fill: CURVES[1].line }),
      );
      return stem + dots.join("");
    })
    .join("");
}

const hertz = (f: number) => printFigure("f_Hz", f, null, { digits: 3 });
const ratio = (v: number) => v.toFixed(3);

function wantedMark(
  { rates, setting }: RatesResult,
  x: Scale,
  y: Scale,
  plot: PlotSides,
  labels: ChartLabels,
): string[] {
  const wanted = setting.wanted_rate_Hz;
  const there = rates.find((r) => r.rate_Hz === wanted);
  if (there === undefined || there.state === "failed") return [];
  const [px, py] = [x.at(there.rate_Hz), y.at(there.gas_over_single)];
  if (px < plot.left || px > plot.right || py < plot.top || py > plot.bottom) return [];
  labels.take({ x: px - 8, y: py - 8, width: 16, height: 16 });
  const words = [`wanted ${hertz(there.rate_Hz)}: ${ratio(there.gas_over_single)}`];
  if (!there.met) words.push("not every limit is kept");
  return [
    el(
      "g",
      { "data-part": "wanted" },
      circle(px, py, 5, { fill: INK, stroke: PAPER, "stroke-width": 1.5 }) +
        labels.callout({ lines: words, look: { weight: "bold" }, rest: {} }, px, py).join(""),
    ),
  ];
}

/** Words beside the bands, where there is room. */
function bandNames(
  bands: readonly GuardBand[],
  x: Scale,
  y: Scale,
  plot: PlotSides,
  labels: ChartLabels,
): string[] {
  return bands.flatMap((band) => {
    const px = x.at(band.worst_Hz);
    const py = Math.min(plot.bottom, Math.max(plot.top, y.at(band.gas_over_single)));
    if (px < plot.left || px > plot.right) return [];
    const words = [
      `${hertz(band.from_Hz)} to ${hertz(band.to_Hz)}: ${ratio(band.gas_over_single)}`,
      ...(band.harmonic === null
        ? []
        : [
            `${band.harmonic.order === 1 ? "" : `${band.harmonic.order} × `}rate near the first resonance`,
          ]),
    ];
    return labels.calloutIfFree({ lines: words, look: { fill: CURVES[1].text } }, px, py);
  });
}

function noteOf(result: RatesResult): string {
  const { setting, single, resonance } = result;
  const gate = printFigure("t_s", setting.gate_s, null, { digits: 4 });
  const rests = printFigure("t_s", single.rests_after_s, null, { digits: 3 });
  const slow =
    firstShown(result) > setting.from_Hz ? ` Below ${hertz(firstShown(result))} as there.` : "";
  return `Gate ${gate}; filled: at most ${100 * setting.change} % from a single pulse; hatched: guard bands. Dots: the pulses of a train that does not repeat from pulse to pulse. A single pulse is at rest after ${rests}; first resonance ${hertz(resonance.open_Hz)}.${slow}`;
}

function sentenceOf(result: RatesResult, what: string): string {
  const { guard_bands: bands, setting, recommended } = result;
  const range = `${what} against rates from ${hertz(setting.from_Hz)} to ${hertz(setting.to_Hz)}`;
  const some =
    bands.length === 0
      ? `nowhere more than ${100 * setting.change} % from a single pulse`
      : `more than ${100 * setting.change} % from a single pulse in ${bands
          .map((b) => `${hertz(b.from_Hz)} to ${hertz(b.to_Hz)}`)
          .join(", ")}`;
  return `${range}: ${some}; recommended ${recommended.text}.`.replace(/^./, (c) =>
    c.toUpperCase(),
  );
}
