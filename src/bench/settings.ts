import type { QuantityKind } from "../units/index.ts";
import type { Given, Setting, Settings } from "./kind.ts";
import { BenchProblem } from "./reduction.ts";

/** A setting that can be left out; `more` says what else it is. */
export const optionalSetting = (
  key: string,
  kind: QuantityKind | null,
  summary: string,
  standard: string | null = null,
  more: Partial<Setting> = {},
): Setting => ({ key, kind, summary, required: false, standard, ...more });

/** A number of the settings; a problem that names it when it is missing. */
export function given(settings: Settings, key: string): Given {
  const found = optional(settings, key);
  if (found === null)
    throw new BenchProblem(`setting ${key}`, "not given", "a quantity with its unit is needed");
  return found;
}

/** A number of the settings, null without it. */
export function optional(settings: Settings, key: string): Given | null {
  const found = settings.get(key);
  if (found === undefined) return null;
  if (typeof found === "string" || isList(found))
    throw new BenchProblem(`setting ${key}`, "not one quantity", "one quantity is needed");
  return found;
}

/** A word of the settings, null without it. */
export function word(settings: Settings, key: string): string | null {
  const found = settings.get(key);
  if (found === undefined) return null;
  if (typeof found !== "string")
    throw new BenchProblem(`setting ${key}`, "a quantity", "a word is needed");
  return found;
}

/** One for each file; a single one counts for all. Null when it was not given. */
export function eachFile(
  settings: Settings,
  key: string,
  files: number,
): readonly (Given | string)[] | null {
  const found = settings.get(key);
  if (found === undefined) return null;
  const list = isList(found) ? found : [found];
  if (list.length === 1) return new Array<Given | string>(files).fill(list[0] as Given | string);
  if (list.length !== files)
    throw new BenchProblem(
      `setting ${key}`,
      `${list.length} values for ${files} files`,
      "one for each file, or one for all",
    );
  return list;
}

const isList = (
  found: Given | string | readonly (Given | string)[],
): found is readonly (Given | string)[] => Array.isArray(found);
