import { afterAll, beforeAll, test } from "vitest";
import { looksAsStored } from "./picture.ts";
import { type Bench, benchWith, computed, step, visit, withBrowser } from "./support.ts";

/* Key screens against the stored pictures of test/page/screens/. */

withBrowser();
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
  await looksAsStored(page, name);
  await close();
});
