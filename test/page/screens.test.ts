import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import pixelmatch from "pixelmatch";
import { PNG } from "pngjs";
import { afterAll, beforeAll, expect, test } from "vitest";
import { type Bench, benchWith, computed, step, visit, withBrowser } from "./support.ts";

/*
 * Key screens against the stored pictures of test/page/screens/. Letters are drawn a little otherwise
 * by another version of the browser, so a screen may differ in one pixel of fifty; a moved, missing or
 * overlapping part differs more. REEDLIFT_ACCEPT=1 stores what is seen as the new pictures.
 */

withBrowser();
const STORE = join(import.meta.dirname, "screens");
const SHARE = 0.02;
let bench: Bench;
beforeAll(async () => {
  bench = await benchWith("first-valve", "crossed-beam-helium", "mirror-shutter");
});
afterAll(() => bench.close());

const SCREENS = [
  {
    name: "length",
    design: "first-valve",
    at: "Free length",
    width: 1280,
    height: 800,
    scheme: "light",
  },
  {
    name: "length-dark",
    design: "first-valve",
    at: "Free length",
    width: 1280,
    height: 800,
    scheme: "dark",
  },
  {
    name: "need",
    design: "crossed-beam-helium",
    at: "Need",
    width: 1280,
    height: 800,
    scheme: "light",
  },
  {
    name: "wiring",
    design: "crossed-beam-helium",
    at: "Wiring",
    width: 1280,
    height: 800,
    scheme: "light",
  },
  {
    name: "seat",
    design: "crossed-beam-helium",
    at: "Seat and stand-off",
    width: 1920,
    height: 1080,
    scheme: "light",
  },
  {
    name: "drive-dark",
    design: "crossed-beam-helium",
    at: "Drive",
    width: 1920,
    height: 1080,
    scheme: "dark",
  },
  {
    name: "strip-only",
    design: "mirror-shutter",
    at: "Strip",
    width: 1280,
    height: 800,
    scheme: "light",
  },
  {
    name: "tablet",
    design: "first-valve",
    at: "Free length",
    width: 820,
    height: 1180,
    scheme: "light",
  },
] as const;

test.each(SCREENS)("$name looks as stored", async ({ name, design, at, width, height, scheme }) => {
  const { page, close } = await visit(bench, design, {
    viewport: { width, height },
    colorScheme: scheme,
  });
  await step(page, at);
  await computed(page);
  await page.waitForTimeout(700);
  await page.mouse.move(2, 2);
  const seen = await page.screenshot();
  await close();
  const file = join(STORE, `${name}.png`);
  if (process.env.REEDLIFT_ACCEPT === "1") {
    mkdirSync(STORE, { recursive: true });
    writeFileSync(file, seen);
    return;
  }
  expect(existsSync(file), `${file} is stored`).toBe(true);
  const [a, b] = [PNG.sync.read(readFileSync(file)), PNG.sync.read(seen)];
  expect([b.width, b.height]).toEqual([a.width, a.height]);
  const different = pixelmatch(a.data, b.data, undefined, a.width, a.height, { threshold: 0.2 });
  if (different > SHARE * width * height) writeFileSync(join(STORE, `${name}.seen.png`), seen);
  expect(different / (width * height)).toBeLessThan(SHARE);
});
