/** Columns that a text takes: one a code point. */
export function widthOf(text: string): number {
  return [...text].length;
}

export function padEnd(text: string, width: number): string {
  return text + " ".repeat(Math.max(0, width - widthOf(text)));
}

export function padStart(text: string, width: number): string {
  return " ".repeat(Math.max(0, width - widthOf(text))) + text;
}

/** Breaks a text at spaces into lines of at most `width` columns; a longer word is cut. */
export function wrap(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = "";
  for (let word of text.split(/\s+/).filter((w) => w !== "")) {
    const joined = line === "" ? word : `${line} ${word}`;
    if (widthOf(joined) <= width) {
      line = joined;
      continue;
    }
    if (line !== "") lines.push(line);
    while (widthOf(word) > width) {
      lines.push([...word].slice(0, width).join(""));
      word = [...word].slice(width).join("");
    }
    line = word;
  }
  if (line !== "" || lines.length === 0) lines.push(line);
  return lines;
}

/** As `wrap`, with `first` before the first line and as much space before the others. */
export function wrapAfter(first: string, text: string, width: number): string[] {
  const indent = widthOf(first);
  return wrap(text, Math.max(10, width - indent)).map(
    (line, i) => (i === 0 ? first : " ".repeat(indent)) + line,
  );
}

/** Things by name as far as they fit one line, the rest counted: "a, b and 12 more". */
export function listWithin(names: readonly string[], width: number): string {
  for (let shown = names.length; shown > 0; shown--) {
    const rest = names.length - shown;
    const text = names.slice(0, shown).join(", ") + (rest === 0 ? "" : ` and ${rest} more`);
    if (widthOf(text) <= width) return text;
  }
  return `${names.length}`;
}

export interface Column {
  head: string;
  align: "left" | "right";
  /** Narrowest width; the widest cell counts otherwise. */
  min?: number;
}

/** Narrowest first column of a table that still takes all its columns side by side. */
const NARROWEST = 14;
const GAP = 2;

/**
 * A table without rules: heads and rows with two spaces between columns, the first column wrapped
 * where it does not fit. Columns that do not fit beside the first follow below in a part of their own.
 */
export function table(
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
  width: number,
): { head: string; body: string[] }[] {
  const widths = columns.map((column, c) =>
    Math.max(column.min ?? 0, widthOf(column.head), ...rows.map((row) => widthOf(row[c] ?? ""))),
  );
  const least = Math.min(widths[0]!, NARROWEST);
  const parts: number[][] = [[]];
  let used = least;
  for (let c = 1; c < columns.length; c++) {
    if (used + GAP + widths[c]! > width && parts[parts.length - 1]!.length > 0) {
      parts.push([]);
      used = least;
    }
    used += GAP + widths[c]!;
    parts[parts.length - 1]!.push(c);
  }
  return parts.map((part) => tablePart(columns, rows, widths, part, width));
}

function tablePart(
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
  widths: readonly number[],
  part: readonly number[],
  width: number,
): { head: string; body: string[] } {
  const others = part.reduce((sum, c) => sum + widths[c]! + GAP, 0);
  const first = Math.max(1, Math.min(widths[0]!, width - others));
  const put = (lead: string, cells: readonly string[]) =>
    [
      padEnd(lead, first),
      ...part.map((c) =>
        columns[c]!.align === "left"
          ? padEnd(cells[c] ?? "", widths[c]!)
          : padStart(cells[c] ?? "", widths[c]!),
      ),
    ]
      .join(" ".repeat(GAP))
      .trimEnd();
  const body = rows.flatMap((row) => {
    const [lead, ...more] = wrap(row[0] ?? "", first);
    return [put(lead!, row), ...more];
  });
  return {
    head: put(
      columns[0]!.head,
      columns.map((column) => column.head),
    ),
    body,
  };
}

/** Blocks of lines in two columns, filled downwards, the first column at least as long. */
export function inTwoColumns(blocks: readonly (readonly string[])[], width: number): string[] {
  const gap = 3;
  const column = Math.floor((width - gap) / 2);
  const total = blocks.reduce((sum, block) => sum + block.length, 0);
  const left: string[] = [];
  const right: string[] = [];
  for (const block of blocks) {
    const target = left.length < total / 2 && right.length === 0 ? left : right;
    target.push(...block);
  }
  return left.map((line, i) =>
    right[i] === undefined ? line : padEnd(line, column + gap) + right[i],
  );
}
