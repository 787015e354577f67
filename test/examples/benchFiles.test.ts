import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { ROOT } from "../cli/support.ts";
import { benchFiles } from "./benchFiles.ts";

const FOLDER = join(ROOT, "examples", "bench");

/** Part of the largest number of the file by which a number may differ: a model that is refined moves them a little. */
const ALIKE = 0.02;

const NUMBER = /-?\d+[.,]?\d*(?:e[+-]?\d+)?/g;
const numbersOf = (text: string) =>
  (text.match(NUMBER) ?? []).map((word) => Number(word.replace(",", ".")));

/** Whether two texts have the same words and nearly the same numbers, line by line and place by place. */
function alike(a: string, b: string): boolean {
  if (a.replace(NUMBER, "0") !== b.replace(NUMBER, "0")) return false;
  const rows = (text: string) => text.split("\n").map(numbersOf);
  const [left, right] = [rows(a), rows(b)];
  const largest: number[] = [];
  for (const row of left)
    row.forEach((x, c) => {
      largest[c] = Math.max(largest[c] ?? 0, Math.abs(x));
    });
  return left.every((row, r) =>
    row.every((x, c) => Math.abs(x - (right[r]![c] as number)) <= ALIKE * (largest[c] as number)),
  );
}

test("examples/bench holds what the model gives (renew it with vitest --update)", async () => {
  const files = benchFiles();
  for (const { name, text } of files) {
    const file = join(FOLDER, name);
    if (existsSync(file) && alike(readFileSync(file, "utf8"), text)) continue;
    await expect(text).toMatchFileSnapshot(file);
  }
  expect(readdirSync(FOLDER).sort()).toEqual(files.map(({ name }) => name).sort());
});

test("a file of another layout or with other numbers is not alike", () => {
  expect(alike("t;U\n1;2,5\n2;3,5\n", "t;U\n1;2,5\n2;3,51\n")).toBe(true);
  expect(alike("t;U\n1;2,5\n2;3,5\n", "t;U\n1;2,5\n2;3,6\n")).toBe(false);
  expect(alike("t;U\n1;2,5\n", "t,U\n1;2,5\n")).toBe(false);
  expect(alike("t;U\n1;2,5\n", "t;U\n1;2,5\n2;2,5\n")).toBe(false);
});
