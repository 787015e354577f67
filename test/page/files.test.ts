import { readFileSync, unlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest";
import {
  type Bench,
  benchWith,
  computed,
  field,
  ROOT,
  step,
  visit,
  withBrowser,
} from "./support.ts";

/* What is written is never lost: undo, reload, save, two writers, two tabs, a server that is gone. */

withBrowser();
let bench: Bench;
const FILE = "first-valve.reed.yaml";
const ORIGINAL = readFileSync(join(ROOT, "examples", FILE), "utf8");
const path = () => join(bench.folder, FILE);
const withPressure = (text: string) =>
  ORIGINAL.replace("plenum_pressure: 2 bar", `plenum_pressure: ${text}`);
const onDisk = () => readFileSync(path(), "utf8");

beforeAll(async () => {
  bench = await benchWith("first-valve", "mirror-shutter");
});
beforeEach(() => writeFileSync(path(), ORIGINAL));
afterAll(() => bench.close());

async function setPressure(page: Page, text: string): Promise<void> {
  await step(page, "Need");
  await field(page, "need.plenum_pressure").fill(text);
  await field(page, "need.plenum_pressure").press("Enter");
  await computed(page);
}
const button = (page: Page, name: string) => page.getByRole("button", { name, exact: true });
const pressure = (page: Page) => field(page, "need.plenum_pressure").inputValue();
const state = (page: Page) => page.locator(".file-state").textContent();

test("a change is undone and done again, also after a reload", async () => {
  const { page, close } = await visit(bench, "first-valve");
  await setPressure(page, "3 bar");
  await setPressure(page, "5 bar");
  await page.reload();
  await computed(page);
  await step(page, "Need");
  expect(await pressure(page)).toBe("5 bar");
  expect(await state(page)).toBe("changes kept here");
  await page.keyboard.press("Control+z");
  expect(await pressure(page)).toBe("3 bar");
  await page.keyboard.press("Control+z");
  expect(await pressure(page)).toBe("2 bar");
  expect(await button(page, "Undo").isDisabled()).toBe(true);
  await page.keyboard.press("Control+y");
  expect(await pressure(page)).toBe("3 bar");
  expect(onDisk()).toBe(ORIGINAL);
  await close();
});

test("saving writes the one value and keeps every comment", async () => {
  const { page, close } = await visit(bench, "first-valve");
  await setPressure(page, "3 bar");
  await page.keyboard.press("Control+s");
  await page.locator(".file-state", { hasText: /^saved$/ }).waitFor();
  expect(onDisk()).toBe(withPressure("3 bar"));
  await page.reload();
  await computed(page);
  expect(await state(page)).toBe("saved");
  await close();
});

test("a file changed on disk is shown when there is nothing of one's own, and undo brings back what was there", async () => {
  const { page, close } = await visit(bench, "first-valve");
  writeFileSync(path(), withPressure("4 bar"));
  await page.getByText("was changed on disk and is shown as it is now").waitFor();
  await step(page, "Need");
  expect(await pressure(page)).toBe("4 bar");
  await page.keyboard.press("Control+z");
  expect(await pressure(page)).toBe("2 bar");
  await close();
});

test("a file changed on disk under one's own changes shows both; either can be taken, none is lost", async () => {
  const { page, close } = await visit(bench, "first-valve");
  await setPressure(page, "3 bar");
  const theirs = ORIGINAL.replace("rate: 10 Hz", "rate: 20 Hz");
  writeFileSync(path(), theirs);
  await button(page, "Compare both").click();
  const both = page.getByRole("region", { name: "Both versions, line by line" });
  expect(await both.textContent()).toContain("rate: 20 Hz");
  expect(await both.textContent()).toContain("plenum_pressure: 3 bar");
  await button(page, "Take the one on disk").click();
  await step(page, "Need");
  expect(await pressure(page)).toBe("2 bar");
  expect(await field(page, "need.rate").inputValue()).toBe("20 Hz");
  await page.keyboard.press("Control+z");
  expect(await pressure(page)).toBe("3 bar");
  expect(onDisk()).toBe(theirs);
  await close();
});

test("saving over a file that another program changed is refused until one has chosen", async () => {
  const { page, close } = await visit(bench, "first-valve");
  await setPressure(page, "3 bar");
  const theirs = ORIGINAL.replace("rate: 10 Hz", "rate: 20 Hz");
  writeFileSync(path(), theirs);
  await page.keyboard.press("Control+s");
  await page.getByRole("dialog", { name: "Two versions of one file" }).waitFor();
  expect(onDisk()).toBe(theirs);
  await button(page, "Save mine over it").click();
  await page.locator(".file-state", { hasText: /^saved$/ }).waitFor();
  expect(onDisk()).toBe(withPressure("3 bar"));
  await close();
});

test("two tabs on one file: what one saves, the other shows beside its own", async () => {
  const first = await visit(bench, "first-valve");
  const second = await first.page.context().newPage();
  await second.goto(`${bench.url}#design=first-valve.reed.yaml`);
  await computed(second);
  await setPressure(second, "7 bar");
  await setPressure(first.page, "3 bar");
  await first.page.keyboard.press("Control+s");
  await button(second, "Compare both").click();
  await button(second, "Save mine under another name").click();
  await second.getByLabel("Name of the file").fill("mine");
  await button(second, "Save").last().click();
  await second.locator(".design-name", { hasText: "mine.reed.yaml" }).waitFor();
  expect(onDisk()).toContain("3 bar");
  const mine = join(bench.folder, "mine.reed.yaml");
  expect(readFileSync(mine, "utf8")).toContain("7 bar");
  unlinkSync(mine);
  await first.close();
});

test("changes of a tab that was closed are offered to the next one", async () => {
  const first = await visit(bench, "first-valve");
  const second = await first.page.context().newPage();
  await second.goto(`${bench.url}#design=first-valve.reed.yaml`);
  await computed(second);
  await setPressure(second, "7 bar");
  await second.close();
  const third = await first.page.context().newPage();
  await third.goto(`${bench.url}#design=first-valve.reed.yaml`);
  await third.getByRole("button", { name: "Take them up" }).click();
  await computed(third);
  await step(third, "Need");
  expect(await pressure(third)).toBe("7 bar");
  await first.close();
});

test("a server that is gone is told, changes stay, and saving works when it is back", async () => {
  const { page, close } = await visit(bench, "first-valve");
  await bench.stop();
  await setPressure(page, "3 bar");
  await page.keyboard.press("Control+s");
  await page.getByText("Not saved: the program behind this page does not answer").waitFor();
  expect(await state(page)).toContain("program gone");
  await bench.again();
  await page.getByText("The program behind this page answers again").waitFor({ timeout: 20_000 });
  await page.keyboard.press("Control+s");
  await page.locator(".file-state", { hasText: /^saved$/ }).waitFor();
  expect(onDisk()).toContain("3 bar");
  await close();
});

test("a file taken away is kept on the page and can be put back", async () => {
  const { page, close } = await visit(bench, "first-valve");
  unlinkSync(path());
  await page.getByText("was taken out of the folder").waitFor();
  await button(page, "Save").click();
  await page.locator(".file-state", { hasText: /^saved$/ }).waitFor();
  expect(onDisk()).toBe(ORIGINAL);
  await close();
});

test("a copy gets a free name, and an existing one is refused", async () => {
  const { page, close } = await visit(bench, "first-valve");
  await button(page, "Duplicate").click();
  const name = page.getByLabel("Name of the file");
  expect(await name.inputValue()).toBe("first-valve-copy.reed.yaml");
  await name.fill("mirror-shutter.reed.yaml");
  await button(page, "Save").last().click();
  await page.getByText("mirror-shutter.reed.yaml is there already").waitFor();
  await name.fill("../outside");
  expect(await button(page, "Save").last().isDisabled()).toBe(true);
  await close();
});
