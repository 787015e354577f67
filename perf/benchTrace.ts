import { closeSync, openSync, writeSync } from "node:fs";
import { join } from "node:path";
import type { CDPSession, Page } from "playwright-core";
import { CHROMIUM, onPage } from "./browser.ts";

/*
 * A trace of ten million samples on the page, in headless Chromium on this machine: how long the page is held up while
 * the file is read, and the main thread's work of a frame while the trace is panned and zoomed. Part of
 * `npm run bench`; never a test.
 */

const NAME = "first-valve.reed.yaml";
const ROWS = 1e7;
/** Frames of a pan and of a zoom. */
const FRAMES = 120;

export interface TraceRow {
  what: string;
  value: number;
  unit: string;
  limit: number | null;
}

/** The rows, or null where there is no browser. */
export async function traceRows(rows = ROWS): Promise<TraceRow[] | null> {
  return onPage(NAME, ({ page, client, url, folder }) => {
    const file = join(folder, "trace.csv");
    writeTrace(file, rows);
    return measure(page, client, url, file, rows);
  });
}

/** A ring-down repeated at 50 Hz, sampled each microsecond, in two columns. */
function writeTrace(path: string, rows: number): void {
  const file = openSync(path, "w");
  writeSync(file, "time (s),signal (V)\n");
  const lines: string[] = [];
  for (let i = 0; i < rows; i++) {
    const t = (i % 20_000) * 1e-6;
    const ripple = ((i * 7919) % 1009) / 1009 - 0.5;
    const y = Math.exp(-150 * t) * Math.cos(17_000 * t) + 0.02 * ripple;
    lines.push(`${(i * 1e-6).toFixed(6)},${y.toFixed(4)}\n`);
    if (lines.length === 50_000 || i === rows - 1) writeSync(file, lines.splice(0).join(""));
  }
  closeSync(file);
}

async function measure(
  page: Page,
  client: CDPSession,
  url: string,
  file: string,
  rows: number,
): Promise<TraceRow[]> {
  await page.addInitScript(() => {
    const seen = { longest: 0 };
    (window as never as { seen: typeof seen }).seen = seen;
    new PerformanceObserver((list) => {
      for (const { duration } of list.getEntries()) seen.longest = Math.max(seen.longest, duration);
    }).observe({ type: "longtask" });
  });
  await page.goto(url);
  await page.locator('.page[data-computed="whole"]').waitFor();
  await page.locator("nav.steps button", { hasText: "Bench" }).click();
  await page.locator(".bench-kind select").selectOption("trace");
  const longest = () =>
    page.evaluate(() => {
      const seen = (window as never as { seen: { longest: number } }).seen;
      const found = seen.longest;
      seen.longest = 0;
      return found;
    });
  await longest();
  const begun = performance.now();
  await page.locator(".bench-files input[type=file]").setInputFiles(file);
  await page.locator(".bench-file-state.data").waitFor({ timeout: 120_000 });
  const took = (performance.now() - begun) / 1000;
  const whileRead = await longest();
  await page.getByRole("radio", { name: "Trace", exact: true }).check({ force: true });
  const layer = page.locator(".bench-trace-layer");
  await layer.waitFor({ timeout: 60_000 });
  await page.waitForTimeout(1500);
  const laid = await longest();
  const box = (await layer.boundingBox()) as {
    x: number;
    y: number;
    width: number;
    height: number;
  };

  await client.send("Performance.enable");
  const spent = async (): Promise<number> => {
    const { metrics } = await client.send("Performance.getMetrics");
    return metrics.find(({ name }) => name === "TaskDuration")?.value ?? 0;
  };
  const middle = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  await layer.focus();
  const each = async (act: (i: number) => Promise<void>) => {
    const before = await spent();
    for (let i = 0; i < FRAMES; i++) {
      await act(i);
      await page.evaluate(
        () => new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve))),
      );
    }
    return (1000 * ((await spent()) - before)) / FRAMES;
  };
  await page.mouse.move(middle.x, middle.y);
  const zoom = await each((i) => page.mouse.wheel(0, i < FRAMES / 2 ? -50 : 50));
  await page.keyboard.press("0");
  for (let i = 0; i < 3; i++) await page.keyboard.press("+");
  await page.keyboard.down("Shift");
  await page.mouse.down();
  const pan = await each((i) =>
    page.mouse.move(middle.x + 200 * Math.sin(i / 10), middle.y, { steps: 1 }),
  );
  await page.mouse.up();
  await page.keyboard.up("Shift");
  const moving = await longest();
  const row = (what: string, value: number, unit: string, limit: number | null) => ({
    what,
    value: Number(value.toPrecision(4)),
    unit,
    limit,
  });
  const count = `${rows.toExponential(0).replace("e+", "e")} rows`;
  return [
    row(`page: ${count} from file to columns`, took, "s", null),
    row(`page: longest block while ${count} are read`, whileRead, "ms", 100),
    row("page: longest block until the trace is there", laid, "ms", 100),
    row("page: main thread, a frame of zoom", zoom, "ms", 33),
    row("page: main thread, a frame of pan", pan, "ms", 33),
    row("page: longest block while it is panned and zoomed", moving, "ms", 100),
  ];
}

if (process.argv[1]?.endsWith("benchTrace.ts")) {
  const found = await traceRows(Number(process.argv[2] ?? ROWS));
  if (found === null) console.log(`no browser at ${CHROMIUM}: the trace was not measured`);
  else
    for (const { what, value, unit, limit } of found) {
      const over = limit !== null && value > limit ? "  OVER" : "";
      console.log(
        `${what.padEnd(56)} ${String(value).padStart(9)} ${unit}${limit === null ? "" : `  (limit ${limit})`}${over}`,
      );
    }
}
