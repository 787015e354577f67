import type { Design } from "../../design/design.ts";
import { formatQuantity } from "../../units/index.ts";
import type { Moment } from "./pulseMoments.ts";
import { floorDrawing, hatched } from "./sideFloor.ts";
import { exaggeration, type SideGeometry, type SideScale, type SideShape } from "./sideGeometry.ts";
import { outlineStrip, solidStrip } from "./sideStrip.ts";
import { el, part, text } from "./svg.ts";
import { PAPER, QUIET, SIZE } from "./theme.ts";

/** Name of the picture, before which its patterns stand. */
export const MOTION_ID = "pulse-motion";
export const MARGIN = 24;
/** Row of the words over a cell, px. */
const HEAD = 20;
/** Body under the seat: height of the land, depth of the floor, px. */
const LAND = 9;
const FLOOR = 24;
const JAW = 10;
/** Least thickness of the strip on the sheet, px. */
const THIN = 5;

/** One scale for all cells. */
export interface MotionLayout {
  px: number;
  /** How much larger thickness and displacement are drawn. */
  thicker: number;
  moved: number;
  clamp: number;
  width: number;
  /** From the top of a cell to the strip's mid-plane at rest. */
  middle: number;
}

export function motionLayout(
  design: Design,
  geometry: SideGeometry,
  shapes: readonly SideShape[],
  cell: { width: number; height: number },
): MotionLayout {
  const { tip, thickness, toSeat, seatPlane, standOff } = geometry;
  const clamp = Math.min(design.clamp.length, 0.25 * tip);
  const beyond = seatPlane === null ? 0 : 30;
  const px = (cell.width - 2 * MARGIN - beyond) / (tip + clamp);
  const free = cell.height - HEAD;
  const solid = seatPlane === null ? 0 : LAND + FLOOR;
  const stiff = thickness + (design.pad?.thickness ?? 0);
  let largest = Math.abs(standOff);
  for (const shape of shapes)
    for (let k = 1; k <= 16; k++) largest = Math.max(largest, Math.abs(shape.at((tip * k) / 16)));
  // Thickness to scale unless it would be a hair; then all of it thicker.
  const thicker = thickness * px >= THIN ? 1 : exaggeration(thickness * px, 2.4 * THIN);
  const tall = stiff * px * thicker;
  const moved = exaggeration(largest * px, Math.max(8, (free - solid - tall - 12) / 2.2));
  const swing = largest * px * moved;
  const above = (thickness / 2) * px * thicker + swing;
  const seatSide = tall - (thickness / 2) * px * thicker + swing + solid;
  const [up, downward] = toSeat === -1 ? [above, seatSide] : [seatSide, above];
  const middle = HEAD + up + Math.max(0, (free - up - downward) / 2);
  return { px, thicker, moved, clamp, width: cell.width, middle };
}

/** A cell: time and lift above, the strip as it is and as it was before the gate. */
export function motionCell(
  design: Design,
  geometry: SideGeometry,
  shape: SideShape,
  before: SideShape,
  moment: Moment,
  layout: MotionLayout,
  left: number,
  top: number,
  reasons: Readonly<Record<string, string>>,
): string[] {
  const { px, thicker, moved, clamp } = layout;
  const origin = { x: left + MARGIN + clamp * px, y: top + layout.middle };
  const scale: SideScale = {
    px,
    pz: px * thicker,
    pd: px * moved,
    x: (x) => origin.x + x * px,
    y: (z, w = 0) => origin.y - z * px * thicker - w * px * moved,
  };
  const lift = `${"gas" in reasons ? "travel" : "lift"} ${formatQuantity(moment.lift, 0, "length", { digits: 3 })}`;
  const time = timeText(moment.time);
  return [
    el(
      "g",
      { "data-moment": moment.words },
      [
        ...outlineStrip(design, geometry, before, scale),
        ...solidStrip(design, geometry, shape, before, scale, clamp, MOTION_ID),
        ...bodyOf(design, geometry, scale, clamp),
      ].join(""),
    ),
    text(left + MARGIN, top + 12, time, { size: SIZE.text, weight: "bold" }),
    text(left + MARGIN + 66, top + 12, moment.words, { size: SIZE.small, fill: QUIET }),
    text(left + layout.width - MARGIN, top + 12, lift, { size: SIZE.small, anchor: "end" }),
  ];
}

export const timeText = (time: number) =>
  formatQuantity(time, 0, "time", time === 0 ? { unit: "μs" } : { digits: 3 });

/** Jaws, and the floor with seat and orifice. */
function bodyOf(design: Design, geometry: SideGeometry, scale: SideScale, clamp: number): string[] {
  const { thickness, toSeat, seatPlane, standOff } = geometry;
  const down = toSeat === -1 ? 1 : -1;
  const sizes = {
    land: LAND,
    floor: FLOOR,
    lidAt: 0,
    lid: 0,
    behind: 0,
    jaw: JAW,
    near: 0,
    far: 0,
    words: 0,
    thickness: 0,
    swing: 0,
  };
  const frame = { design, geometry, scale, id: MOTION_ID, down, clamp, sizes } as const;
  const jaw = (way: 1 | -1) => {
    const [a, b] = [scale.x(-clamp), scale.x(0)];
    const face = scale.y((way * thickness) / 2);
    const back = face - way * JAW;
    return hatched(frame, "jaw", [
      { x: a, y: face },
      { x: b, y: face },
      { x: b, y: back },
      { x: a, y: back },
    ]);
  };
  const jaws = [jaw(1), jaw(-1)];
  if (seatPlane === null || design.seat === undefined) return jaws;
  const seatFace = scale.y(seatPlane, -toSeat * standOff);
  const floor = seatFace + (design.seat.form === "flat" ? 0 : down * LAND);
  const centre = scale.x(geometry.pad);
  const wide = Math.max(26, (design.seat.diameter / 2 + design.seat.land) * scale.px + 20);
  const inside = design.seat.arrangement !== "pressure opens";
  return [
    ...jaws,
    part(
      "seat",
      floorDrawing(frame, {
        left: centre - wide,
        right: Math.min(centre + wide, scale.x(geometry.tip) + 28),
        floor,
        bottom: floor + down * FLOOR,
        seatFace,
        bore: { fill: PAPER },
        pocket: null,
        inside,
      }),
    ),
  ];
}
