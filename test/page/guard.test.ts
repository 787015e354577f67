import { afterAll, beforeAll, expect, test } from "vitest";
import { findings } from "./findings.ts";
import { type Bench, benchWith, computed, field, step, visit, withBrowser } from "./support.ts";

/* What holds in every state: no request leaves loopback, no finding of axe, crashes are survived. */

withBrowser();
let bench: Bench;
beforeAll(async () => {
  bench = await benchWith("first-valve", "crossed-beam-helium");
});
afterAll(() => bench.close());

const STEPS = [
  "Need",
  "Strip",
  "Wiring",
  "Free length",
  "Seat and stand-off",
  "Drive",
  "Pulse",
  "Rate",
];

test.each(["light", "dark"] as const)("axe finds nothing at any step, %s", async (colorScheme) => {
  const { page, close } = await visit(bench, "crossed-beam-helium", { colorScheme });
  for (const name of STEPS) {
    await step(page, name);
    await computed(page);
    expect([name, await findings(page)]).toEqual([name, []]);
  }
  for (const name of ["Open", "New", "Text", "Keys", "Duplicate"]) {
    await page.getByRole("button", { name, exact: true }).click();
    await page.getByRole("dialog").waitFor();
    expect([name, await findings(page)]).toEqual([name, []]);
    await page.keyboard.press("Escape");
  }
  await close();
});

test("no request leaves the page's own origin, and the policy is never broken", async () => {
  const { page, asked, errors, close } = await visit(bench, "first-valve");
  for (const name of STEPS) await step(page, name);
  await step(page, "Drive");
  await page.getByRole("button", { name: "How computed" }).first().click();
  await page.getByRole("heading", { name: "Hazards" }).waitFor();
  for (const url of asked) expect(new URL(url).origin).toBe(new URL(bench.url).origin);
  expect(errors).toEqual([]);
  await close();
});

test("a worker that throws is replaced, told, and nothing is lost", async () => {
  const { page, close } = await visit(bench, "first-valve");
  const [quick] = page.workers();
  await quick?.evaluate(() => {
    setTimeout(() => {
      throw new Error("an error on purpose");
    });
  });
  await page.getByText("The computation stopped").waitFor();
  await step(page, "Need");
  await field(page, "need.plenum_pressure").fill("3 bar");
  await field(page, "need.plenum_pressure").press("Enter");
  await computed(page);
  expect(await page.locator(".margin").count()).toBeGreaterThan(10);
  await close();
});

test("with the network cut the page goes on computing", async () => {
  const { page, close } = await visit(bench, "first-valve");
  await page.context().setOffline(true);
  await step(page, "Need");
  await field(page, "need.plenum_pressure").fill("12 bar");
  await field(page, "need.plenum_pressure").press("Enter");
  await page.locator(".margin.unmet").first().waitFor();
  await computed(page);
  await close();
});

test("everything can be reached by Tab, and the focus is always seen", async () => {
  const { page, close } = await visit(bench, "first-valve");
  const seen = new Set<string>();
  for (let i = 0; i < 160; i++) {
    await page.keyboard.press("Tab");
    const at = await page.evaluate(() => {
      const element = document.activeElement as HTMLElement;
      const style = getComputedStyle(element);
      const shown =
        style.outlineStyle !== "none" ||
        style.filter !== "none" ||
        getComputedStyle(element.nextElementSibling ?? element).outlineStyle !== "none" ||
        getComputedStyle(element.firstElementChild ?? element).backgroundColor !== "";
      return {
        place: element.closest("section, nav, header, figure")?.className ?? "",
        shown,
        tag: element.tagName,
      };
    });
    if (at.tag === "BODY") break;
    expect(at.shown).toBe(true);
    seen.add(at.place.split(" ")[0] ?? "");
  }
  for (const place of ["head-tools", "figure", "steps", "inputs", "margins"])
    expect([...seen].some((name) => name.startsWith(place))).toBe(true);
  await close();
});

test("motion is left out where it is not wanted", async () => {
  const { page, close } = await visit(bench, "first-valve", { reducedMotion: "reduce" });
  const moving = await page.evaluate(
    () =>
      [...document.querySelectorAll("*")].filter((element) => {
        const { transitionDuration, animationName } = getComputedStyle(element);
        return transitionDuration !== "0s" || animationName !== "none";
      }).length,
  );
  expect(moving).toBe(0);
  await close();
});
