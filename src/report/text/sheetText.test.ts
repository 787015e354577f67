import { expect, test } from "vitest";
import type { MarginRow } from "../../sheet/result.ts";
import {
  inletDesign,
  stripDesign,
  stripResult,
  unmetResult,
  valveDesign,
  valveResult,
} from "../fixtures/index.test-data.ts";
import { widthOf } from "./lines.ts";
import { marginBar, percentText, usedTravel } from "./marginTable.ts";
import { sheetText } from "./sheetText.ts";
import { PLAIN, textStyle, toAscii } from "./style.ts";

const CASES = [
  ["met", valveDesign(), valveResult()],
  ["not met", valveDesign(), unmetResult()],
  ["strip only", stripDesign(), stripResult()],
  ["seat above", inletDesign(), valveResult()],
] as const;

/** The same sheet with every uncertainty and every word as long as they get. */
function wide() {
  const result = unmetResult();
  for (const row of result.margins) {
    row.requirement += " with a name much longer than anybody would give to a requirement";
    if (row.value !== null) {
      row.value = -1.23456789e-7 * (row.value + 1);
      row.u_value = 3.3e-8;
    }
  }
  const seat = result.seat!;
  seat.stable_lifts_m = [-1.234567e-6, 2.345678e-6, 3.456789e-6, 12.34567e-6];
  seat.lift_open_m = null;
  result.reasons["seat.lift_open_m"] =
    "the pad does not leave the seat at the working pressure, however long this sentence grows";
  for (const state of result.strip.states) state.name += ", and then some more words about it";
  result.cautions.push({
    id: "x",
    text: "A_word_without_any_space_".repeat(8),
    action: "Divide_it_".repeat(15),
    values: {},
  });
  result.ways_out[0]!.text = "one change and another one ".repeat(9);
  return result;
}

test.each(CASES)("no line of the sheet is wider than 100 columns: %s", (_, design, result) => {
  for (const ascii of [false, true])
    for (const line of sheetText(design, result, { ascii }).split("\n"))
      expect(widthOf(line), line).toBeLessThanOrEqual(100);
});

test.each([80, 100, 140])("wide values and long words stay within %i columns", (columns) => {
  for (const ascii of [false, true])
    for (const line of sheetText(valveDesign(), wide(), { columns, ascii }).split("\n"))
      expect(widthOf(line), line).toBeLessThanOrEqual(columns);
});

test.each(CASES)("--ascii prints nothing but ASCII and no NaN: %s", (_, design, result) => {
  const text = sheetText(design, result, { ascii: true });
  expect(text).toMatch(/^[\x20-\x7e\n]*$/);
  // A question mark stands for a margin that is not known, never for a sign without ASCII spelling.
  if (result.margins.every((row) => row.margin !== null)) expect(text).not.toContain("?");
  for (const sheet of [text, sheetText(design, result)])
    expect(sheet).not.toMatch(/NaN|undefined|Infinity|null|\[object/);
});

test("order of the sheet: verdict, margins, window, ways out, figures, inputs, cautions", () => {
  const text = sheetText(valveDesign(), unmetResult());
  const places = [
    "NOT MET",
    "Margins, tightest first",
    "Free length",
    "Ways out",
    "Strip ─",
    "Fields along the poling",
    "Resonances",
    "Seat ─",
    "Gas: Ar",
    "Drive",
    "Lock-out band",
    "Large signal",
    "Inputs",
    "Cautions",
  ].map((title) => text.indexOf(title));
  expect(places).not.toContain(-1);
  expect(places).toEqual([...places].sort((a, b) => a - b));
});

test("a requirement that is not met has its own mark and a hatched bar, without colour too", () => {
  const text = sheetText(valveDesign(), unmetResult());
  const line = text.split("\n").find((l) => l.includes("mean chamber pressure"))!;
  expect(line.startsWith("✗")).toBe(true);
  expect(line).toMatch(/├╱+┼╱+/);
  const ascii = sheetText(valveDesign(), unmetResult(), { ascii: true });
  expect(ascii.split("\n").find((l) => l.includes("mean chamber pressure"))).toMatch(
    /^x.*\|\/+\+\/+/,
  );
});

test("a figure that is null prints its reason", () => {
  const text = sheetText(valveDesign(), valveResult()).replace(/\s+/g, " ");
  expect(text).toContain("none: the pump holds");
});

test("figures carry their uncertainty and unit", () => {
  const text = sheetText(valveDesign(), valveResult());
  expect(text).toContain("3.90(52) MPa");
  expect(text).toMatch(/swing at the pad +32\.7 ± 1\.9 μm/);
  expect(text).toMatch(/lift when open +\S+ ± 2\.1 μm \*/);
});

test("colour comes only through the palette that is handed in", () => {
  const paint = (code: number) => (text: string) => `\u001b[${code}m${text}\u001b[0m`;
  const palette = { ...PLAIN, strong: paint(1), unmet: paint(31), quiet: paint(2) };
  const plain = sheetText(valveDesign(), unmetResult());
  const coloured = sheetText(valveDesign(), unmetResult(), { palette });
  expect(plain).not.toContain("\u001b");
  // biome-ignore lint/suspicious/noControlCharactersInRegex: escape codes are what is removed
  const bare = coloured.replace(/\u001b\[\d+m/g, "");
  expect(bare.replace(/ +$/gm, "")).toBe(plain);
});

test("only the groups asked for are printed; verdict and cautions always stand", () => {
  const text = sheetText(valveDesign(), valveResult(), { groups: ["modes"] });
  expect(text).toContain("Resonances");
  expect(text).toContain("Cautions");
  expect(text).not.toContain("Seat ─");
});

test("the percentage of a margin just below zero never reads as zero", () => {
  expect(percentText(-0.0031)).toBe("−0.3 %");
  expect(percentText(-0.0000031)).toBe("> −0.1 %");
  expect(percentText(0)).toBe("0 %");
  expect(percentText(0.124)).toBe("12 %");
  expect(percentText(43)).toBe("> 999 %");
  expect(percentText(null)).toBe("unknown");
});

const margin = (value: number, limit: number, sense: MarginRow["sense"]): MarginRow => {
  const left = (sense === "at least" ? value - limit : limit - value) / Math.abs(limit);
  return {
    id: "a",
    requirement: "a",
    value,
    limit,
    sense,
    unit: "1",
    margin: left,
    met: left >= 0,
  };
};

test("the bar ends at the limit: half used is half filled, for upper and lower limits", () => {
  expect(usedTravel(margin(1, 2, "at most"))).toBe(0.5);
  expect(usedTravel(margin(2, 1, "at least"))).toBe(0.5);
  expect(usedTravel(margin(-1, 2, "at most"))).toBe(0);
  const style = textStyle({ ascii: true });
  expect(marginBar(margin(1, 2, "at most"), 15, style)).toBe("|=====-----|");
  expect(marginBar(margin(2, 2, "at most"), 15, style)).toBe("|==========|");
  expect(marginBar(margin(2.2, 2, "at most"), 15, style)).toBe("|//////////+/");
  expect(marginBar(margin(9, 2, "at most"), 15, style)).toBe("|//////////+///");
});

test("ASCII keeps the meaning of signs", () => {
  expect(toAscii("−5 µm ± 1 μm at 20 °C, 3 Ω, χ² ≥ 2")).toBe(
    "-5 um +/- 1 um at 20 degC, 3 ohm, chi^2 >= 2",
  );
  expect(toAscii("naïve")).toBe("naive");
});

test("fewer than 80 columns are refused", () => {
  expect(() => sheetText(valveDesign(), valveResult(), { columns: 40 })).toThrow(
    /at least 80: got 40/,
  );
});
