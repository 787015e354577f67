import { copyFileSync, existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type CDPSession, chromium, type Page } from "playwright-core";
import { runServer } from "../src/server/run.ts";

const ROOT = join(import.meta.dirname, "..");

export const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";

/** What a timing of the page works with; `folder` is served, and taken away afterwards. */
export interface Visit {
  page: Page;
  client: CDPSession;
  url: string;
  folder: string;
}

/** Times the built page on an example in headless Chromium; null where there is no browser. */
export async function onPage<T>(
  example: string,
  work: (visit: Visit) => Promise<T>,
): Promise<T | null> {
  if (!existsSync(CHROMIUM)) return null;
  const folder = mkdtempSync(join(tmpdir(), "reedlift-bench-"));
  copyFileSync(join(ROOT, "examples", example), join(folder, example));
  const server = await runServer({ folder, port: 0, pageFolder: join(ROOT, "dist", "page") });
  const browser = await chromium.launch({
    executablePath: CHROMIUM,
    args: [
      "--headless",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
      ...(process.getuid?.() === 0 ? ["--no-sandbox"] : []),
    ],
  });
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    const client = await page.context().newCDPSession(page);
    return await work({ page, client, url: `${server.url}#design=${example}`, folder });
  } finally {
    await browser.close();
    await server.close();
    rmSync(folder, { recursive: true, force: true });
  }
}
