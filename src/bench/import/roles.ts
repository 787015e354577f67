import {
  dimensionOf,
  displayUnit,
  kindSpec,
  type QuantityKind,
  readUnit,
  sameDimension,
  siUnit,
  unitNamed,
} from "../../units/index.ts";
import type { Role } from "../kind.ts";
import type { Recipe } from "./recipe.ts";
import type { Question } from "./types.ts";

/** A column that could play a role. */
export interface OfferedColumn {
  /** Index from 0. */
  index: number;
  name: string;
  unit: string | null;
  holds: "numbers" | "text" | "nothing";
}

/** Which column plays which role, by key. */
export interface Cast {
  columns: ReadonlyMap<string, { index: number; why: string }>;
  questions: readonly Question[];
  /** Choices that no column answers. */
  wrong: readonly { key: string; found: string; allowed: string }[];
}

/** The kind of a role that a unit is of, null when it is of none. */
export function kindOfUnit(kinds: readonly QuantityKind[], unit: string): QuantityKind | null {
  const read = readUnit(unit);
  if (!read.ok || read.unit.standardFlow) return null;
  for (const kind of kinds) {
    const foreign = kindSpec(kind).without?.some((base) => read.unit.bases.includes(base)) ?? false;
    if (foreign || !sameDimension(read.unit.dimension, dimensionOf(kind))) continue;
    if (read.unit.text === "°C" && kind !== "temperature") continue;
    if (read.unit.gaugeOf !== null && kind !== "pressure") continue;
    return kind;
  }
  return null;
}

/**
 * Proposes a column for each role: the one the recipe names; else the one whose name holds the likeliest of the
 * role's words; else the only one left in a fitting unit. Where two would do, it is asked.
 */
export function cast(
  roles: readonly Role[],
  columns: readonly OfferedColumn[],
  said: Recipe,
  /** Whether an interval stands in for a column of times. */
  spaced: boolean,
): Cast {
  const found = new Map<string, { index: number; why: string }>();
  const questions: Question[] = [];
  const wrong: { key: string; found: string; allowed: string }[] = [];
  const taken = new Set<number>();
  const take = (role: Role, index: number, why: string) => {
    found.set(role.key, { index, why });
    taken.add(index);
  };
  const open: Role[] = [];
  for (const role of roles) {
    const given = said.roles?.[role.key];
    if (given === null) continue;
    if (given?.column === undefined) {
      open.push(role);
      continue;
    }
    const matching = columnsNamed(columns, given.column);
    const [only] = matching;
    if (only === undefined || matching.length > 1)
      wrong.push({
        key: `${role.key}.column`,
        found:
          only === undefined
            ? `no column ${given.column}`
            : `${matching.length} columns ${given.column}`,
        allowed: columnList(columns),
      });
    else take(role, only.index, "chosen");
  }
  // A column that fits one role by its name is not offered to another by its unit.
  const byWord: { role: Role; hits: OfferedColumn[]; word: string }[] = [];
  const rest: Role[] = [];
  for (const role of open) {
    const hit = wordHit(role, columns, taken, said);
    if (hit === null) rest.push(role);
    else byWord.push({ role, ...hit });
  }
  for (const { role, hits, word } of byWord) {
    const free = hits.filter((column) => !taken.has(column.index));
    const [only] = free;
    if (only !== undefined && free.length === 1) take(role, only.index, `named "${word}"`);
    else if (free.length > 1) questions.push(whichColumn(role, free));
    else rest.push(role);
  }
  for (const role of rest) {
    const free = columns.filter((c) => c.holds === "numbers" && !taken.has(c.index));
    const fitting = free.filter(
      (c) => c.unit !== null && kindOfUnit(role.kinds, unitOf(role, c, said)) !== null,
    );
    const unnamed = free.filter((c) => c.unit === null);
    if (!role.required) continue;
    const [only] = fitting;
    if (only !== undefined && fitting.length === 1 && unnamed.length === 0)
      take(role, only.index, `the only column left in a unit of ${role.kinds.join(" or ")}`);
    else if (role.key === "time" && spaced && fitting.length === 0) continue;
    else questions.push(whichColumn(role, fitting.length > 0 ? [...fitting, ...unnamed] : unnamed));
  }
  return { columns: found, questions, wrong };
}

const unitOf = (role: Role, column: OfferedColumn, said: Recipe): string =>
  said.roles?.[role.key]?.unit ?? (column.unit as string);

function columnsNamed(columns: readonly OfferedColumn[], wanted: string | number): OfferedColumn[] {
  if (typeof wanted === "number") return columns.filter((column) => column.index === wanted - 1);
  const exact = columns.filter((column) => column.name === wanted);
  if (exact.length > 0) return exact;
  const near = columns.filter((column) => column.name.toLowerCase() === wanted.toLowerCase());
  if (near.length > 0) return near;
  return /^\d+$/.test(wanted) ? columns.filter((c) => c.index === Number(wanted) - 1) : [];
}

const columnList = (columns: readonly OfferedColumn[]): string =>
  `a name or a number: ${columns.map((c) => `${c.index + 1} ${c.name}`).join(", ")}`;

/** Columns whose name holds a word of the role, for the likeliest word that any holds. */
function wordHit(
  role: Role,
  columns: readonly OfferedColumn[],
  taken: ReadonlySet<number>,
  said: Recipe,
): { hits: OfferedColumn[]; word: string } | null {
  const free = columns.filter((column) => {
    if (column.holds !== "numbers" || taken.has(column.index)) return false;
    const scaled = said.roles?.[role.key]?.scale !== undefined;
    return scaled || column.unit === null || kindOfUnit(role.kinds, column.unit) !== null;
  });
  for (const word of [role.key, ...role.words]) {
    const equal = free.filter((column) => column.name.toLowerCase() === word);
    if (equal.length > 0) return { hits: equal, word };
    const holding = free.filter((column) => holdsWord(column.name.toLowerCase(), word));
    if (holding.length > 0) return { hits: holding, word };
  }
  return null;
}

/** A word of the name begins like this; one or two letters must be the whole word: "ch1 gate", "closing", "time_s". */
function holdsWord(name: string, word: string): boolean {
  if (word.length < 3) return name.split(/[^\p{L}\p{N}]+/u).includes(word);
  for (let at = name.indexOf(word); at >= 0; at = name.indexOf(word, at + 1))
    if (!/\p{L}/u.test(name[at - 1] ?? " ")) return true;
  return false;
}

function whichColumn(role: Role, columns: readonly OfferedColumn[]): Question {
  return {
    key: `${role.key}.column`,
    text:
      columns.length === 0
        ? `no column fits ${role.key} (${role.summary}; ${role.kinds.join(" or ")})`
        : `which column is ${role.key} (${role.summary}; ${role.kinds.join(" or ")})?`,
    readings: columns.map(({ index, name, unit }) => ({
      text: `column ${index + 1}, ${name}${unit === null ? "" : ` in ${unit || "1"}`}`,
      line: `${role.key}.column: ${index + 1}`,
    })),
    open: columns.length === 0,
  };
}

/** Asks for the unit of a column that states none. */
export function whichUnit(role: Role, column: OfferedColumn): Question {
  const units = [
    ...new Set(role.kinds.flatMap((kind) => [siUnit(kind) || "1", displayUnit(kind) || "1"])),
  ];
  return {
    key: `${role.key}.unit`,
    text: `column ${column.index + 1}, ${column.name}, states no unit; it is taken for ${role.key} (${role.kinds.join(" or ")})`,
    readings: units.map((unit) => ({
      text: unit === "1" ? "pure numbers" : `numbers in ${unit}`,
      line: `${role.key}.unit: ${unit === "1" ? unit : unitNamed(unit).ascii}`,
    })),
    open: true,
  };
}
