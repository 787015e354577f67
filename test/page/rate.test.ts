import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { readDesign } from "../../src/design/readDesign.ts";
import { rateCase } from "../../src/studies/ratesCase.ts";
import { ratesPlan } from "../../src/studies/ratesPlan.ts";
import { shapeSteps } from "../../src/studies/shape.ts";
import { formatQuantity } from "../../src/units/index.ts";
import { findings } from "./findings.ts";
import { type Bench, benchWith, ROOT, step, visit, withBrowser } from "./support.ts";

/* The step of the rate: long studies that show what they have, stop, go on, and say why they can't. */

withBrowser();
let bench: Bench;
const TEXT = readFileSync(join(ROOT, "examples", "first-valve.reed.yaml"), "utf8");
beforeAll(async () => {
  bench = await benchWith("first-valve");
  const grounded = TEXT.replace("upper face: bias", "upper face: ground");
  writeFileSync(join(bench.folder, "refused.reed.yaml"), grounded);
});
afterAll(() => bench.close());

function design() {
  const read = readDesign(TEXT, { name: "first-valve" });
  if (!read.ok) throw new Error("the example is a design");
  return read.design;
}
const doneOf = (words: string | null) => Number(/(\d+) of \d+/.exec(words ?? "")?.[1]);

test("a scan stops with the rates it has, each that of the library, and goes on from there", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await step(page, "Rate");
  const figure = page.locator('[data-figure="rates"]');
  const progress = figure.locator(".progress");
  await expect
    .poll(async () => doneOf(await progress.textContent()), { timeout: 60_000 })
    .toBeGreaterThan(8);
  await figure.getByRole("button", { name: "Stop" }).click();
  await figure.getByRole("button", { name: "Go on" }).waitFor();
  // The rate in hand is still finished and drawn.
  await page.waitForTimeout(1500);
  const stopped = doneOf(await progress.textContent());
  const [file] = await Promise.all([
    page.waitForEvent("download"),
    figure.getByRole("button", { name: "CSV" }).click(),
  ]);
  const lines = readFileSync(await file.path(), "utf8")
    .split("\n")
    .filter((line) => line !== "" && !line.startsWith("#"));
  const names = lines[0]!.split(",");
  const rows = lines.slice(2).map((line) => line.split(","));
  expect(rows.length).toBeGreaterThanOrEqual(stopped);
  expect(rows.length).toBeLessThan(201);
  const cell = (row: string[], name: string) => Number(row[names.indexOf(name)]);
  const plan = ratesPlan(design());
  for (const row of [rows[0]!, rows[Math.floor(rows.length / 2)]!, rows.at(-1)!]) {
    const own = rateCase(design(), plan, cell(row, "rate"));
    // Powers differ in the last bit between the browser's engine and Node's.
    expect(cell(row, "gas_over_single") / own.gas_over_single).toBeCloseTo(1, 6);
  }
  expect(await findings(page)).toEqual([]);
  // Another size draws what is known and computes nothing.
  await page.setViewportSize({ width: 1400, height: 900 });
  await page.waitForTimeout(800);
  expect(doneOf(await progress.textContent())).toBe(stopped);
  await figure.getByRole("button", { name: "Go on" }).click();
  await expect
    .poll(async () => doneOf(await progress.textContent()), { timeout: 60_000 })
    .toBeGreaterThan(stopped + 4);
  expect(await page.locator(".command code").textContent()).toBe(
    "reedlift rates first-valve.reed.yaml",
  );
  expect(errors).toEqual([]);
  await close();
});

test("a map of gates against rates is drawn while it fills in", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await step(page, "Rate");
  await page.getByRole("radio", { name: "Gates and rates" }).check({ force: true });
  const map = page.locator('[data-figure="rate-map"]');
  await map.locator("figcaption", { hasText: "cells computed" }).waitFor({ timeout: 60_000 });
  await map.getByRole("button", { name: "Stop" }).click();
  await map.getByRole("button", { name: "Go on" }).waitFor();
  expect(await map.locator("svg").textContent()).toContain("repetition rate");
  expect(errors).toEqual([]);
  await close();
});

test("drives are listed as they are run, the step first, with the speeds of the library", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await step(page, "Rate");
  await page.getByRole("radio", { name: "Drives compared" }).check({ force: true });
  const rows = page.locator(".rate-figures tbody tr");
  await expect.poll(() => rows.count(), { timeout: 60_000 }).toBeGreaterThan(2);
  const steps = shapeSteps(design());
  const { rows: own } = steps.next().value!;
  const cells = await rows.first().locator("th, td").allTextContents();
  expect(cells[0]).toBe("step");
  expect(cells[2]).toBe(formatQuantity(own[0]!.exact!.impactSpeed, 0, "speed", { digits: 3 }));
  await page.locator('[data-figure="shapes"]').getByRole("button", { name: "Stop" }).click();
  expect(await findings(page)).toEqual([]);
  expect(await page.locator(".command code").textContent()).toContain("reedlift shape");
  expect(errors).toEqual([]);
  await close();
});

test("a design without a pulse says why there are no rates, and leads to the pulse", async () => {
  const { page, errors, close } = await visit(bench, "refused");
  await step(page, "Rate");
  const empty = page.locator('[data-figure="rates"] .empty');
  await empty.getByText("the wiring is refused").waitFor();
  await empty.getByRole("button").click();
  await page.locator('.steps [aria-current="step"]', { hasText: "Pulse" }).waitFor();
  expect(errors).toEqual([]);
  await close();
});
