import { type ImportResult, readRecipe, startImport } from "../../../../src/bench/import/index.ts";
import { readUnit } from "../../../../src/units/index.ts";
import { toNumber } from "../../../../src/units/rational.ts";
import { ROLES } from "../read.ts";
import { Chance } from "./chance.ts";
import { type Made, made } from "./layout.ts";
import { mutate } from "./mutate.ts";
import { type OracleRow, oracleRows, shifted } from "./oracle.ts";

/** What came of one case: without answers, and with every answer and everything left out. */
export interface Judged {
  plain: ImportResult["outcome"];
  answered: ImportResult["outcome"];
  /** Null when all is well. */
  fault: string | null;
  bytes: Uint8Array;
  done: readonly string[];
}

/** Longest time that a file of some kilobytes may take, ms. */
const PATIENCE = 3000;

export function judge(seed: number, i: number): Judged {
  const chance = new Chance(seed, i);
  const file = made(chance);
  const before = JSON.stringify(file.lines.filter(({ kind }) => kind !== "data"));
  const done = mutate(file, chance);
  const intact = before === JSON.stringify(file.lines.filter(({ kind }) => kind !== "data"));
  const bytes = written(file);
  const rows = oracleRows(file);
  const started = performance.now();
  let [plain, answered]: ImportResult[] = [];
  let fault: string | null;
  try {
    plain = run(bytes, "use_as_is: [clipped, coarse]", chance);
    answered = run(bytes, answers(file), chance);
    fault = plainFault(plain, file, rows, intact, bytes) ?? answeredFault(answered, file, rows);
    if (performance.now() - started > PATIENCE) fault ??= "took too long";
  } catch (error) {
    fault = `crash: ${error instanceof Error ? error.stack : String(error)}`;
  }
  return {
    plain: plain?.outcome ?? "refused",
    answered: answered?.outcome ?? "refused",
    ...{ fault, bytes, done },
  };
}

function run(bytes: Uint8Array, lines: string, chance: Chance): ImportResult {
  const said = readRecipe(lines);
  if (!said.ok) throw new Error(`answers can't be read: ${JSON.stringify(said.problems)}`);
  const reading = startImport({ name: "f", roles: ROLES, choices: said.recipe });
  const step = chance.of([1, 3, 17, 64, 1000, 1 << 17]);
  for (let at = 0; at < bytes.length; at += step)
    if (reading.push(bytes.subarray(at, at + step)) === "enough") break;
  return reading.finish();
}

function written({ lines, lineEnd, encoding, ended }: Made): Uint8Array {
  const text =
    lines.map((line) => line.text).join(lineEnd) + (ended && lines.length > 0 ? lineEnd : "");
  if (encoding === "utf16le") return new Uint8Array(Buffer.from(`\ufeff${text}`, "utf16le"));
  if (encoding === "latin1") return new Uint8Array(Buffer.from(text, "latin1"));
  return new Uint8Array(Buffer.from((encoding === "bom" ? "\ufeff" : "") + text));
}

/** Every choice that the layout needs, so that nothing is left to ask. */
function answers(file: Made): string {
  const first = file.lines.findIndex(({ kind }) => kind === "data");
  const out = [
    `delimiter: ${file.delimiter}`,
    `decimal: ${file.decimal}`,
    `groups: ${file.groups}`,
  ];
  out.push(`first_row: ${Math.max(1, first + 1)}`, "names_row: 0", "units_row: 0");
  out.push("leave_out: [ragged, text, empty, not-finite, repeated-time, backward-time, cut-off]");
  out.push("use_as_is: [clipped, coarse]");
  file.columns.forEach(({ role, unit }, j) => {
    if (role !== null) out.push(`${role}.column: ${j + 1}`, `${role}.unit: ${unit || "1"}`);
  });
  if (!file.columns.some(({ role }) => role === "gate")) out.push("gate.column: none");
  if (file.interval !== null) out.push(`interval: ${file.interval} s`);
  return `${out.join("\n")}\n`;
}

/** Numbers that came without question must be those of the file; every row that is none must have been told. */
function plainFault(
  result: ImportResult,
  file: Made,
  rows: readonly OracleRow[],
  intact: boolean,
  bytes: Uint8Array,
): string | null {
  if (result.outcome !== "data") return null;
  const { reading, data } = result;
  const used = [...data.columns.keys()].filter(
    (role) => role !== "time" || reading.interval === null,
  );
  const places = used.map((role) => reading.columns.find((column) => column.role === role));
  const index = places.map((column) => (column?.number ?? 0) - 1);
  if (intact)
    for (const [k, role] of used.entries()) {
      const own = file.columns[index[k] as number];
      if (own?.role !== role || own.unit !== places[k]?.unit)
        return `${role} taken from column ${index[k]} in ${places[k]?.unit}`;
    }
  // Rows parted by tabs are also rows parted by blanks, where a blank at the end is nothing.
  if (reading.delimiter === "space" && file.delimiter === "tab")
    rows = oracleRows({ ...file, delimiter: "space" });
  // Words right above the first number belong to the heading, which the reading tells.
  const above = (row: OracleRow) =>
    row.line < (reading.firstRow ?? 0) && row.cells?.every((cell) => cell === null) !== false;
  rows = rows.filter((row) => !above(row));
  const bad = rows.find(({ cells }) => cells === null || index.some((j) => cells[j] === null));
  if (bad !== undefined) return `line ${bad.line} is no row, and was not told`;
  if (data.rows !== rows.length) return `${data.rows} rows, not ${rows.length}`;
  for (const [k, role] of used.entries()) {
    const values = data.columns.get(role) as Float64Array;
    const unit = readUnit(places[k]?.unit ?? "");
    const size = unit.ok ? toNumber(unit.unit.factor) : Number.NaN;
    const power = Math.round(Math.log10(size));
    for (const [i, { cells, line }] of rows.entries()) {
      const text = cells?.[index[k] as number] as string;
      const due =
        Math.abs(size / 10 ** power - 1) < 1e-9 ? shifted(text, power) : Number(text) * size;
      if (!same(values[i] as number, due))
        return `line ${line}, ${role}: ${values[i]} instead of ${due}`;
    }
  }
  const times = data.columns.get("time") as Float64Array;
  for (let i = 1; i < times.length; i++)
    if (!((times[i] as number) > (times[i - 1] as number))) return "times that do not increase";
  if (reading.interval !== null && intact && file.interval !== null)
    if (Math.abs(reading.interval.seconds / file.interval - 1) > 1e-12) return "another interval";
  const last = bytes.at(-1) === 0 ? bytes.at(-2) : bytes.at(-1);
  const open = last !== 10 && last !== 13 && rows.at(-1)?.line === file.lines.length;
  if (open && !reading.notes.some((note) => note.includes("no line end")))
    return "a last row without line end was used without a word";
  return null;
}

/** With all answers the rows that are whole must come out, and no others. */
function answeredFault(
  result: ImportResult,
  file: Made,
  rows: readonly OracleRow[],
): string | null {
  if (result.outcome !== "data") return null;
  const roles = file.columns.flatMap((column, j) =>
    column.role === null ? [] : [{ ...column, j }],
  );
  let due = rows.filter(({ cells }) => cells !== null && roles.every(({ j }) => cells[j] !== null));
  const time = roles.find(({ role }) => role === "time");
  if (time !== undefined) {
    let latest = Number.NEGATIVE_INFINITY;
    due = due.filter(({ cells }) => {
      const t = shifted(cells?.[time.j] as string, time.power);
      if (!(t > latest)) return false;
      latest = t;
      return true;
    });
  }
  const { data } = result;
  const cut = data.rows === due.length - 1 && due.at(-1)?.line === file.lines.length && !file.ended;
  // A single row that was cut short is used and said: nothing tells how long it was.
  const only = data.rows === 1 && due.length === 0 && rows.length === 1 && !file.ended;
  if (only && result.reading.notes.some((note) => note.includes("no line end"))) return null;
  // Most lines have another layout by now: the file is one of that.
  const whole = rows.filter(({ cells }) => cells?.some((cell) => cell !== null));
  if (2 * whole.length <= rows.length) return null;
  if (data.rows !== due.length && !cut) return `answered: ${data.rows} rows, not ${due.length}`;
  for (const { role, j, power } of roles) {
    const values = data.columns.get(role as string) as Float64Array;
    for (let i = 0; i < data.rows; i++) {
      const right = shifted(due[i]?.cells?.[j] as string, power);
      if (!same(values[i] as number, right))
        return `answered: line ${due[i]?.line}, ${role}: ${values[i]} instead of ${right}`;
    }
  }
  return null;
}

const same = (a: number, b: number) => a === b || Math.abs(a - b) <= 2.3e-16 * Math.abs(b);
