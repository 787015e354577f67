import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import type { Design } from "../../design/design.ts";
import { readDesign } from "../../design/readDesign.ts";
import { checkDesign } from "../../sheet/check.ts";
import { evaluate } from "../../sheet/evaluate.ts";
import type { SheetResult } from "../../sheet/result.ts";
import { printFigure } from "../figureUnits.ts";
import { figureAt } from "../text/groups.ts";
import { benchSheet, benchSheetPage } from "./benchSheet.ts";
import { leverOf, spotAt } from "./lever.ts";

const EXAMPLES = join(import.meta.dirname, "../../../examples");
const NAMES = readdirSync(EXAMPLES)
  .filter((name) => name.endsWith(".reed.yaml"))
  .map((name) => name.slice(0, -".reed.yaml".length));

const textOf = (name: string) => readFileSync(join(EXAMPLES, `${name}.reed.yaml`), "utf8");
function designOf(text: string): Design {
  const read = readDesign(text);
  if (!read.ok) throw new Error(read.problems.map(({ message }) => message).join("; "));
  return read.design;
}
const known = new Map<string, { design: Design; result: SheetResult }>();
/** An example with its check, made once. */
function checked(name: string) {
  let found = known.get(name);
  if (found === undefined) {
    const design = designOf(textOf(name));
    found = { design, result: checkDesign(design, { waysOut: false }).result };
    known.set(name, found);
  }
  return found;
}
const OPTIONS = { resolution: 1e-6, reading: 2e-4, file: "v.reed.yaml", origin: "a test" };

const unescaped = (text: string) =>
  text.replaceAll("&lt;", "<").replaceAll("&gt;", ">").replaceAll("&amp;", "&");

test.each(NAMES)(
  "%s: every figure of the check stands on the sheet as the check prints it",
  (name) => {
    const design = designOf(textOf(name));
    const { result } = checkDesign(design, { waysOut: false });
    const page = benchSheetPage(design, result, OPTIONS);
    const cells = [...page.matchAll(/<td data-figure="([^"]+)">([^<]*)<\/td>/g)];
    expect(cells.length).toBeGreaterThan(8);
    for (const [, path = "", text = ""] of cells) {
      const list = /^modes\.(\w+)\[(\d+)\]$/.exec(path);
      let expected: string;
      if (list !== null) {
        const modes = result.modes as unknown as Record<string, number[]>;
        const [, key = "", index] = list;
        const value = modes[key]?.[Number(index)] as number;
        expected = printFigure(key, value, modes[`u_${key}`]?.[Number(index)]);
      } else {
        const { name: figure, value, u, reason } = figureAt(result, path);
        expected = value === null ? `none: ${reason}` : printFigure(figure, value, u);
      }
      expect(unescaped(text), path).toBe(expected);
    }
  },
);

test.each(NAMES)("%s: the page is whole, asks for nothing, and says cautions first", (name) => {
  const { design, result } = checked(name);
  const page = benchSheetPage(design, result, OPTIONS);
  expect(page).not.toMatch(/\b(src|href)=|@import|url\(|<script/);
  expect(page).not.toMatch(/NaN|undefined|Infinity|\[object/);
  expect(page).not.toMatch(/\bsafe(ty|ly)?\b/i);
  expect(page.indexOf("Cautions first")).toBeLessThan(page.indexOf("1. Incoming test"));
  expect(page.indexOf("1. Incoming test")).toBeLessThan(page.indexOf("2. Polarity"));
  expect(page.match(/<svg/g)).toHaveLength(3);
});

test("an unmarked strip says so over its polarity test", () => {
  const sheet = (name: string) => {
    const { design, result } = checked(name);
    return benchSheetPage(design, result, OPTIONS);
  };
  expect(textOf("krypton-buffer")).toContain("unmarked");
  expect(sheet("krypton-buffer")).toContain("this strip is not marked");
  expect(sheet("first-valve")).not.toContain("this strip is not marked");
});

/** The first valve with one electrode switched between ground and 10 V, all others on ground. */
function wired(electrode: string, poling: readonly [string, string]): Design {
  const goes = ["lower face", "vane", "upper face"]
    .map((name) => `${name}: ${name === electrode ? "switched" : "ground"}`)
    .join(", ");
  const text = textOf("first-valve")
    .replace(/^wiring:.*$/m, `wiring: {${goes}}`)
    .replace(
      /^rails:.*$/m,
      "rails: {bias: {voltage: 10 V, current_limit: 5 mA, storage: 2.2 µF, bleeder: 680 kΩ}}",
    )
    .replace(
      /^switch:.*$/m,
      "switch: {high: bias, low: ground, idle: low, series_resistor: 470 Ω}",
    );
  return designOf(poled(text, poling));
}
function poled(text: string, [lower, upper]: readonly [string, string]): string {
  let k = 0;
  return text.replace(/poling: up/g, () => `poling: ${k++ === 0 ? lower : upper}`);
}

test.each([
  ["up", "up"],
  ["up", "down"],
  ["down", "up"],
] as const)(
  "poling %s and %s: each electrode sends pad and spot as a check of that wiring has it",
  (...poling) => {
    const design = designOf(poled(textOf("first-valve"), poling));
    const { result } = checkDesign(design, { waysOut: false, uncertainty: false });
    const { polarity, lever } = benchSheet(design, result, OPTIONS);
    expect(polarity.map(({ electrode }) => electrode)).toEqual([
      "lower face",
      "vane",
      "upper face",
    ]);
    for (const { electrode, deflection, spot } of polarity) {
      const sheet = evaluate(wired(electrode, poling), { detail: false });
      const high = sheet.strip.states.find(({ name }) => name === "high")!;
      expect(deflection).toBeCloseTo(high.free_deflection_m, 12);
      expect(spot).toBeCloseTo(
        spotAt(lever.slopePerLift * high.free_deflection_m, lever.distance),
        12,
      );
    }
  },
);

test("the way of the lower face by hand: with the poling it contracts, and the tip goes down", () => {
  // +10 V under a layer poled up: the field points up, along the poling; d31 < 0 shortens the lower layer.
  const { design, result } = checked("first-valve");
  const [lower] = benchSheet(design, result, OPTIONS).polarity;
  expect(lower!.layers).toEqual([{ number: 1, along: true }]);
  expect(lower!.deflection).toBeLessThan(0);
  expect(lower!.spot).toBeLessThan(0);
});

test("the spot is where a ray of vectors meets the screen", () => {
  const { design, result } = checked("first-valve");
  const lever = leverOf(design, result, OPTIONS);
  for (const { deflection, spot } of lever.states) {
    // Shape of a strip bent by voltage, x²; slope at the mirror by a difference of it.
    const w = (x: number) => deflection * (x / (design.pad?.position as number)) ** 2;
    const h = 1e-6;
    const slope = (w(lever.mirror + h) - w(lever.mirror - h)) / (2 * h);
    const a = lever.incidence;
    const incoming = [Math.sin(a), -Math.cos(a)] as const;
    const size = Math.hypot(slope, 1);
    const normal = [-slope / size, 1 / size] as const;
    const dot = incoming[0] * normal[0] + incoming[1] * normal[1];
    const out = [incoming[0] - 2 * dot * normal[0], incoming[1] - 2 * dot * normal[1]] as const;
    const rest = [Math.sin(a), Math.cos(a)] as const;
    // Screen: all points with p·rest = D; up along it is (−cos a, sin a).
    const long = lever.distance / (out[0] * rest[0] + out[1] * rest[1]);
    const place = -Math.cos(a) * out[0] * long + Math.sin(a) * out[1] * long;
    expect(place).toBeCloseTo(spot, 9);
  }
});

test("the screen stands as far as the wanted resolution needs", () => {
  const { design, result } = checked("first-valve");
  for (const resolution of [0.5e-6, 1e-6, 5e-6]) {
    const lever = leverOf(design, result, { resolution, reading: 2e-4 });
    const seen = lever.reading / lever.magnification;
    expect(seen).toBeLessThanOrEqual(resolution * (1 + 1e-9));
    if (lever.distance > 0.1) {
      const nearer = { ...lever, distance: lever.distance - 0.05 };
      expect(2e-4 / (2 * nearer.slopePerLift * nearer.distance)).toBeGreaterThan(resolution);
    }
  }
  // By hand: mirror at 6.3 mm, pad at 8.5 mm, slope over lift 2 x_m/x_p² = 174.4/m; 0.2 mm/(2 · 174.4/m · 1 µm) = 0.573 m.
  const lever = leverOf(design, result, OPTIONS);
  expect(lever.slopePerLift).toBeCloseTo(174.39, 2);
  expect(lever.distance).toBeCloseTo(0.6, 12);
});

test("the lines name kinds and settings that reduce knows", async () => {
  const { kindNamed } = await import("../../bench/kinds.ts");
  for (const name of NAMES) {
    const { design, result } = checked(name);
    for (const { lines } of benchSheet(design, result, OPTIONS).steps)
      for (const line of lines) {
        const kind = kindNamed(/^reedlift reduce (\S+) /.exec(line)?.[1] ?? "");
        expect(kind, line).toBeDefined();
        const files = /^reedlift reduce \S+ (.*?) --design/.exec(line)?.[1]?.split(" ") ?? [];
        expect(files.length, line).toBeLessThanOrEqual(kind!.files.max);
        for (const [, key] of line.matchAll(/--set '([^=]+)=/g))
          expect(
            kind!.settings.map((setting) => setting.key),
            line,
          ).toContain(key);
      }
  }
});
