import type { QuantityKind } from "../units/index.ts";

/**
 * One row of the parameter table: a key of the design file. Defaults, limits, schema, help and the
 * reference text all come from these rows; adding a key is adding a row (and reading it in `build/`).
 */
export interface Parameter {
  /** Path in the file, `*` for a list index or a free name: `strip.layers.*.thickness`. */
  readonly path: string;
  /** Plain words, lower case. */
  readonly label: string;
  readonly kind: ParameterKind;
  /** For quantities. */
  readonly quantity?: QuantityKind;
  /** Unit to show and to suggest, typeset; empty for pure numbers. */
  readonly unit?: string;
  /** As a person would write it in the file. Absent: the key has no default. */
  readonly default?: string;
  /** Where the default comes from: a citation, "common practice, no source" or the unverified mark. */
  readonly defaultSource?: string;
  /** What holds when the key is absent and no fixed default exists. */
  readonly absent?: string;
  /** SI limits, inclusive. */
  readonly min?: number;
  readonly max?: number;
  /** SI limits, exclusive. */
  readonly above?: number;
  readonly below?: number;
  /** For choices. */
  readonly choices?: readonly string[];
  /** One or two sentences: meaning, sign, what it acts on. */
  readonly help: string;
  readonly required?: boolean;
  /** Also accepts `{from: …, to: …}`. */
  readonly range?: boolean;
  /** As it would stand in a file. */
  readonly example?: string;
}

/**
 * - `group`: keys of its own; `list`: items of one shape; `map`: free names, one shape of value
 * - `flag`: yes or no; `words`: a list of texts; `gas`: a gas name or a mixture `{He: 90 %, Ar: 10 %}`
 */
export type ParameterKind =
  | "group"
  | "list"
  | "map"
  | "quantity"
  | "choice"
  | "text"
  | "flag"
  | "integer"
  | "words"
  | "gas";

/** Mark of a default that is habit in the field and has no document behind it. */
export const PRACTICE = "common practice, no source";

type Extra = Partial<Omit<Parameter, "path" | "label" | "kind" | "help" | "quantity" | "unit">>;

/** A section: a group of keys. */
export function group(path: string, label: string, help: string, extra: Extra = {}): Parameter {
  return { path, label, kind: "group", help, ...extra };
}

export function quantity(
  path: string,
  label: string,
  kind: QuantityKind,
  unit: string,
  help: string,
  extra: Extra = {},
): Parameter {
  // One letter for micro in everything that is shown: the Greek one.
  const shown = unit.replaceAll("\u00b5", "\u03bc");
  return { path, label, kind: "quantity", quantity: kind, unit: shown, help, ...extra };
}

export function choice(
  path: string,
  label: string,
  choices: readonly string[],
  help: string,
  extra: Extra = {},
): Parameter {
  return { path, label, kind: "choice", choices, help, ...extra };
}

export function word(
  path: string,
  label: string,
  kind: "text" | "flag" | "words" | "gas" | "integer" | "list" | "map",
  help: string,
  extra: Extra = {},
): Parameter {
  return { path, label, kind, help, ...extra };
}
