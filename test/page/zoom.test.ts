import { afterAll, beforeAll, expect, test } from "vitest";
import {
  type Bench,
  benchWith,
  computed,
  field,
  type Visit,
  visit,
  withBrowser,
} from "./support.ts";

/* The drawing of the valve from nearer: by buttons, keys, pointer and two fingers. */

withBrowser();
let bench: Bench;
beforeAll(async () => {
  bench = await benchWith("first-valve");
});
afterAll(() => bench.close());

/** Box of the body on the screen, px. */
async function bodyBox(page: Visit["page"]) {
  const body = page.locator('[data-figure="side-view"] [data-part="body"]').first();
  return body.evaluate((part) => part.getBoundingClientRect().toJSON() as DOMRect);
}

test("the seat is shown from nearer, keys pan and 0 shows the whole", async () => {
  const { page, errors, close } = await visit(bench, "first-valve");
  const before = await bodyBox(page);
  const buttons = page.locator(".zoom-buttons");
  await buttons.getByRole("button", { name: "Seat" }).click();
  const near = await bodyBox(page);
  expect(near.width / before.width).toBeGreaterThan(2);
  const place = (await page.locator(".valve .figure-draw").boundingBox())!;
  const pad = page.locator('[data-figure="side-view"] [data-part="pad"]').first();
  const box = (await pad.boundingBox())!;
  expect(box.x).toBeGreaterThan(place.x);
  expect(box.x + box.width).toBeLessThan(place.x + place.width);
  expect(box.y + box.height / 2).toBeLessThan(place.y + place.height);

  // What is reached by key comes into sight.
  const clamp = page.locator('[data-figure="side-view"] [data-part="clamp"][tabindex="0"]');
  await page.locator(".valve .figure-tools button").last().focus();
  const there = () => clamp.evaluate((part) => part === document.activeElement);
  for (let i = 0; i < 20 && !(await there()); i++) await page.keyboard.press("Tab");
  await expect
    .poll(async () => {
      const { x, width } = (await clamp.boundingBox())!;
      return x + width;
    })
    .toBeGreaterThan(place.x);
  const left = await bodyBox(page);
  await page.keyboard.press("Shift+ArrowRight");
  // An eighth of the place.
  expect((await bodyBox(page)).x - left.x).toBeCloseTo(-place.width / 8, 0);
  await page.keyboard.press("0");
  expect(await bodyBox(page)).toEqual(before);
  expect(errors).toEqual([]);
  await close();
});

test("a drag pans without pressing a part, and the length handle keeps its scale", async () => {
  const { page, close } = await visit(bench, "first-valve");
  const buttons = page.locator(".zoom-buttons");
  await buttons.getByRole("button", { name: "Seat" }).click();
  const near = await bodyBox(page);
  const place = (await page.locator(".valve .figure-draw").boundingBox())!;
  const [x, y] = [place.x + 0.2 * place.width, place.y + 0.3 * place.height];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 40, y, { steps: 4 });
  await page.mouse.up();
  expect((await bodyBox(page)).x - near.x).toBeCloseTo(40, 0);
  // Still at the free length: the gas under the pointer would lead to the need.
  expect(await page.locator(".steps [aria-current=step]").textContent()).toContain("Free length");

  const grip = (await page.locator(".length-grip").boundingBox())!;
  const [gx, gy] = [grip.x + grip.width / 2, grip.y + grip.height / 2];
  await page.mouse.move(gx, gy);
  await page.mouse.down();
  await page.mouse.move(gx - 60, gy, { steps: 6 });
  await page.mouse.up();
  await computed(page);
  const strip = page.locator('[data-figure="side-view"] .figure-frame');
  const k = await strip.evaluate((frame) => new DOMMatrix(getComputedStyle(frame).transform).a);
  const value = Number.parseFloat(await field(page, "strip.free_length").inputValue());
  await close();
  // 9 mm were 362 px of the whole drawing at this size, measured on the stored key screen.
  expect((9 - value) / (60 / k / (362 / 9))).toBeCloseTo(1, 1);
});

test("two fingers bring the drawing nearer", async () => {
  const { page, close } = await visit(bench, "first-valve", { hasTouch: true });
  const before = await bodyBox(page);
  const place = (await page.locator(".valve .figure-draw").boundingBox())!;
  const session = await page.context().newCDPSession(page);
  const touch = (type: "touchStart" | "touchMove" | "touchEnd", apart?: number) =>
    session.send("Input.dispatchTouchEvent", {
      type,
      touchPoints:
        apart === undefined
          ? []
          : [-1, 1].map((side) => ({
              x: place.x + place.width / 2 + side * apart,
              y: place.y + place.height / 2,
            })),
    });
  await touch("touchStart", 40);
  for (const apart of [60, 80, 100, 120]) await touch("touchMove", apart);
  await touch("touchEnd");
  // Three times as far apart.
  await expect.poll(async () => (await bodyBox(page)).width / before.width).toBeCloseTo(3, 1);
  await close();
});
