import type { Kind, Role, Setting } from "../bench/kind.ts";
import { KINDS, kindNamed } from "../bench/kinds.ts";
import { wrap, wrapAfter } from "../report/text/lines.ts";
import { offeredUnits } from "../units/index.ts";

/** Widest help, and its width when it is not shown on a terminal. */
const COLUMNS = 90;

/** The help of `reduce` with its kinds; with a kind among the words, what that one takes instead. */
export function reduceHelp(text: string, words: readonly string[], columns: number | null): string {
  const width = Math.max(60, Math.min(columns ?? COLUMNS, COLUMNS));
  const kind = words
    .slice(1)
    .map(kindNamed)
    .find((found) => found !== undefined);
  if (kind !== undefined) return `${kindHelp(kind, width).join("\n")}\n`;
  const name = Math.max(...KINDS.map((each) => each.name.length));
  const lines = KINDS.flatMap((each) =>
    wrapAfter(`  ${each.name.padEnd(name)}  `, each.summary, width),
  );
  return `${text}\nKinds (reedlift reduce KIND --help lists the columns and settings of one):\n${lines.join("\n")}\n`;
}

function kindHelp(kind: Kind, width: number): string[] {
  const { min, max, labels } = kind.files;
  const files =
    min === max
      ? labels === undefined
        ? "FILE ".repeat(min).trim()
        : labels.map((label) => label.toUpperCase().replaceAll(" ", "-")).join(" ")
      : "FILE…";
  return [
    `Usage: reedlift reduce ${kind.name} [options] ${files}`,
    "",
    ...wrap(kind.summary, width),
    "",
    "Columns (named by --column ROLE=COLUMN where the file does not tell):",
    ...kind.roles.flatMap((role) => roleHelp(role, width)),
    "",
    ...(kind.settings.length === 0
      ? ["No settings."]
      : [
          "Settings (--set KEY=VALUE, as in --set 'KEY=300(1) mm'):",
          ...kind.settings.flatMap((setting) => settingHelp(setting, width)),
        ]),
    "",
    "reedlift reduce --help has the options.",
  ];
}

const KEY = 22;

function entry(key: string, text: string, more: string, width: number): string[] {
  const first = key.length <= KEY - 4 ? `  ${key.padEnd(KEY - 2)}` : null;
  const body = wrapAfter(first ?? " ".repeat(KEY), text, width);
  return [
    ...(first === null ? [`  ${key}`] : []),
    ...body,
    ...(more === "" ? [] : wrapAfter(" ".repeat(KEY), more, width)),
  ];
}

function roleHelp({ key, kinds, summary, required }: Role, width: number): string[] {
  const units = kinds.map((kind) => {
    const offered = offeredUnits(kind).slice(0, 3).join(", ");
    return offered === "" ? kind : `${kind} (${offered})`;
  });
  return entry(key, summary, `${required ? "needed" : "optional"}; ${units.join(" or ")}`, width);
}

/** What may stand there, and what holds without it. */
export function settingForm({ kind, choices, perFile, required, standard }: Setting): string {
  const units = kind === null ? "" : offeredUnits(kind).slice(0, 3).join(", ");
  const what = [
    ...(choices ?? []),
    ...(kind === null
      ? choices === undefined
        ? ["text"]
        : []
      : [units === "" ? kind : `${kind} (${units})`]),
  ].join(" | ");
  const without =
    standard !== null ? `without it ${standard}` : required ? "needed" : "none without it";
  return `${what}${perFile === true ? ", one for each file or one for all" : ""}; ${without}`;
}

function settingHelp(setting: Setting, width: number): string[] {
  return entry(setting.key, setting.summary, settingForm(setting), width);
}
