import type { Recipe } from "../../bench/import/recipe.ts";

/*
 * Import recipes under names, in this browser's own store, by the measurement that they were made for. They leave it
 * as files and come back from files.
 */

const PLACE = "reedlift recipes";

export interface KeptRecipe {
  /** Measurement that its roles belong to. */
  kind: string;
  recipe: Recipe;
}

/** All that are kept, by name; what can't be read is left out. */
export function keptRecipes(): KeptRecipe[] {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(PLACE) ?? "[]");
    if (!Array.isArray(found)) return [];
    return found.filter(isKept).sort((a, b) => nameOf(a).localeCompare(nameOf(b)));
  } catch {
    return [];
  }
}

const isKept = (each: unknown): each is KeptRecipe =>
  typeof each === "object" &&
  each !== null &&
  typeof (each as KeptRecipe).kind === "string" &&
  typeof (each as KeptRecipe).recipe?.name === "string";

export const nameOf = ({ recipe }: KeptRecipe): string => recipe.name ?? "";

/** Keeps one; one of that name and measurement is replaced. Throws where the browser keeps nothing. */
export function keepRecipe(kept: KeptRecipe): void {
  const rest = keptRecipes().filter(
    (each) => !(each.kind === kept.kind && nameOf(each) === nameOf(kept)),
  );
  localStorage.setItem(PLACE, JSON.stringify([...rest, kept]));
}

export function forgetRecipe(kept: KeptRecipe): void {
  const rest = keptRecipes().filter(
    (each) => !(each.kind === kept.kind && nameOf(each) === nameOf(kept)),
  );
  localStorage.setItem(PLACE, JSON.stringify(rest));
}

/** Kept recipes of a measurement whose columns are those of a file. */
export function fitting(
  kind: string,
  columns: readonly { name: string; unit: string | null }[],
): KeptRecipe[] {
  return keptRecipes().filter(
    (each) =>
      each.kind === kind &&
      each.recipe.columns !== undefined &&
      each.recipe.columns.length === columns.length &&
      each.recipe.columns.every((name, i) => name === columns[i]?.name) &&
      (each.recipe.units?.every((unit, i) => unit === (columns[i]?.unit ?? "")) ?? true),
  );
}
