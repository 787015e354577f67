import { nearest } from "../design/nearest.ts";
import { parseQuantity, type StandardState } from "../units/index.ts";
import type { Given, Kind, Setting, Settings } from "./kind.ts";

/** A setting as somebody wrote it. */
export interface WrittenSetting {
  key: string;
  text: string;
}

/** Why a setting can't be used. */
export interface SettingProblem {
  key: string;
  message: string;
  found: string;
  allowed: string;
  hint: string;
}

export interface ReadSettings {
  settings: Settings;
  problems: readonly SettingProblem[];
  /** Required settings that were not given: a design may know them. */
  missing: readonly Setting[];
}

/**
 * The settings of a kind from their texts, with the standards of those that were not given. All problems at once.
 * @param files how many data files there are, for settings of which each file has its own
 */
export function readSettings(
  kind: Kind,
  written: readonly WrittenSetting[],
  files: number,
  standardState?: StandardState,
): ReadSettings {
  const problems: SettingProblem[] = [];
  const settings = new Map<string, Given | string | readonly (Given | string)[]>();
  const known = kind.settings.map(({ key }) => key);
  for (const { key, text } of written) {
    const setting = kind.settings.find((each) => each.key === key);
    if (setting === undefined) {
      const near = nearest(key, known);
      problems.push({
        key,
        message: `${kind.name} has no such setting`,
        found: key,
        allowed: known.length === 0 ? "none" : known.join(", "),
        hint: near === null ? "" : `did you mean ${near}?`,
      });
    } else if (settings.has(key))
      problems.push({ key, message: "given twice", found: text, allowed: "once", hint: "" });
    else {
      const value = settingOf(setting, text, files, problems, standardState);
      if (value !== null) settings.set(key, value);
    }
  }
  const given = new Set(written.map(({ key }) => key));
  for (const setting of kind.settings) {
    if (given.has(setting.key) || setting.standard === null) continue;
    const value = settingOf(setting, setting.standard, files, problems, standardState);
    if (value !== null) settings.set(setting.key, value);
  }
  const missing = kind.settings.filter(
    ({ key, required, standard }) => required && standard === null && !given.has(key),
  );
  return { settings, problems, missing };
}

function settingOf(
  setting: Setting,
  text: string,
  files: number,
  problems: SettingProblem[],
  state: StandardState | undefined,
): Given | string | readonly (Given | string)[] | null {
  if (setting.perFile !== true) return one(setting, text, problems, state);
  const texts = text.split(",");
  if (texts.length > 1 && texts.length !== files) {
    problems.push({
      key: setting.key,
      message: `${texts.length} values for ${files} ${files === 1 ? "file" : "files"}`,
      found: text,
      allowed: "one for each file, separated by commas, or one for all",
      hint: "",
    });
    return null;
  }
  const values = texts.map((each) => one(setting, each.trim(), problems, state));
  if (values.some((value) => value === null)) return null;
  return values.length === 1 ? (values[0] as Given | string) : (values as (Given | string)[]);
}

function one(
  { key, kind, choices }: Setting,
  text: string,
  problems: SettingProblem[],
  standardState: StandardState | undefined,
): Given | string | null {
  if (choices?.includes(text) === true) return text;
  if (kind === null) {
    if (choices === undefined && text !== "") return text;
    const near = nearest(text, choices ?? []);
    problems.push({
      key,
      message: text === "" ? "nothing is given" : "not one of its words",
      found: text,
      allowed: choices?.join(", ") ?? "some words",
      hint: near === null ? "" : `did you mean ${near}?`,
    });
    return null;
  }
  const read = parseQuantity(text, kind, standardState === undefined ? {} : { standardState });
  if (read.ok) return { value: read.quantity.value, u: read.quantity.u };
  const { message, allowed, hint = "" } = read.problem;
  const words = choices === undefined ? "" : `${choices.join(", ")}, or `;
  problems.push({ key, message, found: text, allowed: `${words}${allowed}`, hint });
  return null;
}
