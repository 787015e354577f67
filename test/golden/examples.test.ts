import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { readDesign } from "../../src/design/readDesign.ts";
import { figuresOf, sheetText } from "../../src/report/index.ts";
import { widthOf } from "../../src/report/text/lines.ts";
import { fullCheck } from "../../src/studies/fullCheck.ts";
import { clashes, outsideOf } from "./labelBoxes.ts";

const folder = fileURLToPath(new URL("../../examples/", import.meta.url));
const files = readdirSync(folder).filter((name) => name.endsWith(".reed.yaml"));

test("there are examples to draw", () => {
  expect(files.length).toBeGreaterThan(3);
});

test.each(files)("sheet and pictures of an example hold their rules: %s", (name) => {
  const read = readDesign(readFileSync(folder + name, "utf8"), { name });
  if (!read.ok) throw new Error(read.problems.map((p) => p.message).join("; "));
  const { result } = fullCheck(read.design, { uncertainty: false, waysOut: false });
  for (const ascii of [false, true]) {
    const text = sheetText(read.design, result, { ascii });
    expect(text).not.toMatch(/NaN|undefined|Infinity|\[object/);
    if (ascii) expect(text).toMatch(/^[\x20-\x7e\n]*$/);
    for (const line of text.split("\n")) expect(widthOf(line), line).toBeLessThanOrEqual(100);
  }
  for (const state of ["closed", "open"] as const)
    for (const figure of figuresOf(read.design, result, { state })) {
      expect(clashes(figure.svg), figure.name).toEqual([]);
      expect(outsideOf(figure.svg), figure.name).toEqual([]);
    }
});
