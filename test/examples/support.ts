import { readFileSync } from "node:fs";
import type { Design } from "../../src/design/design.ts";
import { readDesign } from "../../src/design/readDesign.ts";
import { checkDesign } from "../../src/sheet/check.ts";
import type { SheetResult } from "../../src/sheet/result.ts";

export const EXAMPLES = [
  "argon-clusters",
  "crossed-beam-helium",
  "first-valve",
  "kilohertz-hydrogen",
  "krypton-buffer",
  "mirror-shutter",
] as const;

export type ExampleName = (typeof EXAMPLES)[number];

/** Text of an example with some passages replaced; every passage must be there. */
export function exampleText(name: ExampleName, ...edits: [string | RegExp, string][]): string {
  let text = readFileSync(new URL(`../../examples/${name}.reed.yaml`, import.meta.url), "utf8");
  for (const [from, to] of edits) {
    if (text.split(from).length < 2) throw new Error(`${name} has no ${from}`);
    text = text.replace(from, to);
  }
  return text;
}

export function exampleDesign(name: ExampleName, ...edits: [string | RegExp, string][]): Design {
  const read = readDesign(exampleText(name, ...edits), { name });
  if (!read.ok) throw new Error(read.problems.map((p) => p.message).join("\n"));
  return read.design;
}

/** The sheet of an example, without uncertainties unless asked for. */
export function sheetOf(
  name: ExampleName,
  edits: [string | RegExp, string][] = [],
  waysOut = false,
): SheetResult {
  return checkDesign(exampleDesign(name, ...edits), { uncertainty: false, waysOut }).result;
}

export const marginOf = (result: SheetResult, id: string) => {
  const row = result.margins.find((m) => m.id === id);
  if (row === undefined) throw new Error(`no margin ${id}: ${result.margins.map((m) => m.id)}`);
  return row;
};

export const cautionIds = (result: SheetResult) => result.cautions.map((c) => c.id);
