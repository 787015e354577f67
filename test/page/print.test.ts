import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { type Bench, benchWith, computed, visit, withBrowser } from "./support.ts";

/* The printed page: light, complete, and the drawing at the scale that it states. */

withBrowser();
let bench: Bench;
beforeAll(async () => {
  bench = await benchWith("first-valve");
});
afterAll(() => bench.close());

/** Text and lines of a PDF, by poppler's tools. */
function tool(name: string, ...args: string[]): string {
  const { status, stdout, error } = spawnSync(name, args, { encoding: "utf8", maxBuffer: 1e8 });
  if (error !== undefined || status !== 0)
    throw new Error(`${name} is needed to look into the PDF: apt-get install poppler-utils`);
  return stdout;
}

/** Points of paper in a millimetre. */
const POINTS = 72 / 25.4;

test.each(["A4", "Letter"])(
  "on %s the free length on paper is the free length times the scale stated",
  async (format) => {
    const { page, close } = await visit(bench, "first-valve", { colorScheme: "dark" });
    await computed(page);
    await page.locator(".paper figure").first().waitFor({ state: "attached" });
    const file = join(bench.folder, `print-${format}.pdf`);
    writeFileSync(
      file,
      await page.pdf({ format, preferCSSPageSize: false, printBackground: true }),
    );
    await close();
    const text = tool("pdftotext", "-layout", file, "-");
    expect(text).toContain("Margins, tightest first");
    expect(text).toContain("opening voltage over the switched step");
    const scale = Number(/Along the strip ([\d.]+) : 1 on paper/.exec(text)?.[1]);
    expect(scale).toBeGreaterThan(3);

    // The dimension line of the free length is a horizontal line of 9 mm times the scale.
    const svg = tool("pdftocairo", "-svg", "-f", "1", "-l", "1", file, "-");
    const wanted = 9 * scale * POINTS;
    const lengths = horizontals(svg);
    const nearest = lengths.reduce(
      (a, b) => (Math.abs(b - wanted) < Math.abs(a - wanted) ? b : a),
      0,
    );
    // The drawing's coordinates have two decimals of a px of 0.75 points.
    expect(Math.abs(nearest - wanted)).toBeLessThan(0.1);
  },
);

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
