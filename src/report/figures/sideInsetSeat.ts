import type { Design } from "../../design/design.ts";
import type { SheetResult } from "../../sheet/result.ts";
import { printFigure } from "../figureUnits.ts";
import { verticalDimension } from "./dimension.ts";
import { labelSheet, textBox } from "./labels.ts";
import type { SideGeometry, SideShape } from "./sideGeometry.ts";
import { type Attributes, line, polygon, rect, text } from "./svg.ts";
import { BODY, GRAPHITE, gasTint, INK, OTHER, PAPER, SIZE } from "./theme.ts";

/** Word that the line about the stand-off begins with. */
export const STAND_OFF = "stand-off";

export interface InsetPlace {
  cx: number;
  cy: number;
  r: number;
}

export const detailLength = (x: number) => printFigure("x_m", x, null, { digits: 3 });

/** What stands in the round window. */
export interface Content {
  body: string[];
  over: string[];
  /** The level of the pad face at 0 V. */
  rest: string[];
  words: string[];
  perMetre: number;
}

/** Pad face and one side of the seat. */
export function seatContent(
  design: Design,
  result: SheetResult,
  geometry: SideGeometry,
  current: SideShape,
  other: SideShape,
  { cx, cy, r }: InsetPlace,
  id: string,
): Content {
  const seat = design.seat!;
  const down = geometry.toSeat === -1 ? 1 : -1;
  const lifts = [current.lift, other.lift, geometry.standOff].map(Math.abs);
  const perMetre = Math.min(
    (0.42 * r) / Math.max(...lifts, 1e-6),
    (0.85 * r) / Math.max(seat.land, 1e-5),
  );
  const zero = cy + down * 24;
  const at = (lift: number) => zero - down * lift * perMetre;
  const edge = cy - down * r;
  const box = (x1: number, x2: number, y1: number, y2: number, look: Attributes) =>
    rect(x1, Math.min(y1, y2), x2 - x1, Math.abs(y2 - y1), look);
  const body: string[] = [];
  const inside = seat.arrangement === "pressure closes";
  const plenum = gasTint(design.need.plenumPressure);
  const half = seat.form === "flat" ? 0 : (seat.land * perMetre) / 2;
  const within = box(
    cx - r,
    cx - half,
    zero,
    zero + down * 2 * r,
    inside ? { fill: PAPER } : plenum,
  );
  if (inside) body.push(rect(cx - r, cy - r, 2 * r, 2 * r, plenum));
  if (!inside || current.lift <= 0) body.push(within);
  body.push(box(cx - r, cx + r, edge, at(current.lift), { fill: `url(#${id}-rubber)` }));
  body.push(line(cx - r, at(current.lift), cx + r, at(current.lift)));
  const block = seatBlock(seat.form, cx, half, r, zero, down);
  body.push(polygon(block, { fill: BODY }));
  body.push(polygon(block, { fill: `url(#${id}-body)`, stroke: INK, "stroke-width": 1.1 }));
  body.push(
    line(cx - r, at(other.lift), cx + r, at(other.lift), {
      stroke: OTHER,
      "stroke-width": 0.9,
      "stroke-dasharray": "4 2.5",
    }),
  );
  const over: string[] = [];
  const open = current.name === "open" ? current : other;
  if (open.lift > 0)
    over.push(
      ...verticalDimension(
        { x: cx + half * 0.2, y: zero },
        { x: cx + half * 0.2, y: at(open.lift) },
        cx + r * 0.42,
        detailLength(open.lift),
        { stroke: INK },
      ),
    );
  over.push(
    ...pairLabels(
      [current, other].map((shape) => ({ y: at(shape.lift), words: shape.name })),
      { cx, cy, r },
    ),
  );
  const seatFigures = result.seat;
  const words = [
    open.lift > 0
      ? `lift ${printFigure("lift_open_m", open.lift, liftU(result))}, full opening at ${detailLength(seatFigures?.lift_for_full_opening_m ?? 0)}`
      : "the pad does not leave the seat",
    `${STAND_OFF} ${detailLength(geometry.standOff)}, indentation closed ${detailLength(seatFigures?.indentation_closed_m ?? 0)}`,
    seat.form === "flat"
      ? `flat seat, orifice ${detailLength(design.need.orificeDiameter)}`
      : `${seat.form === "land" ? "land" : "O-ring"} ${detailLength(seat.land)} wide on ${detailLength(seat.diameter)}`,
    design.pad === undefined
      ? ""
      : `pad ${design.pad.material}, ${detailLength(design.pad.thickness)}`,
  ].filter((w) => w !== "");
  const lifted = {
    x: cx + r * 0.42 + 6,
    y: (zero + at(open.lift)) / 2 + 3.6,
    words: open.lift > 0 ? detailLength(open.lift) : "",
  };
  const rest = restLevel(at(-geometry.standOff), lifted, { cx, cy, r });
  return { body, over, rest, words, perMetre };
}

/** The pad face at 0 V as a chain line, its name at the right rim clear of the words of the lift. */
function restLevel(
  y: number,
  lift: { x: number; y: number; words: string },
  { cx, cy, r }: InsetPlace,
): string[] {
  const chord = (at: number) => Math.sqrt(Math.max(0, r * r - (at - cy) ** 2));
  const labels = labelSheet({ x: cx - r, y: cy - r, width: 2 * r, height: 2 * r });
  labels.take(textBox(lift.x, lift.y, lift.words, { size: SIZE.small }));
  const spots = [y + 11, y - 4, y + 22, y - 15].map((baseline) => ({
    x: cx + Math.min(chord(baseline + 3), chord(baseline - 8)) - 5,
    y: baseline,
  }));
  const half = chord(y);
  return [
    line(cx - half, y, cx + half, y, {
      stroke: GRAPHITE,
      "stroke-width": 0.6,
      "stroke-dasharray": "12 3 2 3",
    }),
    labels.put("0 V", spots, { size: SIZE.small, anchor: "end", halo: true, fill: GRAPHITE }),
  ];
}

function liftU(result: SheetResult): number | null {
  const u = (result.seat as unknown as Record<string, unknown> | null)?.u_lift_open_m;
  return typeof u === "number" ? u : null;
}

/** Names of two levels at the left rim, the current one first: the upper above its line, the lower below. */
export function pairLabels(
  levels: readonly { y: number; words: string }[],
  { cx, cy, r }: InsetPlace,
): string[] {
  return levels.map(({ y, words }, i) => {
    const upper = levels.every((other) => other.y >= y);
    const farthest = Math.max(Math.abs(y - cy), Math.abs(y + (upper ? -14 : 13) - cy));
    const x = cx - Math.sqrt(Math.max(0, r * r - farthest * farthest)) + 6;
    return text(x, upper ? y - 4 : y + 11, words, {
      size: SIZE.small,
      halo: true,
      fill: i === 0 ? INK : OTHER,
    });
  });
}

/** One side of the seat as a section: a land with steep flanks, a round cord, or the plate at the hole's rim. */
function seatBlock(form: string, cx: number, half: number, r: number, zero: number, down: number) {
  const far = zero + down * 2 * r;
  if (form === "flat")
    return [
      { x: cx, y: zero },
      { x: cx + 2 * r, y: zero },
      { x: cx + 2 * r, y: far },
      { x: cx, y: far },
    ];
  if (form === "o-ring") {
    const w = Math.max(half * 1.6, 30);
    const arc = Array.from({ length: 25 }, (_, i) => {
      const a = (Math.PI * i) / 24;
      return { x: cx - w * Math.cos(a), y: zero + down * w * (1 - Math.sin(a)) };
    });
    return [...arc, { x: cx + w, y: far }, { x: cx - w, y: far }];
  }
  return [
    { x: cx - half, y: zero },
    { x: cx + half, y: zero },
    { x: cx + half + 16, y: far },
    { x: cx - half, y: far },
  ];
}
