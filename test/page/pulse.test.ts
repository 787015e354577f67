import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { readDesign } from "../../src/design/readDesign.ts";
import { pulse } from "../../src/studies/pulse.ts";
import { formatQuantity } from "../../src/units/index.ts";
import { findings } from "./findings.ts";
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

/* The step of the pulse: numbers of the library, motion to scale, time by mouse, touch and keys. */

withBrowser();
let bench: Bench;
const TEXT = readFileSync(join(ROOT, "examples", "first-valve.reed.yaml"), "utf8");
beforeAll(async () => {
  bench = await benchWith("first-valve", "mirror-shutter");
  const put = (name: string, text: string) =>
    writeFileSync(join(bench.folder, `${name}.reed.yaml`), text);
  put("no-wiring", without(TEXT, "wiring", "switch"));
  put("refused", TEXT.replace("upper face: bias", "upper face: ground"));
});
afterAll(() => bench.close());

/** A design's text without some of its sections. */
function without(text: string, ...names: string[]): string {
  const kept: string[] = [];
  let leaves = false;
  for (const line of text.split("\n")) {
    if (/^\S/.test(line)) leaves = names.some((name) => line.startsWith(`${name}:`));
    if (!leaves) kept.push(line);
  }
  return kept.join("\n");
}

/** The same pulse by the library. */
function run(text = TEXT, options = {}) {
  const read = readDesign(text, { name: "first-valve" });
  if (!read.ok) throw new Error("the example is a design");
  return pulse(read.design, { frames: true, surprises: false, ...options });
}

async function atPulse(page: Page): Promise<void> {
  await step(page, "Pulse");
  await page.locator('[data-figure="pulse-traces"] .trace-layer').waitFor();
}
const ruler = (page: Page) => page.getByRole("slider", { name: "Time in the pulse", exact: true });
const layer = (page: Page) => page.locator(".trace-layer");
/** Grid place at which the ruler stands. */
const placeOf = async (page: Page) => Number(await ruler(page).inputValue());
const valuesShown = (page: Page) => page.locator(".trace-values span").allTextContents();
/** Numbers at the foot of the traces. */
async function lastTick(page: Page): Promise<string> {
  const words = await page.locator('[data-figure="pulse-traces"] svg > text').allTextContents();
  const axis = words.find((word) => word.startsWith("time from the gate edge")) ?? "";
  const ticks = words.slice(0, words.indexOf(axis)).filter((word) => /^[\d.]+$/.test(word));
  return `${ticks.at(-1)} ${axis}`;
}

test("the figures are those of the library, in value and words, and so is the file", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await atPulse(page);
  await page.getByRole("radio", { name: "Figures", exact: true }).check({ force: true });
  const { result } = run();
  const last = result.pulses.at(-1)!;
  const shown = page.locator('[data-figure="pulse-figures"]');
  const row = async (label: string) =>
    shown
      .locator("dl div", { has: page.getByText(label, { exact: true }) })
      .first()
      .locator("dd")
      .first()
      .textContent();
  const say = (value: number | null, kind: "time" | "length" | "amount" | "speed" | "voltage") =>
    value === null ? "none" : formatQuantity(value, 0, kind, { digits: 4 });
  expect(await row("opening delay")).toBe(say(last.open_delay_s, "time"));
  expect(await row("closing delay")).toBe(say(last.close_delay_s, "time"));
  expect(await row("peak lift")).toBe(say(last.peak_lift_m, "length"));
  expect(await row("speed at the seat")).toBe(say(last.impact_speed_m_s, "speed"));
  expect(await row("gas per pulse")).toBe(say(last.gas!.amount_mol, "amount"));
  expect(await row("width of the gas pulse")).toBe(say(last.gas!.main_width_s, "time"));
  const [rail] = last.electric.rails;
  expect(await row(`rail ${rail!.name} sags to`)).toBe(say(rail!.sagged_V, "voltage"));
  // 10 Hz, one pulse: what is asked of it stands in the margins, as many rows as the library has.
  const margins = page.locator(".pulse-margins .margin");
  expect(await margins.count()).toBe(result.margins.length);
  expect(await page.locator(".pulse-margins .margin.unmet").count()).toBe(
    result.margins.filter((each) => !each.met).length,
  );
  const file = page.waitForEvent("download");
  await page.getByRole("button", { name: "Pulse as JSON" }).click({ timeout: 60_000 });
  const saved = JSON.parse(readFileSync(await (await file).path(), "utf8")) as typeof result;
  // Powers differ in the last bit between the browser's engine and Node's.
  expect(saved.pulses[0]!.peak_lift_m / last.peak_lift_m).toBeCloseTo(1, 6);
  expect(saved.pulses[0]!.gas!.amount_mol / last.gas!.amount_mol).toBeCloseTo(1, 6);
  expect(saved.convergence!.length).toBeGreaterThan(4);
  expect(errors).toEqual([]);
  await close();
});

test("the cursor says what the series holds, and the drawing stands where the computed shape has it", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await atPulse(page);
  const found = run();
  const { lift, output } = found.series;
  const face = () => yOfFace(page);
  const before = await face();
  const scale = await pxPerMetre(page);
  await ruler(page).focus();
  for (let i = 0; i < 6; i++) await page.keyboard.press("ArrowRight");
  const place = await placeOf(page);
  // An arrow is a 360th of the run.
  expect(place).toBe(6 * Math.round((found.series.count - 1) / 360));
  const values = await valuesShown(page);
  expect(values).toContain(formatQuantity(lift.values[place]!, 0, "length", { digits: 4 }));
  expect(values).toContain(formatQuantity(output.values[place]!, 0, "voltage", { digits: 4 }));
  // The pad is glued at 8.5 mm; the drawing magnifies deflections as it says itself.
  const moved = (atPad(found, place) - atPad(found, 0)) * scale;
  expect(moved).toBeGreaterThan(20);
  expect(before - (await face())).toBeCloseTo(moved, 0);
  await page.keyboard.press("Home");
  expect(await face()).toBeCloseTo(before, 1);
  // Another step shows the valve at rest again, as it was drawn.
  await step(page, "Drive");
  const atRest = await face();
  await page.reload();
  await computed(page);
  expect(await face()).toBe(atRest);
  expect(errors).toEqual([]);
  await close();
});

/** Deflection of the strip at the pad's middle, m, straight between drawn frames. */
function atPad({ frames }: ReturnType<typeof run>, place: number): number {
  const { index, shape, places } = frames!;
  const row = (f: number) => {
    const i = places.findIndex((x) => x >= 8.5e-3);
    const [a, b] = [places[i - 1]!, places[i]!];
    const [wa, wb] = [shape[f * places.length + i - 1]!, shape[f * places.length + i]!];
    return wa + ((8.5e-3 - a) / (b - a)) * (wb - wa);
  };
  const f = index.findIndex((i) => i >= place);
  if (index[f] === place) return row(f);
  const share = (place - index[f - 1]!) / (index[f]! - index[f - 1]!);
  return row(f - 1) + share * (row(f) - row(f - 1));
}

/** px upwards per metre of deflection, from what the drawing says: its scale bar and its exaggeration. */
async function pxPerMetre(page: Page): Promise<number> {
  const svg = page.locator('[data-figure="side-view"] svg');
  const words = (await svg.locator("text").allTextContents()).join(" ");
  const times = Number(/deflection[^×]*×(\d+)/.exec(words)?.[1]);
  const bar = svg.locator(':scope > rect[fill="none"]').last();
  const length = (await svg.locator("text").allTextContents()).find((word) =>
    /^\d+ mm$/.test(word),
  );
  const width = Number(await bar.getAttribute("width"));
  return (times * width) / (Number.parseFloat(length!) * 1e-3);
}

/** Height of the pad's face on the drawing, px. */
async function yOfFace(page: Page): Promise<number> {
  const path = page.locator('[data-figure="side-view"] [data-part="pad"] path[fill$="-rubber)"]');
  const d = (await path.first().getAttribute("d")) ?? "";
  const numbers = (d.match(/-?[\d.]+/g) ?? []).map(Number);
  return numbers.at(-1)!;
}

test("nothing moves before Play is pressed; Pause holds it, and it stands at the end", async () => {
  const { page, close } = await visit(bench, "first-valve", { reducedMotion: "no-preference" });
  await atPulse(page);
  await page.waitForTimeout(600);
  expect(await placeOf(page)).toBe(0);
  await page.getByLabel("How much slower than in reality").selectOption("20000");
  await page.getByRole("button", { name: "Play" }).click();
  await expect.poll(() => placeOf(page)).toBeGreaterThan(3);
  await page.getByRole("button", { name: "Pause" }).click();
  const held = await placeOf(page);
  await page.waitForTimeout(400);
  expect(await placeOf(page)).toBe(held);
  await ruler(page).focus();
  await page.keyboard.press("End");
  await page.keyboard.press("ArrowLeft");
  await page.getByLabel("How much slower than in reality").selectOption("1000");
  await page.getByRole("button", { name: "Play" }).click();
  const end = Number(await ruler(page).getAttribute("max"));
  await expect.poll(() => placeOf(page)).toBe(end);
  await page.getByRole("button", { name: "Play" }).waitFor();
  await close();
});

test("by mouse and by touch: ruler and traces have one time", async () => {
  const { page, close } = await visit(bench, "first-valve", { hasTouch: true });
  await atPulse(page);
  const box = (await layer(page).boundingBox())!;
  const max = Number(await ruler(page).getAttribute("max"));
  await page.mouse.click(box.x + 0.3 * box.width, box.y + box.height / 2);
  expect((await placeOf(page)) / max).toBeCloseTo(0.3, 2);
  // The line itself is dragged.
  await page.mouse.move(box.x + 0.3 * box.width, box.y + 30);
  await page.mouse.down();
  await page.mouse.move(box.x + 0.5 * box.width, box.y + 30, { steps: 4 });
  await page.mouse.up();
  expect((await placeOf(page)) / max).toBeCloseTo(0.5, 2);
  const client = await page.context().newCDPSession(page);
  const touch = (type: "touchStart" | "touchMove" | "touchEnd", share: number) =>
    client.send("Input.dispatchTouchEvent", {
      type,
      touchPoints:
        type === "touchEnd" ? [] : [{ x: box.x + share * box.width, y: box.y + box.height / 2 }],
    });
  await touch("touchStart", 0.6);
  for (const share of [0.65, 0.7, 0.75]) await touch("touchMove", share);
  await touch("touchEnd", 0.75);
  expect((await placeOf(page)) / max).toBeCloseTo(0.75, 1);
  const rail = (await ruler(page).boundingBox())!;
  await page.mouse.click(rail.x + 0.2 * rail.width, rail.y + rail.height / 2);
  expect((await placeOf(page)) / max).toBeCloseTo(0.2, 1);
  await close();
});

test("the time is zoomed by box, wheel, buttons and keys, and arrows step finer then", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await atPulse(page);
  const whole = await lastTick(page);
  const shown = () => lastTick(page);
  const box = (await layer(page).boundingBox())!;
  const at = (share: number) => [box.x + share * box.width, box.y + 60] as const;

  await page.mouse.move(...at(0.2));
  await page.mouse.down();
  await page.mouse.move(...at(0.6), { steps: 3 });
  await page.mouse.up();
  await expect.poll(shown).not.toBe(whole);
  await page.getByRole("button", { name: "Whole view" }).click();
  await expect.poll(shown).toBe(whole);

  await page.mouse.click(...at(0.1));
  await page.mouse.wheel(0, -300);
  await expect.poll(shown).not.toBe(whole);
  await page.keyboard.press("0");
  await expect.poll(shown).toBe(whole);

  await page.getByRole("button", { name: "Closer" }).click();
  await expect.poll(shown).not.toBe(whole);
  await page.getByRole("button", { name: "Wider" }).click();
  await expect.poll(shown).toBe(whole);

  await page.getByRole("button", { name: "Main opening" }).click();
  await expect.poll(shown).toMatch(/μs$/);
  await layer(page).focus();
  await page.keyboard.press("Home");
  await page.keyboard.press("ArrowRight");
  expect(await placeOf(page)).toBe(1);
  await page.keyboard.press("PageUp");
  const max = Number(await ruler(page).getAttribute("max"));
  expect(await placeOf(page)).toBe(1 + max / 10);
  expect(await layer(page).getAttribute("aria-valuetext")).toContain(
    "lift of the pad over the seat",
  );
  expect(errors).toEqual([]);
  await close();
});

test("sliding the gate redraws the pulse on the way, and letting go writes it", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  await atPulse(page);
  await page.evaluate(() => {
    const seen = new Set<string>();
    Object.assign(window, { seen });
    const caption = document.querySelector('[data-figure="pulse-traces"] figcaption')!;
    new MutationObserver(() => seen.add(caption.textContent ?? "")).observe(caption, {
      childList: true,
      characterData: true,
      subtree: true,
    });
  });
  const slider = page.locator('[data-key="pulse.gate"] input[type=range]');
  const box = (await slider.boundingBox())!;
  const from = Number(await slider.inputValue()) / 1000;
  await page.mouse.move(box.x + 6 + from * (box.width - 12), box.y + 9);
  await page.mouse.down();
  for (let i = 1; i <= 12; i++) {
    await page.mouse.move(box.x + 6 + (from + 0.015 * i) * (box.width - 12), box.y + 9);
    await page.waitForTimeout(120);
  }
  await page.mouse.up();
  await computed(page);
  const pictures = await page.evaluate(() => (window as never as { seen: Set<string> }).seen.size);
  expect(pictures).toBeGreaterThan(4);
  const written = await field(page, "pulse.gate").inputValue();
  expect(written).toMatch(/^\d+(\.\d+)? (μs|ms)$/);
  const gate = Number.parseFloat(written) * (written.endsWith("ms") ? 1e-3 : 1e-6);
  const peak = run(TEXT, { gate }).result.pulses[0]!.peak_lift_m;
  await page
    .locator('[data-figure="pulse-traces"] figcaption', {
      hasText: `lift up to ${formatQuantity(peak, 0, "length", { digits: 3 })}`,
    })
    .waitFor();
  expect(await page.locator(".command code").textContent()).toContain("reedlift pulse first-valve");
  await page.getByRole("button", { name: "Undo", exact: true }).click();
  await computed(page);
  expect(await field(page, "pulse.gate").inputValue()).toBe("");
  expect(errors).toEqual([]);
  await close();
});

test.each([
  ["no-wiring", "the design has no wiring", "Wiring"],
  ["refused", "the wiring is refused", "Wiring"],
])(
  "%s: the reason stands in place of the pulse and leads to where it is mended",
  async (name, why, to) => {
    const { page, errors, close } = await visit(bench, name);
    await step(page, "Pulse");
    const empty = page.locator('[data-figure="pulse-traces"] .empty');
    await empty.getByText(why).waitFor();
    expect(await page.getByRole("button", { name: "Play" }).isDisabled()).toBe(true);
    await empty.getByRole("button").click();
    await page.locator('.steps [aria-current="step"]', { hasText: to }).waitFor();
    expect(errors).toEqual([]);
    await close();
  },
);

test.each(["light", "dark"] as const)(
  "axe finds nothing in traces and figures, %s",
  async (colorScheme) => {
    const { page, close } = await visit(bench, "first-valve", { colorScheme });
    await atPulse(page);
    await page.getByRole("button", { name: "Main opening" }).click();
    await layer(page).focus();
    await page.keyboard.press("ArrowRight");
    expect(await findings(page)).toEqual([]);
    await page.getByRole("radio", { name: "Figures", exact: true }).check({ force: true });
    await page.getByText("Where the energy went").click();
    await page.getByText("The same at half the step").click({ timeout: 60_000 });
    expect(await findings(page)).toEqual([]);
    await close();
  },
);

test("a time that ends before the valve has closed is said with what to do", async () => {
  const { page, close } = await visit(bench, "first-valve");
  await atPulse(page);
  await field(page, "pulse.duration").fill("250 µs");
  await field(page, "pulse.duration").press("Enter");
  const caution = page.locator('[data-figure="pulse-traces"] .cautions');
  await caution.getByText("still open when the computed time ends").waitFor();
  await close();
});

test("a strip without a seat has its travel in place of lift and gas", async () => {
  const { page, errors, close } = await visit(bench, "mirror-shutter");
  await atPulse(page);
  const figure = page.locator('[data-figure="pulse-traces"]');
  expect(await figure.locator("svg").textContent()).toContain("travel at the pad");
  expect(await figure.locator("svg").textContent()).not.toContain("flow through");
  expect(errors).toEqual([]);
  await close();
});
