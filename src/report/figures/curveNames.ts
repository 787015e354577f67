import { spread } from "./labels.ts";
import { polyline, text } from "./svg.ts";
import { wrapWords } from "./textSize.ts";
import { type CURVES, SIZE } from "./theme.ts";

export interface CurveEnd {
  words: string;
  hue: (typeof CURVES)[number];
  /** Where the curve ends, px. */
  x: number;
  y: number;
}

export interface NameColumn {
  x: number;
  right: number;
  top: number;
  bottom: number;
}

const LINE = 12;

/** Names at the right ends of curves, in one column, each tied to its curve, none over another. */
export function endColumn(ends: readonly CurveEnd[], column: NameColumn): string[] {
  const lines = ends.map((end) => wrapWords(end.words, column.right - column.x, SIZE.small));
  const tallest = Math.max(1, ...lines.map((l) => l.length)) * LINE + 5;
  const ys = spread(
    ends.map((end) => end.y),
    tallest,
    column.top,
    column.bottom,
  );
  return ends.flatMap((end, i) => {
    const y = ys[i]!;
    const height = (lines[i]!.length - 1) * LINE;
    return [
      polyline(
        [
          { x: end.x, y: end.y },
          { x: column.x - 14, y },
          { x: column.x - 4, y },
        ],
        {
          stroke: end.hue.line,
          "stroke-width": 1,
        },
      ),
      ...lines[i]!.map((words, k) =>
        text(column.x, y + 3.6 - height / 2 + LINE * k, words, {
          size: SIZE.small,
          fill: end.hue.text,
        }),
      ),
    ];
  });
}
