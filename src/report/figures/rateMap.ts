import type { Design } from "../../design/design.ts";
import { latticeOf } from "../../studies/maps.ts";
import { CELL_STATES, completeRatesStep, type RatesMap } from "../../studies/ratesMap.ts";
import { printFigure } from "../figureUnits.ts";
import {
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
  notesUnder,
  type PlotSides,
  plotAxis,
  shown,
} from "./chartFrame.ts";
import type { ChartLabels } from "./chartLabels.ts";
import { csvText } from "./csv.ts";
import { type Figure, type FigureOptions, originLine } from "./figure.ts";
import { cellDots, filledMap, hatches, presentDot } from "./mapDrawing.ts";
import { type MapGrid, regionsOf } from "./mapRegions.ts";

const OWN = { width: 860, height: 560 };
const ID = "rate-map";
const TITLE = "Gate lengths and rates";
/** Margin that a cell counts with whose gas tells nothing: no room, no opening, no repeat. */
const OUT = -1;

/**
 * Gate length against repetition rate: filled where every pulse is as a single one of the same gate, with
 * contours of how much of the allowed change is left; hatched elsewhere by what the train does there. A map that
 * is not finished is drawn on the finest lattice that is, and says how far it is.
 */
export function rateMap(design: Design, map: RatesMap, options: FigureOptions = {}): Figure {
  const sheet = chartSheet(options, OWN);
  const [left, right] = [74, sheet.width - 18];
  const notes = notesUnder(sheet.bare ? "" : noteOf(map), left, right);
  const bottom = sheet.bottom - 44 - (notes.height === 0 ? 0 : notes.height + 4);
  const plot: PlotSides = { left, right, top: sheet.top + 8, bottom };
  const [x0, x1] = shown([map.rates[0]!, map.rates.at(-1)!], options.view?.x);
  const [y0, y1] = shown([map.gates[0]!, map.gates.at(-1)!], options.view?.y);
  const x = logarithmic(Math.max(x0, 1e-9), x1, [left, right]);
  const y = linear(y0, y1, [plot.bottom, plot.top]);
  const step = completeRatesStep(map);
  const units = { x: axisUnit("frequency", x0, x1), y: axisUnit("time", y0, y1) };
  const sentence = sentenceOf(map);
  const grid = step === null ? null : gridOf(map, step);
  const body = [
    ...bottomAxis(x, plot.bottom, { name: "repetition rate", unit: units.x }),
    ...leftAxis(y, left, { name: "gate", unit: units.y, count: (plot.bottom - plot.top) / 50 }),
    ...(grid === null
      ? [cellDots(computedCells(map, x, y), ID)]
      : filledMap(grid, regionsOfMap(map, grid), x, y, plot, ID, (labels) =>
          presentOf(map, x, y, plot, labels),
        )),
    ...notes.put(plot.bottom + 54),
  ];
  return {
    name: ID,
    title: TITLE,
    sentence,
    get csv() {
      return csvOf(design, map, options);
    },
    plot: {
      x: plotAxis(x, "repetition rate", units.x),
      y: plotAxis(y, "gate", units.y),
      series: [],
    },
    svg: chartDocument(
      design,
      options,
      sheet,
      {
        name: ID,
        title: TITLE,
        beside: "",
        sentence,
        defs: [plotClip(`${ID}-plot`, plot), ...hatches(ID)],
      },
      body,
    ),
  };
}

/** Left of the allowed change; below zero where the train does not do what single pulses do. */
function marginOf(map: RatesMap, cell: number): number {
  const change = map.change[cell] as number;
  if (Number.isNaN(change)) return OUT;
  const left = Math.max(OUT, 1 - change / map.allowed);
  return map.state[cell] === 0 ? Math.max(0, left) : Math.min(left, -0.01);
}

function gridOf(map: RatesMap, step: number): MapGrid {
  const columns = map.rates.length;
  const [xs, ys] = [latticeOf(columns, step), latticeOf(map.gates.length, step)];
  const cells = ys.flatMap((row) => xs.map((column) => row * columns + column));
  const states = cells.map((cell) => map.state[cell] as number);
  // What comes next at higher rates, or lower ones: regions meet the filled part without a seam of another.
  const beside = (k: number) => {
    const end = k - (k % xs.length) + xs.length;
    const row = [...states.slice(k, end), ...states.slice(end - xs.length, k).reverse()];
    return row.find((state) => state !== 0) ?? 0;
  };
  return {
    x: xs.map((i) => map.rates[i] as number),
    y: ys.map((j) => map.gates[j] as number),
    margin: cells.map((cell) => marginOf(map, cell)),
    binding: states.map((state, k) => (state === 0 ? beside(k) : state)),
  };
}

function wordsOf(map: RatesMap, state: number): string {
  const what = map.measure === "gas" ? "gas per pulse" : "travel";
  switch (CELL_STATES[state]) {
    case "differs":
      return `${what} differs by more than ${100 * map.allowed} %`;
    case "alternates":
      return "pulses alternate";
    case "misses":
      return "pulses are missed";
    case "stays open":
      return "does not close between pulses";
    case "no repeat":
      return "does not repeat";
    case "no room":
      return "gate longer than the period";
    case "no gas":
      return "a single pulse lets no gas through";
    default:
      return "not computed";
  }
}

function regionsOfMap(map: RatesMap, grid: MapGrid) {
  return regionsOf(grid, {
    of: (state) => wordsOf(map, state),
    ofRest: (states) => states.map((state) => wordsOf(map, state)).join("; "),
  });
}

function computedCells(map: RatesMap, x: Scale, y: Scale) {
  const columns = map.rates.length;
  return [...map.state].flatMap((state, k) =>
    state < 0
      ? []
      : {
          x: x.at(map.rates[k % columns] as number),
          y: y.at(map.gates[Math.floor(k / columns)] as number),
          met: state === 0,
        },
  );
}

const hertz = (f: number) => printFigure("f_Hz", f, null, { digits: 3 });
const time = (t: number) => printFigure("t_s", t, null, { digits: 3 });

function presentOf(
  { present }: RatesMap,
  x: Scale,
  y: Scale,
  plot: PlotSides,
  labels: ChartLabels,
): string {
  if (present.rate === null) return "";
  const at = { x: x.at(present.rate), y: y.at(present.gate) };
  return presentDot(at, plot, labels, [
    `wanted ${hertz(present.rate)}, gate ${time(present.gate)}`,
  ]);
}

function noteOf(map: RatesMap): string {
  const far = map.done < map.total ? ` ${map.done} of ${map.total} cells so far.` : "";
  const what = map.measure === "gas" ? "gas" : "travel";
  return `Filled: ${what} of every pulse within ${100 * map.allowed} % of a single one of the same gate; lines: how much of that is left. Hatched: what the train does elsewhere.${far}`;
}

function sentenceOf(map: RatesMap): string {
  const met = map.state.reduce((sum, state) => sum + (state === 0 ? 1 : 0), 0);
  const far = map.done < map.total ? `, ${map.done} of ${map.total} cells computed` : "";
  const range = `rates from ${hertz(map.rates[0]!)} to ${hertz(map.rates.at(-1)!)} and gates from ${time(map.gates[0]!)} to ${time(map.gates.at(-1)!)}`;
  const counts = new Map<number, number>();
  map.state.forEach((state) => {
    if (state > 0) counts.set(state, (counts.get(state) ?? 0) + 1);
  });
  const [most] = [...counts].sort((a, b) => b[1] - a[1] || a[0] - b[0]);
  const percent = (n: number) => `${Math.round((100 * n) / Math.max(1, map.done))} %`;
  const rest = most === undefined ? "" : `; most of the rest: ${wordsOf(map, most[0])}`;
  return `Over ${range} every pulse is as a single one in ${percent(met)} of the places${far}${rest}.`;
}

function csvOf(design: Design, map: RatesMap, options: FigureOptions): string {
  const columns = map.rates.length;
  const cells = [...map.state.keys()].filter((k) => (map.state[k] as number) >= 0);
  const finite = (x: number) => (Number.isNaN(x) ? null : x);
  return csvText(
    {
      figure: "trains over gate length and repetition rate, each against a single pulse",
      design: design.name,
      origin: originLine(design, options),
      measure: map.measure,
      cells: `${map.done} of ${map.total}`,
    },
    [
      { name: "rate", unit: "Hz", values: cells.map((k) => map.rates[k % columns]!) },
      { name: "gate", unit: "s", values: cells.map((k) => map.gates[Math.floor(k / columns)]!) },
      { name: "gas_over_single", unit: "1", values: cells.map((k) => finite(map.gas[k]!)) },
      { name: "largest_change", unit: "1", values: cells.map((k) => finite(map.change[k]!)) },
      { name: "state", unit: "", values: cells.map((k) => CELL_STATES[map.state[k]!]!) },
    ],
  );
}
