import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { EXIT } from "../../src/cli/exit.ts";
import { COMMANDS } from "../../src/cli/options.ts";
import { commandReference, figureReference } from "../../src/cli/reference.ts";
import { readDesign } from "../../src/design/readDesign.ts";
import { fullCheck } from "../../src/studies/fullCheck.ts";
import { exampleText, ROOT } from "./support.ts";

test("docs/commands.md is the table of commands (renew it with vitest -u)", async () => {
  const text = commandReference();
  for (const { name, options } of COMMANDS) {
    expect(text).toContain(`## reedlift ${name}`);
    for (const { flag } of options) expect(text).toContain(flag);
  }
  for (const code of Object.values(EXIT)) expect(text).toContain(`| ${code} |`);
  await expect(text).toMatchFileSnapshot(join(ROOT, "docs", "commands.md"));
});

test("docs/figures.md lists the figures of a sheet (renew it with vitest -u)", async () => {
  const read = readDesign(exampleText("first-valve"));
  if (!read.ok) throw new Error("the example can't be read");
  const { figures } = fullCheck(read.design, { window: false, waysOut: false });
  await expect(figureReference(figures)).toMatchFileSnapshot(join(ROOT, "docs", "figures.md"));
});

/** Links to files of the project in a Markdown text. */
const linksIn = (text: string) =>
  [...text.matchAll(/\]\((?!https?:|#)([^)#]+)/g)].map((match) => match[1] as string);

test("every link in the documents leads to a file", () => {
  const documents = [
    ...readdirSync(ROOT).filter((name) => name.endsWith(".md")),
    ...readdirSync(join(ROOT, "docs"), { recursive: true, encoding: "utf8" })
      .filter((name) => name.endsWith(".md"))
      .map((name) => join("docs", name)),
  ];
  expect(documents).toContain("README.md");
  const broken = documents.flatMap((document) =>
    linksIn(readFileSync(join(ROOT, document), "utf8")).flatMap((link) => {
      try {
        readFileSync(join(ROOT, document, "..", link));
        return [];
      } catch {
        return [`${document}: ${link}`];
      }
    }),
  );
  expect(broken).toEqual([]);
});

test("every physics file has its note in docs/theory.md", () => {
  const theory = readFileSync(join(ROOT, "docs", "theory.md"), "utf8");
  const files = readdirSync(join(ROOT, "src", "physics")).filter(
    (name) => name.endsWith(".ts") && !name.endsWith(".test.ts") && name !== "index.ts",
  );
  expect(files.filter((name) => !theory.includes(name))).toEqual([]);
});
