import type { Design } from "../../design/design.ts";
import type { DrawnShape, ShapeDrawing } from "../../studies/shapeDrawing.ts";
import { printFigure } from "../figureUnits.ts";
import { axisUnit, bottomAxis, leftAxis, linear, plotClip, type Scale } from "./axis.ts";
import {
  chartDocument,
  chartSheet,
  notesUnder,
  type PlotSides,
  plotAxis,
  type Sheet,
  shown,
} from "./chartFrame.ts";
import { csvText, identifier } from "./csv.ts";
import { type Figure, type FigureOptions, originLine } from "./figure.ts";
import { extremeIndices, thinned } from "./pulseDecimate.ts";
import { hueOf, keyHeight, landingWords, nameOf, shapeKey, widthOf } from "./shapeChartKey.ts";
import { landingPanel } from "./shapeChartLanding.ts";
import { el, line, polyline, rect } from "./svg.ts";
import { PLOT_GROUND, QUIET, SHADE } from "./theme.ts";

const OWN = { width: 1080, height: 620 };
const ID = "shapes";
const TITLE = "Drives compared";
/** From this width on the key and the landings stand beside the curves, else below. */
const BESIDE = 760;
const COLUMN = 330;
/** Room between the two stacked plots, and for a horizontal axis below a plot. */
const GAP = 14;
const AXIS = 44;
/** Share of the height that the upper plot takes. */
const UPPER = 0.36;
/** A narrow sheet with less height than this has a short key, no notes and no landings; least height of those, px. */
const SHORT = 480;
const LEAST = 60;

/**
 * Drives one over the other: the output's voltage, under it the lift that each gives, over one time axis; beside them
 * how hard each lands when the first resonance is off. Null without a drive.
 */
export function shapeChart(
  design: Design,
  drawing: ShapeDrawing,
  options: FigureOptions = {},
): Figure | null {
  const { drives, end, gate } = drawing;
  if (drives.length === 0) return null;
  const sheet = chartSheet(options, OWN);
  const places = layout(sheet, drawing, noteOf(drawing));
  const { upper, lower, landing, key, notes } = places;
  const [t0, t1] = shown([0, end], options.view?.x);
  const x = linear(t0, t1, [upper.left, upper.right]);
  const volts = scaleOf(drives, "output", drawing, upper);
  const lifts = scaleOf(drives, "lift", drawing, lower);
  const seated = drawing.measure === "speed";
  const lift = seated ? "lift" : "travel";
  const unit = axisUnit("time", t0, t1);
  const body = [
    ground(upper),
    ground(lower),
    ...(seated ? [closedGround(lower, lifts)] : []),
    ...gateEnds(x, gate, upper.top, lower.bottom),
    ...bottomAxis(x, upper.bottom, { name: "", unit, grid: upper.top, bare: true }),
    ...bottomAxis(x, lower.bottom, { name: "time from the opening edge", unit, grid: lower.top }),
    ...leftAxis(volts, upper.left, {
      name: "output",
      unit: axisUnit("voltage", volts.from, volts.to),
      count: (upper.bottom - upper.top) / 34,
      grid: upper.right,
    }),
    ...leftAxis(lifts, lower.left, {
      name: lift,
      unit: axisUnit("length", lifts.from, lifts.to),
      count: (lower.bottom - lower.top) / 34,
      grid: lower.right,
    }),
    ...curves(drawing, "output", x, volts, `${ID}-output`),
    ...curves(drawing, "lift", x, lifts, `${ID}-lift`),
    ...shapeKey(drawing, key),
    ...(landing === null ? [] : landingPanel(drawing, landing)),
    ...notes.put(places.notesFrom),
  ];
  const sentence = sentenceOf(design, drawing);
  return {
    name: ID,
    title: TITLE,
    sentence,
    get csv() {
      return csvOf(design, drawing, options);
    },
    plot: {
      x: plotAxis(x, "time", unit),
      y: plotAxis(lifts, lift, axisUnit("length", lifts.from, lifts.to)),
      series: drives.map((drive) => {
        const at = indices(drive, "lift", drawing, x);
        return {
          id: drive.id,
          name: nameOf(drive),
          x: at.map((i) => i * drawing.step),
          y: at.map((i) => drive.lift[i]!),
        };
      }),
    },
    svg: chartDocument(
      design,
      options,
      sheet,
      {
        name: ID,
        title: TITLE,
        beside: sheet.width < 640 ? "" : `output and ${lift}, gate ${say(gate, "t_s")}`,
        sentence,
        defs: [
          plotClip(`${ID}-output`, grown(upper)),
          plotClip(`${ID}-lift`, grown(lower)),
          ...(landing === null ? [] : [plotClip(`${ID}-landing`, grown(landing))]),
        ],
      },
      body,
    ),
  };
}

const say = (value: number, name: string) => printFigure(name, value, null, { digits: 4 });

/** Curves at the very edge keep their whole width. */
const grown = ({ left, right, top, bottom }: PlotSides): PlotSides => ({
  left,
  right: right + 1,
  top: top - 1,
  bottom: bottom + 1,
});

/** Where everything stands: beside each other on a wide sheet, one under the other on a narrow one. */
function layout(sheet: Sheet, { drives }: ShapeDrawing, words: string) {
  const left = 66;
  const wide = sheet.width >= BESIDE;
  const short = !wide && sheet.bottom - sheet.top < SHORT;
  const notes = notesUnder(sheet.bare || short ? "" : words, left, sheet.width - 12);
  const below = sheet.bottom - notes.height - (notes.height === 0 ? 0 : 4);
  const keyTall = keyHeight(drives.length, short);
  const right = wide ? sheet.width - COLUMN : sheet.width - 24;
  const all = { left, right, top: sheet.top + (wide ? 6 : keyTall + 10), bottom: below - AXIS };
  if (!wide && !short) all.bottom -= Math.max(90, 0.26 * (below - all.top)) + AXIS;
  const free = all.bottom - all.top - GAP;
  const upper = { ...all, bottom: all.top + UPPER * free };
  const lower = { ...all, top: upper.bottom + GAP };
  const beside = { left: right + 80, right: sheet.width - 20 };
  const landing = wide
    ? { ...beside, top: Math.max(all.top + keyTall + 26, lower.top), bottom: all.bottom }
    : { left, right, top: all.bottom + AXIS + 12, bottom: below - AXIS };
  return {
    upper,
    lower,
    landing: landing.bottom - landing.top < LEAST ? null : landing,
    key: wide ? { x: right + 26, y: all.top, short } : { x: left, y: sheet.top + 4, short },
    notes,
    notesFrom: below + 8,
  };
}

/** Ends of what is shown, with some room. */
function scaleOf(
  drives: readonly DrawnShape[],
  what: "output" | "lift",
  { step, end }: ShapeDrawing,
  sides: PlotSides,
): Scale {
  const last = Math.round(end / step);
  let [low, high] = [0, 0];
  for (const drive of drives)
    for (let i = 0; i <= Math.min(last, drive[what].length - 1); i++) {
      low = Math.min(low, drive[what][i]!);
      high = Math.max(high, drive[what][i]!);
    }
  const room = high > low ? 0.06 * (high - low) : 1;
  return linear(low - room, high + room, [sides.bottom, sides.top]);
}

const ground = ({ left, right, top, bottom }: PlotSides) =>
  rect(left, top, right - left, bottom - top, { fill: PLOT_GROUND });

/** Where the pad closes the seat. */
function closedGround({ left, right, bottom }: PlotSides, lifts: Scale): string {
  const zero = lifts.at(0);
  return (
    rect(left, zero, right - left, bottom - zero, { fill: SHADE }) +
    line(left, zero, right, zero, { stroke: QUIET, "stroke-width": 0.6 })
  );
}

function gateEnds(x: Scale, gate: number, top: number, bottom: number): string[] {
  const [a, b] = x.range;
  return [0, gate].flatMap((time) => {
    const at = x.at(time);
    if (at < a - 0.5 || at > b + 0.5) return [];
    return [
      line(at, top, at, bottom, { stroke: QUIET, "stroke-width": 0.8, "stroke-dasharray": "3 2" }),
    ];
  });
}

function indices(
  drive: DrawnShape,
  what: "output" | "lift",
  { step }: ShapeDrawing,
  x: Scale,
): number[] {
  const values = drive[what];
  const from = Math.max(0, Math.floor(x.from / step));
  const to = Math.min(values.length - 1, Math.ceil(x.to / step));
  return extremeIndices(values, from, to, x.range[1] - x.range[0]);
}

/** The taken drive last, over the others. */
function curves(
  drawing: ShapeDrawing,
  what: "output" | "lift",
  x: Scale,
  y: Scale,
  clip: string,
): string[] {
  const drawn = drawing.drives.map((drive, i) => {
    const points = indices(drive, what, drawing, x).map((k) => ({
      x: x.at(k * drawing.step),
      y: y.at(drive[what][k]!),
    }));
    const { line: stroke, dash } = hueOf(i);
    return el(
      "g",
      { "data-curve": `${what} ${drive.id}` },
      polyline(thinned(points), {
        stroke,
        "stroke-width": widthOf(drive),
        "stroke-linejoin": "round",
        "stroke-dasharray": dash === "" ? undefined : dash,
      }),
    );
  });
  return [el("g", { "clip-path": `url(#${clip})` }, drawn.reverse().join(""))];
}

function noteOf({ measure, error }: ShapeDrawing): string {
  const percent = Number((100 * error).toPrecision(3));
  const band = `In the small plot the band is the error of the comparison, ${percent} % either way.`;
  return measure === "speed"
    ? `Broken lines: both edges of the gate. Shaded: the pad closes the seat (lift not above zero). ${band}`
    : `Broken lines: both edges of the gate. ${band}`;
}

function sentenceOf(design: Design, drawing: ShapeDrawing): string {
  const list = drawing.drives.map((drive) => `${nameOf(drive)} ${landingWords(drive, drawing)}`);
  const taken = drawing.drives.find((drive) => drive.taken);
  const last = taken === undefined ? "" : ` Taken: ${nameOf(taken)}.`;
  return `Output and ${drawing.measure === "speed" ? "lift" : "travel"} of ${design.name} in time for ${drawing.drives.length} drives: ${list.join("; ")}.${last}`;
}

/** Two tables would need two files: rows in time, and the landings as comments above them. */
function csvOf(design: Design, drawing: ShapeDrawing, options: FigureOptions): string {
  const { drives, step, end, errors, measure } = drawing;
  const count = Math.min(Math.round(end / step) + 1, ...drives.map(({ lift }) => lift.length));
  const rows = Array.from({ length: count }, (_, i) => i);
  const landings = Object.fromEntries(
    drives.map((drive) => [
      `${measure === "speed" ? "contact_speed_m_s" : "ringing_share"} ${drive.id}`,
      drive.landings.map((value) => (value === null ? "failed" : String(value))).join(" "),
    ]),
  );
  return csvText(
    {
      figure: "drives compared",
      design: design.name,
      origin: originLine(design, options),
      gate_s: String(drawing.gate),
      frequency_errors: errors.join(" "),
      ...landings,
    },
    [
      { name: "time_s", unit: "s", values: rows.map((i) => i * step) },
      ...drives.flatMap((drive) => [
        {
          name: `output_${identifier(drive.id)}_V`,
          unit: "V",
          values: rows.map((i) => drive.output[i]!),
        },
        {
          name: `lift_${identifier(drive.id)}_m`,
          unit: "m",
          values: rows.map((i) => drive.lift[i]!),
        },
      ]),
    ],
  );
}
