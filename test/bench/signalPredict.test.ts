import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { sheetFigure, sheetOf } from "../../src/bench/fromDesign.ts";
import type { Kind } from "../../src/bench/kind.ts";
import { LEVER } from "../../src/bench/lever/kind.ts";
import { designShape, idealShape } from "../../src/bench/lever/shapes.ts";
import { massShift } from "../../src/bench/mirror.ts";
import { RESPONSE } from "../../src/bench/response/kind.ts";
import { TRACE } from "../../src/bench/trace/kind.ts";
import type { Design } from "../../src/design/design.ts";
import { readDesign } from "../../src/design/readDesign.ts";
import { dataOf, settingsOf } from "./coverage.ts";

function designOf(name: string): Design {
  const path = new URL(`../../examples/${name}.reed.yaml`, import.meta.url);
  const read = readDesign(readFileSync(path, "utf8"));
  if (!read.ok) throw new Error(`${name} does not read`);
  return read.design;
}
const shutter = designOf("mirror-shutter");
const helium = designOf("crossed-beam-helium");

const sweep = dataOf(
  { voltage: [0, 50, 100, 150, 100, 50, 0], spot: [0, 1e-3, 2.1e-3, 3.1e-3, 2.2e-3, 1.1e-3, 1e-4] },
  { voltage: "voltage", spot: "length" },
);
const predict = (kind: Kind, design: Design, settings = {}) =>
  kind.predict?.(design, [sweep], settingsOf(settings), {
    kind: kind.name,
    values: [],
    fits: [],
    warnings: [],
    tables: [],
    marks: [],
    covariance: null,
  }) ?? [];

test.each([
  ["air", "modes.open_air_Hz.0"],
  ["vacuum", "modes.open_vacuum_Hz.0"],
  ["working gas", "modes.open_gas_Hz.0"],
])("in %s the sheet's resonance of that gas is expected, with its uncertainty", (medium, path) => {
  for (const kind of [TRACE, RESPONSE]) {
    const found = predict(kind, helium, { medium }).find(({ key }) => key === "first_resonance_Hz");
    expect(found?.from).toBe(`sheet: ${path}`);
    expect(found?.value).toBe(sheetFigure(helium, path)?.value);
    expect(found?.u).toBeGreaterThan(0);
  }
});

test("the figure of a list brings the uncertainty that stands in the list beside it", () => {
  const first = sheetFigure(helium, "modes.open_air_Hz.0");
  const second = sheetFigure(helium, "modes.open_air_Hz.1");
  expect((second?.u as number) / (first?.u as number)).toBeGreaterThan(3);
});

test("swing, rise and lift per volt of a free strip, each once", () => {
  const keys = predict(TRACE, shutter).map(({ key, of }) => `${of} ${key}`);
  for (const key of ["swing_m", "rise_10_90_s", "quality_factor"])
    expect(keys.filter((k) => k === `design ${key}`)).toHaveLength(1);
  const rise = predict(TRACE, shutter).find(({ key }) => key === "rise_10_90_s");
  const f1 = sheetFigure(shutter, "modes.open_air_Hz.0")?.value as number;
  // At least what the resonance alone makes: 0.165 of a period.
  expect((rise?.value as number) * f1).toBeGreaterThan(0.16);
  expect((rise?.value as number) * f1).toBeLessThan(0.25);
  const lift = predict(LEVER, shutter).find(
    ({ key, of }) => key === "lift_per_volt_m_V" && of === "design",
  );
  const swing = sheetFigure(shutter, "strip.swing_at_pad_m")?.value as number;
  expect(swing / (lift?.value as number)).toBeCloseTo(180, 6);
});

test("the swing between both rails is that of the large signal, and the rise knows how rough it is", () => {
  const large = sheetOf(shutter).large_signal?.rows.find((r) => r.figure === "swing at the pad");
  for (const kind of [TRACE, LEVER]) {
    const found = predict(kind, shutter).find(({ key }) => key === "swing_m");
    if (kind === LEVER && found === undefined) continue;
    expect(found?.value).toBe(large?.large_signal);
    expect(found?.u).toBeGreaterThan(0);
  }
  const lift = sheetOf(helium).large_signal?.rows.find((r) => r.figure === "lift when open");
  expect(predict(TRACE, helium).find(({ key }) => key === "swing_m")?.value).toBe(
    lift?.large_signal,
  );
  const rise = predict(TRACE, shutter).find(({ key }) => key === "rise_10_90_s");
  expect((rise?.u as number) / (rise?.value as number)).toBeGreaterThan(0.25);
});

test("a design's own uniform strip bends as the textbook strip; a mass at its tip lowers f1 as it should", () => {
  const L = shutter.strip.freeLength;
  const own = designShape(shutter, "voltage", 0.65 * L, L);
  expect(own?.slopeOverLift).toBeCloseTo(idealShape("voltage", L, 0.65 * L, L).slopeOverLift, 8);
  // Shear counts for a force: below one per cent here.
  const force = designShape(shutter, "tip force", 0.65 * L, L)?.slopeOverLift as number;
  expect(force / idealShape("tip force", L, 0.65 * L, L).slopeOverLift).toBeCloseTo(1, 2);
  const bare = { ...shutter, masses: [] };
  const perLength = sheetFigure(shutter, "strip.mass_per_length_kg_m")?.value as number;
  const mass = 0.02 * perLength * L;
  // A clamped–free strip moves at its tip in mode 1 like a quarter of its mass (φ(L)² = 4 ∫φ²/L, textbook).
  expect(massShift(bare, mass, L)).toBeCloseTo(Math.sqrt(0.25 / (0.25 + 0.02)), 3);
  expect(massShift(bare, mass, 2 * L)).toBeNull();
});

test("every value that is predicted has words for a mismatch where one can be meant", () => {
  for (const [kind, design] of [
    [TRACE, shutter],
    [LEVER, shutter],
    [RESPONSE, helium],
  ] as const) {
    const words = new Set(kind.mismatches?.map(({ key }) => key));
    for (const { key } of predict(kind, design))
      if (key !== "third_resonance_Hz") expect(words).toContain(key);
  }
});
