import type { FileProblem, Question } from "../bench/import/index.ts";
import { type Trouble, trouble } from "./trouble.ts";

/** What has several readings, each with the option that says it. */
export function asked(file: string, questions: readonly Question[]): Trouble[] {
  return questions.map(({ key, text, readings, open }) =>
    trouble("two-readings", `${key}: ${text}`, {
      file,
      allowed: readings.map(({ text: means, line }) => `${option(line)}   ${means}`).join("\n"),
      hint: open ? "or another answer of your own" : "",
    }),
  );
}

/** The option of the command line that says a line of a recipe. */
function option(line: string): string {
  const list = /^(leave_out|use_as_is): \[?(.*?)\]?$/.exec(line);
  if (list !== null) return `--${(list[1] as string).replaceAll("_", "-")} ${list[2]}`;
  const role = /^([a-z][\w-]*)\.(column|unit|scale|offset): (.*)$/.exec(line);
  if (role !== null) {
    const value = `${role[1]}=${(role[3] as string).replace(/^"(.*)"$/, "$1")}`;
    return `--${role[2]} ${/^[\w=./+-]+$/.test(value) ? value : `'${value}'`}`;
  }
  return `--read-as '${line}'`;
}

/** What is broken, with its rows and the option that lets the rest be used. */
export function refused(file: string, problems: readonly FileProblem[]): Trouble[] {
  return problems.map(({ fault, message, allowed, count, places, line }) => {
    const first = places[0];
    const rows = places.map(({ row, found }) => (found === "" ? `${row}` : `${row}: ${found}`));
    const more = count > places.length ? ` and ${count - places.length} more` : "";
    return trouble(fault, message, {
      file,
      line: first?.row ?? 0,
      column: first === undefined || first.row === 0 ? 0 : Math.max(1, first.column),
      found: places.length > 1 ? `rows ${rows.join(", ")}${more}` : (first?.found ?? ""),
      allowed,
      hint: line === null ? "" : `${option(line)} uses the rest`,
    });
  });
}
