import type { Design } from "../../design/design.ts";
import type { SheetResult, StateFigures } from "../../sheet/result.ts";
import { printFigure } from "../figureUnits.ts";
import { forceFloor } from "../states.ts";
import { stripWords } from "../stripWords.ts";
import { note } from "./axis.ts";
import { csvText } from "./csv.ts";
import { verticalDimension } from "./dimension.ts";
import { type Figure, type FigureOptions, frame, originLine } from "./figure.ts";
import { spread } from "./labels.ts";
import { conductors, layerFaces, type PanelPlace, sectionPanel } from "./sectionPanel.ts";
import { hatch, line, svgDocument, text } from "./svg.ts";
import { wrapWords } from "./textSize.ts";
import { GRAPHITE, NOT_MET, QUIET, SIZE } from "./theme.ts";

const WIDTH = 1080;
const MOST = 8;
const LEFT = 184;
/** Layers lower than this need wider panels, px. */
const THIN = 26;
const STACK_HEIGHT = 126;
const STACK = 98;
const ROW = 244;
const TOP = 98;
const ID = "section";

interface Group {
  states: StateFigures[];
}

export interface SectionOptions extends FigureOptions {
  /** Names of the states that are shown, each on its own; default: all, alike ones together. */
  states?: readonly string[];
}

/** Where the panels of a section stand. */
interface SectionLayout {
  size: { width: number; height: number };
  inRow: number;
  stack: number;
  stackHeight: number;
  placeOf: (index: number) => PanelPlace;
}

/**
 * The strip through its thickness in every state: layers to scale, poling as a hollow arrow, field as
 * a solid arrow to scale, potentials at the conductors. States with the same fields share a panel;
 * both switch states stand first, then what is worst for the poling.
 */
export function sectionView(
  design: Design,
  result: SheetResult,
  options: SectionOptions = {},
): Figure {
  const bare = options.bare ?? false;
  const all = groupStates(result.strip.states);
  const groups = chosenGroups(result.strip.states, all, options);
  const shown = groups.slice(0, MOST);
  const strongest = Math.max(
    0,
    ...result.strip.states.flatMap((s) => s.layers.map((l) => Math.abs(l.field_V_m))),
  );
  const thin = design.strip.layers.some(
    (l) => l.poling !== 0 && (l.thickness / thicknessOf(design)) * STACK_HEIGHT < THIN,
  );
  const layout = bare
    ? bareLayout(options.size, Math.max(1, shown.length))
    : paperLayout(shown.length, thin);
  const { size, inRow, placeOf, stack, stackHeight } = layout;
  const rows = Math.max(1, Math.ceil(shown.length / inRow));
  const { height } = size;
  const total = thicknessOf(design);
  const thinnest = Math.min(
    ...design.strip.layers
      .filter((l) => l.poling !== 0)
      .map((l) => (l.thickness / total) * stackHeight),
    60 * (stackHeight / STACK_HEIGHT),
  );
  const pxPerField = strongest === 0 ? 0 : (0.84 * thinnest) / strongest;
  const floor = forceFloor(result.strip.states);
  const look = { stack, pxPerField, id: ID, thin, forceFloor: floor };
  const body: string[] = [];
  for (let row = 0; row < rows; row++) body.push(...scaleColumn(design, placeOf(row * inRow)));
  if (shown.length === 0) body.push(...bareStack(design, placeOf(0), stack));
  shown.forEach((group, i) => {
    body.push(...sectionPanel(design, group, placeOf(i), look));
  });
  const hidden =
    options.states !== undefined || bare
      ? 0
      : groups.slice(MOST).reduce((sum, group) => sum + group.states.length, 0);
  const arrows =
    strongest === 0
      ? ""
      : ` Solid arrow: field, length to scale, longest ${printFigure("E_V_m", strongest, null, { digits: 3 })}. Doubled shaft and hatch: against the poling.`;
  const more = hidden > 0 ? ` ${hidden} states with weaker fields are in the table only.` : "";
  const legend = `Hollow arrow: poling.${arrows} Thickness to scale, width not.${more}`;
  if (bare)
    wrapWords(legend, size.width - 8, SIZE.small).forEach((words, i, lines) => {
      body.push(note(4, height - 6 - 13 * (lines.length - 1 - i), words));
    });
  else body.push(note(24, height - 26, legend));

  const along = stripWords(design);
  const sentence =
    along.length === 0
      ? sentenceOf(result)
      : `${sentenceOf(result)} At the clamp edge; along the strip: ${along.join("; ")}.`;
  const title = "Section through the thickness";
  const beside = `${printFigure("x_m", total, null, { digits: 4 })} thick, ${printFigure("x_m", design.strip.width, null, { digits: 4 })} wide${along.length === 0 ? "" : " at the clamp edge"}`;
  return {
    name: ID,
    title,
    sentence,
    csv: csvOf(design, result, options),
    svg: svgDocument(
      {
        ...size,
        name: ID,
        title,
        sentence,
        defs: [hatch(`${ID}-against`, "rising", 6, NOT_MET, "none", 0.6)],
        bare,
      },
      bare ? body : [...frame(size, title, beside, originLine(design, options)), ...body],
    ),
  };
}

function paperLayout(count: number, thin: boolean): SectionLayout {
  const inRow = thin ? 2 : 4;
  const width = Math.floor((WIDTH - LEFT - 4) / inRow);
  const rows = Math.max(1, Math.ceil(count / inRow));
  return {
    size: { width: WIDTH, height: TOP + rows * ROW - 20 },
    inRow,
    stack: STACK,
    stackHeight: STACK_HEIGHT,
    placeOf: (index) => {
      const [row, column] = [Math.floor(index / inRow), index % inRow];
      return { x: LEFT + column * width, y: TOP + row * ROW, width, height: STACK_HEIGHT };
    },
  };
}

/** Room for names above and for deflection and legend below a row of a bare sheet, px. */
const ABOVE = 62;
const BELOW = 78;

/** One row of panels over the whole sheet. */
function bareLayout(
  given: { width: number; height: number } = { width: WIDTH, height: 380 },
  count: number,
): SectionLayout {
  const size = { width: Math.max(420, given.width), height: Math.max(280, given.height) };
  const left = 152;
  const width = Math.floor((size.width - left - 4) / count);
  const stackHeight = size.height - ABOVE - BELOW;
  return {
    size,
    inRow: count,
    stack: Math.min(260, Math.max(60, width - 112)),
    stackHeight,
    placeOf: (index) => ({ x: left + index * width, y: ABOVE, width, height: stackHeight }),
  };
}

/** The states asked for, each on its own; of a bare sheet else the two that the switch makes. */
function chosenGroups(
  states: readonly StateFigures[],
  all: Group[],
  { states: names, bare = false }: SectionOptions,
): Group[] {
  if (names !== undefined)
    return states.filter(({ name }) => names.includes(name)).map((state) => ({ states: [state] }));
  if (!bare) return all;
  const switched = states.filter(({ kind }) => kind === "switch");
  return switched.length > 0 ? switched.map((state) => ({ states: [state] })) : all.slice(0, 2);
}

function thicknessOf(design: Design): number {
  return design.strip.layers.reduce((sum, layer) => sum + layer.thickness, 0);
}

/** States with the same fields together; switch states first, then the most against the poling. */
export function groupStates(states: readonly StateFigures[]): Group[] {
  const groups = new Map<string, Group>();
  for (const state of states) {
    const key = state.layers.map((l) => Math.round(l.field_V_m / 10)).join(",");
    const group = groups.get(key);
    if (group === undefined) groups.set(key, { states: [state] });
    else group.states.push(state);
  }
  const least = (g: Group) =>
    Math.min(0, ...g.states[0]!.layers.map((l) => l.field_along_poling_V_m));
  const most = (g: Group) =>
    Math.max(0, ...g.states[0]!.layers.map((l) => l.field_along_poling_V_m));
  const isSwitch = (g: Group) => g.states.some((s) => s.kind === "switch");
  return [...groups.values()].sort(
    (a, b) => Number(isSwitch(b)) - Number(isSwitch(a)) || least(a) - least(b) || most(b) - most(a),
  );
}

/** Materials, thicknesses and names of the conductors, left of a row. */
function scaleColumn(design: Design, place: PanelPlace): string[] {
  const faces = layerFaces(design, place);
  const out: string[] = [];
  const x = place.x - 22;
  const middles = faces.map(({ low, high }) => (low + high) / 2);
  const ys = spread(middles, 13, place.y - 6, place.y + place.height + 6);
  design.strip.layers.forEach((layer, i) => {
    const { low, high } = faces[i]!;
    const words = `${layer.material} ${printFigure("x_m", layer.thickness, null, { digits: 4 })}`;
    if (low - high >= 20)
      out.push(
        ...verticalDimension({ x: place.x - 6, y: high }, { x: place.x - 6, y: low }, x, words, {
          side: "before",
          halo: false,
        }),
      );
    else
      out.push(
        line(x - 4, ys[i]!, place.x - 6, middles[i]!, { stroke: QUIET, "stroke-width": 0.7 }),
        text(x - 7, ys[i]! + 3.6, words, { size: SIZE.small, anchor: "end" }),
      );
  });
  const names = conductors(design, faces);
  const heights = names.map(({ y }) => y);
  const near = middles.map((m) => m);
  names.forEach(({ name, y }, i) => {
    const atFace = near.every((m) => Math.abs(m - y) > 12);
    if (!atFace) return;
    const up = y <= Math.min(...heights) + 1 ? -4 : y >= Math.max(...heights) - 1 ? 11 : 3.6;
    out.push(
      text(x - 7, heights[i]! + up, name, { size: SIZE.small, anchor: "end", fill: GRAPHITE }),
    );
  });
  return out;
}

/** Without a wiring: the layers alone, with their poling. */
function bareStack(design: Design, place: PanelPlace, stack: number): string[] {
  const none: StateFigures = {
    name: "no wiring is given",
    kind: "rest",
    what: "",
    potentials_V: {},
    layers: [],
    free_deflection_m: 0,
    blocking_force_N: 0,
  };
  const panel = sectionPanel(design, { states: [none] }, place, {
    stack,
    pxPerField: 0,
    id: ID,
    thin: false,
    forceFloor: 0,
  });
  return panel.slice(0, -2);
}

function sentenceOf(result: SheetResult): string {
  const all = result.strip.states.flatMap((state) =>
    state.layers.map((layer) => ({ state, layer, along: layer.field_along_poling_V_m })),
  );
  if (all.length === 0) return "Section of the strip; no wiring is given, so no field is known.";
  const high = all.reduce((a, b) => (b.along > a.along ? b : a));
  const low = all.reduce((a, b) => (b.along < a.along ? b : a));
  const say = ({ state, layer, along }: typeof high) =>
    `${printFigure("E_V_m", Math.abs(along), null, { digits: 3 })} in layer ${layer.layer + 1} (${state.name})`;
  const against =
    low.along < 0 ? `against it ${say(low)}` : "no layer is driven against it in any state";
  return `Section of the strip in ${result.strip.states.length} states: strongest field with the poling ${say(high)}; ${against}.`;
}

function csvOf(design: Design, result: SheetResult, options: FigureOptions): string {
  const rows = result.strip.states.flatMap((state) =>
    state.layers.map((layer) => ({ state, layer })),
  );
  const volt = (state: StateFigures, name: string | null | undefined) =>
    name === null || name === undefined ? null : (state.potentials_V[name] ?? null);
  return csvText(
    {
      figure: "section: fields in every state",
      design: design.name,
      origin: originLine(design, options),
    },
    [
      { name: "state", unit: "", values: rows.map(({ state }) => state.name) },
      { name: "kind", unit: "", values: rows.map(({ state }) => state.kind) },
      { name: "layer", unit: "1", values: rows.map(({ layer }) => layer.layer + 1) },
      { name: "material", unit: "", values: rows.map(({ layer }) => layer.material) },
      { name: "field_up", unit: "V/m", values: rows.map(({ layer }) => layer.field_V_m) },
      {
        name: "field_along_poling",
        unit: "V/m",
        values: rows.map(({ layer }) => layer.field_along_poling_V_m),
      },
      {
        name: "potential_below",
        unit: "V",
        values: rows.map(({ state, layer }) =>
          volt(state, design.strip.layers[layer.layer]?.bottom),
        ),
      },
      {
        name: "potential_above",
        unit: "V",
        values: rows.map(({ state, layer }) => volt(state, design.strip.layers[layer.layer]?.top)),
      },
      {
        name: "free_deflection",
        unit: "m",
        values: rows.map(({ state }) => state.free_deflection_m),
      },
      {
        name: "blocking_force",
        unit: "N",
        values: rows.map(({ state }) => state.blocking_force_N),
      },
    ],
  );
}
