import type { Role } from "../kind.ts";
import { problemOf } from "./faults.ts";
import { type FoundInterval, saidInterval } from "./interval.ts";
import type { Recipe } from "./recipe.ts";
import { cast, type OfferedColumn, whichUnit } from "./roles.ts";
import { type Scaling, scalingOf } from "./scaling.ts";
import type { FileProblem, IntervalReading, Question, Reading } from "./types.ts";

/** Columns to roles with their scaling, and where times come from. */
export interface Mapping {
  /** By role, in the order of the roles. */
  parts: readonly { role: Role; index: number; scaling: Scaling }[];
  why: ReadonlyMap<string, { index: number; why: string }>;
  /** Sample interval that stands in for a column of times, else null. */
  interval: IntervalReading | null;
  questions: readonly Question[];
  problems: readonly FileProblem[];
  notes: readonly string[];
}

export const TIME = "time";

export function mapped(
  roles: readonly Role[],
  reading: Reading,
  stated: readonly FoundInterval[],
  said: Recipe,
): Mapping {
  const questions: Question[] = [];
  const problems: FileProblem[] = [];
  const notes: string[] = [];
  const choice = (key: string, found: string, allowed: string) =>
    problems.push(problemOf("choice", 1, [], { says: `${key}: ${found}`, allowed }));
  for (const key of Object.keys(said.roles ?? {}))
    if (!roles.some((role) => role.key === key))
      choice(key, "no column of that name is asked for", roles.map((role) => role.key).join(", "));

  const offered: OfferedColumn[] = reading.columns.map(({ number, name, unit, holds }) => ({
    index: number - 1,
    name,
    unit,
    holds,
  }));
  const given = said.interval === undefined ? null : saidInterval(said.interval);
  if (said.interval !== undefined && given === null)
    choice("interval", `"${said.interval}"`, 'a time or a rate, as in "1 us" or "500 kHz"');
  const byInterval = given !== null && said.roles?.[TIME]?.column === undefined;
  const wanted = byInterval ? roles.filter((role) => role.key !== TIME) : roles;
  const found = cast(wanted, offered, said, byInterval || stated.length > 0);
  for (const { key, found: what, allowed } of found.wrong) choice(key, what, allowed);
  questions.push(...found.questions);

  const parts: { role: Role; index: number; scaling: Scaling }[] = [];
  for (const role of wanted) {
    const place = found.columns.get(role.key);
    if (place === undefined) continue;
    const column = offered[place.index] as OfferedColumn;
    const own = said.roles?.[role.key] ?? {};
    if (column.holds !== "numbers") {
      choice(
        `${role.key}.column`,
        `column ${place.index + 1} holds no numbers`,
        "a column of numbers",
      );
      continue;
    }
    const pure = role.kinds.every((kind) => kind === "ratio" || kind === "count");
    const unit = own.unit ?? column.unit ?? (pure ? "" : null);
    if (unit === null) {
      questions.push(whichUnit(role, column));
      continue;
    }
    const scaled = scalingOf(role.kinds, unit, own);
    if (scaled.ok) parts.push({ role, index: place.index, scaling: scaled.scaling });
    else choice(`${role.key}.${scaled.field}`, scaled.found, scaled.allowed);
  }

  const timeRole = roles.find((role) => role.key === TIME);
  let interval: IntervalReading | null = null;
  if (timeRole !== undefined && !found.columns.has(TIME) && said.roles?.[TIME] !== null) {
    if (given !== null) interval = { seconds: given, from: "said" };
    else if (!questions.some((question) => question.key === `${TIME}.column`))
      interval = fromPreamble(stated, questions);
    if (interval === null && timeRole.required && questions.length === 0)
      questions.push({
        key: "interval",
        text: "no column of times and no sample interval above the data",
        readings: [],
        open: true,
      });
  } else if (found.columns.has(TIME)) {
    const [first] = stated;
    if (first?.seconds != null)
      notes.push(`times come from their column, not from row ${first.row}`);
  }
  const all = reading.columns.length;
  const unused = all - new Set(parts.map((part) => part.index)).size;
  if (unused > 0) notes.push(`${unused} of ${all} columns not used`);
  return { parts, why: found.columns, interval, questions, problems, notes };
}

/** The interval of the lines above the data; several that differ, or one without unit, are asked about. */
function fromPreamble(
  stated: readonly FoundInterval[],
  questions: Question[],
): IntervalReading | null {
  const [first] = stated;
  if (first === undefined) return null;
  const known = stated.filter((one) => one.seconds !== null);
  const [seconds] = known.map((one) => one.seconds as number);
  const alike = known.every(
    (one) => Math.abs((one.seconds as number) / (seconds as number) - 1) < 1e-3,
  );
  if (seconds !== undefined && alike && known.length > 0) {
    const from = known[0] as FoundInterval;
    return { seconds, from: `row ${from.row}: ${from.line.slice(0, 60)}` };
  }
  const unitless = (one: FoundInterval) =>
    one.rate
      ? [`interval: ${one.bare} Hz`]
      : [`interval: ${one.bare} s`, `interval: ${one.bare} ms`, `interval: ${one.bare} us`];
  questions.push({
    key: "interval",
    text:
      known.length > 0
        ? `rows ${known.map((one) => one.row).join(" and ")} state different sample intervals`
        : `row ${first.row} states a sample ${first.rate ? "rate" : "interval"} that is not certain: "${first.line.slice(0, 60)}"`,
    readings: (known.length > 0 ? known : [first]).flatMap((one) =>
      one.seconds === null
        ? unitless(one).map((line) => ({ text: line.slice("interval: ".length), line }))
        : [
            {
              text: `row ${one.row}: ${one.line.slice(0, 60)}`,
              line: `interval: ${one.seconds} s`,
            },
          ],
    ),
    open: true,
  });
  return null;
}
