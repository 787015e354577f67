import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { expect, test } from "vitest";
import { ROOT, scratch, staged } from "./support.ts";

/*
 * README.md shows what the command really prints. A block stands under a comment that says how it is
 * made:   <!-- output: check FILE OPTIONS | OLD -> NEW | lines 1-15 -->
 * "OLD -> NEW" edits the file first; "lines A-B", 'from "TITLE" to "TITLE"' and 'until "TITLE"' cut.
 */
const BLOCK = /<!-- (output|design): (.*?) -->\n```\w+\n([\s\S]*?)```/g;

const readme = readFileSync(join(ROOT, "README.md"), "utf8");

interface Block {
  whole: string;
  kind: string;
  parts: string[];
  body: string;
}

const blocks: Block[] = [...readme.matchAll(BLOCK)].map((match) => ({
  whole: match[0],
  kind: match[1] as string,
  parts: (match[2] as string).split(" | "),
  body: match[3] as string,
}));

/** Text of a file of the project, or of a design that README.md shows. */
function textOf(file: string): string {
  const shown = blocks.find((block) => block.kind === "design" && block.parts[0] === file);
  return shown?.body ?? readFileSync(join(ROOT, file), "utf8");
}

async function outputOf({ parts }: Block, folder: string): Promise<string> {
  if ((parts[0] as string).startsWith("reduce ")) return reducedOf(parts);
  const [command = "", file = "", ...options] = (parts[0] as string).split(" ");
  let text = textOf(file);
  const edits = parts.slice(1).filter((part) => part.includes(" -> "));
  for (const edit of edits) {
    const [from = "", to = ""] = edit.split(" -> ");
    expect(text, `${file} has ${from}`).toContain(from);
    text = text.replace(from, to);
  }
  mkdirSync(dirname(join(folder, file)), { recursive: true });
  writeFileSync(join(folder, file), text);
  const here = process.cwd();
  try {
    process.chdir(folder);
    const { out, err } = await staged([command, file, ...options]);
    return parts.slice(1).reduce((shown, part) => cut(shown, part), out === "" ? err : out);
  } finally {
    process.chdir(here);
  }
}

/** A measurement is reduced where its files lie; a setting may be quoted. */
async function reducedOf(parts: readonly string[]): Promise<string> {
  const words = [...(parts[0] as string).matchAll(/'([^']*)'|(\S+)/g)].map(
    (m) => m[1] ?? m[2] ?? "",
  );
  const here = process.cwd();
  try {
    process.chdir(ROOT);
    const { out, err } = await staged(words);
    return parts.slice(1).reduce((shown, part) => cut(shown, part), out === "" ? err : out);
  } finally {
    process.chdir(here);
  }
}

/** Applies one cut to an output; an edit is none. */
function cut(text: string, part: string): string {
  const lines = text.trimEnd().split("\n");
  const at = (title: string) => {
    const found = lines.findIndex((line) => line.startsWith(`${title} ─`));
    expect(found, `the output has ${title}: ${text.slice(0, 400)}`).toBeGreaterThanOrEqual(0);
    return found;
  };
  const range = /^lines (\d+)-(\d+)$/.exec(part);
  const between = /^from "(.*)" to "(.*)"$/.exec(part);
  const until = /^until "(.*)"$/.exec(part);
  let kept = lines;
  if (range !== null) kept = lines.slice(Number(range[1]) - 1, Number(range[2]));
  else if (between !== null) kept = lines.slice(at(between[1] as string), at(between[2] as string));
  else if (until !== null) kept = lines.slice(0, at(until[1] as string));
  return `${kept.join("\n").trimEnd()}\n`;
}

test("the design in README.md has ten lines", () => {
  expect(textOf("strip.reed.yaml").trimEnd().split("\n")).toHaveLength(10);
});

test("README.md shows what the command prints (renew it with vitest --update)", async () => {
  const folder = scratch();
  let renewed = readme;
  for (const block of blocks) {
    if (block.kind !== "output") continue;
    const made = `${block.whole.split("\n")[0]}\n\`\`\`text\n${await outputOf(block, folder)}\`\`\``;
    renewed = renewed.replace(block.whole, () => made);
  }
  await expect(renewed).toMatchFileSnapshot(join(ROOT, "README.md"));
});
