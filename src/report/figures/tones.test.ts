import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { gasShare, gasTint } from "./theme.ts";
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

test("a colour without a tone is named", () => {
  expect(() => toned('<rect fill="#123456"/>')).toThrow("the colour #123456 has no tone");
});

test("no two tones share a name or a light colour", () => {
  expect(new Set(TONES.map(({ name }) => name)).size).toBe(TONES.length);
  expect(new Set(TONES.map(({ light }) => light)).size).toBe(TONES.length);
});

test.each(["light", "dark"] as const)("words are read on their ground, %s", (which) => {
  const words = [
    "ink",
    "quiet",
    "other",
    "not-met",
    "field",
    ...[1, 2, 3, 4, 5].map((i) => `curve-${i}-text`),
  ];
  for (const name of words)
    for (const ground of ["paper", "plot"])
      expect([name, contrast(tone(name)[which], tone(ground)[which]) >= 4.5]).toEqual([name, true]);
});

test.each(["light", "dark"] as const)("lines that mean something are seen, %s", (which) => {
  for (const name of ["graphite", "sand-edge", "curve-1", "curve-3", "hatching"])
    expect([name, contrast(tone(name)[which], tone("paper")[which]) >= 3]).toEqual([name, true]);
});

test("a tint of gas is read back as its share, whatever the pressure", () => {
  for (const pressure of [0, 1e-3, 1, 1e3, 1e5, 2e6, 1e7])
    expect(gasShare(gasTint(pressure))).not.toBeNull();
  expect(gasShare(gasTint(0))).toBe(0);
  expect(gasShare(gasTint(1e7))).toBe(100);
  expect(gasShare("#D55E00")).toBeNull();
});

test("the style sheet names every variable in light and dark, and paper is light", () => {
  const css = toneStyles();
  for (const { name, light, dark } of TONES) {
    expect(css).toContain(`--fig-${name}:${light}`);
    expect(css).toContain(`--fig-${name}:${dark}`);
  }
  expect(css.slice(css.indexOf("@media print"))).not.toContain(tone("ink").dark);
});
