import { expect, test } from "vitest";
import { clashes, labelsOf, outsideOf } from "./labelBoxes.ts";
import { ORIGIN, pictures } from "./pictures.ts";

const all = Object.entries(pictures()).map(([name, figure]) => ({ ...figure!, name }));

test.each(all)("no two labels overlap: $name", ({ svg }) => {
  expect(labelsOf(svg).length).toBeGreaterThan(8);
  expect(clashes(svg)).toEqual([]);
});

test.each(all)("labels are inside the sheet and at least 9 px: $name", ({ svg }) => {
  expect(outsideOf(svg)).toEqual([]);
});

test("the check of labels finds an overlap and a label outside", () => {
  const put = (x: number, words: string) => `<text x="${x}" y="20" font-size="10">${words}</text>`;
  const svg = `<svg viewBox="0 0 100 40">${put(10, "one")}${put(20, "two")}${put(90, "three")}</svg>`;
  expect(clashes(svg)).toEqual(["one | two"]);
  expect(outsideOf(svg)).toEqual(["three"]);
});

test.each(all)("well-formed, opaque, with a sentence, an origin and own ids: $name", ({ svg, sentence, name }) => {
  const open: string[] = [];
  for (const [, close, tag, self] of svg.matchAll(/<(\/?)([a-zA-Z]+)[^>]*?(\/?)>/g)) {
    if (self === "/") continue;
    if (close === "/") expect(open.pop(), name).toBe(tag);
    else open.push(tag!);
  }
  expect(open).toEqual([]);
  expect(svg).not.toMatch(/NaN|Infinity|undefined|null/);
  expect(svg).toContain('fill="#FCFBF7"');
  expect(svg).toContain(ORIGIN);
  expect(svg).not.toMatch(/<[^>]* style=/);
  expect(sentence).toMatch(/^[A-Z].*\.$/);
  expect(svg).toContain("<desc");
  const ids = [...svg.matchAll(/ id="([^"]+)"/g)].map((m) => m[1]);
  expect(new Set(ids).size).toBe(ids.length);
  for (const [, used] of svg.matchAll(/url\(#([^)]+)\)/g)) expect(ids).toContain(used);
});

test.each(all)("the numbers stand in a table with names and units: $name", ({ csv }) => {
  const lines = csv.trimEnd().split("\n");
  const head = lines.findIndex((line) => !line.startsWith("#"));
  const names = lines[head]!.split(",");
  const units = lines[head + 1]!.split(",");
  expect(head).toBeGreaterThanOrEqual(3);
  expect(units.length).toBe(names.length);
  for (const unit of units) expect(unit).not.toBe("");
  expect(new Set(names).size).toBe(names.length);
  expect(csv).not.toMatch(/NaN|Infinity/);
  expect(csv).toContain(`skiprows=${head}`);
});

test("a valve that is open shows it solid; a picture never depends on the call before", () => {
  const again = pictures();
  for (const { name, svg } of all) expect(again[name]!.svg).toBe(svg);
  expect(again["side-view-open"]!.svg).toContain("open (output high) solid");
  expect(again["side-view-closed"]!.svg).toContain("closed (output low) solid");
});
