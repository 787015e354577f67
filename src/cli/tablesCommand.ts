import { nearest } from "../design/nearest.ts";
import type { UserTables } from "../design/userTables.ts";
import { tableText } from "../report/text/tableText.ts";
import { palette } from "./colour.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Host } from "./host.ts";
import { described } from "./input.ts";
import type { Look, Outcome } from "./outcome.ts";
import { type Entry, gasEntries, materialEntries, materialEntry } from "./tableEntries.ts";
import { readTablesFile } from "./tablesFile.ts";
import { type Trouble, trouble } from "./trouble.ts";

/** `reedlift materials`. */
export async function materialsCommand(
  name: string | null,
  flags: Flags,
  look: Look,
  host: Host,
): Promise<Outcome> {
  const find = (wanted: string, tables?: UserTables) => materialEntry(wanted, tables);
  return tableOutcome("material", materialEntries, find, name, flags, look, host);
}

/** `reedlift gases`. A gas may be asked for by symbol or by name. */
export async function gasesCommand(
  name: string | null,
  flags: Flags,
  look: Look,
  host: Host,
): Promise<Outcome> {
  const find = (wanted: string, tables?: UserTables) =>
    gasEntries(tables).find((entry) =>
      [entry.name, ...(entry.record.names as string[])].some((known) => same(known, wanted)),
    ) ?? null;
  return tableOutcome("gas", gasEntries, find, name, flags, look, host);
}

const same = (a: string, b: string) => a.toLowerCase() === b.toLowerCase();

async function tableOutcome(
  what: "material" | "gas",
  all: (tables?: UserTables) => Entry[],
  find: (name: string, tables?: UserTables) => Entry | null,
  name: string | null,
  flags: Flags,
  { ascii, colour, columns }: Look,
  host: Host,
): Promise<Outcome> {
  const file = flags.tables === undefined ? null : await readTablesFile(flags.tables, host);
  const known = all(file?.tables);
  const one = name === null ? null : find(name, file?.tables);
  if (name !== null && one === null) throw unknown(what, name, known);
  const entries = one === null ? known : [one];
  const builtInNames = new Set(all().map((entry) => entry.name));
  return {
    code: EXIT.met,
    result: Object.fromEntries(entries.map((entry) => [entry.name, entry.record])),
    text: () => tableText(entries, { ascii, columns, palette: palette(colour) }),
    troubles: known.flatMap((entry) =>
      entry.own && builtInNames.has(entry.name)
        ? [overrides(what, entry.name, file?.input.name ?? "")]
        : [],
    ),
    notes: [],
    provenance: { tables: file === null ? null : described(file.input) },
  };
}

function overrides(what: string, name: string, file: string): Trouble {
  return trouble("overrides", `${name} overrides the built-in ${what} of that name`, {
    severity: "warning",
    file,
    path: `${what === "gas" ? "gases" : "materials"}.${name}`,
  });
}

function unknown(what: string, name: string, known: readonly Entry[]): Stop {
  const names = known.map((entry) => entry.name);
  const aliases = known.flatMap((entry) => (entry.record.names as string[] | undefined) ?? []);
  const near = nearest(name, [...names, ...aliases]);
  return new Stop(
    EXIT.invalid,
    trouble(`unknown-${what}`, `there is no ${what} "${name}"`, {
      allowed: names.join(names.some((n) => n.includes(",")) ? "; " : ", "),
      hint: near === null ? "" : `did you mean "${near}"?`,
    }),
  );
}
