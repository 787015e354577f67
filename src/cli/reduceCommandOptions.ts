import type { Recipe, RoleRecipe } from "../bench/import/index.ts";
import { merged, readRecipe } from "../bench/import/index.ts";
import type { Kind } from "../bench/kind.ts";
import { KINDS, kindNamed } from "../bench/kinds.ts";
import { type ReadSettings, readSettings, type WrittenSetting } from "../bench/readSettings.ts";
import { nearest } from "../design/nearest.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import { type Trouble, trouble } from "./trouble.ts";

export interface ReduceAsked {
  kind: Kind;
  files: readonly string[];
  settings: ReadSettings;
  /** Settings as they were written, in the order of the command line. */
  written: readonly WrittenSetting[];
  /** What the command line says of the files. */
  choices: Recipe;
}

/**
 * What the command line asks for.
 * @throws Stop with exit code 2 and everything that is wrong
 */
export function reduceOptions(name: string, files: readonly string[], flags: Flags): ReduceAsked {
  const kind = kindNamed(name);
  if (kind === undefined) throw unknownKind(name);
  const troubles = [...fileTroubles(kind, files), ...inputTroubles(files, flags)];
  const written: WrittenSetting[] = [];
  for (const text of flags.set ?? []) {
    const parts = split("--set", text, "key=value", troubles);
    if (parts !== null) written.push({ key: parts[0], text: parts[1] });
  }
  const settings = readSettings(kind, written, files.length);
  for (const { key, message, found, allowed, hint } of settings.problems)
    troubles.push(
      trouble("setting", `setting ${key}: ${message}`, {
        found,
        allowed,
        hint: hint === "" ? `reedlift reduce ${kind.name} --help` : hint,
      }),
    );
  if (flags.design === undefined && flags.dryRun !== true)
    for (const { key, summary } of settings.missing)
      troubles.push(
        trouble("setting", `setting ${key} is needed: ${summary}`, {
          allowed: `--set ${key}=VALUE, or --design DESIGN where the design knows it`,
        }),
      );
  const choices = choicesOf(kind, flags, troubles);
  if (troubles.length > 0) throw new Stop(EXIT.invalid, ...troubles);
  return { kind, files, settings, written, choices };
}

function unknownKind(name: string): Stop {
  const names = KINDS.map((kind) => kind.name);
  const near = nearest(name, names);
  return new Stop(
    EXIT.invalid,
    trouble("usage", "no such kind of measurement", {
      found: name,
      allowed: names.join(", "),
      hint: near === null ? "reedlift reduce --help" : `did you mean ${near}?`,
    }),
  );
}

function fileTroubles({ name, files: { min, max, labels } }: Kind, files: readonly string[]) {
  if (files.length >= min && files.length <= max) return [];
  const many =
    min === max
      ? `${min}`
      : max === Number.POSITIVE_INFINITY
        ? `${min} or more`
        : `${min} to ${max}`;
  const what = labels === undefined ? "" : `: ${labels.join(", ")}`;
  return [
    trouble("usage", `${name} takes ${many} ${max === 1 ? "file" : "files"}`, {
      found: files.length === 0 ? "none" : `${files.length}: ${files.join(", ")}`,
      allowed: `${many}${what}`,
      hint: `reedlift reduce ${name} --help`,
    }),
  ];
}

function inputTroubles(files: readonly string[], flags: Flags): Trouble[] {
  const streams = [...files, flags.design, flags.tables, flags.recipe].filter((x) => x === "-");
  const out: Trouble[] = [];
  if (streams.length > 1)
    out.push(trouble("usage", "only one input can come from standard input", { found: "- twice" }));
  if (flags.saveRecipe === "-")
    out.push(
      trouble("usage", "--save-recipe needs the name of a file: standard output has the result", {
        found: "-",
      }),
    );
  return out;
}

function split(
  flag: string,
  text: string,
  form: string,
  troubles: Trouble[],
): readonly [string, string] | null {
  const at = text.indexOf("=");
  if (at > 0) return [text.slice(0, at).trim(), text.slice(at + 1).trim()];
  troubles.push(trouble("option", `${flag} takes ${form}`, { found: text, allowed: form }));
  return null;
}

/** What is said of columns and rows, as one recipe. */
function choicesOf(kind: Kind, flags: Flags, troubles: Trouble[]): Recipe {
  const roles: Record<string, RoleRecipe | null> = {};
  const known = kind.roles.map(({ key }) => key);
  for (const field of ["column", "unit", "scale", "offset"] as const)
    for (const text of flags[field] ?? []) {
      const parts = split(`--${field}`, text, `role=${field}`, troubles);
      if (parts === null) continue;
      const [role, value] = parts;
      if (!known.includes(role)) {
        const near = nearest(role, known);
        troubles.push(
          trouble("option", `--${field}: ${kind.name} has no such role`, {
            found: role,
            allowed: known.join(", "),
            hint: near === null ? "" : `did you mean ${near}?`,
          }),
        );
      } else if (field === "column" && value === "none") roles[role] = null;
      else {
        const column = field === "column" && /^\d+$/.test(value) ? Number(value) : value;
        roles[role] = { ...roles[role], [field]: column };
      }
    }
  const lines = [
    ...(flags.readAs ?? []),
    ...(flags.leaveOut === undefined ? [] : [`leave_out: [${flags.leaveOut}]`]),
    ...(flags.useAsIs === undefined ? [] : [`use_as_is: [${flags.useAsIs}]`]),
  ];
  const said = lines.map((line): Recipe => {
    const read = readRecipe(line);
    if (read.ok) return read.recipe;
    for (const { message, key, found, allowed } of read.problems)
      troubles.push(
        trouble("option", `${key === "" ? line : key}: ${message}`, { found, allowed }),
      );
    return {};
  });
  const base = Object.keys(roles).length === 0 ? {} : { roles };
  return said.reduce((all, one) => merged(all, one), base as Recipe);
}
