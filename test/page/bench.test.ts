import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { parquetWriteBuffer } from "hyparquet-writer";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { startImport } from "../../src/bench/import/index.ts";
import { kindNamed } from "../../src/bench/kinds.ts";
import { readSettings } from "../../src/bench/readSettings.ts";
import { readDesign } from "../../src/design/readDesign.ts";
import { randomStream } from "../../src/numerics/random.ts";
import { benchSheetPage } from "../../src/report/benchSheet/benchSheet.ts";
import { printFigure } from "../../src/report/figureUnits.ts";
import { checkDesign } from "../../src/sheet/check.ts";
import { calibrate } from "../../src/studies/calibrate.ts";
import { joined } from "../../src/studies/calibrateMeasured.ts";
import { readReduction } from "../../src/studies/calibrateReduction.ts";
import { diagnose } from "../../src/studies/diagnose.ts";
import { SYMPTOMS } from "../../src/studies/diagnoseSymptoms.ts";
import { TESTS } from "../../src/studies/diagnoseTests.ts";
import { findings } from "./findings.ts";
import { type Bench, benchWith, step, visit, withBrowser } from "./support.ts";

/* The bench: files from the disk to values, without the server and without a guess. */

withBrowser();
let bench: Bench;
beforeAll(async () => {
  bench = await benchWith("first-valve");
});
afterAll(() => bench.close());

/** Opening voltage against pressure with some scatter, up and down; `cell` writes a number. */
function opening(head: string, between: string, cell: (x: number) => string): string {
  const random = randomStream(11, 0);
  const rows: string[] = [];
  for (const way of [1, -1])
    for (let k = 0; k < 12; k++) {
      const bar = way > 0 ? 0.25 * (k + 1) : 0.25 * (12 - k);
      const volts = 20 + 18 * bar + 1.5 * way + 0.4 * random.normal();
      rows.push([bar, Number(volts.toFixed(3))].map(cell).join(between));
    }
  return `${head}${rows.join("\n")}\n`;
}
const POINT = opening("pressure (bar),opening voltage (V)\n", ",", String);

function file(name: string, text: string): string {
  const path = join(bench.folder, name);
  writeFileSync(path, text);
  return path;
}

async function atBench(page: Page, kind: string): Promise<void> {
  await step(page, "Bench");
  await page.getByLabel("Measurement").selectOption(kind);
}

async function open(page: Page, ...paths: string[]): Promise<void> {
  await page.getByLabel("Files of the measurement").setInputFiles(paths);
}

const picture = (page: Page, name: string) =>
  page.getByRole("radio", { name, exact: true }).check({ force: true });

const state = (page: Page) => page.locator(".bench-file-state").first();

const figureOf = async (page: Page, key: string) =>
  page.locator(`[data-value="${key}"] .bench-number`).textContent();

/** The same file reduced by the library. */
function reduced(kindName: string, name: string, text: string, set: Record<string, string> = {}) {
  const kind = kindNamed(kindName)!;
  const reading = startImport({ name, roles: kind.roles });
  reading.push(new TextEncoder().encode(text));
  const result = reading.finish();
  if (result.outcome !== "data") throw new Error(`not read: ${JSON.stringify(result)}`);
  const read = readDesign(readFileSync(join(bench.folder, "first-valve.reed.yaml"), "utf8"), {
    name: "first-valve",
  });
  if (!read.ok) throw new Error("the example is a design");
  const written = Object.entries(set).map(([key, value]) => ({ key, text: value }));
  const { settings } = readSettings(kind, written, 1);
  return kind.reduce([result.data], settings, read.design);
}

test("a file is chosen, taken for what it is, and gives the values of the library", async () => {
  const { page, asked, errors, close } = await visit(bench, "first-valve");
  await atBench(page, "opening");
  const before = asked.length;
  await open(page, file("opening.csv", POINT));
  await state(page).getByText("24 rows: pressure, voltage").waitFor();
  const lines = page.locator(".bench-lines tr");
  expect(await lines.nth(1).textContent()).toContain("names");
  expect(await page.getByLabel("Unit of pressure").inputValue()).toBe("bar");
  expect(await findings(page)).toEqual([]);
  await picture(page, "Values");
  await page.locator(".bench-value-table").waitFor();
  for (const { key, value, u } of reduced("opening", "opening.csv", POINT).values)
    if (value !== null) expect(await figureOf(page, key), key).toBe(printFigure(key, value, u));
  await page.getByRole("heading", { name: "Against what was expected" }).waitFor();
  expect(await page.locator(".bench-beside tbody tr").count()).toBeGreaterThan(3);
  await page.locator(".bench-fit-figure svg").first().waitFor();
  await page.locator(".bench-name").first().click();
  await page.getByRole("list", { name: /^Budget of/ }).waitFor();
  expect(await findings(page)).toEqual([]);
  // The files are read where they are: nothing was asked of the server for them.
  expect(asked.slice(before).filter((url) => !/\/assets\//.test(url))).toEqual([]);
  expect(await page.locator(".command code").textContent()).toBe(
    "reedlift reduce opening opening.csv --design first-valve.reed.yaml",
  );
  expect(errors).toEqual([]);
  await close();
});

test("all of it goes by keyboard", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await page.keyboard.press("Alt+9");
  const kind = page.getByLabel("Measurement");
  await kind.locator('option[value="opening"]').waitFor({ state: "attached" });
  await kind.focus();
  await page.keyboard.type("opening");
  await page.keyboard.press("Tab");
  const path = file("keys.csv", POINT);
  const [chooser] = await Promise.all([
    page.waitForEvent("filechooser"),
    page.keyboard.press("Enter"),
  ]);
  await chooser.setFiles(path);
  await state(page).getByText("24 rows").waitFor();
  await page.getByRole("radio", { name: "File", exact: true }).focus();
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("ArrowRight");
  await page.locator(".bench-value-table").waitFor();
  expect(errors).toEqual([]);
  await close();
});

test("a file that can be read in two ways is asked about, and read as it is answered", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await atBench(page, "opening");
  // 1,250 is one and a quarter or twelve hundred and fifty.
  const text = opening("pressure;opening voltage (V)\n", ";", (x) =>
    x.toFixed(3).replace(".", ","),
  );
  await open(page, file("two ways.csv", text));
  const questions = page.locator(".bench-questions fieldset");
  await questions.first().waitFor();
  expect(await page.locator(".step-mark.open-question").count()).toBeGreaterThan(0);
  expect(await findings(page)).toEqual([]);
  for (let i = 0; i < 5 && (await questions.count()) > 0; i++) {
    const key = await questions.first().getAttribute("data-question");
    const answers = questions.first().getByRole("button");
    const words = await answers.allTextContents();
    const wanted = /decimal|delimiter/.test(key ?? "")
      ? words.findIndex((each) => /decimal|1\.25|comma/.test(each) && !/thousand/.test(each))
      : words.findIndex((each) => /\bbar\b/.test(each));
    await answers.nth(Math.max(0, wanted)).click();
    await page.waitForTimeout(300);
  }
  await state(page).getByText("24 rows").waitFor();
  expect(await page.getByLabel("Decimals").inputValue()).toBe("comma");
  await picture(page, "Values");
  await page.locator(".bench-value-table").waitFor();
  const own = reduced("opening", "x.csv", POINT).values[0]!;
  expect(await figureOf(page, own.key)).toBe(printFigure(own.key, own.value!, own.u));
  expect(errors).toEqual([]);
  await close();
});

test("broken rows are told with their numbers and left out only when that is said", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await atBench(page, "opening");
  const rows = POINT.split("\n");
  rows.splice(5, 0, "1.1,nan");
  rows.splice(9, 0, "1.2");
  await open(page, file("broken.csv", rows.join("\n")));
  const faults = page.locator(".bench-faults li");
  await faults.first().waitFor();
  const told = (await page.locator(".bench-faults").textContent()) ?? "";
  expect(told).toContain("6");
  expect(told).toContain("10");
  expect(await findings(page)).toEqual([]);
  await picture(page, "Values");
  expect(await page.locator(".bench-value-table").count()).toBe(0);
  await page.getByRole("button", { name: "Look at the file" }).click();
  await page.getByRole("button", { name: "Go on with all of this" }).click();
  await state(page).getByText("24 rows").waitFor();
  await page.locator(".cautions").getByText("Let pass.").first().waitFor();
  await picture(page, "Values");
  const own = reduced("opening", "x.csv", POINT).values[0]!;
  await page.locator(".bench-value-table").waitFor();
  expect(await figureOf(page, own.key)).toBe(printFigure(own.key, own.value!, own.u));
  expect(errors).toEqual([]);
  await close();
});

test("unit and column are corrected, kept as a recipe, and offered after a reload", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await atBench(page, "opening");
  // A third column that is none of it, and a wrong unit of the pressure.
  const lines = POINT.split("\n").filter((line) => line !== "");
  const text = `${["pressure (mbar),monitor (V),opening voltage (V)", ...lines.slice(1).map((line) => line.replace(",", ",3.3,"))].join("\n")}\n`;
  const path = file("corrected.csv", text);
  await open(page, path);
  await page.locator(".bench-roles").waitFor();
  await page.getByLabel("Column of voltage").selectOption("3");
  await expect.poll(() => page.getByLabel("Column of voltage").inputValue()).toBe("3");
  const unit = page.getByLabel("Unit of pressure");
  await unit.fill("bar");
  await unit.press("Enter");
  await state(page).getByText("24 rows").waitFor();
  await picture(page, "Values");
  const own = reduced("opening", "x.csv", POINT).values[0]!;
  const wanted = printFigure(own.key, own.value!, own.u);
  await expect.poll(() => figureOf(page, own.key)).toBe(wanted);
  await picture(page, "File");
  await page.getByLabel("Keep this reading as").fill("pressure bench");
  await page.getByRole("button", { name: "Keep", exact: true }).click();
  await page.getByText("is kept in this browser").waitFor();

  await page.reload();
  await atBench(page, "opening");
  await open(page, path);
  await page.getByText("Same layout:").waitFor();
  await page.getByRole("button", { name: "Read by pressure bench" }).click();
  await page.getByText("Read by pressure bench.").waitFor();
  await picture(page, "Values");
  await expect.poll(() => figureOf(page, own.key)).toBe(wanted);
  expect(errors).toEqual([]);
  await close();
});

test("a setting is read as it is understood, refused with its reason, and changes the values", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await atBench(page, "opening");
  await open(page, file("settings.csv", POINT));
  const field = page.locator('[data-setting="closed-voltage"] .field-input');
  await field.fill("5000 mV");
  await field.press("Enter");
  await page.locator('[data-setting="closed-voltage"]').getByText("read as 5 V").waitFor();
  await picture(page, "Values");
  const own = reduced("opening", "x.csv", POINT, { "closed-voltage": "5 V" }).values[0]!;
  await expect.poll(() => figureOf(page, own.key)).toBe(printFigure(own.key, own.value!, own.u));
  await field.fill("5 mm");
  await page.locator('[data-setting="closed-voltage"]').getByText("Not taken").waitFor();
  await field.press("Escape");
  expect(await page.locator(".command code").textContent()).toContain(
    "--set 'closed-voltage=5000 mV'",
  );
  expect(errors).toEqual([]);
  await close();
});

test("the design is corrected by the values of the session and written as a new file", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  const before = readFileSync(join(bench.folder, "first-valve.reed.yaml"), "utf8");
  await atBench(page, "opening");
  await open(page, file("calibrate.csv", POINT));
  await picture(page, "Values");
  await page.getByRole("button", { name: "Keep these values for a calibration" }).click();
  const [json] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Values as JSON" }).click(),
  ]);
  await picture(page, "Calibrate");
  expect(await findings(page)).toEqual([]);
  await page.getByRole("button", { name: "Calibrate the design" }).click();
  const found = page.locator('[data-figure="bench-calibrate"]');
  await found.getByRole("heading", { name: "What the values tell" }).waitFor({ timeout: 60_000 });

  const design = readDesign(before, { name: "first-valve" });
  if (!design.ok) throw new Error("the example is a design");
  const read = readReduction(JSON.parse(readFileSync(await json.path(), "utf8")), "x");
  if (!("set" in read)) throw new Error(read.message);
  const { result } = calibrate(design.design, joined([read.set]));
  expect(await found.locator(".ways-verdict").textContent()).toBe(result.text);
  const rows = found.getByRole("table", { name: "Measured values beside the design" });
  expect(await rows.locator("tbody tr").count()).toBe(result.values.length);
  const told = found.getByRole("table", { name: "Numbers of the design, before and after" });
  expect(await told.locator("tbody th").allTextContents()).toEqual(
    result.parameters.map(({ name }) => name),
  );
  expect(await findings(page)).toEqual([]);

  await page.getByRole("button", { name: "Write it as first-valve.r2.reed.yaml" }).click();
  await page.getByRole("button", { name: "Open first-valve.r2.reed.yaml" }).waitFor();
  expect(readFileSync(join(bench.folder, "first-valve.reed.yaml"), "utf8")).toBe(before);
  const revised = readFileSync(join(bench.folder, "first-valve.r2.reed.yaml"), "utf8");
  expect(revised).toContain("# Calibrated from first-valve.reed.yaml");
  expect(readDesign(revised).ok).toBe(true);
  await page.getByRole("button", { name: "Open first-valve.r2.reed.yaml" }).click();
  await page.locator(".design-name", { hasText: "first-valve.r2" }).waitFor();
  expect(errors).toEqual([]);
  await close();
});

test("symptoms rank causes as the library does, and the outcome of a test ranks them anew", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await step(page, "Bench");
  await picture(page, "Symptoms");
  const symptom = SYMPTOMS.find(({ id }) => id === "no gas")!;
  await page.getByRole("checkbox", { name: symptom.name }).check();
  const causes = page.locator(".bench-causes li");
  await causes.first().waitFor({ timeout: 30_000 });
  const read = readDesign(readFileSync(join(bench.folder, "first-valve.reed.yaml"), "utf8"), {
    name: "first-valve",
  });
  if (!read.ok) throw new Error("the example is a design");
  const evidence = { symptoms: [symptom], values: joined([]), series: [], outcomes: {} };
  const own = diagnose(read.design, evidence);
  const listed = own.causes.filter(({ id }) => !own.not_to_blame.includes(id)).slice(0, 6);
  const seen = () =>
    causes.evaluateAll((all) => all.map((each) => each.getAttribute("data-cause")));
  expect(await seen()).toEqual(listed.map(({ id }) => id));
  expect(await findings(page)).toEqual([]);
  await page.getByText(/^Outcomes of tests/).click();
  const test = TESTS.find(({ id }) => id === "opening voltage")!;
  const outcome = test.outcomes[2]!;
  await page.locator("details").getByLabel(test.name).selectOption(outcome);
  const told = diagnose(read.design, { ...evidence, outcomes: { [test.id]: outcome } });
  const after = told.causes.filter(({ id }) => !told.not_to_blame.includes(id)).slice(0, 6);
  await expect.poll(seen).toEqual(after.map(({ id }) => id));
  expect(after[0]!.id).not.toBe(listed[0]!.id);
  expect(errors).toEqual([]);
  await close();
});

test("the bench sheet is that of the command line, as a file and on paper", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await step(page, "Bench");
  const part = page.getByRole("region", { name: "Bench sheet" });
  const [sheet] = await Promise.all([
    page.waitForEvent("download"),
    part.getByRole("button", { name: "As a file" }).click(),
  ]);
  const html = readFileSync(await sheet.path(), "utf8");
  const read = readDesign(readFileSync(join(bench.folder, "first-valve.reed.yaml"), "utf8"), {
    name: "first-valve",
  });
  if (!read.ok) throw new Error("the example is a design");
  const { result } = checkDesign(read.design, { waysOut: false });
  const origin = /<p class="origin">([^<]*)/.exec(html)?.[1] ?? "";
  const wish = { resolution: 1e-6, reading: 0.2e-3, file: "first-valve.reed.yaml", origin };
  expect(html).toBe(benchSheetPage(read.design, result, wish));
  await page.evaluate(() => {
    window.print = () => undefined;
  });
  await part.getByRole("button", { name: "Print the bench sheet" }).click();
  await page.emulateMedia({ media: "print" });
  const paper = page.locator(".bench-paper");
  await paper.getByText("Cautions first").waitFor();
  expect(await page.locator(".paper").isVisible()).toBe(false);
  // Its own styles hold: a rule above each part.
  const rule = await paper
    .locator("section")
    .nth(1)
    .evaluate((each) => getComputedStyle(each).borderTopStyle);
  expect(rule).toBe("solid");
  await page.evaluate(() => dispatchEvent(new Event("afterprint")));
  expect(await paper.count()).toBe(0);
  expect(errors).toEqual([]);
  await close();
});

test("a Parquet file gives the values of the same numbers as text", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  const rows = POINT.trim()
    .split("\n")
    .slice(1)
    .map((line) => line.split(",").map(Number));
  const column = (name: string, j: number) => ({
    name,
    data: rows.map((row) => row[j] as number),
    type: "DOUBLE" as const,
  });
  const bytes = parquetWriteBuffer({
    columnData: [column("pressure (bar)", 0), column("opening voltage (V)", 1)],
  });
  const path = join(bench.folder, "opening.parquet");
  writeFileSync(path, Buffer.from(bytes));
  await atBench(page, "opening");
  await open(page, path);
  await state(page).getByText("24 rows: pressure, voltage").waitFor();
  await picture(page, "Values");
  const own = reduced("opening", "x.csv", POINT).values[0]!;
  await expect.poll(() => figureOf(page, own.key)).toBe(printFigure(own.key, own.value!, own.u));
  expect(errors).toEqual([]);
  await close();
});
