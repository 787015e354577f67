import { COMMANDS, type CommandRow, type Completes } from "../options.ts";
import { wordsFor } from "./words.ts";

const quote = (text: string) => `'${text.replace(/[\\']/g, "\\$&")}'`;

/** Words after `complete` that offer what fits a value. */
function offer(completes: Completes | undefined, choices?: readonly string[]): string {
  if (completes === "design") return "-a '(__reedlift_designs)'";
  if (completes === "file") return "-F";
  if (completes === "folder") return "-a '(__fish_complete_directories)'";
  const words = choices ?? wordsFor(completes) ?? [];
  // A list for fish: its own quoting inside the quoted argument.
  return words.length === 0 ? "" : `-a ${quote(words.map(quote).join(" "))}`;
}

function commandLines(row: CommandRow): string[] {
  const here = `complete -c reedlift -n '__fish_seen_subcommand_from ${row.name}'`;
  const lines = row.options.map(({ flag, value, summary, completes }) => {
    const takes = value === undefined ? "" : ` -r ${offer(completes)}`;
    return `${here} -l ${flag.slice(2)} -d ${quote(summary)}${takes}`.trimEnd();
  });
  lines.push(`${here} -l help -d 'show this help'`);
  if (row.argument !== null)
    lines.push(`${here} ${offer(row.argument.completes, row.argument.choices)}`);
  if (row.rest !== undefined) lines.push(`${here} ${offer(row.rest.completes, row.rest.choices)}`);
  return lines;
}

/** Completion script for fish. */
export function fishScript(): string {
  const lines = [
    "# fish completion for reedlift; made by: reedlift completion fish",
    "",
    "# Folders, and files that end in .reed.yaml, .reed.yml or .reed.json.",
    "function __reedlift_designs",
    "    __fish_complete_path (commandline -ct) |",
    "        string match -r '^[^\\t]*(?:/|\\.reed\\.(?:yaml|yml|json))(?:\\t.*)?$'",
    "end",
    "",
    "complete -c reedlift -f",
    "complete -c reedlift -n __fish_use_subcommand -l help -d 'show this help'",
    "complete -c reedlift -n __fish_use_subcommand -l version -d 'show the version'",
    ...COMMANDS.map(
      ({ name, summary }) =>
        `complete -c reedlift -n __fish_use_subcommand -a ${name} -d ${quote(summary)}`,
    ),
    ...COMMANDS.flatMap(commandLines),
  ];
  return `${lines.join("\n")}\n`;
}
