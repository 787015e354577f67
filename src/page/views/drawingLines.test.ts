import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { differing, linesOf } from "./drawingLines.ts";

const golden = (name: string) =>
  readFileSync(join(import.meta.dirname, "../../../test/golden", `${name}.svg`), "utf8");

test.each(["window", "side-view-open", "section", "load-lines", "drive-chain", "map-voltage"])(
  "%s is whole elements line by line, none lost",
  (name) => {
    const svg = golden(name);
    const found = linesOf(svg);
    // Elements of the root by another way: what stands at depth 1, the title left out.
    let depth = 0;
    let wanted = -1;
    for (const tag of svg.match(/<\/?[a-z][^>]*>/g) ?? []) {
      if (tag.startsWith("</")) depth -= 1;
      else {
        if (depth === 1) wanted += 1;
        if (!tag.endsWith("/>")) depth += 1;
      }
    }
    expect(found?.counts.reduce((a, b) => a + b, 0)).toBe(wanted);
    expect(found?.lines.join("")).toBe(
      svg
        .split("\n")
        .slice(1, -2)
        .filter((line) => !line.startsWith("<title"))
        .join(""),
    );
  },
);

test("a text with an element over two lines is not taken line by line", () => {
  expect(linesOf("<svg>\n<g><text>a\nb</text></g>\n</svg>\n")).toBeNull();
  expect(linesOf("<p>no picture</p>")).toBeNull();
});

test("what differs puts the new picture in the place of the old one", () => {
  const pairs = [
    ["abcde", "abXde"],
    ["abcde", "aXcYe"],
    ["abcde", "abe"],
    ["abe", "abcde"],
    ["aaa", "aaaa"],
    ["", "ab"],
    ["abc", "abc"],
  ] as const;
  for (const [a, b] of pairs) {
    const [old, fresh] = [[...a], [...b]];
    const got = [...old];
    for (const { from, to, until } of differing(old, fresh).reverse())
      got.splice(from, to - from, ...fresh.slice(from, until));
    expect(got).toEqual(fresh);
  }
  expect(differing([..."aXcYe"], [..."abcde"])).toHaveLength(2);
});
