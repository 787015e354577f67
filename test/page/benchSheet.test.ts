import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Browser, chromium } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { example, MAIN } from "../cli/support.ts";

/* The bench sheet as the installed command writes it, printed: complete, and its drawings at the scale they state. */

let browser: Browser;
let folder: string;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "reedlift-bench-sheet-"));
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: ["--headless", "--disable-gpu", ...(process.getuid?.() === 0 ? ["--no-sandbox"] : [])],
  });
});
afterAll(async () => {
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
});

function tool(name: string, ...args: string[]): string {
  const { status, stdout, stderr } = spawnSync(name, args, { encoding: "utf8", maxBuffer: 1e8 });
  if (status !== 0) throw new Error(`${name}: ${stderr}`);
  return stdout;
}

const POINTS = 72 / 25.4;

test.each(["A4", "Letter"])("on %s", async (format) => {
  const html = join(folder, `${format}.html`);
  tool(process.execPath, MAIN, "bench-sheet", example("first-valve"), "--html", html);
  const page = await browser.newPage({ colorScheme: "dark" });
  const asked: string[] = [];
  page.on("request", (request) => asked.push(request.url()));
  await page.goto(`file://${html}`);
  const pdf = join(folder, `${format}.pdf`);
  writeFileSync(pdf, await page.pdf({ format, preferCSSPageSize: false, printBackground: true }));
  await page.close();
  expect(asked).toHaveLength(1);
  const text = tool("pdftotext", "-layout", pdf, "-");
  for (const words of ["Cautions first", "Polarity, at low voltage", "Remarks", "Rail bias"])
    expect(text).toContain(words);

  // The scale of 150 mm, and the free length of 9 mm at the scale that the drawing states.
  const pages = Number(/Pages:\s+(\d+)/.exec(tool("pdfinfo", pdf))?.[1]);
  const lengths = Array.from({ length: pages }, (_, i) =>
    horizontals(tool("pdftocairo", "-svg", "-f", `${i + 1}`, "-l", `${i + 1}`, pdf, "-")),
  ).flat();
  const stated = Number(/from the side, (\d+) : 1 along it/.exec(text)?.[1]);
  expect(stated).toBeGreaterThan(1);
  for (const wanted of [150 * POINTS, 9 * stated * POINTS]) {
    const nearest = lengths.reduce(
      (a, b) => (Math.abs(b - wanted) < Math.abs(a - wanted) ? b : a),
      0,
    );
    // Coordinates have two decimals of a millimetre.
    expect(Math.abs(nearest - wanted)).toBeLessThan(0.1);
  }
});

test("the command refuses to overwrite, and gives its numbers as JSON", () => {
  const html = join(folder, "once.html");
  const run = (...words: string[]) =>
    spawnSync(process.execPath, [MAIN, "bench-sheet", example("first-valve"), ...words], {
      encoding: "utf8",
    });
  expect(run("--html", html)).toMatchObject({ status: 0, stdout: "" });
  expect(run("--html", html)).toMatchObject({ status: 2 });
  expect(run("--html", html, "--force")).toMatchObject({ status: 0 });
  expect(run()).toMatchObject({ status: 0, stdout: readFileSync(html, "utf8") });
  expect(run("--resolution", "1 V")).toMatchObject({ status: 2 });
  const { result } = JSON.parse(run("--json").stdout) as {
    result: { lever: { distance: number } };
  };
  expect(result.lever.distance).toBeCloseTo(0.6, 12);
  expect(run("--ascii").stdout).toMatch(/^[\t-~]*$/);
});

/** Lengths of the horizontal lines of a page, in points. */
function horizontals(svg: string): number[] {
  const out: number[] = [];
  for (const [, d = "", rest = ""] of svg.matchAll(/<path[^>]*\sd="([^"]*)"([^>]*)>/g)) {
    const scale = Number(/matrix\(([\d.]+)/.exec(rest)?.[1] ?? 1);
    const points = [...d.matchAll(/([ML]) (-?[\d.]+) (-?[\d.]+)/g)].map(
      (m) => [Number(m[2]), Number(m[3])] as const,
    );
    points.forEach(([x, y], i) => {
      const before = points[i - 1];
      if (before !== undefined && Math.abs(before[1] - y) < 0.01)
        out.push(Math.abs(x - before[0]) * scale);
    });
  }
  return out;
}
