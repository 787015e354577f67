import type { JetFigures } from "../../sheet/jetResult.ts";
import { printFigure } from "../figureUnits.ts";
import type { Scale } from "./axis.ts";
import type { PlotSides } from "./chartFrame.ts";
import { line, part, rect, text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { INK, NOT_MET, SHADE, SIZE } from "./theme.ts";

/** A place on the axis of the jet. */
export interface Marked {
  id: "freezing" | "skimmer" | "disk" | "interaction";
  words: string;
  at: number;
}

const ROW = 14;
/** Least distance of two labels in a row, px. */
const APART = 10;

/** What is marked, by distance. A freezing surface that lies behind the Mach disk is not reached. */
export function marked(jet: JetFigures): Marked[] {
  const { freezing_distance_m: freezing, mach_disk_m: disk, skimmer, interaction } = jet;
  const out: Marked[] = [];
  if (freezing !== null && (disk === null || freezing < disk))
    out.push({ id: "freezing", words: "freezing surface", at: freezing });
  if (skimmer !== null) out.push({ id: "skimmer", words: "skimmer", at: skimmer.distance_m });
  if (disk !== null) out.push({ id: "disk", words: "Mach disk", at: disk });
  if (interaction !== null)
    out.push({ id: "interaction", words: "interaction point", at: interaction.distance_m });
  return out.sort((a, b) => a.at - b.at);
}

interface Place {
  /** Ends of the words, px. */
  from: number;
  to: number;
  /** Above the plot, the lowest is 0. */
  row: number;
}
type Placed = Marked & Place & { px: number; words: string };

/** Rows that are tried for words beside which no line runs through others. */
const ROWS = 4;

/**
 * The lowest row, left or right of its line, where words meet neither other words nor a line; where there is
 * none, the lowest in which they meet no words.
 */
function placeOf(
  px: number,
  wide: number,
  width: number,
  placed: readonly Placed[],
  later: readonly number[],
): Place {
  const most = Math.max(ROWS, placed.length + 1);
  const places = Array.from({ length: most }, (_, row) =>
    [px - 3 - wide, px + 3].map((start) => {
      const from = Math.max(8, Math.min(width - 8 - wide, start));
      return { from, to: from + wide, row };
    }),
  ).flat();
  const clear = places.filter(({ from, to, row }) =>
    placed.every((o) => o.row !== row || from >= o.to + APART || to <= o.from - APART),
  );
  const through = (at: number, { from, to }: Place) => at > from - 2 && at < to + 2;
  const free = clear.find(
    (place) =>
      !later.some((at) => through(at, place)) &&
      placed.every(
        (other) =>
          !(other.row > place.row && through(other.px, place)) &&
          !(other.row < place.row && through(px, other)),
      ),
  );
  // One row more than there are words before: the last is always clear.
  return free ?? clear[0]!;
}

/** Lines at the marks with their words above the plot, and the ground behind a Mach disk. */
export function jetMarks(
  marks: readonly Marked[],
  x: Scale,
  width: number,
): { height: number; ground: (plot: PlotSides) => string; put: (plot: PlotSides) => string[] } {
  const [least, most] = x.range;
  const seen = marks
    .map((mark) => ({ ...mark, px: x.at(mark.at) }))
    .filter(({ px }) => px >= least - 0.5 && px <= most + 0.5);
  const placed: Placed[] = [];
  seen.forEach((mark, i) => {
    const words = `${mark.words} ${printFigure("x_m", mark.at, null, { digits: 3 })}`;
    const later = seen.slice(i + 1).map(({ px }) => px);
    const place = placeOf(mark.px, textWidth(words, SIZE.small), width, placed, later);
    placed.push({ ...mark, words, ...place });
  });
  const disk = placed.find(({ id }) => id === "disk");
  return {
    height: ROW * (1 + Math.max(-1, ...placed.map(({ row }) => row))),
    ground: ({ right, top, bottom }) =>
      disk === undefined ? "" : rect(disk.px, top, right - disk.px, bottom - top, { fill: SHADE }),
    put: (plot) =>
      placed.map(({ id, px, words, from, row }) =>
        part(`mark-${id}`, [
          line(px, plot.top - 4 - ROW * row, px, plot.bottom, {
            stroke: id === "disk" ? NOT_MET : INK,
            "stroke-width": id === "disk" ? 1.6 : 0.9,
            "stroke-dasharray": id === "disk" ? undefined : id === "freezing" ? "3 2" : "7 2",
          }),
          text(from, plot.top - 7 - ROW * row, words, { size: SIZE.small, halo: true }),
        ]),
      ),
  };
}
