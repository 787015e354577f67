import { unitOfFigure } from "../report/figureUnits.ts";
import { EXIT_MEANINGS } from "./exit.ts";
import { argumentsOf, COMMANDS, type CommandRow } from "./options.ts";

const cell = (text: string) => text.replaceAll("|", "\\|");

/** The reference of the command line as Markdown, made from the table of commands. */
export function commandReference(): string {
  const lines = [
    "# The command line: every command and option",
    "",
    "Made from the table of commands (`src/cli/options.ts`); do not edit by hand.",
    "",
    "The result goes to standard output, everything else to standard error. Without a terminal, or with",
    "`NO_COLOR` set, there is no colour. No command overwrites a file without `--force`; a file is written",
    "under another name and then renamed, so that an interrupt leaves whole files or none.",
    "",
    "## Exit codes",
    "",
    "| code | meaning |",
    "|---|---|",
    ...EXIT_MEANINGS.map(([code, meaning]) => `| ${code} | ${cell(meaning)} |`),
    "",
    "## The object of `--json`",
    "",
    "One JSON object on standard output, also when the command fails:",
    "",
    "| key | content |",
    "|---|---|",
    "| `schema` | address of its shape: names the command and a version that grows when a key changes its meaning |",
    "| `version` | version of the program |",
    "| `provenance` | `program`, `revision`, `command`; for each input its name, bytes and SHA-256; the seed. No clock and no host: same input, same bytes |",
    "| `problems` | errors and warnings: `severity`, `code`, `message`, `file`, `path`, `line`, `column`, `found`, `allowed`, `hint` |",
    "| `result` | what the command found, SI; null when nothing was computed |",
    "",
    "Every number of `result` is finite. A figure that can't be computed is null; `reasons` says why, by",
    "its path. A figure `x` with a standard uncertainty has a sibling `u_x`. The figures of `check` are",
    "listed in [figures.md](figures.md).",
    "",
    ...COMMANDS.flatMap(commandSection),
  ];
  return `${lines.join("\n").trimEnd()}\n`;
}

function commandSection(row: CommandRow): string[] {
  const { name, about, options, examples } = row;
  const all = argumentsOf(row);
  const word = all
    .map((argument) => {
      const called = argument === row.rest ? `${argument.name}...` : argument.name;
      return argument.required ? ` <${called}>` : ` [${called}]`;
    })
    .join("");
  return [
    `## reedlift ${name}`,
    "",
    `\`reedlift ${name} [options]${word}\``,
    "",
    about,
    "",
    ...all.flatMap((argument) => [
      `\`${argument.name}\`: ${argument.summary}${argument.choices === undefined ? "" : `: ${argument.choices.join(", ")}`}.`,
      "",
    ]),
    "| option | default | meaning |",
    "|---|---|---|",
    ...options.map(({ flag, value, standard, summary }) => {
      const shown = value === undefined ? flag : `${flag} <${value}>`;
      return `| \`${shown}\` | ${standard ?? ""} | ${cell(summary)} |`;
    }),
    "",
    "```sh",
    ...examples.map(({ line, does }) => `${line}   # ${does}`),
    "```",
    "",
  ];
}

/**
 * The reference of the figures of `check` as Markdown.
 * @param paths every figure of a sheet; rows that bear the user's own names are gathered under `NAME`
 */
export function figureReference(paths: readonly string[]): string {
  const rows = new Map<string, string>();
  for (const path of paths) {
    const general = path
      .replace(/^(strip\.states|drive\.rails|drive\.rate_limits|lockout)\.[^.]+/, "$1.NAME")
      .replace(/^large_signal\.rows\.[^.]+/, "large_signal.rows.NAME")
      .replace(/^margins\.(.+)\.(value|margin)$/, "margins.NAME.$2")
      .replace(/\.\d+(?=\.|$)/g, ".N");
    const name = general.replace(/\.N$/, "").split(".").pop() as string;
    const inRow = /^(margins.*\.value|large_signal\.rows\..*)$/.test(general);
    rows.set(general, inRow ? "in the row's `unit`" : unitOfFigure(name).machine);
  }
  const lines = [
    "# The figures of `check`",
    "",
    "Made from the sheet of `examples/first-valve.reed.yaml`; do not edit by hand.",
    "",
    "These paths name figures for `--budget` and lead to them in `result` of `--json`. `NAME` stands for a",
    "row of a list that is found by its name (`strip.states.high`, `drive.rails.bias`, `margins.lift`), `N`",
    "for a place in a list, counted from 0. Each figure has its standard uncertainty beside it as `u_…`.",
    "",
    "| figure | SI unit |",
    "|---|---|",
    ...[...rows].map(([path, unit]) => `| \`${path}\` | ${cell(unit)} |`),
  ];
  return `${lines.join("\n")}\n`;
}
