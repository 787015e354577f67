import type { Second } from "../units/aliases.ts";
import type { SwitchCommand, SwitchState } from "./shapingSwitch.ts";
import { MOST_POINTS } from "./waveform.ts";
import { cellsOf, contentLines, decimalMark, numberReader, type Row } from "./waveformCells.ts";
import {
  addUnitsRow,
  type Column,
  type ColumnRole,
  delimiterOf,
  headerCells,
  KIND_OF_ROLE,
  readHeader,
  unitSettled,
} from "./waveformHeader.ts";
import { noProblems, type Problems, type TextProblem } from "./waveformTextProblem.ts";

/** One edge of a timing generator. */
export interface TimingRow {
  channel: string;
  event: string;
  delay: Second;
  /** Standard uncertainty; null: not known. */
  uncertainty: Second | null;
}

/** What a text holds. */
export type DriveTable =
  | { form: "voltage"; times: Float64Array; voltages: Float64Array }
  | { form: "level"; times: Float64Array; levels: Float64Array }
  | { form: "edges"; commands: SwitchCommand[] }
  | { form: "timing"; rows: TimingRow[] };

export type DriveTextResult =
  | { ok: true; table: DriveTable }
  | { ok: false; problems: TextProblem[] };

const FORMS: readonly { form: DriveTable["form"]; roles: readonly ColumnRole[] }[] = [
  { form: "voltage", roles: ["time", "voltage"] },
  { form: "level", roles: ["time", "level"] },
  { form: "edges", roles: ["time", "state"] },
  { form: "timing", roles: ["channel", "event", "delay", "uncertainty"] },
];
const FORM_TEXT =
  "two columns, time and one of voltage, level, state; or channel, event, delay, uncertainty";

/** Longest text; a waveform of a million rows is far shorter. */
const MOST_CHARACTERS = 100_000_000;

/**
 * Reads a gate or waveform from text. The first row that is no comment (#, %, //) names the columns and
 * their units: `time_s,voltage_V`, `t [µs]; V`, `time_ms level`, `time_s,state` with high, low and off, or the table
 * of a timing generator, `channel,event,delay_s,uncertainty_s`; or names, and units in the row below. Columns are
 * parted by what the header uses: semicolon, tab, comma or spaces, in any order of columns; decimal marks are points,
 * or commas throughout. Times rise strictly.
 *
 * Nothing is guessed: a unit that is not stated, a comma that might part thousands, a level of 100 are refused
 * with both readings. All problems come together, each with its line; no number is read from a text with one.
 */
export function readDriveText(text: string): DriveTextResult {
  const problems = noProblems();
  const table = read(text, problems);
  const found = problems.list();
  return table === null || found.length > 0 ? { ok: false, problems: found } : { ok: true, table };
}

function read(text: string, problems: Problems): DriveTable | null {
  if (text.length > MOST_CHARACTERS) {
    problems.add(0, "the text is too long", `${text.length} characters`, `${MOST_CHARACTERS}`);
    return null;
  }
  const lines = contentLines(text);
  const header = lines.shift();
  if (header === undefined) {
    problems.add(0, "the text holds no header and no row", "", `a header: ${FORM_TEXT}`);
    return null;
  }
  const delimiter = delimiterOf(header.text);
  const columns = readHeader(headerCells(header.text, delimiter), header.line, problems);
  if (columns === null) return null;
  const form = formOf(columns);
  if (form === null) {
    problems.add(header.line, "the columns make no table known here", header.text, FORM_TEXT);
    return null;
  }
  if (lines.length > 0 && addUnitsRow(columns, cellsOf(lines[0]!.text, delimiter))) lines.shift();
  if (lines.length > MOST_POINTS) {
    problems.add(0, "the table is too long", `${lines.length} rows`, `at most ${MOST_POINTS} rows`);
    return null;
  }
  const least = form === "voltage" || form === "level" ? 2 : 1;
  if (lines.length < least)
    problems.add(
      header.line,
      "the table is too short",
      `${lines.length} rows`,
      `at least ${least}`,
    );
  const rows: Row[] = [];
  for (const { line, text: content } of lines) {
    const cells = cellsOf(content, delimiter);
    if (cells.length === columns.length) rows.push({ line, cells });
    else problems.add(line, wrongCount(cells, columns, delimiter), content, columnsText(columns));
  }
  return assemble(form, cellsUnder(columns, header.line, rows, problems), problems);
}

function wrongCount(
  cells: readonly string[],
  columns: readonly Column[],
  delimiter: string,
): string {
  const words = `${cells.length} columns where the header has ${columns.length}`;
  return delimiter === "," && cells.length > columns.length
    ? `${words}: a comma parts columns here; for decimal commas part columns by semicolons`
    : words;
}

const columnsText = (columns: readonly Column[]) =>
  `${columns.length} columns: ${columns.map(({ header }) => header).join(", ")}`;

function formOf(columns: readonly Column[]): DriveTable["form"] | null {
  const found = FORMS.find(
    ({ roles }) =>
      roles.length === columns.length &&
      roles.every((role) => columns.some((c) => c.role === role)),
  );
  return found?.form ?? null;
}

/** Columns of checked numbers or words. */
interface Cells {
  rows: readonly Row[];
  words(role: ColumnRole): string[];
  /** NaN where a cell holds no number (a problem says so), or is empty and may be. */
  numbers(role: ColumnRole, emptyAllowed?: boolean): Float64Array;
  unit(role: ColumnRole): string | null;
}

function cellsUnder(
  columns: readonly Column[],
  headerLine: number,
  rows: readonly Row[],
  problems: Problems,
): Cells {
  const place = (role: ColumnRole) => columns.findIndex((column) => column.role === role);
  const numeric = columns.flatMap(({ role }, i) =>
    role in KIND_OF_ROLE || role === "level" ? [i] : [],
  );
  const written = rows.flatMap(({ line, cells }) =>
    numeric.map((i) => ({ line, text: cells[i]! })),
  );
  const mark = decimalMark(written, problems);
  return {
    rows,
    words: (role) => {
      const at = place(role);
      return rows.map(({ cells }) => cells[at]!);
    },
    numbers: (role, emptyAllowed = false) => {
      const at = place(role);
      const column = columns[at]!;
      const sample = rows[rows.length - 1]?.cells[at] ?? "1";
      const values = new Float64Array(rows.length).fill(Number.NaN);
      if (!unitSettled(column, headerLine, sample, problems)) return values;
      const number = numberReader(KIND_OF_ROLE[role] ?? "ratio", column.unit ?? "", mark, problems);
      rows.forEach(({ line, cells }, i) => {
        const cell = cells[at]!;
        if (cell === "" && emptyAllowed) return;
        values[i] = number(cell, line, column.header) ?? Number.NaN;
      });
      return values;
    },
    unit: (role) => columns[place(role)]!.unit,
  };
}

function assemble(form: DriveTable["form"], cells: Cells, problems: Problems): DriveTable {
  if (form === "timing") return { form, rows: timingRows(cells, problems) };
  const times = cells.numbers("time");
  mustRise(times, cells, problems);
  if (form === "voltage") return { form, times, voltages: cells.numbers("voltage") };
  if (form === "level") return { form, times, levels: levelsOf(cells, problems) };
  const states = cells.words("state");
  const commands = states.map((word, i): SwitchCommand => {
    const state = word.toLowerCase();
    if (!isState(state))
      problems.add(cells.rows[i]!.line, "no switch state", word, "high, low or off");
    return { time: times[i]!, state: state as SwitchState };
  });
  return { form, commands };
}

function isState(word: string): word is SwitchState {
  return word === "high" || word === "low" || word === "off";
}

function mustRise(times: ArrayLike<Second>, cells: Cells, problems: Problems): void {
  for (let i = 1; i < times.length; i++) {
    if (!(times[i]! <= times[i - 1]!)) continue;
    const before = cells.rows[i - 1]!.line;
    problems.add(
      cells.rows[i]!.line,
      `the time does not rise above that of line ${before}`,
      `${times[i]} s after ${times[i - 1]} s`,
      "times that rise from row to row",
    );
  }
}

/** Shares; without a stated unit they must lie between 0 and 1, else they may be percent. */
function levelsOf(cells: Cells, problems: Problems): Float64Array {
  const levels = cells.numbers("level");
  if (cells.unit("level") !== null) return levels;
  const beyond = levels.findIndex((level) => level < 0 || level > 1);
  if (beyond >= 0) {
    const found = levels[beyond]!;
    problems.add(
      cells.rows[beyond]!.line,
      "a level outside 0 to 1 has two readings",
      String(found),
      `level_% if ${found} means ${found} % of the swing, level_1 if it means ${found} times the swing`,
    );
  }
  return levels;
}

function timingRows(cells: Cells, problems: Problems): TimingRow[] {
  const [channels, events] = [cells.words("channel"), cells.words("event")];
  const delays = cells.numbers("delay");
  const uncertainties = cells.numbers("uncertainty", true);
  return channels.map((channel, i) => {
    const { line } = cells.rows[i]!;
    for (const [what, word] of [
      ["channel", channel],
      ["event", events[i]!],
    ] as const)
      if (word === "") problems.add(line, `the ${what} has no name`, "", "a word");
    const u = uncertainties[i]!;
    if (u < 0)
      problems.add(line, "an uncertainty is not negative", `${u} s`, "0 s or more, or empty");
    return {
      channel,
      event: events[i]!,
      delay: delays[i]!,
      uncertainty: Number.isNaN(u) ? null : u,
    };
  });
}
