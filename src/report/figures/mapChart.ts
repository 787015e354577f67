import type { Design } from "../../design/design.ts";
import { completeStep, type DesignMap } from "../../studies/maps.ts";
import { printFigure } from "../figureUnits.ts";
import { percentText } from "../text/marginTable.ts";
import {
  type AxisUnit,
  axisUnit,
  bottomAxis,
  leftAxis,
  linear,
  plotClip,
  type Scale,
} from "./axis.ts";
import {
  chartDocument,
  chartSheet,
  notesUnder,
  type PlotSides,
  plotAxis,
  shown,
} from "./chartFrame.ts";
import { csvText } from "./csv.ts";
import { type Figure, type FigureOptions, originLine } from "./figure.ts";
import { cellDots, filledMap, hatches, presentDot } from "./mapDrawing.ts";
import { gridOf, type MapGrid, regionsOf } from "./mapRegions.ts";
import { wrapWords } from "./textSize.ts";
import { SIZE } from "./theme.ts";

const OWN = { width: 860, height: 560 };

/**
 * The smallest margin over two inputs: the met part lightly filled, with contours at 0, 25, 50 and 100 %;
 * the rest hatched by the requirement that binds, its name written in it; the present design as a dot.
 * A map that is not finished is drawn on the finest lattice that is, and says how far it is.
 */
export function mapChart(design: Design, map: DesignMap, options: FigureOptions = {}): Figure {
  const sheet = chartSheet(options, OWN);
  const y = yAxisOf(map);
  const [left, right] = [74, sheet.width - 18];
  const notes = notesUnder(sheet.bare ? "" : noteOf(map), left, right);
  const bottom = sheet.bottom - 44 - (notes.height === 0 ? 0 : notes.height + 4);
  const plot: PlotSides = { left, right, top: sheet.top + 8, bottom };
  const [x0, x1] = shown(ends(map.x.values), options.view?.x);
  const [y0, y1] = shown(ends(map.y.values), options.view?.y);
  const scaleX = linear(x0, x1, [plot.left, plot.right]);
  const scaleY = linear(y0, y1, [plot.bottom, plot.top]);
  const name = `map-${map.kind}`;
  const step = completeStep(map);
  const grid = step === null ? null : gridOf(map, step);
  const sentence = sentenceOf(map);
  const title = `Margin over free length and ${map.kind === "length-voltage" ? "voltage" : "stand-off"}`;
  const place = { x: scaleX.at(map.present.x), y: scaleY.at(map.present.y) };
  const body = [
    ...bottomAxis(scaleX, plot.bottom, {
      name: "free length",
      unit: MM,
      count: (plot.right - plot.left) / 80,
    }),
    ...leftAxis(scaleY, plot.left, { ...y, count: (plot.bottom - plot.top) / 50 }),
    ...(grid === null
      ? [cellDots(computedCells(map, scaleX, scaleY), name)]
      : filledMap(grid, regionsOfMap(map, grid), scaleX, scaleY, plot, name, (labels) =>
          presentDot(place, plot, labels, presentWords(map, plot)),
        )),
    ...notes.put(plot.bottom + 54),
  ];
  return {
    name,
    title,
    sentence,
    get csv() {
      return csvOf(design, map, options);
    },
    plot: {
      x: plotAxis(scaleX, "free length", MM),
      y: plotAxis(scaleY, y.name, y.unit),
      series: [],
    },
    svg: chartDocument(
      design,
      options,
      sheet,
      {
        name,
        title,
        beside: "",
        sentence,
        defs: [plotClip(`${name}-plot`, plot), ...hatches(name)],
      },
      body,
    ),
  };
}

const MM: AxisUnit = { unit: "mm", factor: 1e-3 };
const ends = (values: readonly number[]): [number, number] => [
  values[0] as number,
  values[values.length - 1] as number,
];

function yAxisOf(map: DesignMap): { name: string; unit: AxisUnit } {
  const [from, to] = ends(map.y.values);
  if (map.kind === "length-stand-off")
    return { name: "stand-off", unit: axisUnit("length", from, to) };
  return { name: `voltage of ${railOf(map)}`, unit: axisUnit("voltage", from, to) };
}

/** "bias" of "rails.bias.voltage". */
const railOf = (map: DesignMap) => map.y.key.split(".").slice(1, -1).join(".");

function regionsOfMap(map: DesignMap, grid: MapGrid) {
  return regionsOf(grid, {
    of: (binding) => map.names[binding] ?? "",
    ofRest: (bindings) => `${bindings.length} other requirements`,
  });
}

function computedCells(map: DesignMap, x: Scale, y: Scale) {
  const columns = map.x.values.length;
  return [...map.margin].flatMap((margin, k) =>
    Number.isNaN(margin)
      ? []
      : {
          x: x.at(map.x.values[k % columns] as number),
          y: y.at(map.y.values[Math.floor(k / columns)] as number),
          met: margin >= 0,
        },
  );
}

/** What is said beside the present place. */
function presentWords(map: DesignMap, plot: PlotSides): string[] {
  const { present } = map;
  const now = `now ${lengthText(present.x)}, ${yText(map, present.y)}: ${percentText(present.margin)}`;
  const width = Math.min(220, 0.45 * (plot.right - plot.left));
  return [now, ...wrapWords(map.names[present.binding] ?? "", width, SIZE.small)];
}

const lengthText = (x: number) => printFigure("x_m", x, null, { digits: 3 });
const yText = (map: DesignMap, y: number) =>
  printFigure(map.kind === "length-voltage" ? "y_V" : "y_m", y, null, { digits: 3 });

function noteOf(map: DesignMap): string {
  const far = map.done < map.total ? ` ${map.done} of ${map.total} cells so far.` : "";
  return `Filled: every requirement is met; lines: how much is left. Hatched: not met, by what binds.${far}`;
}

function sentenceOf(map: DesignMap): string {
  const [x0, x1] = ends(map.x.values);
  const [y0, y1] = ends(map.y.values);
  const columns = map.x.values.length;
  let best = -1;
  let met = 0;
  map.margin.forEach((margin, k) => {
    if (margin >= 0) met += 1;
    if (!Number.isNaN(margin) && (best < 0 || margin > (map.margin[best] as number))) best = k;
  });
  const range = `free lengths from ${lengthText(x0)} to ${lengthText(x1)} and ${map.kind === "length-voltage" ? `voltages of ${railOf(map)}` : "stand-offs"} from ${yText(map, y0)} to ${yText(map, y1)}`;
  const far = map.done < map.total ? `, ${map.done} of ${map.total} cells computed` : "";
  if (best < 0) return `Smallest margin over ${range}${far}.`;
  const at = `${lengthText(map.x.values[best % columns] as number)} and ${yText(map, map.y.values[Math.floor(best / columns)] as number)}`;
  const left = percentText(map.margin[best] as number);
  const binds = map.names[map.binding[best] as number] ?? "";
  const { present } = map;
  const now = `now ${lengthText(present.x)} and ${yText(map, present.y)} with ${percentText(present.margin)} left`;
  return met === 0
    ? `Over ${range} no place looked at meets every requirement${far}: nearest at ${at} with ${left} left, where ${binds} binds; ${now}.`
    : `Over ${range} every requirement is met in ${percentText(met / map.done)} of the places${far}: best at ${at} with ${left} left, where ${binds} binds; ${now}.`;
}

function csvOf(design: Design, map: DesignMap, options: FigureOptions): string {
  const columns = map.x.values.length;
  const cells = [...map.margin.keys()].filter((k) => !Number.isNaN(map.margin[k] as number));
  return csvText(
    {
      figure: `smallest margin over free length and ${map.y.key}`,
      design: design.name,
      origin: originLine(design, options),
      cells: `${map.done} of ${map.total}`,
    },
    [
      { name: "free_length", unit: "m", values: cells.map((k) => map.x.values[k % columns]!) },
      {
        name: map.kind === "length-voltage" ? "voltage" : "stand_off",
        unit: map.kind === "length-voltage" ? "V" : "m",
        values: cells.map((k) => map.y.values[Math.floor(k / columns)]!),
      },
      { name: "smallest_margin", unit: "1", values: cells.map((k) => map.margin[k]!) },
      { name: "binding", unit: "", values: cells.map((k) => map.ids[map.binding[k]!]!) },
    ],
  );
}
