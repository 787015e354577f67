import { COMMANDS, type CommandRow, type Completes } from "../options.ts";
import { wordsFor } from "./words.ts";

/** Text inside a single-quoted word of the script. */
const inQuotes = (text: string) => text.replaceAll("'", "'\\''");
/** Text inside brackets or between colons of a specification. */
const inSpec = (text: string) => inQuotes(text.replace(/[[\]:\\]/g, "\\$&"));

/** What offers a value: an action of a specification. */
function action(completes: Completes | undefined, choices?: readonly string[]): string {
  if (completes === "design") return '_files -g "*.reed.(yaml|yml|json)(-.)"';
  if (completes === "file") return "_files";
  if (completes === "folder") return "_files -/";
  const words = choices ?? wordsFor(completes) ?? [];
  if (words.length === 0) return " ";
  return `(${words.map((word) => word.replace(/[\s,():]/g, "\\$&")).join(" ")})`;
}

function commandCase(row: CommandRow): string {
  const options = row.options.map(({ flag, value, summary, repeatable, completes }) => {
    const takes = value === undefined ? "" : `:${value}:${inQuotes(action(completes))}`;
    return `'${repeatable === true ? "*" : ""}${flag}[${inSpec(summary)}]${takes}'`;
  });
  const specs = [...options, "'--help[show this help]'"];
  if (row.argument !== null) {
    const { name, required, completes, choices } = row.argument;
    specs.push(`'1:${required ? "" : ":"}${name}:${inQuotes(action(completes, choices))}'`);
  }
  if (row.rest !== undefined)
    specs.push(`'*:${row.rest.name}:${inQuotes(action(row.rest.completes, row.rest.choices))}'`);
  return `        ${row.name})\n          _arguments \\\n            ${specs.join(" \\\n            ")} ;;`;
}

/** Completion script for zsh, to be put into a folder of fpath as _reedlift. */
export function zshScript(): string {
  const commands = COMMANDS.map(({ name, summary }) => `        '${name}:${inSpec(summary)}'`);
  return `#compdef reedlift
# zsh completion for reedlift; made by: reedlift completion zsh

_reedlift() {
  local context state state_descr line
  typeset -A opt_args
  _arguments -C \\
    '--help[show this help]' \\
    '--version[show the version]' \\
    '1:command:->command' \\
    '*::rest:->rest'
  case $state in
    command)
      local -a commands
      commands=(
${commands.join("\n")}
      )
      _describe command commands ;;
    rest)
      case $line[1] in
${COMMANDS.map(commandCase).join("\n")}
      esac ;;
  esac
}

if [[ $funcstack[1] == _reedlift ]]; then _reedlift "$@"; else compdef _reedlift reedlift; fi
`;
}
