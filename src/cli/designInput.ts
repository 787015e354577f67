import { type ReadResult, readDesign } from "../design/readDesign.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Input } from "./input.ts";
import type { readTablesFile } from "./tablesFile.ts";
import { inFile, type Trouble } from "./trouble.ts";

/** What a result is made from: the inputs by name, size and hash. */
export type Provenance = Readonly<Record<string, unknown>>;

/** "first-valve" for "examples/first-valve.reed.yaml". */
function bareName(path: string): string {
  const name = path.split(/[\\/]/).pop() as string;
  return name.replace(/(\.reed)?\.(ya?ml|json)$/, "");
}

/** The stop with what is known of the inputs. */
export function stopped(stop: Stop, provenance: Provenance): Stop {
  stop.provenance = provenance;
  return stop;
}

/**
 * The design of an input, and the warnings of its reading.
 * @throws Stop (invalid) with every problem where the design is refused
 */
export function understoodDesign(
  input: Input,
  tables: Awaited<ReturnType<typeof readTablesFile>> | null,
  provenance: Provenance,
): { read: ReadResult & { ok: true }; troubles: Trouble[] } {
  const read = readDesign(input.text, {
    name: bareName(input.name),
    ...(tables === null ? {} : { tables: tables.tables }),
  });
  if (!read.ok)
    throw stopped(
      new Stop(EXIT.invalid, ...read.problems.map((problem) => inFile(input.name, problem))),
      provenance,
    );
  return { read, troubles: read.warnings.map((warning) => inFile(input.name, warning)) };
}
