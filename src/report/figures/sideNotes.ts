import type { Design } from "../../design/design.ts";
import type { SheetResult } from "../../sheet/result.ts";
import { printFigure } from "../figureUnits.ts";
import { horizontalDimension } from "./dimension.ts";
import { spread } from "./labels.ts";
import type { BodyDrawing } from "./sideBody.ts";
import type { SideGeometry, SideScale, SideShape } from "./sideGeometry.ts";
import { detailRing } from "./sideInset.ts";
import type { SideLayout, SideSizes } from "./sideLayout.ts";
import { padHalfWidth } from "./sideStrip.ts";
import { type Point, part, text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { GRAPHITE, INK, OTHER, QUIET, SIZE } from "./theme.ts";

export const length = (x: number) => printFigure("x_m", x, null, { digits: 4 });

/** Ring about what the detail shows: one side of the seat, or the tip. */
export function ringPlace(
  design: Design,
  geometry: SideGeometry,
  scale: SideScale,
  body: BodyDrawing,
  current: SideShape,
): string[] {
  if (geometry.seatPlane === null) {
    const [x, y] = [scale.x(geometry.tip), scale.y(0, current.at(geometry.tip))];
    return detailRing(x, y, 14, { x: x - 4, y: y + 28 });
  }
  const seat = design.seat!;
  const across = seat.form === "flat" ? design.need.orificeDiameter / 2 : seat.diameter / 2;
  const x = scale.x(geometry.pad + across);
  const into = geometry.toSeat === -1 ? 1 : -1;
  const letter = { x: x + 14, y: body.seatFace + into * 22 + (into === 1 ? 6 : 2) };
  return detailRing(x, body.seatFace, 13, letter);
}

/** Dimensions with witness lines: clamp, free length, pad, extension, orifice. */
export function dimensions(
  design: Design,
  geometry: SideGeometry,
  scale: SideScale,
  clamp: number,
  body: BodyDrawing,
  sizes: SideSizes,
): string[] {
  const away = geometry.toSeat === -1 ? -1 : 1;
  const surface = scale.y((-geometry.toSeat * geometry.thickness) / 2);
  const clear = surface + away * sizes.near;
  const top = surface + away * sizes.far;
  const jaw = surface + away * sizes.jaw;
  const x = scale.x;
  const out: string[] = [];
  const end = (at: number) => ({ x: x(at), y: surface + away * 2 });
  const short =
    geometry.pad < geometry.freeLength - 1e-9 || geometry.pad > geometry.freeLength + 1e-9;
  const outer = short ? top : clear;
  out.push(
    part(
      "free-length",
      horizontalDimension(
        { x: x(0), y: jaw },
        end(geometry.freeLength),
        outer,
        `free length ${length(geometry.freeLength)}`,
        { halo: false },
      ),
    ),
  );
  const cut = clamp < design.clamp.length;
  out.push(
    ...horizontalDimension(
      { x: x(-clamp), y: jaw },
      { x: x(0), y: jaw },
      outer,
      clampWords(design, cut, x(0) - x(-clamp)),
      { halo: false },
    ),
  );
  if (design.pad !== undefined && short)
    out.push(
      part(
        "pad",
        horizontalDimension(
          { x: x(0), y: jaw },
          end(geometry.pad),
          clear,
          `pad ${length(geometry.pad)}`,
          { halo: false },
        ),
      ),
    );
  if (design.strip.extension !== null)
    out.push(
      ...horizontalDimension(
        end(geometry.freeLength),
        end(geometry.tip),
        outer,
        length(design.strip.extension.length),
        { halo: false },
      ),
    );
  if (design.seat !== undefined) {
    const centre = x(geometry.pad);
    const half = (design.need.orificeDiameter / 2) * scale.px;
    const below = body.bore - away * 22;
    out.push(
      part(
        "orifice",
        horizontalDimension(
          { x: centre - half, y: body.floor - away * 13 },
          { x: centre + half, y: body.floor - away * 13 },
          below,
          `orifice ${length(design.need.orificeDiameter)}`,
          { halo: false, side: "before" },
        ),
      ),
    );
  }
  return out;
}

/** As much of the words as stands between the arrows of `room` px. */
function clampWords(design: Design, cut: boolean, room: number): string {
  const size = length(design.clamp.length);
  const all = [`clamp ${size}${cut ? ", shortened here" : ""}`, `clamp ${size}`, size];
  return all.find((words) => textWidth(words, SIZE.small) + 24 <= room) ?? size;
}

/** Words in the gas spaces, at the two tips and on the rest line. */
export function sideLabels(
  design: Design,
  result: SheetResult,
  geometry: SideGeometry,
  scale: SideScale,
  body: BodyDrawing,
  current: SideShape,
  other: SideShape,
  layout: SideLayout,
): string[] {
  const out: string[] = [];
  const ends =
    geometry.seatPlane === null
      ? geometry.tip
      : Math.max(geometry.tip, geometry.pad + padHalfWidth(design, geometry));
  const x = scale.x(ends) + (geometry.seatPlane === null ? 22 : 14);
  if (geometry.moves) {
    const names = [
      { y: scale.y(0, current.at(geometry.tip)), words: endWords(geometry, current), fill: INK },
      { y: scale.y(0, other.at(geometry.tip)), words: endWords(geometry, other), fill: OTHER },
      { y: scale.y(0), words: "0 V", fill: GRAPHITE },
    ];
    const ys = spread(
      names.map((e) => e.y),
      12,
      0,
      layout.height,
    );
    names.forEach((e, i) => {
      out.push(text(x, ys[i]! + 3.5, e.words, { size: SIZE.small, fill: e.fill }));
    });
  }
  if (design.seat === undefined || design.gas === undefined) {
    const gap = design.surroundings.wallDistance;
    if (gap !== null && design.seat === undefined)
      out.push(
        text(scale.x(geometry.tip * 0.3), body.floor - 8, `wall at ${length(gap)}`, {
          size: SIZE.small,
          fill: QUIET,
        }),
      );
    return out;
  }
  const inside = design.seat.arrangement === "pressure closes";
  const away = geometry.toSeat === -1 ? -1 : 1;
  const gas = `${design.gas.name} ${printFigure("p_Pa", design.need.plenumPressure, null, { digits: 3 })} absolute`;
  const mean = result.gas?.mean_pressure_Pa ?? null;
  const base = design.chamber?.basePressure ?? null;
  const vacuum =
    mean !== null
      ? `vacuum side, mean ${printFigure("p_Pa", mean, null, { digits: 2 })}`
      : base !== null
        ? `vacuum side, base ${printFigure("p_Pa", base, null, { digits: 2 })}`
        : "vacuum side";
  const far = body.bore - away * 22 + 4;
  const atStrip = inside ? gas : vacuum;
  const atBore = inside ? vacuum : gas;
  const [gasPart, vacuumPart] = inside ? ["gas", "vacuum"] : ["vacuum", "gas"];
  const place = besideStrip(atStrip, geometry, scale, body, layout.sizes);
  out.push(part(gasPart as string, [text(place.x, place.y, atStrip, { size: SIZE.text })]));
  const start = scale.x(geometry.pad) - 170 - textWidth(atBore, SIZE.text);
  const bore =
    start >= 4
      ? text(scale.x(geometry.pad) - 170, far, atBore, { size: SIZE.text, anchor: "end" })
      : text(scale.x(geometry.pad) - 122, far, atBore.split(",")[0] as string, {
          size: SIZE.text,
          anchor: "end",
        });
  out.push(part(vacuumPart as string, [bore]));
  return out;
}

/** Least height between strip and floor that words stand in, px. */
const WORDS_NEED = 22;

/** Words in the space around the strip: between it and the floor, or where that is low, above the dimensions. */
function besideStrip(
  words: string,
  geometry: SideGeometry,
  scale: SideScale,
  body: BodyDrawing,
  sizes: SideSizes,
): Point {
  const x = scale.x(0) + 12;
  const last = (x + textWidth(words) - scale.x(0)) / scale.px;
  const near = (geometry.toSeat * geometry.thickness) / 2;
  const room = geometry.shapes.map((shape) => Math.abs(body.floor - scale.y(near, shape.at(last))));
  const away = geometry.toSeat === -1 ? -1 : 1;
  if (Math.min(...room) >= WORDS_NEED && last < geometry.pad)
    return { x, y: body.floor + away * 9 + (away === 1 ? 9 : 0) };
  return { x, y: scale.y(-near) + away * sizes.words + (away === -1 ? 0 : 8) };
}

function endWords(geometry: SideGeometry, shape: SideShape): string {
  return geometry.seatPlane === null ? shape.output : shape.name;
}
