import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { type Bench, benchWith, computed, examples, ROOT, visit, withBrowser } from "./support.ts";

/* Every number that the page shows is the number that the command line gives for the same file. */

withBrowser();
let bench: Bench;
beforeAll(async () => {
  bench = await benchWith();
});
afterAll(() => bench.close());

/** Every number of a result with its path. */
function numbers(node: unknown, path = ""): [string, number | null | string | boolean][] {
  if (typeof node !== "object" || node === null) return [[path, node as number]];
  return Object.entries(node).flatMap(([key, value]) => numbers(value, `${path}.${key}`));
}

/**
 * Powers and exponentials differ in the last bit between the browser's engine and Node's, and
 * differences of neighbouring evaluations (slopes, uncertainties, searched ends) enlarge that to
 * some 1e-8 of the value. Nothing else may differ.
 */
const alike = (x: number, y: number) =>
  x === y ||
  Math.abs(x - y) <= 1e-6 * Math.max(Math.abs(x), Math.abs(y)) ||
  Math.abs(x - y) < 1e-15;

test.each(examples().map((name) => name.replace(".reed.yaml", "")))(
  "%s: page and command line agree in every figure",
  async (name) => {
    const { page, close } = await visit(bench, name);
    await computed(page);
    const [file] = await Promise.all([
      page.waitForEvent("download"),
      page.getByRole("button", { name: "Sheet as JSON" }).click(),
    ]);
    const fromPage: unknown = JSON.parse(readFileSync(await file.path(), "utf8"));
    await close();
    const { stdout } = spawnSync(
      process.execPath,
      [
        join(ROOT, "dist", "cli", "main.js"),
        "check",
        join(bench.folder, `${name}.reed.yaml`),
        "--json",
      ],
      { encoding: "utf8", maxBuffer: 1e8 },
    );
    const fromCommand: unknown = JSON.parse(stdout).result;
    const [a, b] = [numbers(fromPage), numbers(fromCommand)];
    expect(a.length).toBeGreaterThan(300);
    expect(a.map(([path]) => path)).toEqual(b.map(([path]) => path));
    a.forEach(([path, value], i) => {
      const other = b[i]?.[1];
      if (typeof value !== "number" || typeof other !== "number")
        expect([path, value]).toEqual([path, other]);
      else if (!alike(value, other)) expect([path, value]).toEqual([path, other]);
    });
  },
);
