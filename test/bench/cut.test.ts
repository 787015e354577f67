import { expect, test } from "vitest";
import { CUT } from "../../src/bench/cut/cut.ts";
import { admittance, type Circuit } from "../../src/bench/impedance/circuit.ts";
import { dataOf, settingsOf, statistics, valueAt } from "./coverage.ts";

/** A strip of 30 × 5 mm cut to 14 × 5 mm, clamped 20 mm and 9 mm free, and what a good cut makes of it. */
const GOOD = {
  "length-before": [0.03, 5e-5],
  "length-after": [0.014, 5e-5],
  "width-before": [0.005, 2e-5],
  "width-after": [0.005, 2e-5],
  "free-length-before": [0.02, 2e-5],
  "free-length-after": [0.009, 2e-5],
  "clamp-correction": [0.0002, 0.00004],
  "capacitance-before": [40e-9, 2e-10],
  "capacitance-after": [(40e-9 * 14) / 30, 1e-10],
  "loss-before": [0.017, 3e-4],
  "loss-after": [0.017, 3e-4],
  "resonance-before": [500, 1],
  "resonance-after": [500 * (20.2 / 9.2) ** 2, 5],
  "coupling-before": [0.24, 0.0015],
  "coupling-after": [0.24, 0.0015],
  "deflection-before": [2e-4, 1e-6],
  "deflection-after": [2e-4 * (9.2 / 20.2) ** 2, 2e-7],
  "insulation-after": [5e9, 5e8],
} as const;

type Numbers = Record<string, number | readonly [number, number]>;
const reduce = (changed: Numbers = {}) => CUT.reduce([], settingsOf({ ...GOOD, ...changed }), null);
const verdicts = (found: ReturnType<typeof reduce>) => found.tables[0]!.rows.map((row) => row[4]);
const times = (key: keyof typeof GOOD, factor: number): readonly [number, number] => [
  GOOD[key][0] * factor,
  GOOD[key][1] * factor,
];

test("a good cut: every test as it should be, no cause named", () => {
  const found = reduce();
  expect(verdicts(found)).toEqual(new Array(7).fill("as it should be"));
  expect(found.tables).toHaveLength(1);
  expect(found.warnings).toEqual([]);
  for (const key of [
    "capacitance_over_area",
    "resonance_after_length",
    "coupling_ratio",
    "deflection_after_length",
  ])
    expect(valueAt(found, key).value).toBeCloseTo(1, 9);
});

/** Each fault planted by what it does to the numbers. */
test.each<[string, Numbers]>([
  [
    "lead or joint",
    {
      "capacitance-after": times("capacitance-after", 0.5),
      "deflection-after": times("deflection-after", 0.5),
      "coupling-after": times("coupling-after", 0.7),
    },
  ],
  [
    "cracked",
    {
      "capacitance-after": times("capacitance-after", 0.85),
      "resonance-after": times("resonance-after", 0.9),
      "coupling-after": times("coupling-after", 0.85),
      "deflection-after": times("deflection-after", 0.8),
    },
  ],
  ["electrode is missing", { "capacitance-after": times("capacitance-after", 0.9) }],
  ["smeared", { "loss-after": [0.09, 0.001], "insulation-after": [2e7, 1e6] }],
  [
    "lost poling",
    {
      "coupling-after": times("coupling-after", 0.7),
      "deflection-after": times("deflection-after", 0.65),
    },
  ],
  [
    "come off the vane",
    {
      "resonance-after": times("resonance-after", 0.88),
      "coupling-after": times("coupling-after", 0.9),
    },
  ],
  [
    "longer",
    {
      "resonance-after": times("resonance-after", 0.9),
      "deflection-after": times("deflection-after", 1.11),
    },
  ],
  [
    "shorter",
    {
      "resonance-after": times("resonance-after", 1.1),
      "deflection-after": times("deflection-after", 0.91),
    },
  ],
])("a planted fault comes first: %s", (word, changed) => {
  const found = reduce(changed);
  expect(verdicts(found)).toContain("not as it should be");
  expect(found.tables[1]!.rows[0]![0]).toContain(word);
});

test("capacitance that changed more than cutting explains is said, with the number", () => {
  const { warnings } = reduce({ "capacitance-after": times("capacitance-after", 0.83) });
  expect(warnings.find(({ key }) => key === "capacitance-unexplained")?.text).toMatch(/0\.83/);
});

test("a bridged edge is warned of before any high voltage", () => {
  const found = reduce({ "insulation-after": [3e5, 1e4], "loss-after": [0.4, 0.01] });
  expect(found.warnings.map(({ key }) => key)).toContain("edge-bridged");
});

test("too uncertain is neither good nor bad", () => {
  const found = reduce({ "width-after": [0.005, 5e-4] });
  expect(verdicts(found)[0]).toBe("undecided: u too large");
  expect(found.warnings.map(({ key }) => key)).toContain("undecided");
});

test("tests without a number say what they need", () => {
  const found = CUT.reduce(
    [],
    settingsOf({ "loss-after": [0.012, 1e-4], "loss-before": [0.013, 1e-4] }),
    null,
  );
  expect(verdicts(found)[0]).toMatch(/needs capacitance-after/);
  expect(verdicts(found).slice(1, 3)).toEqual(["as it should be", "as it should be"]);
  expect(() => CUT.reduce([], settingsOf({ "loss-before": 0.01 }), null)).toThrow(
    /nothing measured after/,
  );
});

const circuit = (c0: number, fs: number): Circuit => ({
  c0,
  tanDelta: 0.017,
  seriesResistance: 0,
  branches: [{ c1: 0.06 * c0, fs, q: 50 }],
});
const sweep = (c: Circuit, from: number, to: number, noise = () => 0) => {
  const f = Float64Array.from({ length: 101 }, (_, i) => from + ((to - from) * i) / 100);
  const y = Array.from(f, (hz) => admittance(c, hz));
  return dataOf({
    frequency: f,
    impedance: y.map(([g, b]) => (1 + noise()) / Math.hypot(g, b)),
    phase: y.map(([g, b]) => -Math.atan2(b, g) + noise()),
  });
};

test("two sweeps give the numbers by themselves; one is refused", () => {
  const sizes = Object.fromEntries(
    Object.entries(GOOD).filter(([key]) => /length|width|clamp/.test(key)),
  );
  const before = sweep(circuit(40e-9, 500), 300, 800);
  const after = sweep(circuit((40e-9 * 14) / 30, GOOD["resonance-after"][0]), 1500, 3600);
  const found = CUT.reduce([before, after], settingsOf(sizes), null);
  expect(verdicts(found).filter((word) => word === "as it should be")).toHaveLength(5);
  expect(valueAt(found, "capacitance_over_area").value).toBeCloseTo(1, 6);
  expect(found.fits).toHaveLength(2);
  expect(() => CUT.reduce([before], settingsOf(sizes), null)).toThrow(/before and after/);
});

test("1000 noisy pairs: 95 % intervals of the ratios hold 1 as often as they say", () => {
  const truths = {
    capacitance_over_area: 1,
    resonance_after_length: 1,
    deflection_after_length: 1,
    coupling_ratio: 1,
    loss_change: 0,
  };
  const found = statistics(1000, truths, (stream) => {
    const noisy = Object.entries(GOOD).map(
      ([key, [value, u]]) => [key, [value + u * stream.normal(), u]] as const,
    );
    return CUT.reduce([], settingsOf(Object.fromEntries(noisy)), null);
  });
  for (const [key, { coverage, bias }] of Object.entries(found)) {
    expect(coverage, `${key} coverage`).toBeGreaterThan(0.92);
    expect(coverage, `${key} coverage`).toBeLessThan(0.98);
    expect(Math.abs(bias), `${key} bias`).toBeLessThan(0.1);
  }
});
