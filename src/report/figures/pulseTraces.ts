import type { Design } from "../../design/design.ts";
import type { PulseResult } from "../../studies/pulseResult.ts";
import { formatQuantity } from "../../units/index.ts";
import { axisUnit, bottomAxis, linear, plotClip } from "./axis.ts";
import { chartDocument, chartSheet, notesUnder, plotAxis, shown } from "./chartFrame.ts";
import { csvText } from "./csv.ts";
import { type Figure, type FigureOptions, originLine } from "./figure.ts";
import { extremeIndices, keepExtremes, kept } from "./pulseDecimate.ts";
import {
  drawPanel,
  type PanelSheet,
  panelGround,
  panelScale,
  panelUnit,
} from "./pulsePanelDraw.ts";
import { type DrawnDrive, type DrawnRun, type Panel, pulsePanels } from "./pulsePanels.ts";
import { seriesTable } from "./pulseSeries.ts";
import {
  clampedView,
  contactSpans,
  cursorLine,
  gateLines,
  grown,
  stacked,
  withRoom,
} from "./pulseTracesLayout.ts";

const OWN = { width: 1080, height: 920 };
export interface PulseTracesOptions extends FigureOptions, DrawnDrive {
  /** Time of a cursor, s: each panel says its value there. */
  cursor?: number;
}

/**
 * Gate, output, rails, current, lift, force on the seat, flow and chamber over one time axis. With `view.x`
 * a part of the time. Of each pixel column the smallest and the largest value are drawn, so that no peak is lost.
 */
export function pulseTraces(
  design: Design,
  run: DrawnRun,
  options: PulseTracesOptions = {},
): Figure {
  return tracesNamed("pulse-traces", "The pulse in time", design, run, options);
}

/** The same for the main opening alone; null where the valve does not open. */
export function pulseMain(
  design: Design,
  run: DrawnRun,
  options: PulseTracesOptions = {},
): Figure | null {
  const view = mainView(run);
  if (view === null) return null;
  const part = { ...options, view: { ...options.view, x: options.view?.x ?? view } };
  return tracesNamed("pulse-main", "The main opening in time", design, run, part);
}

/** Time of the main opening with some before and after; null where there is none. */
export function mainView({ result, series }: DrawnRun): readonly [number, number] | null {
  const last = result.pulses.at(-1);
  if (last === undefined || !(last.peak_lift_m > 0)) return null;
  const { gate_s } = result.drive;
  const end = last.first_contact_s ?? Math.max(2 * last.peak_lift_time_s, 1.5 * (gate_s ?? 0));
  const whole = (series.count - 1) * series.step;
  return [0, Math.min(whole, 1.2 * end)];
}

function tracesNamed(
  name: string,
  title: string,
  design: Design,
  run: DrawnRun,
  options: PulseTracesOptions,
): Figure {
  const { series, result } = run;
  const whole = (series.count - 1) * series.step;
  const [t0, t1] = shown([0, whole], clampedView(options.view?.x, whole));
  const sheet = chartSheet(options, OWN);
  const beside = Math.max(124, Math.min(156, 0.15 * sheet.width));
  const [left, right] = [66, sheet.width - beside];
  const x = linear(t0, t1, [left, right]);
  const from = Math.max(0, Math.floor(t0 / series.step + 1e-9));
  const to = Math.min(series.count - 1, Math.ceil(t1 / series.step - 1e-9));
  const all = pulsePanels(design, run, options);
  const columns = right - left;
  const rows = keptRows(run, from, to, columns);
  const notes = notesUnder(
    sheet.bare ? "" : noteOf(all, rows.length, to - from + 1, columns),
    left,
    sheet.width - 12,
  );
  const bottom = sheet.bottom - 40 - notes.height;
  const panels = withRoom(all, bottom - sheet.top - 12);
  const placed = stacked(panels, sheet.top + 12, bottom, left, right);
  const shared: PanelSheet = {
    x,
    step: series.step,
    from,
    to,
    contact: contactSpans(series.lift.values, series.step, from, to, columns),
    cursor: cursorIn(options.cursor, t0, t1),
    wordsTo: sheet.width - 4,
    clip: name,
  };
  const first = placed[0]!.sides.top;
  const body = [
    ...placed.flatMap(({ panel, sides }) => panelGround(panel, shared, sides)),
    ...bottomAxis(x, bottom, {
      name: `time from ${result.drive.gate_s === null ? "the start of the drive" : "the gate edge"}`,
      unit: axisUnit("time", t0, t1),
      count: columns / 90,
      grid: first,
    }),
    ...gateLines(result, x, first, bottom),
    ...placed.flatMap(({ panel, sides }) => drawPanel(panel, shared, sides)),
    ...cursorLine(shared, first, bottom),
    ...notes.put(bottom + 50),
  ];
  const sentence = sentenceOf(run, name);
  const motion = placed.find(({ panel }) => panel.part === "motion")!;
  const y = panelScale(motion.panel, shared, motion.sides);
  return {
    name,
    title,
    sentence,
    csv: csvOf(design, run, options, name, rows, to - from + 1),
    plot: {
      x: plotAxis(x, "time", axisUnit("time", t0, t1)),
      y: plotAxis(y, motion.panel.title, panelUnit(motion.panel, y)),
      series: motion.panel.curves.map(({ id, name: called, values }) => {
        const drawn = extremeIndices(values, from, to, columns);
        return {
          id,
          name: called,
          x: drawn.map((i) => i * series.step),
          y: drawn.map((i) => values[i]!),
        };
      }),
    },
    svg: chartDocument(
      design,
      options,
      sheet,
      {
        name,
        title,
        beside: sheet.width < 640 ? "" : besideOf(result),
        sentence,
        defs: placed.map(({ panel, sides }) => plotClip(`${name}-${panel.id}`, grown(sides))),
      },
      body,
    ),
  };
}

const cursorIn = (cursor: number | undefined, t0: number, t1: number): number | null =>
  cursor === undefined || cursor < t0 || cursor > t1 ? null : cursor;

function besideOf({ drive }: PulseResult): string {
  return drive.pulses === 1 ? drive.text : `${drive.text}; the last one`;
}

function noteOf(panels: readonly Panel[], drawn: number, points: number, columns: number): string {
  const shade = panels.some((panel) => panel.contact)
    ? "Shaded: the pad closes the seat (lift not above zero)."
    : "";
  const dense = points > 4 * columns;
  return dense
    ? `${shade} ${drawn} of ${points} points: of each pixel column the smallest and the largest value, so that no peak is lost.`.trim()
    : shade;
}

function keptRows({ series }: DrawnRun, from: number, to: number, columns: number): number[] {
  const mask = new Uint8Array(to + 1);
  const { lift, contact, flow, output, current, chamber, rails } = series;
  for (const { values } of [lift, contact, flow, output, current, chamber, ...rails])
    keepExtremes(values, from, to, columns, mask);
  return kept(mask);
}

function sentenceOf({ result }: DrawnRun, name: string): string {
  const last = result.pulses.at(-1);
  const say = (x: number, kind: "time" | "length" | "amount" | "speed") =>
    formatQuantity(x, 0, kind, { digits: 3 });
  const which = result.drive.pulses === 1 ? result.drive.text : `last of ${result.drive.text}`;
  const what = name === "pulse-main" ? "Main opening" : "Pulse";
  if (last === undefined || !(last.peak_lift_m > 0)) return `${what} (${which}): it does not open.`;
  const lift = "gas" in result.reasons ? "travel" : "lift";
  const parts = [
    `${lift} up to ${say(last.peak_lift_m, "length")} at ${say(last.peak_lift_time_s, "time")}`,
    ...(last.first_contact_s === null
      ? []
      : [
          `on the seat again at ${say(last.first_contact_s, "time")} with ${say(last.impact_speed_m_s, "speed")}`,
        ]),
    ...(last.gas === null ? [] : [`${say(last.gas.amount_mol, "amount")} of gas`]),
    ...(last.gas === null
      ? []
      : [
          last.satellites.length === 0
            ? "no satellite"
            : `${last.satellites.length} satellite${last.satellites.length === 1 ? "" : "s"}`,
        ]),
  ];
  return `${what} (${which}): ${parts.join(", ")}.`;
}

function csvOf(
  design: Design,
  run: DrawnRun,
  options: PulseTracesOptions,
  name: string,
  rows: readonly number[],
  points: number,
): string {
  const columns = seriesTable(run).map(({ name: called, unit, values }) => ({
    name: called,
    unit,
    values: rows.map((i) => values[i]!),
  }));
  return csvText(
    {
      figure: name === "pulse-main" ? "main opening in time" : "pulse in time",
      design: design.name,
      drive: run.result.drive.text,
      origin: originLine(design, options),
      rows: `${rows.length} of ${points} grid points, with the smallest and largest of each pixel column; all of them with --csv`,
    },
    columns,
  );
}
