import { formatQuantity } from "../../units/index.ts";
import { type AxisUnit, axisTitle, axisUnit, fixed, linear, type Scale, ticks } from "./axis.ts";
import type { PlotSides } from "./chartFrame.ts";
import { spread } from "./labels.ts";
import { extremeIndices, thinned } from "./pulseDecimate.ts";
import type { Panel, Part } from "./pulsePanels.ts";
import { circle, el, line, type Point, polyline, rect, text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { CURVES, HAIR, INK, PAPER, PLOT_GROUND, QUIET, SHADE, SIZE } from "./theme.ts";

/** Hue of each part of the job. */
const HUES: Record<Part, number> = { drive: 3, motion: 0, gas: 2 };
const ROW = 12;

/** Everything that the panels share. */
export interface PanelSheet {
  /** Seconds to px. */
  x: Scale;
  step: number;
  /** Grid points in view, ends included. */
  from: number;
  to: number;
  /** Spans of time in which the pad closes the seat, s. */
  contact: readonly (readonly [number, number])[];
  cursor: number | null;
  /** Right end of the words beside the plots, px. */
  wordsTo: number;
  clip: string;
}

/** Scale of a panel from what it shows, with room above and below. */
export function panelScale(panel: Panel, sheet: PanelSheet, sides: PlotSides): Scale {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const { values } of panel.curves)
    for (let i = sheet.from; i <= sheet.to; i++) {
      low = Math.min(low, values[i]!);
      high = Math.max(high, values[i]!);
    }
  for (const { value } of [...panel.marks, ...(panel.levels ?? [])]) {
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  const room = high > low ? 0.07 * (high - low) : Math.abs(high) > 0 ? 0.1 * Math.abs(high) : 1;
  return linear(low - room, high + room, [sides.bottom, sides.top]);
}

/** One panel: its title above, its axis left, its curves, its words right. */
export function drawPanel(panel: Panel, sheet: PanelSheet, sides: PlotSides): string[] {
  const { left, right, top } = sides;
  const y = panelScale(panel, sheet, sides);
  const unit = panelUnit(panel, y);
  const called = unit.unit.includes(" ") ? `(${unit.unit})` : unit.unit;
  const title =
    called === "" || called !== unit.unit
      ? [panel.title, called].filter((words) => words !== "").join(" / ")
      : axisTitle(panel.title, called);
  const zero =
    y.from < 0 && y.to > 0
      ? [line(left, y.at(0), right, y.at(0), { stroke: QUIET, "stroke-width": 0.6 })]
      : [];
  const marks = panel.marks.map(({ value }) =>
    line(left, y.at(value), right, y.at(value), {
      stroke: INK,
      "stroke-width": 0.7,
      "stroke-dasharray": "6 2 1.5 2",
    }),
  );
  return [
    ...axisOf(panel, y, unit.factor, sides),
    el(
      "g",
      { "clip-path": `url(#${sheet.clip}-${panel.id})`, "data-panel": panel.id },
      [...zero, ...marks, ...curvesOf(panel, sheet, y), ...cursorDots(panel, sheet, y)].join(""),
    ),
    text(left, top - 4, title, { size: SIZE.small, weight: "bold", halo: true }),
    ...words(panel, sheet, y, sides),
  ];
}

/** Unit of a panel's axis, with a power of ten where its numbers would be long: "10⁻⁵ mbar". */
export function panelUnit(panel: Panel, y: Scale): AxisUnit {
  if (panel.levels !== undefined) return { unit: "", factor: 1 };
  const { unit, factor } = axisUnit(panel.kind, y.from, y.to);
  const largest = Math.max(Math.abs(y.from), Math.abs(y.to)) / factor;
  const power = Math.floor(Math.log10(largest));
  if (power > -3 && power < 5) return { unit, factor };
  const up = String(Math.abs(power)).replace(/\d/g, (d) => "⁰¹²³⁴⁵⁶⁷⁸⁹"[Number(d)]!);
  return { unit: `10${power < 0 ? "⁻" : ""}${up} ${unit}`, factor: factor * 10 ** power };
}

/** Ground of a panel, under the time grid. */
export function panelGround(panel: Panel, sheet: PanelSheet, sides: PlotSides): string[] {
  const { left, right, top, bottom } = sides;
  const shades = panel.contact
    ? sheet.contact.map(([a, b]) => {
        const [xa, xb] = [Math.max(left, sheet.x.at(a)), Math.min(right, sheet.x.at(b))];
        return xb > xa ? rect(xa, top, xb - xa, bottom - top, { fill: SHADE }) : "";
      })
    : [];
  return [rect(left, top, right - left, bottom - top, { fill: PLOT_GROUND }), ...shades];
}

function axisOf(panel: Panel, y: Scale, factor: number, { left, right, top, bottom }: PlotSides) {
  const { values, decimals } = ticks(
    y.from / factor,
    y.to / factor,
    Math.max(1.5, (bottom - top) / 26),
  );
  const shown =
    panel.levels?.map(({ value, words }) => ({ value, words })) ??
    values.map((v) => ({ value: v * factor, words: fixed(v, decimals) }));
  return [
    line(left, top, left, bottom),
    ...shown.flatMap(({ value, words }) => {
      const at = y.at(value);
      return [
        panel.levels === undefined
          ? line(left, at, right, at, { stroke: HAIR, "stroke-width": 0.5 })
          : "",
        line(left - 4, at, left, at),
        text(left - 7, at + 3.6, words, { anchor: "end", size: SIZE.small }),
      ];
    }),
  ];
}

function curvesOf(panel: Panel, sheet: PanelSheet, y: Scale): string[] {
  const { from, to, x, step } = sheet;
  const columns = x.range[1] - x.range[0];
  return panel.curves.map(({ id, values, steps }, c) => {
    const points =
      steps === undefined
        ? extremeIndices(values, from, to, columns).map(
            (i): Point => ({ x: x.at(i * step), y: y.at(values[i]!) }),
          )
        : stairs(steps, x, y);
    const { line: stroke, dash } = hueOf(panel, c);
    return el(
      "g",
      { "data-curve": id },
      polyline(thinned(points), {
        stroke,
        "stroke-width": 1.5,
        "stroke-linejoin": "round",
        "stroke-dasharray": dash === "" ? undefined : dash,
      }),
    );
  });
}

/** Levels that hold until the next one, over the whole width; before the first it is shut. */
function stairs(steps: readonly { time: number; value: number }[], x: Scale, y: Scale): Point[] {
  const [left, right] = x.range;
  let level = 0;
  const out: Point[] = [];
  for (const { time, value } of steps) {
    const at = Math.max(left, Math.min(right, x.at(time)));
    if (out.length === 0 && at > left) out.push({ x: left, y: y.at(level) });
    if (x.at(time) > right) break;
    if (at > left) out.push({ x: at, y: y.at(level) }, { x: at, y: y.at(value) });
    level = value;
  }
  if (out.length === 0 || out[0]!.x > left) out.unshift({ x: left, y: y.at(level) });
  return [...out, { x: right, y: y.at(level) }];
}

/** The hue of the part; further curves of a panel have the other hues and their line styles. */
function hueOf(panel: Panel, c: number) {
  const first = HUES[panel.part];
  if (c === 0) return { ...CURVES[first]!, dash: "" };
  const others = CURVES.filter((_, k) => k !== first);
  return others[(c - 1) % others.length]!;
}

/** Value at a time, straight between grid points. */
export function valueAtTime(values: ArrayLike<number>, step: number, time: number): number {
  const at = Math.min(values.length - 1, Math.max(0, time / step));
  const i = Math.min(values.length - 2, Math.floor(at));
  return i < 0 ? values[0]! : values[i]! + (at - i) * (values[i + 1]! - values[i]!);
}

function cursorDots(panel: Panel, { cursor, x, step }: PanelSheet, y: Scale): string[] {
  if (cursor === null) return [];
  return panel.curves.map(({ values }, c) =>
    circle(x.at(cursor), y.at(valueAtTime(values, step, cursor)), 3.2, {
      fill: hueOf(panel, c).line,
      stroke: PAPER,
      "stroke-width": 1,
    }),
  );
}

interface Word {
  at: number;
  words: string;
  fill: string;
  bold: boolean;
}

/** What stands beside a panel, most important first. */
function wordsOf(panel: Panel, sheet: PanelSheet, y: Scale): Word[] {
  const say = (value: number) => formatQuantity(value, 0, panel.kind, { digits: 4 });
  const several = panel.curves.length > 1;
  const out: Word[] = [];
  panel.curves.forEach(({ name, values }, c) => {
    const fill = hueOf(panel, c).text;
    const { cursor, step, from, to } = sheet;
    if (cursor !== null) {
      const value = valueAtTime(values, step, cursor);
      const text = panel.levels === undefined ? say(value) : stateWords(panel, value);
      out.push({ at: y.at(value), words: several ? `${name} ${text}` : text, fill, bold: true });
      return;
    }
    if (panel.levels !== undefined) return;
    const far = farthest(values, from, to, panel.part === "drive");
    // With the peak in view the figure counts, which knows what lies between grid points.
    const whole = farthest(values, 0, values.length - 1, panel.part === "drive");
    const known = typeof panel.peak === "number" && far === whole;
    const value = known ? Math.sign(values[far]!) * (panel.peak as number) : values[far]!;
    if (panel.peak !== false && value !== 0)
      out.push({
        at: y.at(values[far]!),
        words: several ? `${name}: peak ${say(value)}` : `peak ${say(value)}`,
        fill,
        bold: false,
      });
    else if (several) out.push({ at: y.at(values[to]!), words: name, fill, bold: false });
  });
  for (const { value, words } of panel.marks)
    out.push({ at: y.at(value), words: `${words} ${say(value)}`, fill: INK, bold: false });
  return out;
}

/** Where a curve is largest, for a drive in either direction. */
function farthest(values: ArrayLike<number>, from: number, to: number, either: boolean): number {
  const size = (i: number) => (either ? Math.abs(values[i]!) : values[i]!);
  let far = from;
  for (let i = from; i <= to; i++) if (size(i) > size(far)) far = i;
  return far;
}

const stateWords = (panel: Panel, value: number) =>
  [...(panel.levels ?? [])].sort((a, b) => Math.abs(a.value - value) - Math.abs(b.value - value))[0]
    ?.words ?? "";

function words(panel: Panel, sheet: PanelSheet, y: Scale, { right, top, bottom }: PlotSides) {
  const x = right + 10;
  const rows = Math.max(1, Math.floor((bottom - top + 6) / ROW));
  const list = wordsOf(panel, sheet, y)
    .slice(0, rows)
    .map((word) => ({ ...word, words: cut(word.words, sheet.wordsTo - x, word.bold) }))
    .filter((word) => word.words !== "");
  const heights = spread(
    list.map((word) => word.at),
    ROW,
    top + 3,
    bottom - 2,
  );
  return list.flatMap(({ at, words: said, fill, bold }, i) => {
    const height = heights[i]!;
    const look = { size: SIZE.small, fill, ...(bold ? { weight: "bold" as const } : {}) };
    return [
      line(right + 1, at, x - 2, height, { stroke: QUIET, "stroke-width": 0.6 }),
      text(x, height + 3.6, said, look),
    ];
  });
}

/** Words that fit; "" where not even a few letters do. */
function cut(said: string, width: number, bold: boolean): string {
  if (textWidth(said, SIZE.small, bold) <= width) return said;
  let short = said;
  while (short !== "" && textWidth(`${short}…`, SIZE.small, bold) > width)
    short = short.slice(0, -1);
  return short.length < 3 ? "" : `${short}…`;
}
