import { note } from "./axis.ts";
import { text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { QUIET, SIZE } from "./theme.ts";

/** A picture with what it says in words and in numbers. */
export interface Figure {
  /** Name of a file: "side-view", "window". */
  name: string;
  /** A few words for a heading: "Free-length window". */
  title: string;
  svg: string;
  /** One sentence for those who can't see the picture. */
  sentence: string;
  /** The numbers behind it: `#` lines, names row, units row, rows. */
  csv: string;
  /** Where values lie on the picture, for a cursor, a zoom box or a handle; absent without axes. */
  plot?: Plot;
}

export interface FigureOptions {
  /** Where picture and numbers come from, in one line: version, file, hash, command. */
  origin?: string;
  /** px; default: the picture's own size on paper. */
  size?: { width: number; height: number };
  /** The drawing alone, without title, origin line and ground, for a page that has its own; default no. */
  bare?: boolean;
  /** Part of a chart that is shown, SI; default: all of it. */
  view?: { x?: readonly [number, number]; y?: readonly [number, number] };
}

/** One direction of a picture: SI values `from`…`to` lie at `range` px. */
export interface PlotAxis {
  name: string;
  /** Unit in which the axis is written, and the SI size of one. */
  unit: string;
  factor: number;
  from: number;
  to: number;
  log: boolean;
  range: readonly [number, number];
}

export interface Plot {
  x: PlotAxis;
  y: PlotAxis;
  /** Curves that a cursor can read, SI. */
  series: readonly {
    id: string;
    name: string;
    x: readonly number[];
    y: readonly (number | null)[];
  }[];
}

/** What a picture is of: a design, or a measurement by the name of its file. */
export interface Named {
  name: string;
}

export function originLine(of: Named, options: FigureOptions): string {
  return options.origin ?? of.name;
}

/** Title at the top left, what it shows of beside it, origin at the bottom left. */
export function frame(
  size: { width: number; height: number },
  title: string,
  beside: string,
  origin: string,
): string[] {
  const x = 24;
  const width = textWidth(title, SIZE.title, true);
  return [
    text(x, 28, title, { size: SIZE.title, weight: "bold" }),
    beside === "" ? "" : text(x + width + 14, 28, beside, { fill: QUIET }),
    note(x, size.height - 10, cut(origin, size.width - 2 * x)),
  ];
}

/** Cuts a line that is wider than `width` px at its end. */
function cut(words: string, width: number): string {
  if (textWidth(words, SIZE.small) <= width) return words;
  let short = words;
  while (short !== "" && textWidth(`${short}…`, SIZE.small) > width) short = short.slice(0, -1);
  return `${short}…`;
}
