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
 * Arrays: `importTable({ name, roles }, npyTable(bytes))`, or `npzTable(bytes)`; a room that may wait reads Parquet
 * (cli, page) and gathers what it holds with `gatherParquet`. A FormatProblem becomes a refusal by `refusedArrays`.
 */
import { TextImport } from "./textImport.ts";
import type { ImportOptions } from "./types.ts";

export { type ArrayFormat, arrayFormat, arraysOf, refusedArrays } from "./arrayFormat.ts";
export { FormatProblem } from "./formatProblem.ts";
export { npyTable } from "./npy.ts";
export { npzTable } from "./npz.ts";
export { gatherParquet, PARQUET_COMPRESSORS, parquetProblem, parquetTable } from "./parquet.ts";
export { readingText } from "./readingText.ts";
export type { Recipe, RoleRecipe } from "./recipe.ts";
export { merged } from "./recipe.ts";
export { readRecipe, recipeText } from "./recipeText.ts";
export { type ArrayTable, importTable } from "./table.ts";
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
