import { type Recipe, recipeText } from "../../../bench/import/index.ts";
import { settingsNow, useBench } from "../../compute/bench.ts";
import { get } from "../../state.ts";

/** A word as a shell takes it. */
const quoted = (word: string) =>
  /^[\w.,:=+/-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`;

/** What was said of a file, one line of a recipe each. */
const saidLines = (choices: Recipe): string[] =>
  recipeText(choices)
    .split("\n")
    .filter((line) => line !== "" && !line.startsWith("import_recipe"));

/** The command line that gives the values on the page. */
export function benchCommand(more = ""): string {
  const state = useBench.getState();
  const { kind, files } = state;
  const [first] = files;
  if (kind === null) return "reedlift reduce --help";
  const design = get().draft?.name ?? null;
  const parts = [
    "reedlift reduce",
    kind,
    ...files.map(({ file }) => quoted(file.name)),
    ...(first?.by == null
      ? []
      : [`--recipe ${quoted(`${first.by.name ?? "recipe"}.recipe.yaml`)}`]),
    ...saidLines(first?.choices ?? {}).map((line) => `--read-as ${quoted(line)}`),
    ...settingsNow(state).map(({ key, text }) => `--set ${quoted(`${key}=${text}`)}`),
    ...(design === null ? [] : [`--design ${quoted(design)}`]),
    ...(more === "" ? [] : [more]),
  ];
  return parts.join(" ");
}
