import type { Budget } from "../../sheet/uncertainty.ts";
import { isQuantityKind } from "../../units/index.ts";
import { printFigure, printQuantity } from "../figureUnits.ts";
import type { PathPrinter } from "../pathUnits.ts";
import { type Column, table, wrap } from "./lines.ts";
import { type TextOptions, textStyle } from "./style.ts";

export interface BudgetTextOptions extends TextOptions {
  /** Contributors listed, default 10. */
  most?: number;
  /** How the figure's own numbers are printed; default: the unit in its name. */
  print?: PathPrinter;
}

const BAR = 12;

/** The contributors to one figure's uncertainty as a table, largest first; ends with a newline. */
export function budgetText(budget: Budget, options: BudgetTextOptions = {}): string {
  const style = textStyle(options);
  const { words, ascii, columns, palette, glyphs } = style;
  const most = options.most ?? 10;
  const name = budget.figure.split(".").pop() ?? budget.figure;
  const print: PathPrinter = options.print ?? ((x, u, how) => printFigure(name, x, u, how));
  const value = budget.value === null ? "none" : words(print(budget.value, budget.u, { ascii }));
  const lines = wrap(words(`${budget.figure} = ${value}`), columns).map((l) => palette.strong(l));
  if (budget.lines.length === 0) {
    lines.push("No input with an uncertainty acts on it.");
    return `${lines.join("\n")}\n`;
  }
  const rows = budget.lines.slice(0, most).map((line) => {
    const kind = isQuantityKind(line.kind) ? line.kind : null;
    const filled = Math.round(Math.min(1, line.share) * BAR);
    return [
      words(line.key),
      words(printQuantity(line.value, line.u, kind, line.kind, { ascii })),
      words(print(line.contribution, null, { ascii, digits: 2 })),
      glyphs.used.repeat(filled) + glyphs.left.repeat(BAR - filled),
      `${(100 * line.share).toFixed(line.share < 0.0995 ? 1 : 0)} %`,
      line.origin,
    ];
  });
  const heads: Column[] = [
    { head: "input", align: "left" },
    { head: "value", align: "right" },
    { head: "contributes", align: "right" },
    { head: "share", align: "left" },
    { head: "", align: "right" },
    { head: "from", align: "left" },
  ];
  for (const part of table(heads, rows, columns))
    lines.push(palette.quiet(part.head), ...part.body);
  const rest = budget.lines.length - most;
  if (rest > 0) {
    const share = budget.lines.slice(most).reduce((sum, line) => sum + line.share, 0);
    lines.push(`${rest} more contribute ${(100 * share).toFixed(1)} % together.`);
  }
  if (budget.not_linear)
    lines.push(
      ...wrap(
        "Not linear in these inputs within their uncertainty: see the sampled interval on the sheet.",
        columns,
      ),
    );
  return `${lines.map((line) => line.trimEnd()).join("\n")}\n`;
}
