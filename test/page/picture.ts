import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import pixelmatch from "pixelmatch";
import type { Page } from "playwright-core";
import { PNG } from "pngjs";
import { expect } from "vitest";

const STORE = join(import.meta.dirname, "screens");
const SHARE = 0.02;

/**
 * Compares what is seen with the stored picture of that name. Letters are drawn a little otherwise by another
 * version of the browser, so a screen may differ in one pixel of fifty; a moved, missing or overlapping part
 * differs more. REEDLIFT_ACCEPT=1 stores what is seen as the new picture.
 */
export async function looksAsStored(page: Page, name: string): Promise<void> {
  const seen = await page.screenshot();
  const file = join(STORE, `${name}.png`);
  if (process.env.REEDLIFT_ACCEPT === "1") {
    mkdirSync(STORE, { recursive: true });
    writeFileSync(file, seen);
    return;
  }
  expect(existsSync(file), `${file} is stored`).toBe(true);
  const [a, b] = [PNG.sync.read(readFileSync(file)), PNG.sync.read(seen)];
  const { width, height } = a;
  expect([b.width, b.height]).toEqual([width, height]);
  const different = pixelmatch(a.data, b.data, undefined, width, height, { threshold: 0.2 });
  if (different > SHARE * width * height) writeFileSync(join(STORE, `${name}.seen.png`), seen);
  expect(different / (width * height)).toBeLessThan(SHARE);
}
