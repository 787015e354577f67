import type { Design } from "../../design/design.ts";
import type { SheetResult } from "../../sheet/result.ts";
import { verticalDimension } from "./dimension.ts";
import type { SideGeometry, SideShape } from "./sideGeometry.ts";
import {
  type Content,
  detailLength,
  type InsetPlace,
  pairLabels,
  STAND_OFF,
  seatContent,
} from "./sideInsetSeat.ts";
import { layerFill } from "./sideStrip.ts";
import { circle, el, line, type Point, part, rect, text } from "./svg.ts";
import { INK, OTHER, PAPER, QUIET, SIZE } from "./theme.ts";

/** Letter of the detail. */
const DETAIL = "A";

/**
 * The lift at the pad in a round window, true to scale in both directions: pad face and one side of the
 * seat, current state solid, the other as an outline. Without a seat: the end of the strip.
 */
export function liftInset(
  design: Design,
  result: SheetResult,
  geometry: SideGeometry,
  current: SideShape,
  other: SideShape,
  place: InsetPlace,
  id: string,
  mainScale: number,
  words: { beside: boolean; lines: number } = { beside: false, lines: 4 },
): string[] {
  const { cx, cy, r } = place;
  const clip = el("clipPath", { id: `${id}-round` }, circle(cx, cy, r));
  const drawn =
    design.seat === undefined
      ? tipContent(design, geometry, current, other, place)
      : seatContent(design, result, geometry, current, other, place, id);
  const times = drawn.perMetre / mainScale;
  const title = `Detail ${DETAIL}: ${round(times)}× the drawing, true in both directions`;
  const beside = { x: cx + r + 16, y: cy - 4 };
  const lines = (words.beside ? drawn.words : drawn.words.slice(0, words.lines)).map((line, i) => {
    const drawnLine = words.beside
      ? text(beside.x, beside.y + 16 + i * 17, line, { size: SIZE.small })
      : text(cx, cy + r + 34 + i * 14, line, { size: SIZE.small, anchor: "middle" });
    return line.startsWith(STAND_OFF) ? part("stand-off", [drawnLine]) : drawnLine;
  });
  const heads = words.beside
    ? [
        text(beside.x, beside.y - 26, `Detail ${DETAIL}`, { weight: "bold" }),
        text(beside.x, beside.y - 9, `${round(times)}× the drawing, true in both directions`, {
          size: SIZE.small,
          fill: QUIET,
        }),
      ]
    : [
        text(
          cx,
          cy + r + 18,
          words.lines < 4 ? `Detail ${DETAIL}: ${round(times)}× the drawing` : title,
          {
            size: SIZE.small,
            anchor: "middle",
            fill: QUIET,
          },
        ),
      ];
  return [
    el("defs", {}, clip),
    circle(cx, cy, r, { fill: PAPER }),
    el("g", { "clip-path": `url(#${id}-round)` }, drawn.body.join("")),
    part("lift", [
      circle(cx, cy, r, {
        fill: "none",
        stroke: INK,
        "stroke-width": 1.2,
        "pointer-events": "all",
      }),
      ...drawn.over,
    ]),
    part("stand-off", drawn.rest),
    ...heads,
    ...lines,
  ];
}

const round = (x: number) => String(x >= 10 ? Math.round(x) : Number(x.toPrecision(2)));

function tipContent(
  design: Design,
  geometry: SideGeometry,
  current: SideShape,
  other: SideShape,
  { cx, cy, r }: InsetPlace,
): Content {
  const at = geometry.tip;
  const swing = other.at(at) - current.at(at);
  const perMetre = 64 / Math.max(Math.abs(swing), 1e-9);
  const middle = (other.at(at) + current.at(at)) / 2;
  const y = (w: number) => cy - (w - middle) * perMetre;
  const edge = cx + 8;
  const name = design.strip.extension?.material ?? design.strip.layers[0]?.material ?? "";
  const body = [
    rect(cx - 2 * r, y(current.at(at)) - 4 * r, edge - cx + 2 * r, 4 * r, {
      fill: layerFill(design, name),
      stroke: INK,
      "stroke-width": 1.1,
    }),
    line(cx - r, y(other.at(at)), edge, y(other.at(at)), {
      stroke: OTHER,
      "stroke-width": 0.9,
      "stroke-dasharray": "4 2.5",
    }),
  ];
  const over = verticalDimension(
    { x: edge, y: y(current.at(at)) },
    { x: edge, y: y(other.at(at)) },
    cx + r * 0.36,
    detailLength(Math.abs(swing)),
    { stroke: INK },
  );
  over.push(
    ...pairLabels(
      [current, other].map((shape) => ({ y: y(shape.at(at)), words: shape.output })),
      { cx, cy, r },
    ),
  );
  return {
    body,
    over,
    rest: [],
    words: [`swing at the tip ${detailLength(Math.abs(swing))}`],
    perMetre,
  };
}

/** Ring on the drawing that marks what the inset shows, and its letter. */
export function detailRing(x: number, y: number, r: number, letter: Point): string[] {
  return [
    circle(x, y, r, { fill: "none", stroke: INK, "stroke-width": 0.9 }),
    text(letter.x, letter.y, DETAIL, { weight: "bold", halo: true }),
  ];
}
