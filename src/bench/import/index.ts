/*
 * Files of measurements to columns of SI numbers. Nothing is guessed: what can be read in two ways is asked, what is
 * broken is refused with its rows until the user says what to leave out.
 *
 *   const reading = startImport({ name: "step.csv", roles: kind.roles });       // text
 *   for (const chunk of chunks) {                                               // Uint8Array, any size, in order
 *     if (reading.push(chunk) === "enough") break;                              // the answer is already settled
 *     progress(reading.rows);
 *   }
 *   const result = reading.finish();
 *   if (result.outcome === "data") kind.reduce([result.data], settings, design);
 *   if (result.outcome === "ask") …     each question has its readings, each with the line of a recipe that says so
 *   if (result.outcome === "refused") … each problem has its rows and the line that lets the rest be used
 *
 * Such lines are answers: `const said = readRecipe(lines.join("\n"))`, then `startImport({ …, choices: said.recipe })`.
 * `result.recipe` written by `recipeText` is a kept recipe: `startImport({ …, recipe })` applies it, or says why the
 * file's layout is another one. `readingText(result.reading)` is what was taken for what, in lines for a person.
 *
 * Arrays: `importTable({ name, roles }, npyTable(bytes))`, or `npzTable(bytes)`; the room that may wait reads Parquet
 * (src/cli/dataInputArrays.ts) and hands what it holds to `parquetTable`. A FormatProblem becomes a refusal by
 * `unreadableArrays`.
 */
import { TextImport } from "./textImport.ts";
import type { ImportOptions } from "./types.ts";

export { FormatProblem } from "./formatProblem.ts";
export { isNpy, npyTable } from "./npy.ts";
export { isZip, npzTable } from "./npz.ts";
export { parquetTable } from "./parquet.ts";
export { readingText } from "./readingText.ts";
export type { Recipe, RoleRecipe } from "./recipe.ts";
export { merged } from "./recipe.ts";
export { readRecipe, recipeText } from "./recipeText.ts";
export { type ArrayTable, importTable, unreadableArrays } from "./table.ts";
export type { TextImport } from "./textImport.ts";
export type {
  FileProblem,
  ImportOptions,
  ImportResult,
  Question,
  Reading,
} from "./types.ts";

/** A text table that is pushed in chunks of bytes; see the head of this file. */
export const startImport = (options: ImportOptions): TextImport => new TextImport(options);
