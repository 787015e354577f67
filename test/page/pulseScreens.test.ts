import { afterAll, beforeAll, test } from "vitest";
import { looksAsStored } from "./picture.ts";
import { type Bench, benchWith, computed, step, visit, withBrowser } from "./support.ts";

/* Key screens of pulse and rate against the stored pictures of test/page/screens/. */

withBrowser();
let bench: Bench;
beforeAll(async () => {
  bench = await benchWith("first-valve", "crossed-beam-helium", "mirror-shutter");
});
afterAll(() => bench.close());

const SCREENS = [
  { name: "pulse", design: "first-valve", width: 1280, height: 800, scheme: "light", keys: 6 },
  {
    name: "pulse-dark",
    design: "crossed-beam-helium",
    width: 1920,
    height: 1080,
    scheme: "dark",
    keys: 3,
  },
  {
    name: "pulse-tablet",
    design: "mirror-shutter",
    width: 820,
    height: 1180,
    scheme: "light",
    keys: 38,
  },
] as const;

test.each(SCREENS)(
  "$name looks as stored, the strip in motion",
  async ({ name, design, width, height, scheme, keys }) => {
    const { page, close } = await visit(bench, design, {
      viewport: { width, height },
      colorScheme: scheme,
    });
    await step(page, "Pulse");
    await computed(page);
    const ruler = page.getByRole("slider", { name: "Time in the pulse", exact: true });
    await ruler.focus();
    for (let i = 0; i < keys; i++) await page.keyboard.press("ArrowRight");
    const opening = page.getByRole("button", { name: "Main opening" });
    if (design !== "mirror-shutter") await opening.click();
    // The gates behind the slider are tried one after the other.
    await page.locator('.track[data-tried="33"]').waitFor({ timeout: 60_000 });
    await page.waitForTimeout(500);
    await page.mouse.move(2, 2);
    await looksAsStored(page, name);
    await close();
  },
);

test("rate looks as stored", async () => {
  const { page, close } = await visit(bench, "first-valve");
  await step(page, "Rate");
  await page.locator('[data-figure="rates"] .progress').waitFor();
  await page
    .locator('[data-figure="rates"] .progress')
    .waitFor({ state: "detached", timeout: 180_000 });
  await page.waitForTimeout(700);
  await page.mouse.move(2, 2);
  await looksAsStored(page, "rate");
  await close();
}, 200_000);
