/**
 * A sheet of paper for a calculation by hand: every line keeps its symbol, its formula, the numbers
 * put into it and its result. Formula, numbers and result come from one template, so that what is
 * shown is what was computed. Imports nothing.
 */
export interface Line {
  symbol: string;
  meaning: string;
  unit: string;
  /** Where the formula or the number comes from. */
  source: string;
  /** Formula in symbols and with numbers; both empty for a given number. */
  formula: string;
  numbers: string;
  value: number;
  /** Path of the same quantity in the computed result, or in the design for a given number. */
  at: string | null;
}

export interface Heading {
  heading: string;
  text: string;
}

/** The sheet, in the order of writing. */
export const paper: (Line | Heading)[] = [];

export interface Expression {
  formula: string;
  numbers: string;
  value: number;
}

const number = (value: number, digits: number): string => {
  const text = String(Number(value.toPrecision(digits)));
  return text.startsWith("-") ? `(−${text.slice(1)})` : text;
};

const pretty = (text: string): string =>
  text
    .replaceAll(" ** ", "^")
    .replaceAll("**", "^")
    .replaceAll(" * ", "·")
    .replaceAll("PI", "π")
    .replaceAll("sqrt(", "√(")
    .replaceAll(/(?<!\de)-/g, "−");

/**
 * An arithmetic expression over lines and plain numbers, with + − * / **, PI, sqrt, ln, exp, max, min:
 * of`${E} * ${b} * ${t}` gives the formula in symbols, the same with numbers, and its value.
 */
export function of(parts: TemplateStringsArray, ...terms: (Line | number)[]): Expression {
  let formula = pretty(parts[0] ?? "");
  let numbers = formula;
  let code = parts[0] ?? "";
  terms.forEach((term, i) => {
    const after = parts[i + 1] ?? "";
    const value = typeof term === "number" ? term : term.value;
    formula += (typeof term === "number" ? number(term, 7) : term.symbol) + pretty(after);
    numbers += number(value, 7) + pretty(after);
    code += `(${value})${after}`;
  });
  const run = new Function("PI", "sqrt", "ln", "exp", "max", "min", `return ${code};`);
  const value = run(Math.PI, Math.sqrt, Math.log, Math.exp, Math.max, Math.min) as number;
  return { formula, numbers, value };
}

/** A new part of the sheet. */
export function heading(title: string, text: string): void {
  paper.push({ heading: title, text });
}

/** A number that is given: by the design (`at` is its path there), a table or a definition. */
export function given(
  symbol: string,
  meaning: string,
  value: number,
  unit: string,
  source: string,
  at: string | null = null,
): Line {
  const line: Line = { symbol, meaning, unit, source, formula: "", numbers: "", value, at };
  paper.push(line);
  return line;
}

/** A computed number; `at` is the path of the same number in the computed result. */
export function line(
  symbol: string,
  meaning: string,
  unit: string,
  source: string,
  expression: Expression,
  at: string | null = null,
): Line {
  const made: Line = { symbol, meaning, unit, source, ...expression, at };
  paper.push(made);
  return made;
}

/** A number found by bisection or read from a matrix; `equation` says of what. */
export function found(
  symbol: string,
  meaning: string,
  unit: string,
  source: string,
  equation: string,
  value: number,
  at: string | null = null,
): Line {
  return line(symbol, meaning, unit, source, { formula: equation, numbers: "", value }, at);
}

/** Runs a part of the calculation without keeping its lines: the rounds of an iteration. */
export function draft<T>(part: () => T): T {
  const kept = paper.length;
  const result = part();
  paper.length = kept;
  return result;
}

/** Root of f between a and b by bisection down to neighbouring numbers. RangeError without a sign change. */
export function bisect(f: (x: number) => number, a: number, b: number): number {
  let low = a;
  let high = b;
  const atLow = f(low);
  if (atLow > 0 === f(high) > 0) throw new RangeError(`no sign change between ${a} and ${b}`);
  for (let i = 0; i < 200; i++) {
    const middle = 0.5 * (low + high);
    if (middle === low || middle === high) break;
    if (f(middle) > 0 === atLow > 0) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}

const lineText = (made: Line): string => {
  const what = made.at === null ? "" : ` Compared with \`${made.at}\`.`;
  const rows = [`${made.symbol} = ${made.formula}`];
  if (made.numbers !== "" && made.numbers !== made.formula) rows.push(`  = ${made.numbers}`);
  rows.push(`  = ${number(made.value, 10).replace(/[()]/g, "")} ${made.unit}`.trimEnd());
  return `**${made.symbol}**: ${made.meaning}. *${made.source}.*${what}\n\n\`\`\`text\n${rows.join("\n")}\n\`\`\`\n`;
};

const givenRow = (made: Line): string =>
  `| ${made.symbol} | ${made.meaning} | ${number(made.value, 15).replace(/[()]/g, "")} ${made.unit} | ${made.source} |`;

/** The sheet as Markdown, below `title` and `introduction`. */
export function written(title: string, introduction: string): string {
  const out = [`# ${title}`, "", introduction, ""];
  let inTable = false;
  for (const entry of paper) {
    const isGiven = !("heading" in entry) && entry.formula === "";
    if (inTable && !isGiven) out.push("");
    if ("heading" in entry) out.push(`## ${entry.heading}`, "", entry.text, "");
    else if (isGiven) {
      if (!inTable) out.push("| Symbol | Meaning | Value | Source |", "|---|---|---|---|");
      out.push(givenRow(entry));
    } else out.push(lineText(entry));
    inTable = isGiven;
  }
  return `${out.join("\n").trimEnd()}\n`;
}
