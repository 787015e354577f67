import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { gasTint } from "./theme.ts";
import { TONES, toned, toneStyles } from "./tones.ts";

const STORE = join("test", "golden");

/** Relative luminance and contrast ratio of WCAG 2.2 (W3C Recommendation 2023, "relative luminance"). */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const c = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function contrast(a: string, b: string): number {
  const [x, y] = [luminance(a), luminance(b)].sort((p, q) => q - p) as [number, number];
  return (x + 0.05) / (y + 0.05);
}
const tone = (name: string) => TONES.find((each) => each.name === name)!;

test("the contrast formula gives 21 for black on white", () => {
  expect(contrast("#000000", "#FFFFFF")).toBeCloseTo(21, 9);
  // #767676 on white is the lightest grey that passes 4.5 (a widely printed example).
  expect(contrast("#767676", "#FFFFFF")).toBeGreaterThan(4.5);
  expect(contrast("#777777", "#FFFFFF")).toBeLessThan(4.5);
});

test("every colour of every stored picture has a tone", () => {
  const pictures = readdirSync(STORE).filter((name) => name.endsWith(".svg"));
  expect(pictures.length).toBeGreaterThan(10);
  for (const name of pictures) {
    const svg = toned(readFileSync(join(STORE, name), "utf8"));
    expect(svg).not.toMatch(/#[0-9A-F]{6}\b/);
    expect(svg).toContain("var(--fig-ink)");
  }
});

test("a colour without a tone is named, in capitals or not, short or long", () => {
  for (const hex of ["#123456", "#c0ffee", "#ABC", "#22262B80"])
    expect(() => toned(`<rect fill="${hex}"/>`)).toThrow(`the colour ${hex} has no tone`);
});

test("words and references that look like a colour stay as they are", () => {
  const svg =
    '<g id="facade"><text fill="#22262B">lot "#123456"</text><path fill="url(#facade)"/></g>';
  expect(toned(svg)).toBe(svg.replace('"#22262B"', '"var(--fig-ink)"'));
});

test("no two tones share a name or a light colour", () => {
  expect(new Set(TONES.map(({ name }) => name)).size).toBe(TONES.length);
  expect(new Set(TONES.map(({ light }) => light)).size).toBe(TONES.length);
});

const CURVES = [1, 2, 3, 4, 5].map((i) => `curve-${i}`);
const CHART = ["paper", "plot", "met", "shade"];

/** What is written, and every ground that it is written on without an outline of paper. */
const WORDS: [string, string[]][] = [
  ["ink", [...CHART, "gas", "body"]],
  ["other", ["paper", "plot", "gas"]],
  ["quiet", ["paper", "plot"]],
  ["not-met", [...CHART, "off-ground"]],
  ["field", ["paper", "plot"]],
  ...CURVES.map((name): [string, string[]] => [`${name}-text`, CHART]),
];

/** Lines that say something, and what they run over. */
const LINES: [string, string[]][] = [
  ["ink", ["paper", "plot", "gas", "body", "sand", "metal", "rubber-ground"]],
  ["graphite", ["paper", "gas", "sand", "metal", "glue"]],
  ["sand-edge", ["paper", "gas"]],
  ["other", ["paper", "gas", "sand"]],
  ["quiet", ["paper", "plot", "gas"]],
  ["hatching", ["body"]],
  ["not-met", [...CHART, "sand"]],
  ["field", ["paper", "sand"]],
  ...CURVES.map((name): [string, string[]] => [name, CHART]),
];

/** Pairs that stay under a contrast; WCAG 2.2 asks 4.5 of text (1.4.3) and 3 of graphics (1.4.11). */
const under = (pairs: [string, string[]][], least: number, which: "light" | "dark") =>
  pairs.flatMap(([name, grounds]) =>
    grounds
      .map((ground) => ({ ground, c: contrast(tone(name)[which], tone(ground)[which]) }))
      .filter(({ c }) => c < least)
      .map(({ ground, c }) => `${name} on ${ground}: ${c.toFixed(2)}`),
  );

test.each(["light", "dark"] as const)("words are read on their grounds, %s", (which) => {
  expect(under(WORDS, 4.5, which)).toEqual([]);
});

test.each(["light", "dark"] as const)("lines that mean something are seen, %s", (which) => {
  expect(under(LINES, 3, which)).toEqual([]);
});

test("in the dark a vacuum is darkest and a gas lightens with every decade of its pressure", () => {
  const over = (pressure: number) => {
    const share = gasTint(pressure)["fill-opacity"];
    const [from, to] = [tone("paper").dark, tone("gas").dark].map((hex) =>
      [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16)),
    ) as [number[], number[]];
    const mixed = from.map((c, i) => Math.round(c + (to[i]! - c) * share));
    return luminance(`#${mixed.map((c) => c.toString(16).padStart(2, "0")).join("")}`);
  };
  const decades = [0, 1, 10, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7].map(over);
  expect(decades[0]).toBe(luminance(tone("paper").dark));
  for (let i = 1; i < decades.length; i++) expect(decades[i]).toBeGreaterThan(decades[i - 1]!);
  for (const { name, dark } of TONES.filter(({ name }) => ["plot", "body", "met"].includes(name)))
    expect([name, luminance(dark) > decades[0]!]).toEqual([name, true]);
});

test("the sand stays warm and the gas cool in both themes", () => {
  const warmth = (hex: string) =>
    Number.parseInt(hex.slice(1, 3), 16) - Number.parseInt(hex.slice(5, 7), 16);
  for (const which of ["light", "dark"] as const) {
    expect(warmth(tone("sand")[which])).toBeGreaterThan(30);
    expect(warmth(tone("gas")[which])).toBeLessThan(-30);
  }
});

test("the style sheet names every variable in light and dark, and paper is light", () => {
  const css = toneStyles();
  for (const { name, light, dark } of TONES) {
    expect(css).toContain(`--fig-${name}:${light}`);
    expect(css).toContain(`--fig-${name}:${dark}`);
  }
  expect(css.slice(css.indexOf("@media print"))).not.toContain(tone("ink").dark);
});
