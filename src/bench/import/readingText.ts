import type { Reading } from "./types.ts";

/** What was taken for what, in lines for a person. */
export function readingText(reading: Reading): string[] {
  const { format, delimiter, numbers, columns, interval } = reading;
  const out: string[] = [];
  if (format === "text") {
    const parted =
      delimiter === "none"
        ? "one column"
        : `cells parted by ${delimiter === "space" ? "blanks" : delimiter}`;
    const grouped = numbers?.groups === "none" ? "" : `, digits grouped by ${numbers?.groups}`;
    out.push(`text, ${parted}, decimal ${numbers?.decimal}${grouped}`);
    const rows = [
      reading.preambleRows > 0 ? `preamble in ${rowsText(1, reading.preambleRows)}` : "no preamble",
      reading.namesRow === null ? "no names" : `names in row ${reading.namesRow}`,
      reading.unitsRow === null ? null : `units in row ${reading.unitsRow}`,
      `data from row ${reading.firstRow}`,
    ];
    out.push(rows.filter((row) => row !== null).join(", "));
  } else out.push(`${format}, ${columns.length} column${columns.length === 1 ? "" : "s"}`);
  for (const { number, name, unit, role, why, holds } of columns) {
    const what =
      holds === "numbers" ? (unit === null ? "no unit" : unit === "" ? "1" : unit) : holds;
    const use = role === null ? "not used" : `${role} (${why})`;
    out.push(`column ${number}: ${name}, ${what}: ${use}`);
  }
  if (interval !== null) out.push(`sample interval ${interval.seconds} s (${interval.from})`);
  return [...out, ...reading.notes];
}

const rowsText = (from: number, to: number): string =>
  from === to ? `row ${from}` : `rows ${from} to ${to}`;
