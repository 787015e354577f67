import type { Design } from "../../design/design.ts";
import type { Frames } from "../../physics/pulse/series.ts";
import type { PulseRun } from "../../studies/pulse.ts";
import { formatQuantity } from "../../units/index.ts";
import { chartDocument, chartSheet, notesUnder } from "./chartFrame.ts";
import { csvText } from "./csv.ts";
import { type Figure, type FigureOptions, originLine } from "./figure.ts";
import { type Moment, momentsOf } from "./pulseMoments.ts";
import {
  MOTION_ID as ID,
  MARGIN,
  type MotionLayout,
  motionCell,
  motionLayout,
  timeText,
} from "./pulseMotionCell.ts";
import type { SideGeometry, SideShape } from "./sideGeometry.ts";
import { faceAt } from "./sideLayers.ts";
import { dots, hatch } from "./svg.ts";
import { HATCHING, RUBBER_DOTS, RUBBER_GROUND } from "./theme.ts";

const OWN = { width: 1080, height: 760 };
const TITLE = "Positions of the strip in the pulse";
/** Least size of a cell, px; a cell wider than this twice is parted. */
const CELL = { width: 330, height: 118 };
/** Most positions drawn. */
const MOST = 6;

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
  const layout = motionLayout(design, geometry, [before, ...shapes], cell);
  const body = moments.flatMap((moment, i) => {
    const left = (i % across) * cell.width;
    const top = sheet.top + Math.floor(i / across) * cell.height;
    return motionCell(
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
  const faceAtPad = faceAt(design, pad, toSeat);
  const first = shapeOf(frames, 0, "closed");
  const shapes: SideGeometry["shapes"] = [first, first];
  return {
    freeLength,
    tip,
    pad,
    thickness,
    faceAtPad,
    toSeat,
    seatPlane: seat === undefined ? null : toSeat * (faceAtPad + (design.pad?.thickness ?? 0)),
    standOff:
      seat === undefined ? 0 : -toSeat * first.at(pad) - series.lift.values[frames.index[0]!]!,
    shapes,
    moves: true,
  };
}

function noteOf({ thicker, moved }: MotionLayout, some: boolean, missed: number): string {
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
