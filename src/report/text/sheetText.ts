import type { Design } from "../../design/design.ts";
import type { SheetResult } from "../../sheet/result.ts";
import { formatQuantity } from "../../units/index.ts";
import { pathPrinters } from "../pathUnits.ts";
import { stripWords } from "../stripWords.ts";
import { entryLines, figureGroups, GROUP_IDS, type Group, type GroupId } from "./groups.ts";
import { inTwoColumns, listWithin, padEnd, widthOf, wrap, wrapAfter } from "./lines.ts";
import { marginTable, percentText } from "./marginTable.ts";
import { type TextOptions, type TextStyle, textStyle } from "./style.ts";
import {
  driveTables,
  fieldTable,
  largeSignalTable,
  lockoutLines,
  modeTable,
  reconciliation,
} from "./tables.ts";
import { boundWords, windowStrip } from "./windowStrip.ts";

export interface SheetTextOptions extends TextOptions {
  /** Groups of figures to print, default all. Verdict, margins, window and cautions always stand. */
  groups?: readonly GroupId[];
}

const LABEL = 26;
/** Widest column for the path of a figure. */
const LONGEST_PATH = 48;
/** Figures listed as not linear. */
const MOST_BENT = 12;

/**
 * The verdict sheet for a terminal: verdict, margins tightest first, free-length window, ways out,
 * grouped figures, inputs without uncertainty, cautions. No line is wider than `columns`; ends with
 * a newline.
 */
export function sheetText(
  design: Design,
  result: SheetResult,
  options: SheetTextOptions = {},
): string {
  const style = textStyle(options);
  const wanted = new Set(options.groups ?? GROUP_IDS);
  const blocks: string[][] = [verdictLines(design, result, style)];
  const add = (title: string, lines: readonly string[]) => {
    if (lines.length > 0) blocks.push([heading(title, style), ...lines]);
  };
  add(
    "Margins, tightest first",
    result.margins.length === 0 ? [] : marginTable(result.margins, style),
  );
  if (result.window !== null)
    add("Free length", windowStrip(design, result.window, result.margins, style));
  add(result.ways_out.length > 0 ? "Ways out, best first" : "", waysLines(result, style));

  const groups = new Map(figureGroups(design, result, style).map((group) => [group.id, group]));
  const list = (id: GroupId, more: readonly string[] = []) => {
    const group = groups.get(id);
    if (group !== undefined) add(group.title, [...groupLines(group, result, style), ...more]);
  };
  const missing = (title: string, path: string) => {
    const reason = result.reasons[path];
    if (reason !== undefined) add(title, wrap(style.words(`None: ${reason}.`), style.columns));
  };
  if (wanted.has("strip")) list("strip");
  if (wanted.has("fields"))
    add("Fields along the poling in every state (! against it)", fieldTable(result, style));
  if (wanted.has("modes")) add("Resonances", modeTable(design, result, style));
  if (wanted.has("seat")) result.seat === null ? missing("Seat", "seat") : list("seat");
  if (wanted.has("gas")) result.gas === null ? missing("Gas", "gas") : list("gas");
  if (wanted.has("drive"))
    result.drive === null ? missing("Drive", "drive") : list("drive", driveTables(result, style));
  if (wanted.has("lockout"))
    add("Lock-out band: high voltage off inside it", lockoutLines(result, style));
  if (wanted.has("large signal"))
    add("Large signal beside linear", largeSignalTable(result, style));
  if (wanted.has("reconciliation")) {
    if (result.catalogue !== null)
      add("Supplier's figures against the model", reconciliation(result.catalogue, style));
    if (result.measured !== null)
      add("Measured figures against the model", reconciliation(result.measured, style));
  }
  add("Inputs", inputLines(result, style));
  add("Cautions", cautionLines(result, style));
  return `${blocks.map((block) => block.map((line) => line.trimEnd()).join("\n")).join("\n\n")}\n`;
}

/** A title with a rule to the right margin. */
function heading(title: string, style: TextStyle): string {
  const { palette, glyphs, words, columns } = style;
  const text = words(title);
  const rule = glyphs.rule.repeat(Math.max(0, columns - widthOf(text) - 1));
  return `${palette.strong(text)} ${palette.quiet(rule)}`;
}

function verdictLines(design: Design, result: SheetResult, style: TextStyle): string[] {
  const { palette, words, columns, ascii } = style;
  const { met, text } = result.verdict;
  const paint = met ? palette.met : palette.unmet;
  const head = met ? "MET" : "NOT MET";
  const lines = wrapAfter(`${head}  `, words(text), columns).map((line, i) =>
    i === 0 ? paint(line) : line,
  );
  const q = (x: number, kind: "length" | "pressure" | "frequency") =>
    formatQuantity(x, 0, kind, { ascii, digits: 4 });
  const thickness = design.strip.layers.reduce((sum, layer) => sum + layer.thickness, 0);
  const parts = [
    design.name,
    `strip ${q(thickness, "length")} × ${q(design.strip.width, "length")}`,
    `free length ${q(design.strip.freeLength, "length")}`,
    ...stripWords(design),
    ...(design.gas === undefined
      ? []
      : [
          `${design.gas.name} ${q(design.need.plenumPressure, "pressure")} absolute`,
          `orifice ${q(design.need.orificeDiameter, "length")}`,
        ]),
    ...(design.need.rate === null ? [] : [q(design.need.rate, "frequency")]),
  ];
  return [...lines, ...wrap(words(parts.join("; ")), columns).map((line) => palette.quiet(line))];
}

function waysLines(result: SheetResult, style: TextStyle): string[] {
  const { words, columns, palette, ascii } = style;
  return result.ways_out.flatMap((way, i) => {
    const outcome = way.meets_all
      ? `meets all, ${percentText(way.smallest_margin, ascii)} left`
      : `better, not enough: ${percentText(way.smallest_margin, ascii)}`;
    const binding = boundWords(way.binding, result.margins);
    const number = `${String(i + 1).padStart(2)}  `;
    const lines = wrapAfter(number, words(way.text), columns);
    const after = wrap(words(`${outcome}; tightest: ${binding}`), columns - 4).map(
      (l) => `    ${l}`,
    );
    const paint = way.meets_all ? palette.met : palette.quiet;
    return [...lines, ...after.map((line) => paint(line))];
  });
}

function groupLines(group: Group, result: SheetResult, style: TextStyle): string[] {
  const column = Math.floor((style.columns - 3) / 2);
  const blocks = group.entries.map((entry) => entryLines(entry, result, LABEL, column, style));
  return inTwoColumns(blocks, style.columns);
}

function inputLines(result: SheetResult, style: TextStyle): string[] {
  const { words, columns, ascii } = style;
  const { with_uncertainty: known, without_uncertainty: exact } = result.inputs;
  const lines = [`${known} inputs carry an uncertainty.`];
  if (exact.length > 0) {
    const head = `${exact.length} of the file carry none: `;
    lines.push(head + listWithin(exact.map(words), columns - widthOf(head)));
  }
  const bent = Object.entries(result.not_linear).filter(([path]) => !path.startsWith("margins."));
  if (bent.length > 0)
    lines.push(
      ...wrap(
        "* Not linear in the inputs within their uncertainty; 95 % of samples lie in:",
        columns,
      ),
    );
  const printerOf = pathPrinters(result);
  const listed = bent.slice(0, MOST_BENT);
  const longest = Math.min(
    LONGEST_PATH,
    Math.max(0, ...listed.map(([path]) => widthOf(words(path)))),
  );
  for (const [path, interval] of listed) {
    const print = printerOf(path);
    const range =
      interval === null
        ? "too few samples have this figure"
        : interval.map((x) => print(x, null, { ascii, digits: 3 })).join(" to ");
    const name = words(path);
    if (widthOf(name) <= longest)
      lines.push(...wrapAfter(`  ${padEnd(name, longest)}  `, words(range), columns));
    // A name too long for its column stands alone, its interval under it.
    else
      lines.push(
        ...wrap(name, columns - 2).map((line) => `  ${line}`),
        ...wrapAfter(" ".repeat(longest + 4), words(range), columns),
      );
  }
  if (bent.length > MOST_BENT) lines.push(`  and ${bent.length - MOST_BENT} more, all in --json.`);
  return lines;
}

function cautionLines(result: SheetResult, style: TextStyle): string[] {
  const { words, columns, palette } = style;
  return result.cautions.flatMap((caution) => [
    ...wrapAfter("! ", words(caution.text), columns).map((line) => palette.caution(line)),
    ...wrap(words(caution.action), columns - 4).map((line) => `    ${line}`),
  ]);
}
