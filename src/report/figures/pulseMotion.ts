import type { Design } from "../../design/design.ts";
import type { Frames } from "../../physics/pulse/series.ts";
import type { PulseRun } from "../../studies/pulse.ts";
import { formatQuantity } from "../../units/index.ts";
import { chartDocument, chartSheet, notesUnder } from "./chartFrame.ts";
import { csvText } from "./csv.ts";
import { type Figure, type FigureOptions, originLine } from "./figure.ts";
import { type Moment, momentsOf } from "./pulseMoments.ts";
import { floorDrawing, hatched } from "./sideFloor.ts";
import { exaggeration, type SideGeometry, type SideScale, type SideShape } from "./sideGeometry.ts";
import { outlineStrip, solidStrip } from "./sideStrip.ts";
import { dots, el, hatch, part, text } from "./svg.ts";
import { HATCHING, PAPER, QUIET, RUBBER_DOTS, RUBBER_GROUND, SIZE } from "./theme.ts";

const OWN = { width: 1080, height: 760 };
const ID = "pulse-motion";
const TITLE = "Positions of the strip in the pulse";
/** Least size of a cell, px; a cell wider than this twice is parted. */
const CELL = { width: 330, height: 118 };
const HEAD = 20;
/** Body under the seat: height of the land, depth of the floor, px. */
const LAND = 9;
const FLOOR = 24;
const JAW = 10;
const MARGIN = 24;
/** Most positions drawn. */
const MOST = 6;
/** Least thickness of the strip on the sheet, px. */
const THIN = 5;

type Moving = Pick<PulseRun, "result" | "series" | "made" | "frames">;

/**
 * The strip in side view at chosen times of the pulse, one beside the other and all to one scale; dashed, how it
 * stood before the gate. Null for a run without frames, or whose frames miss the motion.
 */
export function pulseMotion(
  design: Design,
  run: Moving,
  options: FigureOptions = {},
): Figure | null {
  const { result, series, frames } = run;
  if (frames === null) return null;
  const { moments: all, missed } = momentsOf(result, series, frames);
  // The start alone shows no motion.
  if (all.length < 2) return null;
  const sheet = chartSheet(options, OWN);
  const across = Math.max(1, Math.min(2, Math.floor(sheet.width / CELL.width)));
  const noteRoom = sheet.bare ? 0 : 30;
  const rows = Math.max(1, Math.floor((sheet.bottom - sheet.top - noteRoom) / CELL.height));
  const moments = [...all]
    .sort((a, b) => a.rank - b.rank)
    .slice(0, Math.min(MOST, across * rows))
    .sort((a, b) => a.time - b.time);
  const down = Math.ceil(moments.length / across);
  const cell = {
    width: sheet.width / across,
    height: Math.min(250, (sheet.bottom - sheet.top - noteRoom) / down),
  };
  const geometry = geometryOf(design, run, frames);
  const before = shapeOf(frames, 0, "closed");
  const shapes = moments.map((moment) => shapeOf(frames, moment.frame, "open"));
  const layout = layoutOf(design, geometry, [before, ...shapes], cell);
  const body = moments.flatMap((moment, i) => {
    const left = (i % across) * cell.width;
    const top = sheet.top + Math.floor(i / across) * cell.height;
    return drawCell(
      design,
      geometry,
      shapes[i]!,
      before,
      moment,
      layout,
      left,
      top,
      result.reasons,
    );
  });
  const words = noteOf(layout, moments.length < Math.min(MOST, all.length), missed);
  const notes = notesUnder(sheet.bare ? "" : words, MARGIN, sheet.width - 16);
  const sentence = sentenceOf(run, moments);
  return {
    name: ID,
    title: TITLE,
    sentence,
    csv: csvOf(design, run, frames, moments, options),
    svg: chartDocument(
      design,
      options,
      sheet,
      {
        name: ID,
        title: TITLE,
        beside: sheet.width < 700 ? "" : result.drive.text,
        sentence,
        defs: [
          hatch(`${ID}-body`, "rising", 7, HATCHING),
          hatch(`${ID}-jaw`, "falling", 7, HATCHING),
          dots(`${ID}-rubber`, 4, RUBBER_DOTS, RUBBER_GROUND),
        ],
      },
      [...body, ...notes.put(sheet.bottom - 16)],
    ),
  };
}

/** Deflection along +z at any place of a frame. */
function shapeOf(frames: Frames, frame: number, name: SideShape["name"]): SideShape {
  const { places, shape } = frames;
  const at = (x: number): number => {
    const base = frame * places.length;
    let k = 1;
    while (k < places.length - 1 && places[k]! < x) k++;
    const [a, b] = [places[k - 1]!, places[k]!];
    const share = b > a ? (x - a) / (b - a) : 0;
    return shape[base + k - 1]! + share * (shape[base + k]! - shape[base + k - 1]!);
  };
  return { name, output: "", at, lift: 0 };
}

/** The seat stands where the pad's distance from it at the start is the recorded lift. */
function geometryOf(design: Design, { series }: Moving, frames: Frames): SideGeometry {
  const { strip, seat } = design;
  const freeLength = strip.freeLength;
  const tip = freeLength + (strip.extension?.length ?? 0);
  const pad = design.pad?.position ?? tip;
  const thickness = strip.layers.reduce((sum, layer) => sum + layer.thickness, 0);
  const toSeat = seat?.side === "above" ? 1 : -1;
  const first = shapeOf(frames, 0, "closed");
  const shapes: SideGeometry["shapes"] = [first, first];
  return {
    freeLength,
    tip,
    pad,
    thickness,
    toSeat,
    seatPlane: seat === undefined ? null : toSeat * (thickness / 2 + (design.pad?.thickness ?? 0)),
    standOff:
      seat === undefined ? 0 : -toSeat * first.at(pad) - series.lift.values[frames.index[0]!]!,
    shapes,
    moves: true,
  };
}

interface Layout {
  px: number;
  /** How much larger thickness and displacement are drawn. */
  thicker: number;
  moved: number;
  clamp: number;
  width: number;
  /** From the top of a cell to the strip's mid-plane at rest. */
  middle: number;
}

function layoutOf(
  design: Design,
  geometry: SideGeometry,
  shapes: readonly SideShape[],
  cell: { width: number; height: number },
): Layout {
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

function drawCell(
  design: Design,
  geometry: SideGeometry,
  shape: SideShape,
  before: SideShape,
  moment: Moment,
  layout: Layout,
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
        ...solidStrip(design, geometry, shape, before, scale, clamp, ID),
        ...bodyOf(design, geometry, scale, clamp),
      ].join(""),
    ),
    text(left + MARGIN, top + 12, time, { size: SIZE.text, weight: "bold" }),
    text(left + MARGIN + 66, top + 12, moment.words, { size: SIZE.small, fill: QUIET }),
    text(left + layout.width - MARGIN, top + 12, lift, { size: SIZE.small, anchor: "end" }),
  ];
}

const timeText = (time: number) =>
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
  const frame = { design, geometry, scale, id: ID, down, clamp, sizes } as const;
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

function noteOf({ thicker, moved }: Layout, some: boolean, missed: number): string {
  const across =
    thicker === 1
      ? "Strip and pad to scale"
      : `Strip to scale along its length, thickness × ${thicker}`;
  const more =
    (some ? " Not all moments have room here." : "") +
    (missed === 0
      ? ""
      : ` ${missed} more moment${missed === 1 ? "" : "s"} between frames: not drawn.`);
  return `${across}; displacement × ${moved}. Dashed: before the gate. Times are those of the frames.${more}`;
}

function sentenceOf({ result }: Moving, moments: readonly Moment[]): string {
  const name = "gas" in result.reasons ? "travel" : "lift";
  const parts = moments.map(
    ({ words, time, lift }) =>
      `${words} at ${timeText(time)} with ${name} ${formatQuantity(lift, 0, "length", { digits: 3 })}`,
  );
  return `The strip in side view: ${parts.join("; ")}.`;
}

function csvOf(
  design: Design,
  { result }: Moving,
  { places, shape }: Frames,
  moments: readonly Moment[],
  options: FigureOptions,
): string {
  const rows = moments.flatMap((moment) =>
    places.map((place, k) => ({ moment, place, w: shape[moment.frame * places.length + k]! })),
  );
  return csvText(
    {
      figure: "positions of the strip in the pulse; deflection upwards, from the strip at 0 V",
      design: design.name,
      drive: result.drive.text,
      origin: originLine(design, options),
    },
    [
      { name: "moment", unit: "", values: rows.map((row) => row.moment.words) },
      { name: "time_s", unit: "s", values: rows.map((row) => row.moment.time) },
      { name: "lift_m", unit: "m", values: rows.map((row) => row.moment.lift) },
      { name: "place_m", unit: "m", values: rows.map((row) => row.place) },
      { name: "deflection_m", unit: "m", values: rows.map((row) => row.w) },
    ],
  );
}
