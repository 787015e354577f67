import type { Locator } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { readDesign } from "../../src/design/readDesign.ts";
import { type Bench, benchWith, computed, field, step, visit, withBrowser } from "./support.ts";

/* Long studies in pieces: maps, windows behind the sliders, first designs from a need. */

withBrowser();
let bench: Bench;
beforeAll(async () => {
  bench = await benchWith("first-valve", "crossed-beam-helium");
});
afterAll(() => bench.close());

test("a map over length and voltage fills in and says what it found", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await page.getByRole("radio", { name: "Length and voltage" }).check({ force: true });
  const map = page.locator('[data-figure="map-length-voltage"]');
  await map.locator("svg").waitFor();
  await map.locator("figcaption", { hasText: "every requirement is met in" }).waitFor();
  await map.locator(".progress").waitFor({ state: "detached", timeout: 20_000 });
  expect(await map.locator("svg").textContent()).toContain("field with the poling");
  expect(errors).toEqual([]);
  await close();
});

/** Ends of the numbers at the foot of a map, mm. */
async function lengthsUnder(map: Locator): Promise<[number, number]> {
  const words = await map.locator("svg > text").allTextContents();
  const end = words.indexOf("free length / mm");
  const numbers = words.slice(0, end < 0 ? undefined : end).map((word) => Number(word));
  const ticks = numbers.filter((value) => !Number.isNaN(value));
  return [Math.min(...ticks), Math.max(...ticks)];
}

test("a map has its numbers and a zoom by box, by keys and by two fingers", async () => {
  const { page, errors, close } = await visit(bench, "first-valve", { hasTouch: true });
  await page.getByRole("radio", { name: "Length and voltage" }).check({ force: true });
  const map = page.locator('[data-figure="map-length-voltage"]');
  await map.locator("svg").waitFor();
  await map.locator(".progress").waitFor({ state: "detached", timeout: 20_000 });
  const whole = await lengthsUnder(map);
  const layer = map.locator(".plot-layer");
  const box = (await layer.boundingBox())!;
  const away = map.getByRole("button", { name: "Whole view" });

  await page.mouse.move(box.x + 0.4 * box.width, box.y + 0.3 * box.height);
  await page.mouse.down();
  await page.mouse.move(box.x + 0.6 * box.width, box.y + 0.7 * box.height, { steps: 3 });
  await page.mouse.up();
  await expect.poll(() => lengthsUnder(map)).not.toEqual(whole);
  const boxed = await lengthsUnder(map);
  expect(boxed[0]).toBeGreaterThanOrEqual(whole[0]);
  expect(boxed[1] - boxed[0]).toBeLessThan(0.3 * (whole[1] - whole[0]));
  await away.click();
  await expect.poll(() => lengthsUnder(map)).toEqual(whole);

  await layer.focus();
  for (let i = 0; i < 3; i++) await page.keyboard.press("+");
  await expect.poll(() => lengthsUnder(map)).not.toEqual(whole);
  await page.keyboard.press("0");
  await expect.poll(() => lengthsUnder(map)).toEqual(whole);

  const session = await page.context().newCDPSession(page);
  const fingers = (apart: number) =>
    [-1, 1].map((side) => ({
      x: box.x + box.width / 2 + side * apart,
      y: box.y + box.height / 2,
    }));
  const touch = (type: "touchStart" | "touchMove" | "touchEnd", apart?: number) =>
    session.send("Input.dispatchTouchEvent", {
      type,
      touchPoints: apart === undefined ? [] : fingers(apart),
    });
  await touch("touchStart", 30);
  for (const apart of [50, 75, 100]) await touch("touchMove", apart);
  await touch("touchEnd");
  await away.waitFor();
  await expect.poll(() => lengthsUnder(map)).not.toEqual(whole);
  await away.click();

  await map.getByRole("button", { name: "Numbers" }).click();
  const dialog = page.getByRole("dialog");
  // 41 lengths by 31 voltages.
  await dialog.getByText("The first 200 of 1271 rows").waitFor();
  expect(await dialog.locator("tbody tr").count()).toBe(200);
  expect(await dialog.locator("th").first().textContent()).toBe("free_length / m");
  expect(errors).toEqual([]);
  await close();
});

test("behind a slider lies the window in which everything is met, and dragging it changes the text", async () => {
  const { page, close } = await visit(bench, "first-valve");
  const row = page.locator('[data-key="strip.free_length"]');
  await row.locator(".track-window").waitFor();
  // reedlift check names 6.814 mm to 12.27 mm in a range of 4.5 mm to 16.2 mm.
  const [x, width] = await row
    .locator(".track-window")
    .evaluate((rect) => ["x", "width"].map((name) => Number(rect.getAttribute(name))));
  expect(x).toBeCloseTo((100 * (6.814 - 4.5)) / 11.7, 0);
  expect(width).toBeCloseTo((100 * (12.27 - 6.814)) / 11.7, 0);
  const slider = row.locator("input[type=range]");
  const box = (await slider.boundingBox())!;
  await page.mouse.move(box.x + box.width * 0.5, box.y + 9);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * 0.6, box.y + 9);
  await page.mouse.up();
  await computed(page);
  const value = Number.parseFloat(await field(page, "strip.free_length").inputValue());
  expect(value).toBeGreaterThan(10.5);
  expect(value).toBeLessThan(12.5);
  await close();
});

test("a new design asks for the need alone and offers ranked strips that are whole designs", async () => {
  const { page, close } = await visit(bench, "first-valve");
  await page.getByRole("button", { name: "New", exact: true }).click();
  const dialog = page.getByRole("dialog", { name: "New design" });
  await dialog.getByLabel("plenum pressure").fill("2 bar");
  await dialog.getByLabel("gas pulse").fill("200 µs");
  await dialog.getByLabel("repetition rate").fill("10 Hz");
  await dialog.getByRole("button", { name: "Propose strips" }).click();
  await dialog
    .getByText(/meets everything/)
    .first()
    .waitFor({ timeout: 30_000 });
  await dialog.getByText(/\d+ tried$/).waitFor({ timeout: 60_000 });
  const best = dialog.locator(".files button").first();
  expect(await best.textContent()).toContain("meets everything");
  await best.click();
  await computed(page);
  expect(await page.locator(".margin.unmet").count()).toBe(0);
  expect(await page.locator(".file-state").textContent()).toBe("changes kept here");
  await page.getByRole("button", { name: "Text", exact: true }).click();
  const text = await page.getByLabel("Text of the design file").inputValue();
  expect(readDesign(text).ok).toBe(true);
  await close();
});

test("a way out is taken with one press and undone with another", async () => {
  const { page, close } = await visit(bench, "crossed-beam-helium");
  await step(page, "Need");
  await page.getByRole("button", { name: "Take it" }).first().click();
  await computed(page);
  expect(await page.locator(".margin.unmet").count()).toBe(0);
  await page.getByRole("button", { name: "Undo", exact: true }).click();
  await computed(page);
  expect(await page.locator(".margin.unmet").count()).toBe(2);
  await close();
});

test("the fields of a fault are shown when it is chosen", async () => {
  const { page, close } = await visit(bench, "first-valve");
  await step(page, "Wiring");
  await page.locator(".state-choice select").selectOption("rail bias missing, output high");
  const section = page.locator('[data-figure="section"] svg');
  await section.getByText("rail bias missing").waitFor();
  expect(await section.locator('[data-part="electrode-vane"]').count()).toBe(1);
  await close();
});
