import { copyFileSync, existsSync, mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Browser, type BrowserContextOptions, chromium, type Page } from "playwright-core";
import { afterAll, beforeAll } from "vitest";
import { runServer } from "../../src/server/run.ts";

export const ROOT = join(import.meta.dirname, "..", "..");
const PAGE = process.env.REEDLIFT_PAGE ?? join(ROOT, "dist", "page");

/** Where Debian puts it; another place by the environment. */
const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";

const FLAGS = [
  "--headless",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
  "--font-render-hinting=none",
  "--force-color-profile=srgb",
  ...(process.getuid?.() === 0 ? ["--no-sandbox"] : []),
];

let browser: Browser | undefined;

/** One browser for the tests of a file. */
export function withBrowser(): void {
  beforeAll(async () => {
    if (!existsSync(CHROMIUM))
      throw new Error(`the page's tests need Chromium at ${CHROMIUM}: apt-get install chromium`);
    browser = await chromium.launch({ executablePath: CHROMIUM, args: FLAGS });
  });
  afterAll(async () => {
    await browser?.close();
  });
}

export interface Bench {
  url: string;
  folder: string;
  /** Ends the server; the folder stays. */
  stop(): Promise<void>;
  /** Starts it again at the same address. */
  again(): Promise<void>;
  close(): Promise<void>;
}

/** A server over a folder of its own with some of the examples. */
export async function benchWith(...names: string[]): Promise<Bench> {
  const folder = mkdtempSync(join(tmpdir(), "reedlift-page-"));
  const wanted = names.length > 0 ? names.map((name) => `${name}.reed.yaml`) : examples();
  for (const name of wanted) copyFileSync(join(ROOT, "examples", name), join(folder, name));
  let running = await runServer({ folder, port: 0, pageFolder: PAGE });
  const port = Number(new URL(running.url).port);
  return {
    url: running.url,
    folder,
    stop: () => running.close(),
    again: async () => {
      running = await runServer({ folder, port, pageFolder: PAGE });
    },
    close: async () => {
      await running.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

export const examples = (): string[] =>
  readdirSync(join(ROOT, "examples"))
    .filter((name) => name.endsWith(".reed.yaml"))
    .sort();

export interface Visit {
  page: Page;
  /** Every address that was asked for. */
  asked: string[];
  /** Errors of the console and of the page's own code. */
  errors: string[];
  close(): Promise<void>;
}

/** A page of its own (storage included) at the design, computed and painted. */
export async function visit(
  bench: Bench,
  design: string,
  options: BrowserContextOptions = {},
): Promise<Visit> {
  if (browser === undefined) throw new Error("withBrowser() stands before the tests");
  const context = await browser.newContext({
    viewport: { width: 1280, height: 800 },
    reducedMotion: "reduce",
    ...options,
  });
  const page = await context.newPage();
  const asked: string[] = [];
  const errors: string[] = [];
  page.on("request", (request) => asked.push(request.url()));
  page.on("pageerror", (error) => errors.push(error.message));
  page.on("console", (message) => {
    if (message.type() === "error") errors.push(message.text());
  });
  await page.goto(`${bench.url}#design=${design}.reed.yaml`);
  await computed(page);
  return { page, asked, errors, close: () => context.close() };
}

/** Waits until the whole sheet of the text on the page is there. */
export async function computed(page: Page): Promise<void> {
  await page.locator('.page[data-computed="whole"]').waitFor({ timeout: 10_000 });
}

/** An input by its key in the design file. */
export const field = (page: Page, key: string) =>
  page.locator(`[data-key="${key}"] .field-input`).first();

export const step = (page: Page, name: string) =>
  page.getByRole("navigation", { name: "Steps" }).getByRole("button", { name }).click();

/** A row of the margins by words of its requirement. */
export const margin = (page: Page, words: string) =>
  page.locator(".margin", { hasText: words }).first();
