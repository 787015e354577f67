import { Command, CommanderError, InvalidArgumentError, Option } from "commander";
import { EXIT, EXIT_MEANINGS, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import { argumentsOf, COMMANDS, type CommandRow, type OptionRow } from "./options.ts";
import { trouble } from "./trouble.ts";
import { VERSION } from "./version.ts";

/** What a command line asks for. */
export type Asked =
  | { kind: "run"; command: string; argument: string | null; rest: readonly string[]; flags: Flags }
  /** Help or version: text for stdout. */
  | { kind: "tell"; text: string };

const ABOUT =
  "From what an experiment needs to a sized, wired, checked piezo bending strip for a pulsed gas valve.";

/** Columns of the help when it is not shown on a terminal. */
const HELP_COLUMNS = 90;

/**
 * Reads a command line.
 * @throws Stop with exit code 2 and what is wrong, with the nearest known word where there is one
 */
export function parseCommandLine(words: readonly string[], columns: number | null = null): Asked {
  let asked: Asked | null = null;
  let told = "";
  const width = Math.max(60, Math.min(columns ?? HELP_COLUMNS, HELP_COLUMNS));
  const shared = (command: Command) =>
    command
      .helpOption("-h, --help", "show this help")
      .configureOutput({
        writeOut: (text) => {
          told += text;
        },
        writeErr: () => undefined,
        getOutHelpWidth: () => width,
      })
      .exitOverride();
  const program = shared(new Command("reedlift"))
    .description(ABOUT)
    .version(VERSION, "--version", "show the version")
    .helpCommand(false)
    .addHelpText("after", programFooter());
  for (const row of COMMANDS) {
    const command = shared(commandOf(row)).addHelpText("after", examplesText(row));
    command.action((...given: unknown[]) => {
      const argument = row.argument === null ? undefined : given[0];
      const before = (row.argument === null ? 0 : 1) + (row.rest === undefined ? 0 : 1);
      const rest = row.rest === undefined ? [] : (given[before - 1] as string[]);
      const flags = given[before] as Flags;
      asked = {
        kind: "run",
        command: row.name,
        argument: (argument as string) ?? null,
        rest,
        flags,
      };
    });
    program.addCommand(command);
  }
  if (words.length === 0)
    throw new Stop(
      EXIT.invalid,
      trouble("usage", "no command is given", { allowed: names(), hint: "reedlift --help" }),
    );
  try {
    program.parse([...words], { from: "user" });
  } catch (error) {
    if (!(error instanceof CommanderError)) throw error;
    if (error.exitCode === 0) return { kind: "tell", text: told };
    throw usageStop(error, words);
  }
  return asked ?? { kind: "tell", text: told };
}

const names = () => COMMANDS.map((row) => row.name).join(", ");

function commandOf(row: CommandRow): Command {
  const command = new Command(row.name).summary(row.summary).description(row.about);
  for (const argument of argumentsOf(row)) {
    const { name, required, summary, choices } = argument;
    const many = argument === row.rest ? `${name}...` : name;
    const made = command.createArgument(required ? `<${many}>` : `[${many}]`, summary);
    if (choices !== undefined) made.choices(choices);
    command.addArgument(made);
  }
  for (const option of row.options) command.addOption(optionOf(option));
  return command;
}

function optionOf(row: OptionRow): Option {
  const standard = row.standard === undefined ? "" : ` (default: ${row.standard})`;
  const made = new Option(
    row.value === undefined ? row.flag : `${row.flag} <${row.value}>`,
    row.summary + standard,
  );
  const { most } = row;
  if (row.repeatable === true)
    made.argParser((word: string, before?: string[]) => [...(before ?? []), word]);
  if (most !== undefined)
    made.argParser((word: string) => {
      if (!/^\d+$/.test(word) || Number(word) > most)
        throw new InvalidArgumentError(`a whole number from 0 to ${most} is due.`);
      return Number(word);
    });
  return made;
}

function programFooter(): string {
  const codes = EXIT_MEANINGS.map(([code, meaning]) => `  ${String(code).padStart(3)}  ${meaning}`);
  const lines = [
    "",
    "Example:",
    "  reedlift check examples/first-valve.reed.yaml",
    "",
    "stdout carries the result, stderr everything else. Exit codes:",
    ...codes,
  ];
  return lines.join("\n");
}

function examplesText(row: CommandRow): string {
  const lines = row.examples.flatMap(({ line, does }) => [`  ${line}`, `      ${does}`]);
  return ["", "Examples:", ...lines].join("\n");
}

/** A refusal in the words of the other problems. */
function usageStop(error: CommanderError, words: readonly string[]): Stop {
  const [first = "", ...rest] = error.message.replace(/^error: /, "").split("\n");
  const near = /\(Did you mean (.*)\?\)/.exec(rest.join(" "))?.[1];
  const command = COMMANDS.find((row) => words.includes(row.name));
  const help = command === undefined ? "reedlift --help" : `reedlift ${command.name} --help`;
  const allowed = error.code === "commander.unknownCommand" ? names() : "";
  return new Stop(
    EXIT.invalid,
    trouble("usage", first.replace(/\.$/, ""), {
      allowed,
      hint: near === undefined ? help : `did you mean ${near}?`,
    }),
  );
}
