import type { DrawnShape, ShapeDrawing } from "../../studies/shapeDrawing.ts";
import { el, line, text } from "./svg.ts";
import { CURVES, QUIET, SIZE } from "./theme.ts";

/** Lines of a drive in the key, px: its name, and how it lands; without the second, and columns of those. */
const ROW = 28;
const SHORT_ROW = 14;
const SHORT_COLUMNS = 2;
const SAMPLE = 26;
/** Width of a column of a short key, px. */
const SHORT_WIDTH = 190;

/** Hue and width of each drive, in their order; the taken one stands first and is thicker. */
export const hueOf = (i: number) => CURVES[i % CURVES.length]!;
export const widthOf = ({ taken }: DrawnShape): number => (taken ? 2.4 : 1.5);

/** "ZV, switch"; a shape that is made in one way has its name alone. */
export function nameOf({ shape, made_by }: DrawnShape): string {
  return shape === "step" ? shape : `${shape}, ${made_by}`;
}

/** @param short names alone, in two columns */
export const keyHeight = (drives: number, short: boolean): number =>
  short ? SHORT_ROW * Math.ceil(drives / SHORT_COLUMNS) : ROW * drives;

/** Each drive with a piece of its curve, its name, and how hard it lands: all curves end at the same voltage. */
export function shapeKey(
  drawing: ShapeDrawing,
  place: { x: number; y: number; short: boolean },
): string[] {
  const { short } = place;
  return drawing.drives.map((drive, i) => {
    const row = short ? SHORT_ROW * Math.floor(i / SHORT_COLUMNS) : ROW * i;
    const y = place.y + row + 9;
    const { line: stroke, text: fill, dash } = hueOf(i);
    const said = drive.taken ? `${nameOf(drive)}, taken` : nameOf(drive);
    const from = place.x + (short ? SHORT_WIDTH * (i % SHORT_COLUMNS) : 0);
    const x = from + SAMPLE + 8;
    return el(
      "g",
      { "data-name": drive.id },
      line(from, y - 3.6, from + SAMPLE, y - 3.6, {
        stroke,
        "stroke-width": widthOf(drive),
        "stroke-dasharray": dash === "" ? undefined : dash,
      }) +
        text(x, y, said, { size: SIZE.small, fill, ...(drive.taken ? { weight: "bold" } : {}) }) +
        (short
          ? ""
          : text(x, y + 12, landingWords(drive, drawing), { size: SIZE.small, fill: QUIET })),
    );
  });
}

/** "0.22 m/s at worst, no satellite", at the three resonances of the comparison. */
export function landingWords(
  { landings, satellites }: DrawnShape,
  { errors, error, measure }: ShapeDrawing,
): string {
  const within = landings.filter((_, k) => compared(Math.abs(errors[k]!), error));
  if (within.some((value) => value === null)) return "a run failed";
  const worst = Math.max(...(within as number[]));
  if (measure === "ringing") return `${(100 * worst).toFixed(0)} % rings on at worst`;
  const again =
    satellites === null || satellites === 0
      ? "no satellite"
      : `${satellites} satellite${satellites === 1 ? "" : "s"}`;
  return `${worst < 0.1 ? `${(1e3 * worst).toFixed(0)} mm/s` : `${worst.toFixed(2)} m/s`} at worst, ${again}`;
}

/** Whether an error is one that the comparison itself has run. */
const compared = (off: number, error: number) => off === 0 || Math.abs(off / error - 1) < 1e-9;
