import { afterAll, beforeAll, expect, test } from "vitest";
import {
  type Bench,
  benchWith,
  computed,
  field,
  margin,
  step,
  visit,
  withBrowser,
} from "./support.ts";

/* What is typed: read, shown as understood, refused with a reason, never lost. */

withBrowser();
let bench: Bench;
beforeAll(async () => {
  bench = await benchWith("first-valve", "crossed-beam-helium");
});
afterAll(() => bench.close());

test.each([
  ["3 bar(g)", "read as 4.01325 bar absolute"],
  ["400 kPa", "read as 4 bar"],
  ["4 bar ± 5 %", "read as 4.0(2) bar"],
])("the pressure %s is shown as it is understood", async (text, reading) => {
  const { page, close } = await visit(bench, "first-valve");
  await step(page, "Need");
  const input = field(page, "need.plenum_pressure");
  await input.fill(text);
  const row = page.locator('[data-key="need.plenum_pressure"]');
  expect((await row.locator(".field-read").textContent())?.trim()).toBe(reading);
  await input.press("Enter");
  await computed(page);
  expect(await input.inputValue()).toBe(text);
  await close();
});

test.each([
  ["4", "unit"],
  ["4 mm", "pressure"],
  ["4,5 bar", "comma"],
  ["-4 bar", "below vacuum"],
  ["four bar", ""],
  ["NaN bar", ""],
])(
  "%s is not taken, the reason stands there, and Escape brings the old text back",
  async (text, reason) => {
    const { page, close } = await visit(bench, "first-valve");
    await step(page, "Need");
    const input = field(page, "need.plenum_pressure");
    await input.fill(text);
    await input.press("Enter");
    expect(await input.getAttribute("aria-invalid")).toBe("true");
    const said = await page.locator('[data-key="need.plenum_pressure"] .field-read').textContent();
    expect(said).toContain("Not taken");
    expect(said).toContain(reason);
    expect(await input.inputValue()).toBe(text);
    expect(await page.locator(".file-state").textContent()).toBe("saved");
    await input.press("Escape");
    expect(await input.inputValue()).toBe("2 bar");
    await close();
  },
);

test("arrow keys step the last digit, the wheel never changes a number", async () => {
  const { page, close } = await visit(bench, "crossed-beam-helium");
  const input = field(page, "strip.free_length");
  await input.focus();
  await page.keyboard.press("ArrowUp");
  expect(await input.inputValue()).toBe("8.1(1) mm");
  await page.keyboard.press("Shift+ArrowDown");
  expect(await input.inputValue()).toBe("7.1(1) mm");
  await input.hover();
  await page.mouse.wheel(0, 200);
  expect(await input.inputValue()).toBe("7.1(1) mm");
  await close();
});

test("a value that contradicts another is told with its place, and the figures stay those before", async () => {
  const { page, close } = await visit(bench, "first-valve");
  await step(page, "Seat and stand-off");
  await field(page, "seat.diameter").fill("0.05 mm");
  await field(page, "seat.diameter").press("Enter");
  const problems = page.getByRole("region", { name: "Problems" });
  await problems.waitFor();
  expect(await problems.textContent()).toContain("seat.diameter");
  expect(await page.locator(".margin").count()).toBeGreaterThan(10);
  await page.keyboard.press("Escape");
  await page.getByRole("button", { name: "Undo", exact: true }).click();
  await computed(page);
  expect(await problems.count()).toBe(0);
  await close();
});

test("a broken text is refused with its line and nothing of it is lost", async () => {
  const { page, close } = await visit(bench, "first-valve");
  await page.getByRole("button", { name: "Text", exact: true }).click();
  const area = page.getByLabel("Text of the design file");
  const text = await area.inputValue();
  await area.fill(text.replace("strip:", "strip\n  frobnicate: 3 mm"));
  await page.locator(".text-problems").waitFor();
  expect(await page.locator(".text-problems").textContent()).toMatch(/Line \d+/);
  await page.getByRole("button", { name: "Take this text" }).click();
  await page.getByRole("region", { name: "Problems" }).waitFor();
  expect(await page.locator(".verdict").textContent()).toContain("Not read");
  await page.keyboard.press("Control+z");
  await computed(page);
  await close();
});

test("touching a margin marks the inputs that act on it, strongest first, and leads to the step that mends it", async () => {
  const { page, close } = await visit(bench, "first-valve");
  await margin(page, "mean chamber pressure").getByRole("button").click();
  expect(await page.locator('.steps [aria-current="step"]').textContent()).toContain("Need");
  // Flow through the orifice goes with its diameter squared (choked flow): the strongest input.
  const orifice = page.locator('[data-key="need.orifice_diameter"] .acts');
  expect(await orifice.textContent()).toBe("strongest: lower");
  await close();
});

test("a note on an input is a comment in the file", async () => {
  const { page, close } = await visit(bench, "crossed-beam-helium");
  await field(page, "strip.free_length").focus();
  const note = page.getByLabel("Note");
  await note.fill("measured under the microscope");
  await note.press("Enter");
  await page.getByRole("button", { name: "Text", exact: true }).click();
  const text = await page.getByLabel("Text of the design file").inputValue();
  expect(text).toMatch(/free_length: 8\.0\(1\) mm\s+# measured under the microscope/);
  await close();
});
