/** One column of a table file: ASCII name, unit in the spelling of machine files, values. */
export interface CsvColumn {
  name: string;
  /** "m", "V/m", "1" for a pure number, "" for words. */
  unit: string;
  values: readonly (number | string | boolean | null)[];
}

/**
 * A table file: `# key: value` lines, names row, units row, rows; comma and dot, LF, UTF-8; empty
 * cell = missing; the shortest digits that read back as the same number. RangeError for columns of
 * different length, a name that is no identifier, a number that is not finite.
 */
export function csvText(
  meta: Readonly<Record<string, string>>,
  columns: readonly CsvColumn[],
): string {
  const rows = columns[0]?.values.length ?? 0;
  for (const { name, values } of columns) {
    if (!/^[A-Za-z_]\w*$/.test(name)) throw new RangeError(`not a column name: ${name}`);
    if (values.length !== rows)
      throw new RangeError(`column ${name} has ${values.length} rows, the first has ${rows}`);
  }
  const preamble = Object.entries(meta).length + 1;
  const out = [
    ...Object.entries(meta).map(([key, value]) => `# ${key}: ${value.replace(/\s+/g, " ")}`),
    `# read with: pandas.read_csv(FILE, skiprows=${preamble}, header=[0, 1])`,
    columns.map((column) => column.name).join(","),
    columns.map((column) => (column.unit === "" ? "-" : column.unit)).join(","),
  ];
  for (let i = 0; i < rows; i++) out.push(columns.map(({ values }) => cell(values[i]!)).join(","));
  return `${out.join("\n")}\n`;
}

function cell(value: number | string | boolean | null): string {
  if (value === null) return "";
  if (typeof value === "string")
    return /[",\n#]/.test(value) ? `"${value.replaceAll('"', '""')}"` : value;
  if (typeof value === "boolean") return value ? "1" : "0";
  if (!Number.isFinite(value))
    throw new RangeError(`a number in a table must be finite: got ${value}`);
  return String(value);
}

/** An identifier from any words: "field with the poling, any state" → "field_with_the_poling_any_state". */
export function identifier(words: string): string {
  const name = words
    .normalize("NFKD")
    .replace(/[^A-Za-z0-9]+/g, "_")
    .replace(/^_+|_+$/g, "");
  return /^[A-Za-z_]/.test(name) ? name : `_${name}`;
}
