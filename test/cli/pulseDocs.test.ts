import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { pulse } from "../../src/studies/pulse.ts";
import { exampleDesign } from "../examples/support.ts";
import { ROOT, scratch, staged } from "./support.ts";

/*
 * docs/pulse.md shows what the command really prints. A block stands under a comment that says how it is
 * made, as in README.md:   <!-- output: pulse FILE OPTIONS | OLD -> NEW | lines 1-15 -->
 */
const PATH = join(ROOT, "docs", "pulse.md");
const text = readFileSync(PATH, "utf8");
const BLOCK = /<!-- output: (.*?) -->\n```text\n[\s\S]*?```/g;

async function printed(parts: readonly string[]): Promise<string> {
  const [command = "", file = "", ...options] = (parts[0] as string).split(" ");
  let design = readFileSync(join(ROOT, file), "utf8");
  for (const edit of parts.slice(1).filter((part) => part.includes(" -> "))) {
    const [from = "", to = ""] = edit.split(" -> ");
    expect(design, `${file} has ${from}`).toContain(from);
    design = design.replace(from, to);
  }
  const folder = scratch();
  mkdirSync(join(folder, "examples"));
  writeFileSync(join(folder, file), design);
  const here = process.cwd();
  try {
    process.chdir(folder);
    const { out, err } = await staged([command, file, ...options]);
    return cut(out === "" ? err : out, parts.slice(1));
  } finally {
    process.chdir(here);
  }
}

function cut(whole: string, parts: readonly string[]): string {
  let lines = whole.trimEnd().split("\n");
  const at = (title: string | undefined) => {
    if (title === undefined) return undefined;
    const found = lines.findIndex((line) => line.startsWith(`${title} ─`));
    expect(found, `the output has ${title}`).toBeGreaterThanOrEqual(0);
    return found;
  };
  for (const part of parts) {
    const range = /^lines (\d+)-(\d+)$/.exec(part);
    const between = /^(?:from "(.*?)")?(?: ?to "(.*?)")?$/.exec(part);
    const until = /^until "(.*)"$/.exec(part);
    if (range !== null) lines = lines.slice(Number(range[1]) - 1, Number(range[2]));
    else if (until !== null) lines = lines.slice(0, at(until[1]));
    else if (between !== null) lines = lines.slice(at(between[1]), at(between[2]));
  }
  return `${lines.join("\n").trimEnd()}\n`;
}

test("docs/pulse.md shows what the command prints (renew it with vitest --update)", async () => {
  let renewed = text;
  for (const [whole, how = ""] of text.matchAll(BLOCK)) {
    const made = `<!-- output: ${how} -->\n\`\`\`text\n${await printed(how.split(" | "))}\`\`\``;
    renewed = renewed.replace(whole, () => made);
  }
  await expect(renewed).toMatchFileSnapshot(PATH);
});

test("docs/pulse.md names every figure of a pulse", () => {
  const { result } = pulse(exampleDesign("first-valve"), { gate: 200e-6, duration: 2e-3 });
  const names = new Set<string>(Object.keys(result));
  const walk = (value: unknown): void => {
    if (typeof value !== "object" || value === null) return;
    for (const [key, item] of Object.entries(value)) {
      if (!Array.isArray(value)) names.add(key);
      walk(item);
    }
  };
  walk(result.pulses);
  expect(names.size).toBeGreaterThan(50);
  for (const known of ["verdict", "margins"]) names.delete(known);
  const missing = [...names].filter((name) => !text.includes(`\`${name}\``));
  expect(missing).toEqual([]);
});
