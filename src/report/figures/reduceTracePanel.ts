import type { Data, Kind } from "../../bench/kind.ts";
import type { TraceMark } from "../../bench/reduction.ts";
import { type QuantityKind, siUnit } from "../../units/index.ts";
import { printQuantity } from "../figureUnits.ts";
import { type AxisUnit, axisTitle, linear, type Scale } from "./axis.ts";
import type { PlotSides } from "./chartFrame.ts";
import { type ChartLabels, chartLabels } from "./chartLabels.ts";
import { extremeIndices, thinned } from "./pulseDecimate.ts";
import { extentOf, roomy, unitOfKind, untitledAxis } from "./reduceAxis.ts";
import { dotPath } from "./reduceDots.ts";
import { el, line, polyline, rect, text } from "./svg.ts";
import { CURVES, INK, PLOT_GROUND, SHADE, SIZE } from "./theme.ts";

/** Rows up to which each is drawn as a point too. */
const FEW = 300;
/** Rows that are drawn of a column that goes to and fro. */
const DRAWN = 8000;

export interface PanelAsked {
  kind: Kind;
  data: Data;
  role: string;
  sides: PlotSides;
  x: Scale;
  xs: Float64Array;
  from: number;
  to: number;
  rising: boolean;
  marks: readonly TraceMark[];
  /** Name of the picture, and which of its plots this is. */
  name: string;
  index: number;
}

export interface PanelDrawn {
  sides: PlotSides;
  y: Scale;
  unit: AxisUnit;
  ground: string[];
  drawn: string[];
}

/** One column over the first, with its marks. */
export function drawTracePanel(asked: PanelAsked): PanelDrawn {
  const { kind, data, role, sides, x, xs, from, to, rising, name, index } = asked;
  const { left, right, top, bottom } = sides;
  const values = data.columns.get(role) as Float64Array;
  const marks = asked.marks.filter((mark) => mark.role === role);
  const levels = marks.filter((mark) => mark.kind === "level").map((mark) => mark.from);
  const view = rising ? values.subarray(from, to + 1) : values;
  const y = linear(...roomy(extentOf(view, levels), 0.08), [bottom, top]);
  const unit = unitOfKind(kindOf(data, role), "1", y.from, y.to);
  const hue = CURVES[index % CURVES.length] ?? CURVES[0];
  const labels = chartLabels({
    x: left + 3,
    y: top + 3,
    width: right - left - 6,
    height: high(sides) - 6,
  });
  const rows = rising ? extremeIndices(values, from, to, right - left) : everyRow(to, DRAWN);
  const points = rows
    .map((i) => ({ x: x.at(xs[i] as number), y: y.at(values[i] as number) }))
    .filter((p) => Number.isFinite(p.x) && Number.isFinite(p.y));
  for (let k = 0; k < points.length; k += 1) {
    const p = points[k]!;
    labels.take({ x: p.x - 1, y: p.y - 1, width: 2, height: 2 });
  }
  const clip = { "clip-path": `url(#${name}-${index})` };
  const dots =
    to - from + 1 <= FEW
      ? dotPath(xs, values, x, y, sides, { stroke: hue.line, "stroke-width": 4 })
      : "";
  return {
    sides,
    y,
    unit,
    ground: [
      rect(left, top, right - left, bottom - top, { fill: PLOT_GROUND }),
      ...spans(marks, x, sides),
    ],
    drawn: [
      ...untitledAxis(y, left, unit, right, (bottom - top) / 36),
      el(
        "g",
        { ...clip, "data-column": role },
        polyline(rising ? thinned(points) : points, {
          stroke: hue.line,
          "stroke-width": 1.2,
          "stroke-linejoin": "round",
        }) + dots,
      ),
      ...markLines(
        marks,
        x,
        y,
        sides,
        labels,
        kindOf(data, role),
        kindOf(data, firstRole(kind, data)),
      ),
      text(left, top - 5, axisTitle(roleWords(kind, role), unit.unit), {
        size: SIZE.small,
        weight: "bold",
        halo: true,
      }),
    ],
  };
}

const high = ({ top, bottom }: PlotSides) => bottom - top;
const firstRole = (kind: Kind, data: Data) =>
  kind.roles.find(({ key }) => data.columns.has(key))?.key ?? "";
export const kindOf = (data: Data, role: string): QuantityKind => data.kinds.get(role) ?? "ratio";
export const roleWords = (kind: Kind, role: string) =>
  kind.roles.find(({ key }) => key === role)?.key.replaceAll("-", " ") ?? role;

function spans(marks: readonly TraceMark[], x: Scale, { left, right, top, bottom }: PlotSides) {
  return marks
    .filter((mark) => mark.kind === "span")
    .map((mark) => {
      const [a, b] = [x.at(mark.from), x.at(mark.to ?? mark.from)];
      const [from, to] = [Math.max(left, Math.min(a, b)), Math.min(right, Math.max(a, b))];
      return to > from ? rect(from, top, to - from, bottom - top, { fill: SHADE }) : "";
    });
}

/** Marks of each kind that are drawn and named: a train has thousands of edges. */
const MOST = 24;

function markLines(
  marks: readonly TraceMark[],
  x: Scale,
  y: Scale,
  sides: PlotSides,
  labels: ChartLabels,
  kindY: QuantityKind,
  kindX: QuantityKind,
): string[] {
  const { left, right, top, bottom } = sides;
  const say = (value: number, kind: QuantityKind) =>
    printQuantity(value, null, kind, siUnit(kind), { digits: 4 });
  const levels = marks.filter((mark) => mark.kind === "level").slice(0, MOST);
  const instants = marks
    .filter((mark) => mark.kind === "instant")
    .filter(({ from }) => x.at(from) >= left && x.at(from) <= right)
    .slice(0, MOST);
  const named = marks
    .filter((mark) => mark.kind === "span")
    .filter(({ from, to = from }) => x.at(to) >= left && x.at(from) <= right)
    .slice(0, MOST);
  const dash = { stroke: INK, "stroke-width": 0.8, "stroke-dasharray": "6 2 1.5 2" };
  return [
    ...levels.map(({ from }) => line(left, y.at(from), right, y.at(from), dash)),
    ...instants.map(({ from }) => line(x.at(from), top, x.at(from), bottom, dash)),
    ...levels.flatMap(({ name, from }) =>
      labels.calloutIfFree({ lines: [`${name} ${say(from, kindY)}`] }, right - 60, y.at(from)),
    ),
    ...instants.flatMap(({ name, from }) =>
      labels.calloutIfFree({ lines: [`${name} ${say(from, kindX)}`] }, x.at(from), top + 14),
    ),
    ...named.flatMap(({ name, from, to = from }) => {
      const middle = (Math.max(left, x.at(from)) + Math.min(right, x.at(to))) / 2;
      return labels.calloutIfFree({ lines: [name] }, middle, bottom - 12);
    }),
  ];
}

/** At most some thousand rows of a column that goes to and fro. */
function everyRow(last: number, most: number): number[] {
  const stride = Math.max(1, Math.ceil((last + 1) / most));
  const out: number[] = [];
  for (let i = 0; i <= last; i += stride) out.push(i);
  return out;
}
