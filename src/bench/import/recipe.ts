import type { Delimiter, Mark, RowFault, SignalFault } from "./types.ts";

/** What is said of one role. */
export interface RoleRecipe {
  /** Name of the column, or its number from 1. */
  column?: string | number;
  /** Unit of the column's numbers: "mV"; "1" for pure numbers. */
  unit?: string;
  /** Multiplies the number: "10", or with a unit "2.5 um/V". */
  scale?: string;
  /** Added after that, a quantity: "-0.2 V". */
  offset?: string;
}

/**
 * What a file's columns are and how it is written. Everything is optional: as the choices for one file it holds what
 * the user said, as a kept recipe also the layout it was made for.
 */
export interface Recipe {
  name?: string;
  format?: "text" | "arrays";
  delimiter?: Delimiter;
  decimal?: Mark;
  groups?: Mark | "none";
  /** Line of the first data row. */
  firstRow?: number;
  /** Line of the names, 0 for none. */
  namesRow?: number;
  /** Line of the units, 0 for none. */
  unitsRow?: number;
  /** Sample interval as a quantity of time: "1 us". */
  interval?: string;
  /** By key of the role; null: this optional role is not in the file. */
  roles?: Readonly<Record<string, RoleRecipe | null>>;
  leaveOut?: readonly RowFault[];
  useAsIs?: readonly SignalFault[];
  /** Names of the columns that the layout must have. */
  columns?: readonly string[];
  /** Their units as the file states them, "" for none. */
  units?: readonly string[];
}

/** `over` where it says something, else `base`; role by role and field by field. */
export function merged(base: Recipe, over: Recipe): Recipe {
  const roles: Record<string, RoleRecipe | null> = { ...base.roles };
  for (const [key, said] of Object.entries(over.roles ?? {}))
    roles[key] = said === null ? null : { ...roles[key], ...said };
  const leaveOut = [...new Set([...(base.leaveOut ?? []), ...(over.leaveOut ?? [])])];
  const useAsIs = [...new Set([...(base.useAsIs ?? []), ...(over.useAsIs ?? [])])];
  return {
    ...base,
    ...over,
    ...(Object.keys(roles).length > 0 ? { roles } : {}),
    ...(leaveOut.length > 0 ? { leaveOut } : {}),
    ...(useAsIs.length > 0 ? { useAsIs } : {}),
  };
}
