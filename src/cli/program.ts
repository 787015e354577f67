import { EXIT, type ExitCode, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Host } from "./host.ts";
import type { Look, Outcome } from "./outcome.ts";
import { parseCommandLine } from "./parse.ts";
import { type Trouble, trouble, troubleText } from "./trouble.ts";

/** What a command does; it prints nothing itself. */
export type Action = (
  argument: string | null,
  flags: Flags,
  look: Look,
  host: Host,
  /** What stands after the argument. */
  rest: readonly string[],
) => Outcome | Promise<Outcome>;

/** Each command with what it needs, loaded when it is called for. */
const ACTIONS: Readonly<Record<string, () => Promise<Action>>> = {
  check: async () => (await import("./checkCommand.ts")).checkCommand,
  pulse: async () => (await import("./pulseCommand.ts")).pulseCommand,
  rates: async () => (await import("./ratesCommand.ts")).ratesCommand,
  shape: async () => (await import("./shapeCommand.ts")).shapeCommand,
  reduce: async () => (await import("./reduceCommand.ts")).reduceCommand,
  calibrate: async () => (await import("./calibrateCommand.ts")).calibrateCommand,
  diagnose: async () => (await import("./diagnoseCommand.ts")).diagnoseCommand,
  "bench-sheet": async () => (await import("./benchSheetCommand.ts")).benchSheetCommand,
  schema: async () => (await import("./schemaCommand.ts")).schemaCommand,
  materials: async () => (await import("./tablesCommand.ts")).materialsCommand,
  gases: async () => (await import("./tablesCommand.ts")).gasesCommand,
  serve: async () => (await import("./serveCommand.ts")).serveCommand,
  completion: async () => (await import("./completionCommand.ts")).completionCommand,
};

/** Widest line of the sheet, and narrowest. */
const COLUMNS = { most: 100, least: 80 } as const;

/**
 * Runs one command line and returns its exit code. Never throws and never prints a stack: a fault of
 * the program is one line and exit 3.
 * @param actions stands in for the commands in a test
 */
export async function runCommandLine(
  words: readonly string[],
  host: Host,
  actions: Readonly<Record<string, () => Promise<Action>>> = ACTIONS,
): Promise<ExitCode> {
  // Known before the command line is read, so that a wrong one is answered in kind.
  const json = words.slice(0, words.indexOf("--") >>> 0).includes("--json");
  let ascii = words.includes("--ascii");
  let command: string | null = null;
  try {
    const asked = parseCommandLine(words, host.columns);
    if (asked.kind === "tell") {
      host.out(await withMore(asked.text, words, host.columns));
      return EXIT.met;
    }
    command = asked.command;
    const { flags } = asked;
    ascii = flags.ascii === true;
    const action = await (actions[command] as () => Promise<Action>)();
    const outcome = await action(asked.argument, flags, lookOf(flags, host), host, asked.rest);
    const { print, plain } = await printer(json, ascii);
    const quiet = flags.quiet === true;
    for (const item of outcome.troubles)
      if (!quiet || item.severity === "error") host.err(plain(troubleText(item)));
    if (!quiet) for (const note of outcome.notes) host.err(plain(`${note}\n`));
    host.out(print(command, outcome));
    await outcome.after?.();
    return outcome.code;
  } catch (error) {
    const stop = error instanceof Stop ? error : new Stop(EXIT.failed, fault(error));
    const { print, plain } = await printer(json, ascii);
    for (const item of stop.troubles) host.err(plain(troubleText(item)));
    if (json)
      host.out(
        print(command, {
          code: stop.code,
          result: null,
          text: () => "",
          troubles: stop.troubles,
          notes: [],
          provenance: stop.provenance,
        }),
      );
    return stop.code;
  }
}

/** What a command's help says that only its own tables know. */
async function withMore(
  text: string,
  words: readonly string[],
  columns: number | null,
): Promise<string> {
  if (words[0] !== "reduce") return text;
  const { reduceHelp } = await import("./reduceCommandHelp.ts");
  return reduceHelp(text, words, columns);
}

function lookOf(flags: Flags, host: Host): Look {
  const none = (name: string) => (host.env[name] ?? "") === "";
  const colour =
    host.terminal && flags.color !== false && none("NO_COLOR") && host.env.TERM !== "dumb";
  const columns = host.columns === null ? COLUMNS.most : host.columns;
  return {
    ascii: flags.ascii === true,
    colour,
    columns: Math.max(COLUMNS.least, Math.min(columns, COLUMNS.most)),
  };
}

interface Printer {
  print: (command: string | null, outcome: Outcome) => string;
  /** A text for stderr in the characters that are allowed. */
  plain: (text: string) => string;
}

async function printer(json: boolean, ascii: boolean): Promise<Printer> {
  const toAscii = ascii ? (await import("../report/text/style.ts")).toAscii : null;
  const plain = (text: string) => (toAscii === null ? text : toAscii(text));
  if (!json) return { plain, print: (_, { text }) => text() };
  const { envelope, envelopeText, jsonInAscii } = await import("./envelope.ts");
  return {
    plain,
    print: (command, { provenance, troubles, result }) => {
      const text = envelopeText(envelope(command, provenance, troubles, result));
      return ascii ? jsonInAscii(text) : text;
    },
  };
}

/** An unexpected error in one line, with what to do. */
function fault(error: unknown): Trouble {
  const what = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
  const line = what.split("\n")[0] as string;
  if (error instanceof RangeError)
    return trouble(
      "out-of-domain",
      `the computation left its domain: ${error.message.split("\n")[0]}`,
      {
        hint: "look for an extreme value in the design; if it is meant, report it as CONTRIBUTING.md says",
      },
    );
  return trouble("fault", `a fault of the program: ${line}`, {
    hint: "report it as CONTRIBUTING.md says, with the command line and the design file",
  });
}
