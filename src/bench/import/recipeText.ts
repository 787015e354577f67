import { parseDocumentText } from "../../design/document.ts";
import { nearest } from "../../design/nearest.ts";
import { worded } from "../../design/problem.ts";
import { yamlFlow, yamlWord } from "../../design/yamlText.ts";
import type { Recipe, RoleRecipe } from "./recipe.ts";
import { ROW_FAULTS, SIGNAL_FAULTS } from "./types.ts";

/*
 * A recipe as text: YAML 1.2, one line a statement, so that a single line is an answer to a question:
 *
 *   import_recipe: 1            schema version, only needed in a kept recipe
 *   name: lever bench
 *   format: text                text | arrays
 *   delimiter: semicolon        comma | semicolon | tab | space | none
 *   decimal: comma              dot | comma
 *   groups: none                none | comma | dot: what groups digits by thousands
 *   names_row: 6                line of the names, 0 for none
 *   units_row: 7                line of the units, 0 for none
 *   first_row: 8                line of the first data row
 *   interval: 1 us              sample interval or rate, instead of a column of times
 *   columns: [Time, CH1, CH2]   names that the file must have
 *   units: [s, mV, ""]          units that the file must state
 *   time.column: Time           name or number from 1; none: not in this file
 *   signal.unit: mV             unit of the numbers where the file states none or a wrong one
 *   signal.scale: 2.5 um/V      multiplies the numbers; with a unit it turns one quantity into another
 *   signal.offset: -0.2 V       added after that
 *   leave_out: [empty, ragged]  rows with these faults are left out
 *   use_as_is: [clipped]        signals with these faults are used
 */

export interface RecipeProblem {
  /** From 1; 0 for the text as a whole. */
  line: number;
  key: string;
  found: string;
  allowed: string;
  message: string;
}

export type RecipeResult =
  | { ok: true; recipe: Recipe }
  | { ok: false; problems: readonly RecipeProblem[] };

const VERSION = 1;
const WORDS = {
  format: ["text", "arrays"],
  delimiter: ["comma", "semicolon", "tab", "space", "none"],
  decimal: ["dot", "comma"],
  groups: ["none", "comma", "dot"],
} as const;
const ROWS = { first_row: "firstRow", names_row: "namesRow", units_row: "unitsRow" } as const;
const LISTS = { leave_out: ROW_FAULTS, use_as_is: SIGNAL_FAULTS } as const;
const FIELDS = ["column", "unit", "scale", "offset"] as const;
const PLAIN_KEYS = [
  ...["import_recipe", "name", "interval", "columns", "units"],
  ...[...Object.keys(WORDS), ...Object.keys(ROWS), ...Object.keys(LISTS)],
];

/** Reads a recipe, or some lines of one. All problems at once, each with its line. */
export function readRecipe(text: string): RecipeResult {
  if (/^\s*(#.*)?$/.test(text)) return { ok: true, recipe: {} };
  const document = parseDocumentText(text);
  if (!document.ok)
    return {
      ok: false,
      problems: document.problems.map((problem) => {
        const { line, found, allowed, message } = worded(problem);
        return { line, key: "", found, allowed, message };
      }),
    };
  const { document: tree, lines } = document.parsed;
  const whole: unknown = tree.toJS();
  const problems: RecipeProblem[] = [];
  if (whole === null || typeof whole !== "object" || Array.isArray(whole))
    return {
      ok: false,
      problems: [
        {
          line: 1,
          key: "",
          found: text.trim().slice(0, 40),
          allowed: 'lines "key: value"',
          message: "not a recipe",
        },
      ],
    };
  const items =
    (tree.contents as { items?: { key?: { value?: unknown; range?: number[] } }[] }).items ?? [];
  const lineOf = (key: string) => {
    const at = items.find((item) => String(item.key?.value) === key)?.key?.range?.[0];
    return at === undefined ? 0 : lines.linePos(at).line;
  };
  const said: Record<string, unknown> = {};
  const roles: Record<string, RoleRecipe | null> = {};
  for (const [key, value] of Object.entries(whole)) {
    const wrong = (allowed: string, message = "not understood") => {
      problems.push({ line: lineOf(key), key, found: shown(value), allowed, message });
    };
    if (key.includes(".")) roleField(key, value, roles, wrong);
    else plainKey(key, value, said, wrong);
  }
  if (problems.length > 0) return { ok: false, problems };
  const recipe = said as Recipe;
  return { ok: true, recipe: Object.keys(roles).length === 0 ? recipe : { ...recipe, roles } };
}

type Wrong = (allowed: string, message?: string) => void;

const shown = (value: unknown): string =>
  (typeof value === "string" ? value : (JSON.stringify(value) ?? String(value))).slice(0, 60);

function plainKey(key: string, value: unknown, said: Record<string, unknown>, wrong: Wrong): void {
  const words = WORDS[key as keyof typeof WORDS] as readonly string[] | undefined;
  const row = ROWS[key as keyof typeof ROWS];
  const list = LISTS[key as keyof typeof LISTS] as readonly string[] | undefined;
  if (words !== undefined) {
    if (words.includes(value as string)) said[key] = value;
    else wrong(words.join(", "));
  } else if (row !== undefined) {
    const least = key === "first_row" ? 1 : 0;
    if (Number.isSafeInteger(value) && (value as number) >= least) said[row] = value;
    else wrong(`a row number from ${least}`);
  } else if (list !== undefined) {
    const all: unknown[] = Array.isArray(value) ? value : [value];
    if (all.every((item) => list.includes(item as string)))
      said[key === "leave_out" ? "leaveOut" : "useAsIs"] = all;
    else wrong(`one or more of ${list.join(", ")}`);
  } else if (key === "columns" || key === "units") {
    if (Array.isArray(value) && value.every((item) => typeof item !== "object"))
      said[key] = value.map(String);
    else wrong("a list of texts");
  } else if (key === "import_recipe") {
    if (value !== VERSION) wrong(String(VERSION), "a recipe of another version");
  } else if (key === "name" || key === "interval") {
    if (typeof value === "string") said[key] = value;
    else wrong(key === "name" ? "a text" : 'a quantity, as in "1 us"');
  } else {
    const near = nearest(key, PLAIN_KEYS);
    wrong(
      `${near === null ? "" : `${near}? `}one of ${PLAIN_KEYS.join(", ")}, or ROLE.column and the like`,
      "unknown key",
    );
  }
}

function roleField(
  key: string,
  value: unknown,
  roles: Record<string, RoleRecipe | null>,
  wrong: Wrong,
): void {
  const cut = key.lastIndexOf(".");
  const [role, field] = [key.slice(0, cut), key.slice(cut + 1)];
  if (!(FIELDS as readonly string[]).includes(field) || role === "") {
    wrong(`ROLE.${FIELDS.join(", ROLE.")}`, "unknown key");
    return;
  }
  if (typeof value !== "string" && typeof value !== "number") {
    wrong("a text or a number");
    return;
  }
  if (field === "column") {
    if (value === "none") {
      roles[role] = null;
      return;
    }
    if (typeof value === "number" && !(Number.isSafeInteger(value) && value >= 1)) {
      wrong("a column's name, its number from 1, or none");
      return;
    }
  }
  if (roles[role] === null) return;
  // A unit of 1 is written as a number in YAML.
  roles[role] = { ...roles[role], [field]: field === "column" ? value : String(value) };
}

/** The recipe as text that reads back as the same recipe. */
export function recipeText(recipe: Recipe): string {
  const out: string[] = [`import_recipe: ${VERSION}`];
  const line = (key: string, value: string | number | undefined) => {
    if (value !== undefined)
      out.push(`${key}: ${typeof value === "number" ? value : yamlWord(value)}`);
  };
  line("name", recipe.name);
  for (const key of Object.keys(WORDS) as (keyof typeof WORDS)[]) line(key, recipe[key]);
  for (const [key, field] of Object.entries(ROWS)) line(key, recipe[field]);
  line("interval", recipe.interval);
  if (recipe.columns !== undefined) out.push(`columns: ${yamlFlow([...recipe.columns])}`);
  if (recipe.units !== undefined) out.push(`units: ${yamlFlow([...recipe.units])}`);
  for (const [role, said] of Object.entries(recipe.roles ?? {})) {
    if (said === null) out.push(`${yamlWord(`${role}.column`)}: none`);
    else for (const field of FIELDS) line(`${role}.${field}`, said[field]);
  }
  if (recipe.leaveOut !== undefined && recipe.leaveOut.length > 0)
    out.push(`leave_out: ${yamlFlow([...recipe.leaveOut])}`);
  if (recipe.useAsIs !== undefined && recipe.useAsIs.length > 0)
    out.push(`use_as_is: ${yamlFlow([...recipe.useAsIs])}`);
  return `${out.join("\n")}\n`;
}
