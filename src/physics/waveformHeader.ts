import { parseQuantity, type QuantityKind } from "../units/index.ts";
import { cellsOf, type Delimiter } from "./waveformCells.ts";
import type { Problems } from "./waveformTextProblem.ts";

/** What a column holds. */
export type ColumnRole =
  | "time"
  | "voltage"
  | "level"
  | "state"
  | "channel"
  | "event"
  | "delay"
  | "uncertainty";

export interface Column {
  role: ColumnRole;
  /** As the header spells it. */
  header: string;
  /** As the units know it; "" for shares and words, null where the header states none. */
  unit: string | null;
}

const NAMES: Readonly<Record<string, ColumnRole>> = {
  t: "time",
  time: "time",
  v: "voltage",
  u: "voltage",
  voltage: "voltage",
  level: "level",
  share: "level",
  state: "state",
  channel: "channel",
  event: "event",
  delay: "delay",
  uncertainty: "uncertainty",
};

/** Roles with a unit, and its kind. */
export const KIND_OF_ROLE: Readonly<Partial<Record<ColumnRole, QuantityKind>>> = {
  time: "time",
  delay: "time",
  uncertainty: "time",
  voltage: "voltage",
};

const ALLOWED =
  "time_s,voltage_V or time_s,level or time_s,state or channel,event,delay_s,uncertainty_s; units as in time_us, t [ms], voltage (kV)";

/** The mark that parts the columns of a header: ; before tab before comma before spaces. */
export function delimiterOf(header: string): Delimiter {
  if (header.includes(";")) return ";";
  if (header.includes("\t")) return "\t";
  return header.includes(",") ? "," : " ";
}

/** Cells of the header; spaces before a bracket, around a slash or "in" part no columns. */
export function headerCells(header: string, delimiter: Delimiter): string[] {
  if (delimiter !== " ") return cellsOf(header, delimiter);
  const joined = header
    .replace(/\s+(?=[[(])/g, "")
    .replace(/\s*\/\s*/g, "/")
    .replace(/\s+in\s+/g, "/");
  return cellsOf(joined, delimiter);
}

/** Columns of a header; null, with problems, when a name is not known. */
export function readHeader(
  cells: readonly string[],
  line: number,
  problems: Problems,
): Column[] | null {
  const found = cells.map(readColumn);
  if (found.every((column) => column === null)) {
    problems.add(line, "the first row is no header", cells.join(" "), ALLOWED);
    return null;
  }
  cells.forEach((header, i) => {
    if (found[i] === null)
      problems.add(line, "the header names no column known here", header, ALLOWED);
  });
  const columns = found.filter((column) => column !== null);
  if (columns.length !== cells.length) return null;
  const roles = columns.map(({ role }) => role);
  const twice = columns.find(({ role }, i) => roles.indexOf(role) !== i);
  if (twice) {
    problems.add(line, `two columns hold a ${twice.role}`, twice.header, ALLOWED);
    return null;
  }
  return columns;
}

/** "time_us", "t [µs]", "t (µs)", "t / µs", "t in µs", "t", or a unit alone ("V"). */
function readColumn(header: string): Column | null {
  const text = header.trim();
  const match =
    /^(.*?)\s*\[([^\]]*)\]$/.exec(text) ??
    /^(.*?)\s*\(([^)]*)\)$/.exec(text) ??
    /^(.*?\S)\s*\/\s*(\S+)$/.exec(text) ??
    /^(.*?\S)\s+in\s+(\S+)$/.exec(text) ??
    /^(.+)_([^_]+)$/.exec(text);
  // A unit alone before the names: "V" is volt, "v" a voltage whose unit is not said.
  if (!match)
    for (const role of ["time", "voltage"] as const)
      if (parseQuantity(`1 ${text}`, role).ok) return { role, header, unit: text };
  const role = roleNamed(match ? match[1]! : text);
  return role && { role, header, unit: match ? unitAsWritten(match[2]!) : null };
}

function roleNamed(name: string): ColumnRole | null {
  const key = name.trim().toLowerCase();
  return Object.hasOwn(NAMES, key) ? NAMES[key]! : null;
}

function unitAsWritten(text: string): string {
  const unit = text.trim();
  return unit === "1" || unit === "-" ? "" : unit;
}

/** A row of units below a row of names ("s,V"); false when it is no such row. */
export function addUnitsRow(columns: Column[], cells: readonly string[]): boolean {
  if (columns.some(({ unit }) => unit !== null) || cells.length !== columns.length) return false;
  if (cells.some((cell) => cell === "" || /^[+\-\u2212]?[.,]?\d/.test(cell))) return false;
  if (columns.some(({ role }) => role === "state" || role === "channel")) return false;
  columns.forEach((column, i) => {
    column.unit = unitAsWritten(cells[i]!);
  });
  return true;
}

/**
 * Whether a column's unit is settled; else a problem with both readings. `sample` is its last number as
 * written, to say what each reading makes of it.
 */
export function unitSettled(
  column: Column,
  line: number,
  sample: string,
  problems: Problems,
): boolean {
  const { role, header, unit } = column;
  const kind = KIND_OF_ROLE[role];
  if (kind === undefined) return wordUnit(column, line, problems);
  const voltage = kind === "voltage";
  if (unit === null || unit === "") {
    const [a, b] = voltage ? ["V", "kV"] : ["s", "us"];
    problems.add(
      line,
      "the column states no unit",
      header,
      `${role}_${a} if ${sample} means ${sample} ${a}, ${role}_${b} if it means ${sample} ${b}`,
    );
    return false;
  }
  if (unit.includes("\ufffd")) {
    problems.add(
      line,
      "a letter of the unit is lost: the file is not in UTF-8",
      header,
      voltage
        ? `${role}_V, ${role}_kV, ${role}_mV`
        : `${role}_us if it was µs, ${role}_ms if it was ms`,
    );
    return false;
  }
  if (!voltage && unit === "m") {
    problems.add(
      line,
      "m as a unit of time has two readings, and means metre",
      header,
      `${role}_ms for milliseconds, ${role}_min for minutes`,
    );
    return false;
  }
  if (voltage && unit === "MV") {
    problems.add(
      line,
      "MV is megavolt, which no strip bears; mV is millivolt",
      header,
      `${role}_mV if ${sample} means ${sample} mV, ${role}_V with the numbers in volt`,
    );
    return false;
  }
  const result = parseQuantity(`1 ${unit}`, kind);
  if (result.ok) return true;
  const { message, hint, allowed } = result.problem;
  problems.add(line, message, header, hint ?? allowed);
  return false;
}

/** Levels are shares, or percent; states, channels and events are words. */
function wordUnit(column: Column, line: number, problems: Problems): boolean {
  const { role, header, unit } = column;
  if (unit === null || unit === "") return true;
  if (role === "level" && unit === "%") return true;
  problems.add(
    line,
    role === "level" ? `a level is a share of the swing, not in ${unit}` : `a ${role} has no unit`,
    header,
    role === "level" ? "level (0 closed, 1 open) or level_%" : role,
  );
  return false;
}
