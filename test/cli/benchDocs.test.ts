import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { KINDS } from "../../src/bench/kinds.ts";
import { kindTables } from "../../src/cli/benchReference.ts";
import { unitOfFigure } from "../../src/report/figureUnits.ts";
import { ROOT, staged } from "./support.ts";

/** Tables of a kind in docs/bench.md, made from its definition. */
const TABLES = /<!-- kind: ([\w-]+) -->\n[\s\S]*?<!-- end -->/g;
const file = join(ROOT, "docs", "bench.md");
const guide = readFileSync(file, "utf8");

test("docs/bench.md has a section for every kind, in their order", () => {
  const named = [...guide.matchAll(TABLES)].map((match) => match[1]);
  expect(named).toEqual(KINDS.map(({ name }) => name));
  for (const { name } of KINDS) expect(guide).toContain(`\n## ${name}: `);
});

/** "_Pa_m3_s" and "Pa*m^3/s" alike: letters and powers; a one before the first may be a number of the key. */
const plainUnit = (unit: string) => unit.replace(/per|[_*/^]/g, "").replace(/^1/, "");

test("the tables of docs/bench.md are those of the kinds (renew them with vitest --update)", async () => {
  const renewed = guide.replace(TABLES, (whole, name: string) => {
    const kind = KINDS.find((each) => each.name === name);
    return kind === undefined ? whole : `<!-- kind: ${name} -->\n${kindTables(kind)}\n<!-- end -->`;
  });
  await expect(renewed).toMatchFileSnapshot(file);
});

/** Ends of keys that are units: a key's whole end must be known, or its number is printed in another unit. */
const UNITS = /(_(per_|1_)?(m|m2|m3|s|V|A|C|F|H|S|Pa|N|K|kg|mol|Hz|ohm|W|J|rad))+$/;

test("every line of the guide that can be run in this folder runs, its keys in known units", async () => {
  const lines = [...guide.matchAll(/^reedlift (reduce .*examples\/bench\/.*)$/gm)].map(
    (match) => match[1] as string,
  );
  expect(lines.length).toBeGreaterThan(4);
  const here = process.cwd();
  try {
    process.chdir(ROOT);
    for (const line of lines) {
      const words = [...line.matchAll(/'([^']*)'|(\S+)/g)].map((m) => m[1] ?? (m[2] as string));
      const { code, err, out } = await staged([...words, "--quiet", "--json"]);
      expect({ line, code, err }).toEqual({ line, code: code === 1 ? 1 : 0, err: "" });
      const { values, fits } = JSON.parse(out).result as {
        values: Record<string, unknown>;
        fits: { parameters: { key: string }[] }[];
      };
      const keys = [
        ...Object.keys(values).filter((key) => !key.startsWith("u_")),
        ...fits.flatMap(({ parameters }) => parameters.map(({ key }) => key)),
      ];
      for (const key of keys) {
        const end = UNITS.exec(key)?.[0] ?? "";
        if (end !== "") expect(plainUnit(unitOfFigure(key).machine), key).toBe(plainUnit(end));
      }
    }
  } finally {
    process.chdir(here);
  }
});
