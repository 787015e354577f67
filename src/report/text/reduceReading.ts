import type { FileProblem, Reading, Recipe } from "../../bench/import/index.ts";

/** What was taken for what, in one line: layout, rows, each column that is used, what was left out. */
export function readingWords(
  reading: Reading,
  rows: number,
  passed: readonly FileProblem[],
  { roles = {} }: Recipe,
): string {
  const { format, delimiter, numbers, firstRow, columns, interval } = reading;
  const layout =
    format === "text"
      ? `${delimiter === "none" ? "one column" : delimiter === "space" ? "blanks" : delimiter} between cells, decimal ${numbers?.decimal}`
      : format;
  const from = firstRow === null ? "" : ` from line ${firstRow}`;
  const used = columns
    .filter(({ role }) => role !== null)
    .map(({ role, number, name, unit: stated }) => {
      const said = roles[role as string];
      const unit = said?.unit ?? stated;
      const corrected = [
        ...(unit === null || unit === undefined || unit === "" ? [] : [` in ${unit}`]),
        ...(said?.scale === undefined ? [] : [` times ${said.scale}`]),
        ...(said?.offset === undefined ? [] : [` plus ${said.offset}`]),
      ];
      return `${role}: column ${number} "${name}"${corrected.join("")}`;
    });
  return [
    `${layout}, ${rows} rows${from}`,
    ...used,
    ...(interval === null ? [] : [`sample interval ${interval.seconds} s (${interval.from})`]),
    ...passed.map(
      ({ message, count }) => `let pass: ${message}${count > 1 ? ` (${count} times)` : ""}`,
    ),
  ].join("; ");
}
