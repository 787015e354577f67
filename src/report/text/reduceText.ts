import type { Comparison } from "../../bench/compare.ts";
import type { Reduction, ResultTable, Value } from "../../bench/reduction.ts";
import { type Column, table, wrap, wrapAfter } from "./lines.ts";
import { block, figure, freedom, interval95, intervalText } from "./reduceLines.ts";
import { comparisonLines, comparisonVerdict } from "./reduceTextComparison.ts";
import { fitLines } from "./reduceTextFit.ts";
import { type TextOptions, type TextStyle, textStyle } from "./style.ts";

/** A measurement with what it was made from. */
export interface ReducedReport {
  reduction: Reduction;
  /** Each file, and in one line what was taken for what. */
  reading: readonly { file: string; words: string }[];
  /** Settings as used: "screen distance 300.0(10) mm". */
  settings: readonly string[];
  /** Name of the design that it is compared with; null without. */
  design: string | null;
  comparisons: readonly Comparison[];
}

export interface ReduceTextOptions extends TextOptions {
  /** Command line that draws the pictures; without it none is named. */
  pictures?: string;
}

/** Values that get a budget here, contributors of each, rows of a table. */
const BUDGETS = 3;
const PARTS = 5;
const ROWS = 14;
const BAR = 12;

/**
 * A reduced measurement for a terminal: verdict, what was read as what, values with uncertainty and 95 % interval,
 * warnings, comparison, budgets, fits, tables. No line is wider than `columns`; ends with a newline.
 */
export function reduceText(report: ReducedReport, options: ReduceTextOptions = {}): string {
  const style = textStyle(options);
  const { reduction } = report;
  const blocks = [
    verdictLines(report, style),
    block("Read", readLines(report, style), style),
    block("Values", valueLines(reduction.values, style), style),
    block("Warnings", warningLines(reduction, style), style),
    block("Against what was expected", comparisonLines(report.comparisons, style), style),
    block("Uncertainty, largest part first", budgetLines(reduction.values, style), style),
    ...reduction.fits.map((fit) => block(`Fit: ${fit.title}`, fitLines(fit, style), style)),
    ...reduction.tables.map((each) =>
      block(
        each.title.replace(/^./, (first) => first.toUpperCase()),
        tableLines(each, style),
        style,
      ),
    ),
  ].filter((lines) => lines.length > 0);
  if (options.pictures !== undefined)
    blocks.push(wrap(style.words(`Pictures: ${options.pictures}`), style.columns));
  return `${blocks.map((lines) => lines.map((line) => line.trimEnd()).join("\n")).join("\n\n")}\n`;
}

function verdictLines(report: ReducedReport, style: TextStyle): string[] {
  const { palette, words, columns } = style;
  const { reduction, comparisons } = report;
  const failed = reduction.fits.filter((fit) => fit.status !== "converged");
  const first = reduction.values.find((value) => value.value !== null);
  const [mark, text, paint] =
    failed.length > 0
      ? (["NOT CONVERGED", `${failed[0]?.title}: ${failed[0]?.ended}`, palette.unmet] as const)
      : comparisons.length > 0
        ? comparisonVerdict(comparisons, style)
        : first === undefined
          ? (["NOTHING FOUND", "no value came out of it: see the reasons", palette.unmet] as const)
          : ([
              "MEASURED",
              `${first.name} ${figure(first.key, first.value as number, first.u, style)}`,
              palette.strong,
            ] as const);
  const parts = [
    reduction.kind,
    report.reading.map(({ file }) => file).join(", "),
    ...(report.design === null ? [] : [`design ${report.design}`]),
  ];
  return [
    ...wrapAfter(`${mark}  `, words(text), columns).map((line) => paint(line)),
    ...wrap(words(parts.filter((part) => part !== "").join("; ")), columns).map((line) =>
      palette.quiet(line),
    ),
  ];
}

function readLines({ reading, settings }: ReducedReport, style: TextStyle): string[] {
  const { words, columns } = style;
  return [
    ...reading.flatMap(({ file, words: said }) =>
      wrapAfter("  ", words(`${file}: ${said}`), columns),
    ),
    ...(settings.length === 0
      ? []
      : wrapAfter("  ", words(`settings: ${settings.join("; ")}`), columns)),
  ];
}

function valueLines(values: readonly Value[], style: TextStyle): string[] {
  const { words, columns, palette } = style;
  const found = values.filter((value) => value.value !== null);
  const heads: Column[] = [
    { head: "", align: "left" },
    { head: words("value(u)"), align: "right" },
    { head: words("95 % between"), align: "right" },
    { head: "degrees of freedom", align: "right" },
  ];
  const rows = found.map((value) => {
    const ends = interval95(value);
    return [
      words(value.name),
      figure(value.key, value.value as number, value.u, style),
      ends === null ? "-" : words(intervalText(value.key, ends, style.ascii)),
      value.u === null ? "-" : freedom(value.degreesOfFreedom),
    ];
  });
  // Values that are missing for the same reason stand together.
  const missing = new Map<string, string[]>();
  for (const { name, value, u, reason = "no reason is known" } of values) {
    if (value !== null && u !== null) continue;
    const why = value === null ? `none, ${reason}` : `no uncertainty, ${reason}`;
    missing.set(why, [...(missing.get(why) ?? []), name]);
  }
  const notes = [...missing].map(([why, names]) => `${names.join("; ")}: ${why}`);
  return [
    ...(rows.length === 0
      ? []
      : table(heads, rows, columns).flatMap((part) => [palette.quiet(part.head), ...part.body])),
    ...notes.flatMap((note) => wrapAfter("  ", words(note), columns)),
  ];
}

function warningLines({ warnings }: Reduction, style: TextStyle): string[] {
  return warnings.flatMap(({ text }) =>
    wrapAfter("! ", style.words(text), style.columns).map(style.palette.caution),
  );
}

function budgetLines(values: readonly Value[], style: TextStyle): string[] {
  const { words, columns, palette } = style;
  const known = values.filter(
    ({ value, u, budget }) => value !== null && u !== null && u > 0 && budget.length > 0,
  );
  const lines = known
    .slice(0, BUDGETS)
    .flatMap((value) => [
      ...wrap(
        words(`${value.name} ${figure(value.key, value.value as number, value.u, style)}`),
        columns,
      ).map(palette.strong),
      ...oneBudget(value, style),
    ]);
  const rest = known.length - BUDGETS;
  if (rest > 0)
    lines.push(...wrap(words(`Budgets of ${rest} more values with --json or --csv.`), columns));
  return lines;
}

function oneBudget({ key, budget }: Value, style: TextStyle): string[] {
  const { words, columns, glyphs } = style;
  const sum = budget.reduce((total, line) => total + line.u ** 2, 0);
  const rows = budget.slice(0, PARTS).map((line) => {
    const share = sum > 0 ? line.u ** 2 / sum : 0;
    const filled = Math.round(share * BAR);
    return [
      words(`  ${line.source}`),
      figure(key, line.u, null, style, 2),
      glyphs.used.repeat(filled) + glyphs.left.repeat(BAR - filled),
      `${(100 * share).toFixed(share < 0.0995 ? 1 : 0)} %`,
    ];
  });
  const heads: Column[] = [
    { head: "", align: "left", min: 40 },
    { head: "", align: "right" },
    { head: "", align: "left" },
    { head: "", align: "right" },
  ];
  const rest = budget.slice(PARTS).reduce((total, line) => total + line.u ** 2, 0);
  return [
    ...table(heads, rows, columns)
      .flatMap((part) => part.body)
      .map((line) => (line.startsWith(" ") ? line : `  ${line}`)),
    ...(budget.length > PARTS
      ? [
          words(
            `  ${budget.length - PARTS} more contribute ${((100 * rest) / (sum || 1)).toFixed(1)} % together`,
          ),
        ]
      : []),
  ];
}

function tableLines({ columns: heads, rows }: ResultTable, style: TextStyle): string[] {
  const { words, columns, palette } = style;
  const cell = (value: number | string | null, key: string) =>
    value === null
      ? "-"
      : typeof value === "string"
        ? words(value)
        : figure(key, value, null, style, 4);
  const said = rows
    .slice(0, ROWS)
    .map((row) => heads.map(({ key }, c) => cell(row[c] ?? null, key)));
  const cells: Column[] = heads.map(({ name }, c) => ({
    head: words(name),
    align: typeof rows[0]?.[c] === "string" ? "left" : "right",
  }));
  return [
    ...table(cells, said, columns).flatMap((part) => [palette.quiet(part.head), ...part.body]),
    ...(rows.length > ROWS
      ? [palette.quiet(words(`${rows.length - ROWS} more rows with --csv`))]
      : []),
  ];
}
