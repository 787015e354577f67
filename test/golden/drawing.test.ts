import { expect, test } from "vitest";
import { type Box, overlaps, textBox } from "../../src/report/figures/labels.ts";
import { ORIGIN, pictures } from "./pictures.ts";

const all = Object.entries(pictures()).map(([name, figure]) => ({ ...figure!, name }));

interface Label {
  words: string;
  size: number;
  box: Box;
}

/** Every text of a picture with the box that it takes. */
function labelsOf(svg: string): Label[] {
  return [...svg.matchAll(/<text ([^>]*)>([^<]*)<\/text>/g)].map(([, attributes, inner]) => {
    const get = (name: string) => new RegExp(`(?:^| )${name}="([^"]*)"`).exec(attributes!)?.[1];
    const words = inner!.replaceAll("&lt;", "<").replaceAll("&gt;", ">").replaceAll("&amp;", "&");
    const size = Number(get("font-size"));
    const box = textBox(Number(get("x")), Number(get("y")), words, {
      size,
      anchor: (get("text-anchor") ?? "start") as "start",
      ...(get("font-weight") === "bold" ? { weight: "bold" as const } : {}),
      ...(get("transform")?.startsWith("rotate(-90") ? { turn: -90 as const } : {}),
    });
    return { words, size, box };
  });
}

/** Slack for the estimate of a text's width, px. */
const SLACK = 1.5;

test.each(all)("no two labels overlap: $name", ({ svg }) => {
  const labels = labelsOf(svg);
  expect(labels.length).toBeGreaterThan(8);
  const inner = (box: Box): Box => ({
    x: box.x + SLACK,
    y: box.y + SLACK,
    width: box.width - 2 * SLACK,
    height: box.height - 2 * SLACK,
  });
  const clashes: string[] = [];
  labels.forEach((a, i) => {
    for (const b of labels.slice(i + 1))
      if (overlaps(inner(a.box), inner(b.box))) clashes.push(`${a.words} | ${b.words}`);
  });
  expect(clashes).toEqual([]);
});

test.each(all)("labels are inside the sheet and at least 9 px: $name", ({ svg }) => {
  const [, width, height] = /viewBox="0 0 (\d+) (\d+)"/.exec(svg)!;
  for (const { words, size, box } of labelsOf(svg)) {
    expect(size, words).toBeGreaterThanOrEqual(9);
    expect(box.x, words).toBeGreaterThanOrEqual(0);
    expect(box.y, words).toBeGreaterThanOrEqual(0);
    expect(box.x + box.width, words).toBeLessThanOrEqual(Number(width));
    expect(box.y + box.height, words).toBeLessThanOrEqual(Number(height));
  }
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
