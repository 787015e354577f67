import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { KINDS } from "../../src/bench/kinds.ts";
import { kindTables } from "../../src/cli/benchReference.ts";
import { ROOT, staged } from "./support.ts";

/** Tables of a kind in docs/bench.md, made from its definition. */
const TABLES = /<!-- kind: ([\w-]+) -->\n[\s\S]*?<!-- end -->/g;
const file = join(ROOT, "docs", "bench.md");
const guide = readFileSync(file, "utf8");

test("docs/bench.md has a section for every kind", () => {
  const named = [...guide.matchAll(TABLES)].map((match) => match[1]);
  expect(named).toEqual(expect.arrayContaining(KINDS.map(({ name }) => name)));
  for (const { name } of KINDS) expect(guide).toContain(`\n## ${name}: `);
});

test("the tables of docs/bench.md are those of the kinds (renew them with vitest --update)", async () => {
  const renewed = guide.replace(TABLES, (whole, name: string) => {
    const kind = KINDS.find((each) => each.name === name);
    return kind === undefined ? whole : `<!-- kind: ${name} -->\n${kindTables(kind)}\n<!-- end -->`;
  });
  await expect(renewed).toMatchFileSnapshot(file);
});

test("every line of the guide that can be run in this folder runs", async () => {
  const lines = [...guide.matchAll(/^reedlift (reduce .*examples\/bench\/.*)$/gm)].map(
    (match) => match[1] as string,
  );
  expect(lines.length).toBeGreaterThan(4);
  const here = process.cwd();
  try {
    process.chdir(ROOT);
    for (const line of lines) {
      const words = [...line.matchAll(/'([^']*)'|(\S+)/g)].map((m) => m[1] ?? (m[2] as string));
      const { code, err } = await staged([...words, "--quiet"]);
      expect({ line, code, err }).toEqual({ line, code: code === 1 ? 1 : 0, err: "" });
    }
  } finally {
    process.chdir(here);
  }
});
