import type { Design } from "../../design/design.ts";
import type { SheetResult } from "../../sheet/result.ts";
import { stripWords } from "../stripWords.ts";
import { note } from "./axis.ts";
import { csvText } from "./csv.ts";
import { type Figure, type FigureOptions, frame, originLine, type Plot } from "./figure.ts";
import { sideBody } from "./sideBody.ts";
import {
  exaggeration,
  type SideGeometry,
  type SideScale,
  type SideShape,
  sideGeometry,
} from "./sideGeometry.ts";
import { liftInset } from "./sideInset.ts";
import { sideLayout, sideScale } from "./sideLayout.ts";
import { dimensions, length, ringPlace, sideLabels } from "./sideNotes.ts";
import { outlineStrip, solidStrip } from "./sideStrip.ts";
import { dots, hatch, line, svgDocument, text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { GRAPHITE, HATCHING, INK, RUBBER_DOTS, RUBBER_GROUND, SIZE } from "./theme.ts";

export interface SideViewOptions extends FigureOptions {
  /** State drawn solid, default "closed". */
  state?: "closed" | "open";
}

const ID = "side-view";

/**
 * The valve in side view, lengths to scale: body and clamp in section, strip with its layers, pad, seat
 * and orifice, both rest shapes, dimensions, the lift magnified. Exaggerations are stated on it.
 */
export function sideView(
  design: Design,
  result: SheetResult,
  options: SideViewOptions = {},
): Figure {
  const geometry = sideGeometry(design, result);
  const wanted = options.state ?? "closed";
  const [current, other] =
    wanted === "closed" ? geometry.shapes : ([geometry.shapes[1], geometry.shapes[0]] as const);
  const clamp = Math.min(design.clamp.length, geometry.tip);
  const layout = sideLayout(geometry, options.size, options.bare);
  const { width, height, bare, fits, sizes } = layout;
  const scale = sideScale(design, geometry, clamp, layout);
  const body = sideBody(design, geometry, scale, clamp, ID, current.lift > 0, sizes);
  const deflects = Math.round(scale.pd / scale.px);
  const thickens = Math.round(scale.pz / scale.px);

  const drawing = [
    ...body.behind,
    ...(geometry.moves ? [restLine(scale, geometry)] : []),
    ...solidStrip(design, geometry, current, other, scale, clamp, ID),
    ...body.front,
    ...(geometry.moves ? outlineStrip(design, geometry, other, scale) : []),
    ...dimensions(design, geometry, scale, clamp, body, sizes),
    ...sideLabels(design, result, geometry, scale, body, current, other, layout),
  ];
  if (geometry.moves) {
    drawing.push(
      ...ringPlace(design, geometry, scale, body, current),
      ...liftInset(
        design,
        result,
        geometry,
        current,
        other,
        layout.inset,
        ID,
        scale.px,
        layout.insetWords,
      ),
    );
  }
  drawing.push(...scaleBar(scale.px, layout.foot));
  const room = (fits ? layout.inset.cx - layout.inset.r : width) - 200;
  const pale = design.strip.segments.some(({ bare: names }) => names.length > 0);
  drawing.push(
    note(fits ? 172 : 190, layout.foot + 4, stated(geometry, thickens, deflects, room, pale)),
  );

  const sentence = withDetails(design, sentenceOf(design, geometry, current, other));
  const title = "Side view";
  const beside = geometry.moves
    ? `${stateWords(geometry, current)} solid, ${stateWords(geometry, other)} outlined`
    : "at rest; no wiring is given";
  const defs = [
    hatch(`${ID}-body`, "rising", 7, HATCHING),
    hatch(`${ID}-jaw`, "falling", 5, HATCHING),
    dots(`${ID}-rubber`, 4.5, RUBBER_DOTS, RUBBER_GROUND),
  ];
  return {
    name: ID,
    title,
    sentence,
    csv: csvOf(design, geometry, options),
    plot: plotOf(geometry, scale, clamp),
    svg: svgDocument(
      { width, height, name: ID, title, sentence, defs, bare },
      bare
        ? drawing
        : [...frame({ width, height }, title, beside, originLine(design, options)), ...drawing],
    ),
  };
}

/** What is exaggerated, in as many words as stand in `room` px. */
function stated(
  geometry: SideGeometry,
  thickens: number,
  deflects: number,
  room: number,
  pale: boolean,
): string {
  const seat = geometry.seatPlane !== null;
  const thick = thickens > 1 ? `thicknesses ×${thickens}` : "thicknesses to the same scale";
  const moved = seat ? "deflection, stand-off and lift" : "deflection";
  const idea = seat ? ["body and pad width are not given, drawn to show the idea"] : [];
  const moves = geometry.moves ? [`${moved} ×${deflects}`] : [];
  const bare = pale ? ["pale: no electrode"] : [];
  const all = ["Lengths along the strip to scale", thick, ...moves, ...bare];
  const short = [
    thickens > 1 ? `Thicknesses ×${thickens}` : "To scale",
    ...(geometry.moves ? [`deflection ×${deflects}`] : []),
    ...bare,
  ];
  const forms = [[...all, ...idea], all, short].map((parts) => `${parts.join("; ")}.`);
  return forms.find((words) => textWidth(words, SIZE.small) <= room) ?? (forms[2] as string);
}

/** Where lengths along the strip and deflections lie on the sheet. */
function plotOf(geometry: SideGeometry, scale: SideScale, clamp: number): Plot {
  const { tip } = geometry;
  const most = Math.max(1e-9, ...geometry.shapes.map((shape) => Math.abs(shape.at(tip))));
  const axis = (name: string, from: number, to: number, range: readonly [number, number]) => ({
    name,
    unit: "mm",
    factor: 1e-3,
    from,
    to,
    log: false,
    range,
  });
  return {
    x: axis("from the clamp edge", -clamp, tip, [scale.x(-clamp), scale.x(tip)]),
    y: axis("deflection", -most, most, [scale.y(0, -most), scale.y(0, most)]),
    series: [],
  };
}

function restLine(scale: SideScale, geometry: SideGeometry): string {
  return line(scale.x(0), scale.y(0), scale.x(geometry.tip) + 10, scale.y(0), {
    stroke: GRAPHITE,
    "stroke-width": 0.6,
    "stroke-dasharray": "12 3 2 3",
  });
}

function stateWords(geometry: SideGeometry, shape: SideShape): string {
  return geometry.seatPlane === null
    ? `output ${shape.output}`
    : `${shape.name} (output ${shape.output})`;
}

/** A bar of 1, 2 or 5 times a power of ten, about 100 px long. */
function scaleBar(px: number, y: number): string[] {
  const per = exaggeration(px * 1e-6, 125) * 1e-6;
  const width = per * px;
  const half = width / 2;
  return [
    `<rect x="24" y="${(y - 4).toFixed(2)}" width="${half.toFixed(2)}" height="4" fill="${INK}"/>`,
    `<rect x="24" y="${(y - 4).toFixed(2)}" width="${width.toFixed(2)}" height="4" fill="none" stroke="${INK}" stroke-width="0.8"/>`,
    text(24 + width / 2, y + 12, length(per), { size: SIZE.small, anchor: "middle" }),
  ];
}

function withDetails(design: Design, sentence: string): string {
  const words = stripWords(design);
  return words.length === 0 ? sentence : `${sentence} Along the strip: ${words.join("; ")}.`;
}

function sentenceOf(
  design: Design,
  geometry: SideGeometry,
  current: SideShape,
  other: SideShape,
): string {
  const strip = `strip ${length(geometry.thickness)} thick, free length ${length(geometry.freeLength)}`;
  if (!geometry.moves) return `Side view at rest: ${strip}; no wiring is given.`;
  if (geometry.seatPlane === null) {
    const swing = Math.abs(current.at(geometry.tip) - other.at(geometry.tip));
    return `Side view: ${strip}; the tip swings ${length(swing)} between output ${current.output} and ${other.output}.`;
  }
  const open = geometry.shapes[1];
  const lift =
    open.lift > 0 ? `lifts ${length(open.lift)} from the seat` : "does not leave the seat";
  return `Side view: ${strip}; with output ${open.output} the pad ${lift} ${design.seat?.side ?? "below"} the strip, orifice ${length(design.need.orificeDiameter)}.`;
}

function csvOf(design: Design, geometry: SideGeometry, options: FigureOptions): string {
  const xs = Array.from({ length: 51 }, (_, i) => (geometry.tip * i) / 50);
  const [closed, open] = geometry.shapes;
  return csvText(
    {
      figure: "side view: deflection along the strip, upwards, at rest in both states",
      design: design.name,
      origin: originLine(design, options),
    },
    [
      { name: "x", unit: "m", values: xs },
      { name: "closed", unit: "m", values: xs.map(closed.at) },
      { name: "open", unit: "m", values: xs.map(open.at) },
    ],
  );
}
