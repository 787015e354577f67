import { readTables, type UserTables } from "../design/userTables.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Host } from "./host.ts";
import { described, type Input, readInput } from "./input.ts";
import { inFile } from "./trouble.ts";

/** A file of the user's own tables, checked; Stop with 2 and every problem when it is not usable. */
export async function readTablesFile(
  path: string,
  host: Host,
): Promise<{ input: Input; tables: UserTables }> {
  const input = await readInput(path, host);
  const read = readTables(input.text);
  if (read.ok) return { input, tables: read.tables };
  const stop = new Stop(
    EXIT.invalid,
    ...read.problems.map((problem) => inFile(input.name, problem)),
  );
  stop.provenance = { tables: described(input) };
  throw stop;
}
