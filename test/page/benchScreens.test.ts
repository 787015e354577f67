import { join } from "node:path";
import { afterAll, beforeAll, test } from "vitest";
import { looksAsStored } from "./picture.ts";
import { type Bench, benchWith, ROOT, step, visit, withBrowser } from "./support.ts";

/* Key screens of the bench against the stored pictures of test/page/screens/. */

withBrowser();
let bench: Bench;
beforeAll(async () => {
  bench = await benchWith("first-valve");
});
afterAll(() => bench.close());

const SCREENS = [
  {
    name: "bench-file",
    kind: "trace",
    files: ["trace.csv"],
    picture: "File",
    width: 1280,
    height: 800,
    scheme: "light",
  },
  {
    name: "bench-trace",
    kind: "trace",
    files: ["trace.csv"],
    picture: "Trace",
    width: 1920,
    height: 1080,
    scheme: "light",
  },
  {
    name: "bench-values-dark",
    kind: "impedance",
    files: ["impedance.csv"],
    picture: "Values",
    width: 1920,
    height: 1080,
    scheme: "dark",
  },
  {
    name: "bench-tablet",
    kind: "opening",
    files: ["opening.csv"],
    picture: "Values",
    width: 820,
    height: 1180,
    scheme: "light",
  },
] as const;

test.each(SCREENS)(
  "$name looks as stored",
  async ({ name, kind, files, picture, width, height, scheme }) => {
    const { page, close } = await visit(bench, "first-valve", {
      viewport: { width, height },
      colorScheme: scheme,
    });
    await step(page, "Bench");
    await page.getByLabel("Measurement").selectOption(kind);
    await page
      .getByLabel("Files of the measurement")
      .setInputFiles(files.map((file) => join(ROOT, "examples", "bench", file)));
    await page.locator(".bench-file-state.data").first().waitFor();
    await page.getByRole("radio", { name: picture, exact: true }).check({ force: true });
    // The step is marked when the values are there.
    await page
      .locator('.steps [aria-current="step"] .step-mark:text-matches("met|answered")')
      .waitFor();
    await page.waitForTimeout(900);
    await page.mouse.move(2, 2);
    await looksAsStored(page, name);
    await close();
  },
);
