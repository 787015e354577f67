import { closeSync, openSync, writeSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { findings } from "./findings.ts";
import { type Bench, benchWith, step, visit, withBrowser } from "./support.ts";

/* Long traces: read in pieces while the page answers, looked at from any distance without losing a peak. */

withBrowser();
let bench: Bench;
let file: string;
const ROWS = 1_000_001;
/** The one sample that stands out, in the middle. */
const PEAK = (ROWS - 1) / 2;
beforeAll(async () => {
  bench = await benchWith("first-valve");
  file = join(bench.folder, "long.csv");
  const out = openSync(file, "w");
  writeSync(out, "time (us),signal (V)\n");
  let rows = "";
  for (let i = 0; i < ROWS; i++) {
    const value = i === PEAK ? 50 : Math.sin(i / 3000) + (((i * 7919) % 101) - 50) / 500;
    rows += `${i},${value.toFixed(3)}\n`;
    if (i % 50_000 === 0 || i === ROWS - 1) {
      writeSync(out, rows);
      rows = "";
    }
  }
  closeSync(out);
});
afterAll(() => bench.close());

async function begun(page: Page): Promise<void> {
  await step(page, "Bench");
  await page.getByLabel("Measurement").selectOption("trace");
  await page.getByLabel("Files of the measurement").setInputFiles(file);
}

/** Whether something in the colour of the curve is drawn in the upper part of the first panel. */
function drawnAbove(page: Page): Promise<boolean> {
  return page.evaluate(() => {
    const canvas = document.querySelector<HTMLCanvasElement>(".bench-trace-canvas");
    const context = canvas?.getContext("2d");
    if (canvas === null || context == null) return false;
    const ink = getComputedStyle(canvas).getPropertyValue("--fig-curve-1").trim();
    const wanted = [1, 3, 5].map((i) => Number.parseInt(ink.slice(i, i + 2), 16));
    // Below the head of the panel, down to the middle of the canvas.
    const top = Math.round(20 * devicePixelRatio);
    const { data } = context.getImageData(0, top, canvas.width, Math.round(0.35 * canvas.height));
    for (let i = 0; i < data.length; i += 4)
      if (wanted.every((value, k) => Math.abs((data[i + k] as number) - value) < 24)) return true;
    return false;
  });
}

test("a long file is read in pieces and looked at without losing its one peak", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await page.evaluate(() => {
    const seen = new Set<string>();
    (window as never as { seen: Set<string> }).seen = seen;
    new MutationObserver(() => {
      const words = document.querySelector(".bench-file .progress")?.textContent ?? "";
      if (/rows/.test(words)) seen.add(words);
    }).observe(document.body, { subtree: true, childList: true, characterData: true });
  });
  await begun(page);
  await page.getByRole("button", { name: "Stop" }).click();
  await page.getByRole("button", { name: "Read it" }).click();
  // Another step and back while it is read.
  await step(page, "Need");
  await page.locator('[data-key="need.gas"]').waitFor();
  await step(page, "Bench");
  // A pulse of one sample is doubted: it is used when that is said.
  await page.getByRole("button", { name: "Use it as it is" }).click({ timeout: 90_000 });
  const state = page.locator(".bench-file-state.data");
  await state.waitFor({ timeout: 90_000 });
  expect(await state.textContent()).toContain("1\u202f000\u202f001 rows");
  const counted = await page.evaluate(() => [...(window as never as { seen: Set<string> }).seen]);
  expect(counted.length).toBeGreaterThan(2);

  await page.getByRole("radio", { name: "Trace", exact: true }).check({ force: true });
  const figure = page.locator('[data-figure="bench-trace"]');
  const words = figure.locator("figcaption");
  const all = "1\u202f000\u202f001 of 1\u202f000\u202f001 samples";
  await words.getByText(all).waitFor({ timeout: 90_000 });
  const layer = figure.locator(".bench-trace-layer");
  expect(await findings(page)).toEqual([]);
  await layer.focus();
  let zooms = 0;
  for (; zooms < 40; zooms++) {
    const before = await words.textContent();
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(done))));
    expect(await drawnAbove(page), `at ${before}`).toBe(true);
    if (/: \d of /.test(before ?? "")) break;
    await page.keyboard.press("+");
    await expect.poll(() => words.textContent(), { timeout: 10_000 }).not.toBe(before);
  }
  // From a million samples by 0.6 each time down to some.
  expect(zooms).toBeGreaterThan(20);
  expect(await words.textContent()).toMatch(/: \d of /);
  // Where nothing stands out nothing is drawn there.
  for (let i = 0; i < 12; i++) await page.keyboard.press("Shift+ArrowRight");
  await expect.poll(() => drawnAbove(page)).toBe(false);
  await page.keyboard.press("0");
  await words.getByText(all).waitFor();

  await page.keyboard.press("Home");
  await expect.poll(() => layer.getAttribute("aria-valuetext")).toMatch(/^0 .*s; signal/);
  await page.keyboard.press("ArrowRight");
  await expect
    .poll(() => layer.getAttribute("aria-valuetext"))
    .toMatch(/^10 ms; signal .*V to .*V$/);
  await figure.getByRole("button", { name: "Numbers" }).click();
  const dialog = page.getByRole("dialog");
  await dialog.locator("tbody tr").first().waitFor({ timeout: 60_000 });
  expect(await dialog.locator("th").first().textContent()).toBe("time / s");
  expect(errors).toEqual([]);
  await close();
}, 240_000);
