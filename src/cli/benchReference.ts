import type { Kind } from "../bench/kind.ts";
import { offeredUnits, type QuantityKind } from "../units/index.ts";
import { settingForm } from "./reduceCommandHelp.ts";

const cell = (text: string) => text.replaceAll("|", "\\|");

const unitsOf = (kind: QuantityKind): string => {
  const units = offeredUnits(kind).slice(0, 4).join(", ");
  return units === "" ? kind : `${kind}: ${units}`;
};

/** Columns and settings of a kind as Markdown tables. */
export function kindTables(kind: Kind): string {
  const { min, max, labels } = kind.files;
  const many = min === max ? `${min}` : `${min} to ${max}`;
  const what = labels === undefined ? "" : ` (${labels.join(", ")})`;
  return [
    `Files: ${many}${what}.`,
    "",
    "| column | numbers | what it is |",
    "|---|---|---|",
    ...kind.roles.map(
      ({ key, kinds, summary, required }) =>
        `| \`${key}\`${required ? "" : " (optional)"} | ${kinds.map(unitsOf).join("; ")} | ${cell(summary)} |`,
    ),
    "",
    ...(kind.settings.length === 0
      ? ["No settings."]
      : [
          "| setting | what it is | form |",
          "|---|---|---|",
          ...kind.settings.map(
            (setting) =>
              `| \`${setting.key}\` | ${cell(setting.summary)} | ${cell(settingForm(setting))} |`,
          ),
        ]),
  ].join("\n");
}
