import type { Data, Kind } from "../../bench/kind.ts";
import type { TraceMark } from "../../bench/reduction.ts";
import { machineUnit } from "../figureUnits.ts";
import { bottomAxis, plotClip } from "./axis.ts";
import { chartDocument, chartSheet, notesUnder, plotAxis, shown } from "./chartFrame.ts";
import { csvText, identifier } from "./csv.ts";
import { type Figure, type FigureOptions, type Named, originLine } from "./figure.ts";
import { extremeIndices } from "./pulseDecimate.ts";
import { extentOf, roomy, scaleOver, unitOfKind } from "./reduceAxis.ts";
import { drawTracePanel, kindOf, type PanelDrawn, roleWords } from "./reduceTracePanel.ts";

const OWN_WIDTH = 1080;
const PANEL = 230;
const APART = 26;

/**
 * The columns of a file over the first of them (time, frequency), one plot each, with the levels, instants and spans
 * that the reduction found. Of each pixel column the smallest and the largest value are drawn: no peak is lost, however
 * long the file. Null without a second column.
 */
export function reduceTrace(
  kind: Kind,
  data: Data,
  marks: readonly TraceMark[],
  name: string,
  options: FigureOptions = {},
): Figure | null {
  const present = kind.roles.map(({ key }) => key).filter((key) => data.columns.has(key));
  const [first, ...rest] = present;
  if (first === undefined || rest.length === 0 || data.rows < 2) return null;
  const xs = data.columns.get(first) as Float64Array;
  const rising = risesThroughout(xs);
  const sheet = chartSheet(options, {
    width: OWN_WIDTH,
    height: 110 + rest.length * (PANEL + APART),
  });
  const [left, right] = [74, sheet.width - 24];
  const columns = right - left;
  const all = extentOf(xs);
  const log = kind.roles[0]?.kinds[0] === "frequency" && all.low > 0 && all.high > 20 * all.low;
  const whole: [number, number] = log ? [all.low, all.high] : roomy(all, rising ? 0 : 0.03);
  const [x0, x1] = shown(whole, options.view?.x);
  const x = scaleOver([x0, x1], [left, right], log);
  const [from, to] = rising ? rowsBetween(xs, x0, x1) : [0, data.rows - 1];
  const drawnRows = to - from + 1;
  const notes = notesUnder(sheet.bare ? "" : noteOf(drawnRows, columns), left, sheet.width - 12);
  const bottom = sheet.bottom - 40 - (notes.height === 0 ? 0 : notes.height + 4);
  const top = sheet.top + 18;
  const high = (bottom - top - APART * (rest.length - 1)) / rest.length;
  const unitX = unitOfKind(kindOf(data, first), "1", x.from, x.to);
  const panels = rest.map((role, k): PanelDrawn => {
    const sides = { left, right, top: top + k * (high + APART), bottom: 0 };
    sides.bottom = sides.top + high;
    return drawTracePanel({
      kind,
      data,
      role,
      sides,
      x,
      xs,
      from,
      to,
      rising,
      marks,
      name,
      index: k,
    });
  });
  const body = [
    ...panels.flatMap((panel) => panel.ground),
    ...bottomAxis(x, bottom, {
      name: roleWords(kind, first),
      unit: unitX,
      grid: top,
      count: columns / 90,
    }),
    ...panels.flatMap((panel) => panel.drawn),
    ...notes.put(bottom + 50),
  ];
  const sentence = sentenceOf(kind, data, rest, marks);
  return {
    name,
    title: `Measured: ${data.name}`,
    sentence,
    get csv() {
      return traceTable(kind, data, present, from, to, columns, options);
    },
    plot: {
      x: plotAxis(x, first, unitX),
      y: plotAxis(panels[0]!.y, rest[0] as string, panels[0]!.unit),
      series: [],
    },
    svg: chartDocument(
      { name: data.name },
      options,
      sheet,
      {
        name,
        title: "Measured",
        beside: data.name,
        sentence,
        defs: panels.map(({ sides }, k) => plotClip(`${name}-${k}`, sides)),
      },
      body,
    ),
  };
}

function risesThroughout(values: Float64Array): boolean {
  for (let i = 1; i < values.length; i++) if (!(values[i]! >= values[i - 1]!)) return false;
  return true;
}

/** First and last row of a part of a rising column, one more at each end. */
function rowsBetween(xs: Float64Array, x0: number, x1: number): [number, number] {
  const at = (value: number) => {
    let [low, top] = [0, xs.length];
    while (low < top) {
      const middle = (low + top) >> 1;
      if (xs[middle]! < value) low = middle + 1;
      else top = middle;
    }
    return low;
  };
  const from = Math.max(0, at(x0) - 1);
  return [Math.min(from, xs.length - 2), Math.min(xs.length - 1, Math.max(at(x1), from + 1))];
}

function noteOf(rows: number, columns: number): string {
  return rows > 4 * columns
    ? `${rows} rows: of each pixel column the smallest and the largest value are drawn, so that no peak is lost.`
    : `${rows} rows.`;
}

function sentenceOf(
  kind: Kind,
  data: Data,
  roles: readonly string[],
  marks: readonly TraceMark[],
): string {
  const names = roles.map((role) => roleWords(kind, role)).join(", ");
  const found =
    marks.length === 0 ? "" : `, with ${marks.length} ${marks.length === 1 ? "mark" : "marks"}`;
  return `Measured ${names} of ${data.name}, ${data.rows} rows${found}.`;
}

function traceTable(
  kind: Kind,
  data: Data,
  roles: readonly string[],
  from: number,
  to: number,
  columns: number,
  options: FigureOptions,
): string {
  const of: Named = { name: data.name };
  const keep = new Set<number>();
  for (const role of roles.slice(1))
    for (const i of extremeIndices(data.columns.get(role) as Float64Array, from, to, columns))
      keep.add(i);
  const rows = [...keep].sort((a, b) => a - b);
  return csvText(
    {
      figure: `measured: ${kind.name}`,
      origin: originLine(of, options),
      rows: `${rows.length} of ${to - from + 1} rows, with the smallest and largest of each pixel column`,
    },
    roles.map((role) => {
      const values = data.columns.get(role) as Float64Array;
      return {
        name: identifier(role),
        unit: machineUnit(kindOf(data, role)),
        values: rows.map((i) => (Number.isFinite(values[i]) ? (values[i] as number) : null)),
      };
    }),
  );
}
