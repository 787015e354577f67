import type { Recipe } from "./recipe.ts";
import type { Reading } from "./types.ts";

/** Why a recipe's layout is not that of the file; empty when it fits. */
export function misfit(recipe: Recipe, reading: Reading): string[] {
  const why: string[] = [];
  const format = reading.format === "text" ? "text" : "arrays";
  if (recipe.format !== undefined && recipe.format !== format)
    return [`it is for ${recipe.format}, this file is ${reading.format}`];
  const found = reading.columns.map((column) => column.name);
  const { columns, units } = recipe;
  if (columns !== undefined) {
    if (columns.length !== found.length)
      return [`it has ${columns.length} columns, this file ${found.length}`];
    columns.forEach((name, j) => {
      if (name !== found[j]) why.push(`column ${j + 1} is ${name} in it, here ${found[j]}`);
    });
  }
  units?.forEach((unit, j) => {
    const here = reading.columns[j]?.unit ?? "";
    if (unit !== here)
      why.push(`column ${j + 1} is in ${unit || "no unit"} in it, here in ${here || "no unit"}`);
  });
  return why;
}
