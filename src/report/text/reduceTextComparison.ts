import type { Comparison } from "../../bench/compare.ts";
import { type Column, table, wrapAfter } from "./lines.ts";
import { figure, percent } from "./reduceLines.ts";
import type { Palette, TextStyle } from "./style.ts";

type Verdict = readonly [string, string, Palette["met"]];

const enText = (en: number, style: TextStyle): string =>
  style.words(`${en < 0 ? "−" : ""}${Math.abs(en).toFixed(2)}`);

/** One line over all comparisons: a word, a sentence, how it is painted. */
export function comparisonVerdict(comparisons: readonly Comparison[], style: TextStyle): Verdict {
  const judged = comparisons.filter((each) => each.en !== null);
  const off = judged
    .filter((each) => each.agrees === false)
    .sort((a, b) => Math.abs(b.en as number) - Math.abs(a.en as number));
  const worst = off[0];
  const open = comparisons.length - judged.length;
  const left = open === 0 ? "" : `; ${open} not judged`;
  if (worst !== undefined)
    return [
      "DOES NOT AGREE",
      `${worst.name} is ${worst.difference > 0 ? "above" : "below"} the ${worst.of}, En ${enText(worst.en as number, style)}; ${off.length} of ${judged.length} beyond |En| = 1${left}.`,
      style.palette.unmet,
    ];
  if (judged.length === 0)
    return [
      "NOT JUDGED",
      "an En number needs two independent values, each with its uncertainty: see below.",
      style.palette.caution,
    ];
  return [
    "AGREES",
    `${judged.length} of ${judged.length} with |En| ≤ 1${left}.`,
    style.palette.met,
  ];
}

/** Columns from which the relative difference has room. */
const WIDE = 90;

/** Measured, design and catalogue side by side with En, then in words. */
export function comparisonLines(comparisons: readonly Comparison[], style: TextStyle): string[] {
  if (comparisons.length === 0) return [];
  const { words, columns, palette } = style;
  const keys = [...new Set(comparisons.map(({ key }) => key))];
  const kinds = (["design", "catalogue"] as const).filter((of) =>
    comparisons.some((each) => each.of === of),
  );
  const wide = kinds.length === 1 && columns >= WIDE;
  const heads: Column[] = [
    { head: "", align: "left" },
    { head: "measured", align: "right" },
    ...kinds.flatMap((of): Column[] => [
      { head: of, align: "right" },
      ...(wide ? [{ head: "difference", align: "right" } as const] : []),
      { head: words("En  "), align: "right" },
    ]),
  ];
  const rows = keys.map((key) => {
    const all = comparisons.filter((each) => each.key === key);
    const first = all[0] as Comparison;
    const side = (of: Comparison["of"]) => {
      const one = all.find((each) => each.of === of);
      if (one === undefined) return wide ? ["-", "-", "-  "] : ["-", "-  "];
      const mark = one.agrees === false ? style.glyphs.unmet : style.glyphs.met;
      return [
        figure(key, one.predicted.value, one.predicted.u, style),
        ...(wide ? [one.relative === null ? "-" : percent(one.relative, style)] : []),
        one.en === null ? `${style.glyphs.unknown}  ` : `${enText(one.en, style)} ${mark}`,
      ];
    };
    return [
      words(first.name),
      figure(key, first.measured.value, first.measured.u, style),
      ...kinds.flatMap(side),
    ];
  });
  const lines = table(heads, rows, columns).flatMap((part) => [
    palette.quiet(part.head),
    ...part.body.map((line) =>
      line.includes(` ${style.glyphs.unmet}`) ? palette.unmet(line) : line,
    ),
  ]);
  return [...lines, ...sentences(comparisons, style), ...origins(comparisons, style)];
}

/** What differs or can't be judged, in words. */
function sentences(comparisons: readonly Comparison[], style: TextStyle): string[] {
  return comparisons
    .filter(({ agrees }) => agrees !== true)
    .flatMap((each) => {
      const lines = wrapAfter(
        each.agrees === false ? "! " : "? ",
        style.words(
          `${each.name}${each.relative === null ? "" : ` (${percent(each.relative, style)})`} ${each.says}`,
        ),
        style.columns,
      );
      return each.agrees === false ? lines.map(style.palette.caution) : lines;
    });
}

/** Where each prediction comes from, equal ones together. */
function origins(comparisons: readonly Comparison[], style: TextStyle): string[] {
  const by = new Map<string, string[]>();
  for (const { from, of, name } of comparisons) {
    const key = from.startsWith(of) ? from : `${of}: ${from}`;
    by.set(key, [...(by.get(key) ?? []), name]);
  }
  return [...by].flatMap(([from, names]) =>
    wrapAfter("  ", style.words(`${names.join(", ")} from ${from}`), style.columns).map(
      style.palette.quiet,
    ),
  );
}
