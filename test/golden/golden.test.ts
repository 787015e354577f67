import { existsSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { pictures } from "./pictures.ts";

/*
 * Stored pictures, compared byte for byte. A picture that differs is written beside the stored one as
 * NAME-changed.svg: look at both in test/viewer.html, then accept with
 *   REEDLIFT_ACCEPT=1 npx vitest run test/golden
 */
const ACCEPT = process.env.REEDLIFT_ACCEPT === "1";
const file = (name: string) => fileURLToPath(new URL(name, import.meta.url));
const all = pictures();

test.each(Object.entries(all))("picture as stored: %s", (name, figure) => {
  expect(figure).not.toBeNull();
  compare(`${name}.svg`, `${name}-changed.svg`, figure!.svg);
});

test("the viewer's list names every picture", () => {
  const list = Object.entries(all).map(([name, figure]) => ({ name, sentence: figure?.sentence }));
  compare("list.js", "list-changed.js", `window.pictures = ${JSON.stringify(list, null, 2)};\n`);
});

function compare(stored: string, changed: string, now: string): void {
  const before = existsSync(file(stored)) ? readFileSync(file(stored), "utf8") : null;
  if (before === now || ACCEPT) {
    if (before !== now) writeFileSync(file(stored), now);
    rmSync(file(changed), { force: true });
    return;
  }
  writeFileSync(file(changed), now);
  throw new Error(
    `${stored} ${before === null ? "is not stored yet" : "differs"}: see test/golden/${changed} in test/viewer.html, accept with REEDLIFT_ACCEPT=1`,
  );
}
