import type { Design } from "../../design/design.ts";
import type { MarginRow, SheetResult, StateFigures } from "../../sheet/result.ts";
import { kindOfUnit, printFigure, printQuantity } from "../figureUnits.ts";
import { csvText } from "./csv.ts";
import { type ChainLayout, type ChainNode, chainLayout } from "./driveChainLayout.ts";
import { capacitor, earth, legend, leverSwitch, resistor, source } from "./driveSymbols.ts";
import { type Figure, type FigureOptions, frame, originLine } from "./figure.ts";
import { circle, line, part, polyline, rect, svgDocument, text } from "./svg.ts";
import { GRAPHITE, INK, NOT_MET, QUIET, SAND, SAND_EDGE, SIZE } from "./theme.ts";

export interface DriveChainOptions extends FigureOptions {
  /** Name of the state whose potentials are written, default the one in which the output is high. */
  state?: string;
}

const ID = "drive-chain";
/** px between the middle of a part and the words beside it where parts stand close. */
const APART = 50;

/**
 * From the supplies over storage, bleeder, switch and resistor to the electrodes, with the potential
 * of every node in one state, currents, energies and what they may be. Null without rail and switch.
 */
export function driveChain(
  design: Design,
  result: SheetResult,
  options: DriveChainOptions = {},
): Figure | null {
  const names = Object.keys(design.rails);
  if (design.switch === undefined || names.length === 0 || result.drive === null) return null;
  const { states } = result.strip;
  const state = states.find(({ name }) => name === (options.state ?? "high")) ?? states[0];
  if (state === undefined) return null;
  const layout = chainLayout(design, options);
  const { width, height, bare } = layout;
  const body = [
    ...buses(design, state, layout),
    ...names.flatMap((name, i) => railParts(design, result, name, i, layout)),
    ...switchParts(design, result, state, layout),
    ...stripParts(design, state, layout),
  ];
  const title = "Drive chain";
  const beside = `state: ${state.name}`;
  const sentence = sentenceOf(design, result, state);
  const size = { width, height };
  const drawing = bare
    ? body
    : [...frame(size, title, beside, originLine(design, options)), ...body];
  return {
    name: ID,
    title,
    sentence,
    csv: csvOf(design, result, options),
    svg: svgDocument({ ...size, name: ID, title, sentence, bare }, drawing),
  };
}

/** Potential of a node in a state: that of an electrode on it, else what the rail is set to. */
function potentialAt(design: Design, state: StateFigures, node: string): number | null {
  if (node === "ground") return 0;
  const wired = Object.entries(design.wiring ?? {}).find(([, terminal]) => terminal === node);
  const volts = wired === undefined ? undefined : state.potentials_V[wired[0]];
  if (volts !== undefined) return volts;
  return state.kind === "switch" ? (design.rails[node]?.voltage ?? null) : null;
}

const volt = (x: number) => printFigure("V_V", Math.abs(x) < 1e-9 ? 0 : x, null, { digits: 4 });

function buses(design: Design, state: StateFigures, layout: ChainLayout): string[] {
  return layout.nodes.flatMap(({ name, y }) => {
    const volts = potentialAt(design, state, name);
    const words = `${name}${volts === null ? "" : ` ${volt(volts)}`}`;
    const up = y < layout.middle ? -6 : 15;
    const drawn = [
      line(layout.left, y, busEnd(design, name, layout), y, {
        stroke: GRAPHITE,
        "stroke-width": 1.6,
      }),
      text(layout.left + 26, y + up, words, { size: SIZE.small, weight: "bold" }),
    ];
    if (name === "ground") drawn.push(earth(layout.left + 8, y, y < layout.middle ? -1 : 1));
    return [part(name === "ground" ? "ground" : `rail-${name}`, drawn)];
  });
}

/** Electrodes from the top of the strip as drawn, downwards. */
const fromTop = (design: Design): string[] => [...design.electrodes].reverse();

/** Where the wire of an electrode turns: each has a place of its own, so that wires cross and never meet. */
function elbowOf(design: Design, name: string, layout: ChainLayout): number {
  return layout.stripX - 14 - 9 * fromTop(design).indexOf(name);
}

/** A rail ends where its last electrode leaves it, or at the switch. */
function busEnd(design: Design, node: string, layout: ChainLayout): number {
  const taken = Object.entries(design.wiring ?? {}).filter(([, terminal]) => terminal === node);
  const elbows = taken.map(([name]) => elbowOf(design, name, layout));
  return Math.max(layout.switchX, ...elbows);
}

/** Supply, storage capacitor and bleeder of one rail, between it and the ground. */
function railParts(
  design: Design,
  result: SheetResult,
  name: string,
  index: number,
  layout: ChainLayout,
): string[] {
  const rail = design.rails[name];
  const node = layout.nodes.find((each) => each.name === name);
  const zero = layout.nodes.find((each) => each.name === "ground");
  const drive = result.drive?.rails.find((each) => each.name === name);
  if (rail === undefined || node === undefined || zero === undefined) return [];
  const [a, b] = [Math.min(node.y, zero.y), Math.max(node.y, zero.y)];
  const x = (slot: number) => layout.left + 30 + (3 * index + slot) * layout.pitch;
  const row = (id: string) => result.margins.find((each) => each.id === `${id}.${name}`);
  // Where parts stand close, words stand above or below the next part, beside its lead.
  const middle = (slot: number) => (a + b) / 2 + (layout.limits ? 0 : slot === 1 ? APART : -APART);
  const out = [
    part(`rail-${name}`, [
      source(x(0), a, b, node.y === a ? rail.voltage > 0 : rail.voltage < 0),
      ...column(x(0) + (layout.limits ? 17 : 6), middle(0), [
        `supply ${volt(rail.voltage)}`,
        rail.sinks ? "can sink" : "can't sink",
        ...limited("", row("supply_current"), layout, (x) =>
          printFigure("I_A", x, null, { digits: 3 }),
        ),
      ]),
    ]),
  ];
  if (rail.storage !== null)
    out.push(
      part(`storage-${name}`, [
        capacitor(x(1), a, b),
        ...column(x(1) + (layout.limits ? 17 : 6), middle(1), [
          printFigure("C_F", rail.storage, null, { digits: 3 }),
          ...(drive === undefined
            ? []
            : [printFigure("E_J", drive.stored_energy_J, null, { digits: 3 })]),
          ...limited(
            "droop ",
            row("rail_droop"),
            layout,
            (x) => `${Number((100 * x).toPrecision(2))} %`,
          ),
        ]),
      ]),
    );
  if (rail.bleeder !== null)
    out.push(
      part(`bleeder-${name}`, [
        resistor(x(2), a, b),
        ...column(x(2) + (layout.limits ? 12 : 6), middle(2), [
          printFigure("R_ohm", rail.bleeder, null, { digits: 3 }),
          ...limited("", row("bleed"), layout, (x) => printFigure("t_s", x, null, { digits: 3 })),
        ]),
      ]),
    );
  return out;
}

/** "10 mA ≤ 20 mA", with a cross before it where it is not met. */
function limited(
  before: string,
  row: MarginRow | undefined,
  { limits }: { limits: boolean },
  print: (x: number) => string,
): string[] {
  if (row === undefined || row.value === null) return [];
  const may = limits || !row.met ? ` ≤ ${print(row.limit)}` : "";
  const words = `${before}${print(row.value)}${may}`;
  return [row.met ? words : `× ${words}`];
}

/** Short lines beside a symbol, about its middle; what is not met stands out. */
function column(x: number, middle: number, lines: readonly string[]): string[] {
  const top = middle - (lines.length - 1) * 6.5 + 3.6;
  return lines.map((words, i) =>
    text(x, top + i * 13, words, {
      size: SIZE.small,
      fill: words.startsWith("×") ? NOT_MET : i === 0 ? INK : QUIET,
      halo: true,
    }),
  );
}

/** Half-bridge in its state, series resistor and cable up to the strip. */
function switchParts(
  design: Design,
  result: SheetResult,
  state: StateFigures,
  layout: ChainLayout,
): string[] {
  const bridge = design.switch;
  if (bridge === undefined) return [];
  const at = (name: string) => layout.nodes.find((each) => each.name === name) as ChainNode;
  const [high, low] = [at(bridge.high).y, at(bridge.low).y];
  const { switchX: x, resistorX, stripX } = layout;
  const y = (high + low) / 2;
  const row = (id: string) => result.margins.find((each) => each.id === id);
  const quantity = (id: string) => (v: number) => {
    const unit = row(id)?.unit ?? "1";
    return printQuantity(v, null, kindOfUnit(unit, id), unit, { digits: 3 });
  };
  const out = state.potentials_V;
  const driven = Object.entries(design.wiring ?? {}).find(
    ([, terminal]) => terminal === "switched",
  );
  const volts = driven === undefined ? undefined : out[driven[0]];
  const peak = result.drive?.peak_current_A ?? null;
  const cableEnd = driven === undefined ? stripX - 14 : elbowOf(design, driven[0], layout);
  return [
    part("switch", [
      leverSwitch(x, high, low, closedTo(state, bridge.idle)),
      text(x - 8, high + (high < low ? 30 : -24), "high", { size: SIZE.small, anchor: "end" }),
      text(x - 8, low + (low < high ? 30 : -24), "low", { size: SIZE.small, anchor: "end" }),
    ]),
    line(x + 26, y, resistorX - 20, y),
    part("resistor", [
      rect(resistorX - 20, y - 6, 40, 12, { fill: "none", stroke: INK, "stroke-width": 1.2 }),
      text(resistorX, y - 12, printFigure("R_ohm", bridge.seriesResistor, null, { digits: 3 }), {
        size: SIZE.small,
        anchor: "middle",
      }),
      ...[
        ...limited("", row("switch_current"), layout, quantity("switch_current")),
        ...limited("", row("resistor_energy"), layout, quantity("resistor_energy")),
        ...(row("switch_current") === undefined && peak !== null
          ? [`peak ${printFigure("I_A", peak, null, { digits: 3 })}`]
          : []),
      ].map((words, i) =>
        text(resistorX, y + 20 + 13 * i, words, {
          size: SIZE.small,
          anchor: "middle",
          fill: words.startsWith("×") ? NOT_MET : QUIET,
          halo: true,
        }),
      ),
    ]),
    part("cable", [
      line(resistorX + 20, y, cableEnd, y),
      ...(volts === undefined
        ? []
        : [
            text(resistorX + 24, y - 5, volt(volts), {
              size: SIZE.small,
              weight: "bold",
              halo: true,
            }),
          ]),
    ]),
  ];
}

function closedTo(state: StateFigures, idle: string | null): "high" | "low" | null {
  if (state.name === "idle") return idle === "off" ? null : (idle as "high" | "low" | null);
  if (/\bhigh$/.test(state.name)) return "high";
  return /\blow$/.test(state.name) ? "low" : null;
}

/** The strip as a stack with its electrodes, each wired to its node, potentials beside. */
function stripParts(design: Design, state: StateFigures, layout: ChainLayout): string[] {
  const { stripX: x, stripTop, stripBottom, nodes } = layout;
  const names = fromTop(design);
  const step = (stripBottom - stripTop) / Math.max(1, names.length - 1);
  const out = [
    part("strip", [
      rect(x, stripTop, 34, stripBottom - stripTop, { fill: SAND, stroke: SAND_EDGE }),
    ]),
  ];
  const bridge = design.switch;
  const output =
    bridge === undefined
      ? 0
      : nodes
          .filter(({ name }) => name === bridge.high || name === bridge.low)
          .reduce((sum, { y }) => sum + y / 2, 0);
  names.forEach((name, i) => {
    const y = stripTop + step * i;
    const terminal = design.wiring?.[name] ?? "open";
    const bus = nodes.find((node) => node.name === terminal)?.y;
    const from = terminal === "switched" ? output : bus;
    const elbow = elbowOf(design, name, layout);
    const volts = state.potentials_V[name];
    out.push(
      part(`electrode-${name}`, [
        from === undefined
          ? ""
          : polyline([
              { x: elbow, y: from },
              { x: elbow, y },
              { x: x - 4, y },
            ]),
        from === undefined ? circle(x - 9, y, 3, { fill: "none", stroke: INK }) : "",
        line(x - 5, y, x + 39, y, { stroke: GRAPHITE, "stroke-width": 2.4 }),
        text(x + 44, y - 1, name, { size: SIZE.small, fill: QUIET }),
        volts === undefined
          ? ""
          : text(x + 44, y + 11, volt(volts), { size: SIZE.small, weight: "bold" }),
      ]),
    );
  });
  if (nodes.length > 0) out.push(legend(layout));
  return out;
}

function sentenceOf(design: Design, result: SheetResult, state: StateFigures): string {
  const parts = Object.entries(state.potentials_V).map(([name, volts]) => `${name} ${volt(volts)}`);
  const peak = result.drive?.peak_current_A ?? null;
  const current =
    peak === null ? "" : `; peak current ${printFigure("I_A", peak, null, { digits: 3 })}`;
  const rails = Object.entries(design.rails).map(
    ([name, { voltage }]) => `${name} ${volt(voltage)}`,
  );
  return `Drive chain, state ${state.name}: rails ${rails.join(", ")}; electrodes ${parts.join(", ")}${current}.`;
}

function csvOf(design: Design, result: SheetResult, options: FigureOptions): string {
  const { states } = result.strip;
  return csvText(
    {
      figure: "drive chain: potential of every electrode in every state",
      design: design.name,
      origin: originLine(design, options),
    },
    [
      { name: "state", unit: "", values: states.map(({ name }) => name) },
      { name: "kind", unit: "", values: states.map(({ kind }) => kind) },
      ...design.electrodes.map((name) => ({
        name: name.replaceAll(/[^A-Za-z0-9]+/g, "_"),
        unit: "V",
        values: states.map(({ potentials_V }) => potentials_V[name] ?? null),
      })),
    ],
  );
}
