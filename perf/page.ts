import type { CDPSession, Page } from "playwright-core";
import { CHROMIUM, onPage } from "./browser.ts";

/*
 * What a user feels of the page, measured in headless Chromium on this machine: from an input to the
 * painted picture, the longest block of the main thread, bytes loaded, largest paint, memory over
 * 1000 edits. Part of `npm run bench`; never a test.
 */

const NAME = "crossed-beam-helium.reed.yaml";

export interface PageRow {
  what: string;
  value: number;
  unit: string;
  limit: number | null;
  goal: number | null;
}

/** The rows, or null where there is no browser. */
export async function pageRows(): Promise<PageRow[] | null> {
  return onPage(NAME, ({ page, client, url }) => measure(page, client, url));
}

async function measure(page: Page, client: CDPSession, url: string): Promise<PageRow[]> {
  let bytes = 0;
  await client.send("Network.enable");
  client.on("Network.loadingFinished", ({ encodedDataLength }) => {
    bytes += encodedDataLength;
  });
  await page.addInitScript(() => {
    const seen = { longest: 0, largest: 0 };
    (window as never as { seen: typeof seen }).seen = seen;
    new PerformanceObserver((list) => {
      for (const { duration } of list.getEntries()) seen.longest = Math.max(seen.longest, duration);
    }).observe({ type: "longtask", buffered: true });
    new PerformanceObserver((list) => {
      for (const { startTime } of list.getEntries()) seen.largest = startTime;
    }).observe({ type: "largest-contentful-paint", buffered: true });
  });
  await page.goto(url);
  await page.locator('[data-figure="side-view"] svg').waitFor();
  await page.locator(".margin").first().waitFor();
  const drawn = bytes;
  await page.locator('.page[data-computed="whole"]').waitFor();
  const seen = () =>
    page.evaluate(() => (window as never as { seen: { longest: number; largest: number } }).seen);
  const { largest } = await seen();
  for (const step of ["Need", "Strip", "Wiring", "Seat and stand-off", "Drive", "Free length"]) {
    await press(page, "nav.steps button", step);
    await page.waitForTimeout(300);
  }
  await press(page, "nav.steps button", "Bench");
  await page.locator(".bench-kind option").nth(3).waitFor({ state: "attached" });
  await press(page, "nav.steps button", "Free length");
  await page.waitForTimeout(300);
  await press(page, "header button", "Text");
  await page.waitForTimeout(300);
  await page.keyboard.press("Escape");
  await page.locator('.page[data-computed="whole"]').waitFor();
  const all = bytes;

  const times = await edits(page, 200);
  const { longest } = await seen();
  const first = await heap(client);
  await edits(page, 1000);
  const last = await heap(client);
  const sorted = times.sort((a, b) => a - b);
  const at = (share: number) => sorted[Math.floor(share * (sorted.length - 1))] as number;
  const row = (
    what: string,
    value: number,
    unit: string,
    limit: number | null,
    goal: number | null = null,
  ) => ({
    what,
    value: Number(value.toPrecision(4)),
    unit,
    limit,
    goal,
  });
  return [
    row("page: input to painted, median", at(0.5), "ms", null, 16),
    row("page: input to painted, 95 %", at(0.95), "ms", 50, 16),
    row("page: longest block of the main thread", longest, "ms", 100),
    row("page: loaded until drawing and margins", drawn / 1000, "kB", 400),
    row("page: loaded in all", all / 1000, "kB", 800),
    row("page: largest paint", largest, "ms", 1500),
    row("page: heap after 200 edits", first / 1e6, "MB", null),
    row("page: heap after 1200 edits", last / 1e6, "MB", null),
  ];
}

/** Presses a button by its text, without a search by role: that would be a block of the main thread of its own. */
async function press(page: Page, buttons: string, text: string): Promise<void> {
  await page.evaluate(
    ([selector, wanted]) => {
      const found = [...document.querySelectorAll<HTMLButtonElement>(selector as string)].find(
        (button) => button.textContent?.trim().includes(wanted as string),
      );
      if (found === undefined) throw new Error(`no button ${wanted}`);
      found.click();
    },
    [buttons, text],
  );
}

/** Steps the free length to and fro; ms from each key to the frame after the drawing changed. */
function edits(page: Page, count: number): Promise<number[]> {
  return page.evaluate(async (n) => {
    const handle = document.querySelector<HTMLElement>(".length-line");
    const drawing = document.querySelector('[data-figure="side-view"] .figure-draw');
    if (handle === null || drawing === null) throw new Error("no handle or no drawing");
    const out: number[] = [];
    for (let i = 0; i < n; i++) {
      const start = performance.now();
      const painted = new Promise<void>((resolve) => {
        const observer = new MutationObserver(() => {
          observer.disconnect();
          requestAnimationFrame(() => setTimeout(resolve));
        });
        observer.observe(drawing, { childList: true, subtree: true });
      });
      const key = i % 20 < 10 ? "ArrowRight" : "ArrowLeft";
      document
        .querySelector<HTMLElement>(".length-line")
        ?.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
      await painted;
      out.push(performance.now() - start);
      await new Promise((resolve) => setTimeout(resolve, 30));
    }
    return out;
  }, count);
}

async function heap(client: CDPSession): Promise<number> {
  await client.send("HeapProfiler.collectGarbage");
  const { usedSize } = await client.send("Runtime.getHeapUsage");
  return usedSize;
}

if (process.argv[1]?.endsWith("page.ts")) {
  const rows = await pageRows();
  if (rows === null) console.log(`no browser at ${CHROMIUM}: the page was not measured`);
  else
    for (const { what, value, unit, limit } of rows) {
      const over = limit !== null && value > limit ? "  OVER" : "";
      console.log(
        `${what.padEnd(44)} ${String(value).padStart(9)} ${unit}${limit === null ? "" : `  (limit ${limit})`}${over}`,
      );
    }
}
