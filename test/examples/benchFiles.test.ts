import { readdirSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { ROOT } from "../cli/support.ts";
import { benchFiles } from "./benchFiles.ts";

const FOLDER = join(ROOT, "examples", "bench");

test("examples/bench holds what the model gives (renew it with vitest --update)", async () => {
  const files = benchFiles();
  for (const { name, text } of files) await expect(text).toMatchFileSnapshot(join(FOLDER, name));
  expect(readdirSync(FOLDER).sort()).toEqual(files.map(({ name }) => name).sort());
});
