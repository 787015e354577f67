import { type ArgumentRow, COMMANDS, type CommandRow, type Completes } from "../options.ts";
import { wordsFor } from "./words.ts";

/*
 * The script holds every word itself, so that no process starts while someone types. Names with
 * blanks ("soft ceramic") are offered escaped, or bare after an opening quote.
 */

const quote = (word: string) => `'${word.replaceAll("'", "'\\''")}'`;
const list = (words: readonly string[]) => words.map(quote).join(" ");

/** Shell code that offers what fits a value. */
function offer(completes: Completes | undefined, choices?: readonly string[]): string {
  if (completes === "design") return "_reedlift_designs";
  if (completes === "file") return "_reedlift_files";
  if (completes === "folder") return "_reedlift_folders";
  const words = choices ?? wordsFor(completes) ?? [];
  return words.length === 0 ? ":" : `_reedlift_words ${list(words)}`;
}

function argumentOf(argument: ArgumentRow | null): string {
  return argument === null ? ":" : offer(argument.completes, argument.choices);
}

/** The first argument, and what stands after it. */
function argumentCode({ argument, rest }: CommandRow): string {
  if (rest === undefined) return argumentOf(argument);
  return `if (( COMP_CWORD == 2 )); then ${argumentOf(argument)}; else ${argumentOf(rest)}; fi`;
}

function commandCase(row: CommandRow): string {
  const values = row.options
    .filter((option) => option.value !== undefined)
    .map((option) => `        ${option.flag}) ${offer(option.completes)}; return ;;`);
  const before = values.length === 0 ? [] : [`      case $before in`, ...values, "      esac"];
  const flags = [...row.options.map((option) => option.flag), "--help"];
  return [
    `    ${row.name})`,
    ...before,
    `      if [[ $now == -* ]]; then _reedlift_words ${list(flags)}`,
    `      else ${argumentCode(row)}; fi ;;`,
  ].join("\n");
}

/** Completion script for bash 4 or newer. */
export function bashScript(): string {
  const first = [...COMMANDS.map((row) => row.name), "--help", "--version"];
  return `# bash completion for reedlift; made by: reedlift completion bash

# Offers the words that begin with what stands there, escaped or within its quote.
_reedlift_words() {
  local word typed=$now quote=
  case $typed in
    \\'*|\\"*) quote=\${typed:0:1}; typed=\${typed:1} ;;
    *) typed=\${typed//\\\\/} ;;
  esac
  for word in "$@"; do
    [[ $word == "$typed"* ]] || continue
    if [[ -n $quote ]]; then COMPREPLY+=("$word")
    else COMPREPLY+=("$(printf '%q' "$word")"); fi
  done
}

_reedlift_folders() {
  compopt -o filenames 2>/dev/null
  mapfile -t COMPREPLY < <(compgen -d -- "$now")
}

_reedlift_files() {
  compopt -o filenames 2>/dev/null
  mapfile -t COMPREPLY < <(compgen -f -- "$now")
}

# Folders, and files that end in .reed.yaml, .reed.yml or .reed.json.
_reedlift_designs() {
  local path
  compopt -o filenames 2>/dev/null
  while IFS= read -r path; do
    [[ -d $path || $path == *.reed.yaml || $path == *.reed.yml || $path == *.reed.json ]] &&
      COMPREPLY+=("$path")
  done < <(compgen -f -- "$now")
}

_reedlift() {
  local now=\${COMP_WORDS[COMP_CWORD]} before=\${COMP_WORDS[COMP_CWORD-1]}
  COMPREPLY=()
  if (( COMP_CWORD == 1 )); then
    _reedlift_words ${list(first)}
    return
  fi
  case \${COMP_WORDS[1]} in
${COMMANDS.map(commandCase).join("\n")}
  esac
}

complete -F _reedlift reedlift
`;
}
