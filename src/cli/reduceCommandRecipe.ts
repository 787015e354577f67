import { basename, dirname } from "node:path";
import { type Recipe, readRecipe, recipeText } from "../bench/import/index.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Host } from "./host.ts";
import { described, readInput } from "./input.ts";
import { trouble } from "./trouble.ts";
import { writeFiles } from "./writeFile.ts";

/** A kept recipe; stops with 2 and everything that is wrong with it. */
export async function keptRecipe(path: string, host: Host) {
  const input = await readInput(path, host);
  const read = readRecipe(input.text);
  if (!read.ok)
    throw new Stop(
      EXIT.invalid,
      ...read.problems.map(({ line, key, found, allowed, message }) =>
        trouble("recipe", message, {
          file: input.name,
          path: key,
          line,
          column: line > 0 ? 1 : 0,
          found,
          allowed,
        }),
      ),
    );
  return { recipe: read.recipe, described: described(input) };
}

/** Writes what was taken for what; says where. */
export function writeRecipe(path: string, recipe: Recipe): string {
  writeFiles(dirname(path), [{ name: basename(path), text: recipeText(recipe) }]);
  return `Recipe in ${path}: reedlift reduce … --recipe ${path} reads the next file of this layout.`;
}
