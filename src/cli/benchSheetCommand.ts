import { existsSync, statSync } from "node:fs";
import { basename, dirname } from "node:path";
import { benchSheet, benchSheetPage } from "../report/benchSheet/benchSheet.ts";
import { checkDesign } from "../sheet/check.ts";
import { parseQuantity } from "../units/index.ts";
import { type Provenance, stopped, understoodDesign } from "./designInput.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Host } from "./host.ts";
import { described, readInput } from "./input.ts";
import type { Look, Outcome } from "./outcome.ts";
import { readTablesFile } from "./tablesFile.ts";
import { trouble } from "./trouble.ts";
import { VERSION } from "./version.ts";
import { checkFolder, writeFiles } from "./writeFile.ts";

/** `reedlift bench-sheet`: a page to print for the bench. */
export async function benchSheetCommand(
  argument: string | null,
  flags: Flags,
  look: Look,
  host: Host,
): Promise<Outcome> {
  const resolution = lengthOf("--resolution", flags.resolution ?? "1 µm");
  const reading = lengthOf("--reading", flags.reading ?? "0.2 mm");
  if (argument === "-" && flags.tables === "-")
    throw new Stop(
      EXIT.invalid,
      trouble("usage", "design and tables can't both come from standard input", { found: "-" }),
    );
  if (flags.html !== undefined) checkFile(flags.html, flags.force === true);
  const tables = flags.tables === undefined ? null : await readTablesFile(flags.tables, host);
  const input = await readInput(argument as string, host);
  const provenance: Provenance = {
    design: described(input),
    tables: tables === null ? null : described(tables.input),
  };
  const { read, troubles } = understoodDesign(input, tables, provenance);
  const { result } = checkDesign(read.design, { waysOut: false });
  const options = {
    resolution,
    reading,
    file: input.name === "-" ? "valve.reed.yaml" : input.name,
    origin: `reedlift ${VERSION}, ${input.name}, sha256 ${input.sha256.slice(0, 12)}; remade by: reedlift bench-sheet ${input.name}`,
  };
  const page = benchSheetPage(read.design, result, options);
  const notes: string[] = [];
  if (flags.html !== undefined) {
    try {
      writeFiles(dirname(flags.html), [{ name: basename(flags.html), text: page }]);
    } catch (error) {
      throw error instanceof Stop ? stopped(error, provenance) : error;
    }
    notes.push(`Bench sheet in ${flags.html}: open it in a browser and print it, at 100 %.`);
  }
  return {
    code: EXIT.met,
    result: benchSheet(read.design, result, options),
    text: () => (flags.html !== undefined ? "" : look.ascii ? entities(page) : page),
    troubles,
    notes,
    provenance,
  };
}

/** HTML in ASCII alone: other characters as numbers. */
const entities = (page: string) =>
  page.replace(/[\u0080-\u{10ffff}]/gu, (c) => `&#${c.codePointAt(0) as number};`);

function lengthOf(flag: string, text: string): number {
  const read = parseQuantity(text, "length");
  if (read.ok && read.quantity.value > 0) return read.quantity.value;
  throw new Stop(
    EXIT.invalid,
    trouble("option", `${flag} is not a length above 0`, {
      found: text,
      allowed: 'a length with its unit, such as "1 µm"',
    }),
  );
}

function checkFile(path: string, force: boolean): void {
  if (path === "-" || (existsSync(path) && statSync(path).isDirectory()))
    throw new Stop(
      EXIT.invalid,
      trouble("not-a-file", "the page needs the name of a file", {
        file: path,
        allowed: "a new name; without --html it comes on stdout",
      }),
    );
  checkFolder(dirname(path), [basename(path)], force);
}
