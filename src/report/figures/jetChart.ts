import type { JetFigures, JetInput, JetProfile } from "../../sheet/jetResult.ts";
import { printFigure } from "../figureUnits.ts";
import { type AxisUnit, axisUnit, bottomAxis, leftAxis, logarithmic, plotClip } from "./axis.ts";
import { chartSheet, clipped, type PlotSides, plotAxis, shown } from "./chartFrame.ts";
import { chartLabels } from "./chartLabels.ts";
import { csvText } from "./csv.ts";
import { curveNames } from "./curveNames.ts";
import { type Figure, type FigureOptions, frame } from "./figure.ts";
import { jetMarks, type Marked, marked } from "./jetChartMarks.ts";
import { alongRun } from "./labels.ts";
import { el, type Point, polyline, rect, svgDocument } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { CURVES, PAPER, PLOT_GROUND, SIZE } from "./theme.ts";

const OWN = { width: 1080, height: 520 };
const ID = "jet";
const TITLE = "Free jet on its axis";
const PURE: AxisUnit = { unit: "", factor: 1 };
/** Room left and right of what is drawn, in ratio. */
const MARGIN = 1.15;

interface Curve {
  id: string;
  words: string;
  values: readonly number[];
}

/**
 * Mach number, temperature and density over those of the source against the distance from the hole, both axes
 * logarithmic, with freezing surface, skimmer, Mach disk and interaction point. Null without a jet.
 */
export function jetChart(
  input: JetInput,
  jet: JetFigures,
  options: FigureOptions = {},
): Figure | null {
  const { profile } = jet;
  if (profile === null) return null;
  const sheet = chartSheet(options, OWN);
  const names = Math.max(92, Math.min(170, 0.2 * sheet.width));
  const [left, right] = [72, sheet.width - names - 26];
  const all = marked(jet);
  const curves = curvesOf(input, jet, profile);
  const [x0, x1] = shown(distances(profile, all), options.view?.x);
  const x = logarithmic(Math.max(x0, 1e-12), x1, [left, right]);
  const marks = jetMarks(all, x, sheet.width);
  const plot: PlotSides = {
    left,
    right,
    top: sheet.top + marks.height + 6,
    bottom: sheet.bottom - 40,
  };
  const [y0, y1] = shown(heights(curves), options.view?.y);
  const y = logarithmic(Math.max(y0, 1e-30), y1, [plot.bottom, plot.top]);
  const named = curves.map((curve, i) => ({
    ...curve,
    hue: CURVES[i]!,
    runs: [curve.values.map((v, k): Point => ({ x: x.at(profile.distance_m[k]!), y: y.at(v) }))],
  }));
  const labels = chartLabels({
    x: left + 3,
    y: plot.top + 3,
    width: right - left - 6,
    height: plot.bottom - plot.top - 6,
  });
  for (const { runs } of named)
    for (const run of runs)
      for (const piece of clipped(run, plot)) for (const box of alongRun(piece)) labels.take(box);
  const unit = axisUnit("length", x.from, x.to);
  const across = "distance from the hole";
  const up = "Mach number; ratio to the source";
  const clip = { "clip-path": `url(#${ID}-plot)` };
  const body = [
    rect(left, plot.top, right - left, plot.bottom - plot.top, { fill: PLOT_GROUND }),
    el("g", clip, marks.ground(plot)),
    ...bottomAxis(x, plot.bottom, { name: across, unit, grid: plot.top }),
    ...leftAxis(y, left, { name: up, unit: PURE, grid: right }),
    el("g", clip, named.map(curveLine).join("")),
    ...marks.put(plot),
    ...curveNames(
      named,
      plot,
      { x: right + 22, right: sheet.width - 4, top: plot.top, bottom: plot.bottom },
      labels,
    ),
  ];
  const sentence = sentenceOf(input, jet);
  const size = { width: sheet.width, height: sheet.height };
  const origin = options.origin ?? sourceWords(input);
  const words = sourceWords(input);
  const room = sheet.width - 62 - textWidth(TITLE, SIZE.title, true);
  const beside = sheet.width < 640 || textWidth(words) > room ? "" : words;
  const drawing = sheet.bare ? body : [...frame(size, TITLE, beside, origin), ...body];
  const defs = [plotClip(`${ID}-plot`, plot)];
  const svg = svgDocument({ ...size, name: ID, title: TITLE, sentence, defs }, drawing);
  return {
    name: ID,
    title: TITLE,
    sentence,
    csv: csvOf(input, profile, origin),
    plot: {
      x: plotAxis(x, across, unit),
      y: plotAxis(y, up, PURE),
      series: curves.map(({ id, words, values }) => ({
        id,
        name: words,
        x: profile.distance_m,
        y: values,
      })),
    },
    svg: sheet.bare
      ? svg.replace(`${rect(0, 0, size.width, size.height, { fill: PAPER })}\n`, "")
      : svg,
  };
}

function curvesOf(input: JetInput, jet: JetFigures, profile: JetProfile): Curve[] {
  const over = (values: readonly number[], whole: number) => values.map((v) => v / whole);
  return [
    { id: "mach", words: "Mach number", values: profile.mach },
    {
      id: "temperature",
      words: "temperature over that of the source",
      values: over(profile.temperature_K, input.sourceTemperature),
    },
    {
      id: "density",
      words: "density over that of the source",
      values: over(profile.density_per_m3, jet.source_density_per_m3),
    },
  ];
}

function curveLine({
  id,
  hue,
  runs,
}: {
  id: string;
  hue: (typeof CURVES)[number];
  runs: Point[][];
}) {
  const look = {
    stroke: hue.line,
    "stroke-width": 2,
    "stroke-dasharray": hue.dash === "" ? undefined : hue.dash,
    "stroke-linejoin": "round",
  };
  return el("g", { "data-curve": id }, runs.map((run) => polyline(run, look)).join(""));
}

/** From the first place of the profile to the last, or to the farthest mark. */
function distances(profile: JetProfile, marks: readonly Marked[]): [number, number] {
  const x = profile.distance_m;
  const far = Math.max(x.at(-1)!, ...marks.map((mark) => MARGIN * mark.at));
  return [x[0]!, far];
}

function heights(curves: readonly Curve[]): [number, number] {
  const values = curves.flatMap((curve) => curve.values);
  return [Math.min(...values) / MARGIN, Math.max(...values) * MARGIN ** 2];
}

const digits = { digits: 3 };
const length = (x: number) => printFigure("x_m", x, null, digits);

/** "He, 20 bar, 22 °C, hole 0.15 mm". */
function sourceWords({
  gas,
  sourcePressure,
  sourceTemperature,
  orificeDiameter,
}: JetInput): string {
  const pressure = printFigure("p_Pa", sourcePressure, null, digits);
  return `${gas.name} from ${pressure} and ${Number(sourceTemperature.toPrecision(4))} K through ${length(orificeDiameter)}`;
}

function sentenceOf(input: JetInput, jet: JetFigures): string {
  const speed = printFigure("u_m_s", jet.terminal_speed_m_s, null, { digits: 4 });
  const marks = marked(jet).map(({ words, at }) => `${words} at ${length(at)}`);
  const list = marks.length === 0 ? "" : `; ${marks.join(", ")}`;
  return `Free jet of ${sourceWords(input)}, ${speed} at the end${list}.`;
}

function csvOf(input: JetInput, profile: JetProfile, origin: string): string {
  return csvText({ figure: "free jet on its axis", source: sourceWords(input), origin }, [
    { name: "distance", unit: "m", values: profile.distance_m },
    { name: "mach", unit: "1", values: profile.mach },
    { name: "temperature", unit: "K", values: profile.temperature_K },
    { name: "density", unit: "1/m^3", values: profile.density_per_m3 },
    { name: "pressure", unit: "Pa", values: profile.pressure_Pa },
    { name: "speed", unit: "m/s", values: profile.speed_m_s },
  ]);
}
