import { expect, test } from "vitest";
import { DESIGN_SIZE_MAX_BYTES } from "../../src/design/document.ts";
import { readDesign } from "../../src/design/readDesign.ts";
import { changed, PLAIN_STRIP, VALVE } from "./texts.ts";

function problemsOf(text: string) {
  const result = readDesign(text);
  return result.ok ? [] : result.problems;
}

/** What is changed in the valve, and what must be said: code, path, line, and a piece of the words. */
const CASES: readonly [
  title: string,
  from: string,
  to: string,
  code: string,
  path: string,
  line: number,
  words: string,
][] = [
  [
    "a unit of another dimension",
    "2 bar",
    "2 mm",
    "quantity",
    "need.plenum_pressure",
    5,
    "mm is no unit of a pressure",
  ],
  ["a unit in the wrong case", "2 bar", "2 mBAR", "quantity", "need.plenum_pressure", 5, "mbar"],
  [
    "a number without its unit",
    "width: 5 mm",
    "width: 5",
    "bare-number",
    "strip.width",
    9,
    "a number without unit where a length is due",
  ],
  ["a decimal comma", "width: 5 mm", 'width: "5,0 mm"', "quantity", "strip.width", 9, "5.0"],
  [
    "not a number",
    "width: 5 mm",
    "width: .nan",
    "quantity",
    "strip.width",
    9,
    "infinite and undefined",
  ],
  ["not a number with a unit", "width: 5 mm", "width: NaN mm", "quantity", "strip.width", 9, ""],
  [
    "an infinite number",
    "width: 5 mm",
    "width: .inf",
    "quantity",
    "strip.width",
    9,
    "infinite and undefined",
  ],
  [
    "a key with a slip",
    "free_length:",
    "free_lenght:",
    "unknown-key",
    "strip.free_lenght",
    10,
    'did you mean "free_length"?',
  ],
  [
    "a key from nowhere",
    "width: 5 mm",
    "width: 5 mm\n  zzz: 1",
    "unknown-key",
    "strip.zzz",
    10,
    "free_length",
  ],
  [
    "a missing key",
    "  width: 5 mm\n",
    "",
    "missing-key",
    "strip.width",
    9,
    'for instance "width: 5 mm"',
  ],
  [
    "a missing section",
    "clamp:\n  length: 5 mm\n",
    "",
    "missing-key",
    "clamp",
    1,
    "clamp is missing",
  ],
  ["an empty value", "width: 5 mm", "width:", "wrong-type", "strip.width", 9, "nothing"],
  [
    "a list for a number",
    "width: 5 mm",
    "width: [5 mm]",
    "wrong-type",
    "strip.width",
    9,
    "a length with its unit",
  ],
  [
    "a flag for a number",
    "width: 5 mm",
    "width: true",
    "wrong-type",
    "strip.width",
    9,
    "a length with its unit",
  ],
  [
    "a text for a list",
    "layers:",
    "layers: brass\n  xs:",
    "wrong-type",
    "strip.layers",
    11,
    "a list",
  ],
  [
    "a text for a flag",
    "sinks: no",
    "sinks: maybe",
    "wrong-type",
    "rails.bias.sinks",
    33,
    "yes or no",
  ],
  [
    "a negative thickness",
    "thickness: 0.10 mm",
    "thickness: -0.10 mm",
    "out-of-range",
    "strip.layers.1.thickness",
    13,
    "above 0 mm",
  ],
  [
    "a thickness of nothing",
    "thickness: 0.10 mm",
    "thickness: 0 mm",
    "out-of-range",
    "strip.layers.1.thickness",
    13,
    "above 0 mm",
  ],
  [
    "a thickness in the wrong prefix",
    "thickness: 0.10 mm",
    "thickness: 100 mm",
    "out-of-range",
    "strip.layers.1.thickness",
    13,
    "at most 20 mm",
  ],
  [
    "an uncertainty as large as the value",
    "thickness: 0.10 mm",
    "thickness: 0.10(9) mm",
    "out-of-range",
    "strip.layers.1.thickness",
    13,
    "two standard uncertainties",
  ],
  [
    "a temperature below absolute zero",
    "rate: 10 Hz",
    "plenum_temperature: -300 °C",
    "quantity",
    "need.plenum_temperature",
    7,
    "absolute zero",
  ],
  [
    "a strip shorter than what it must hold",
    "width: 5 mm",
    "width: 5 mm\n  total_length: 13 mm",
    "strip-too-short",
    "strip.total_length",
    10,
    "at least 14 mm",
  ],
  [
    "a pad beyond the tip",
    "from_tip: 0.5 mm",
    "position: 9.2 mm",
    "beyond-tip",
    "pad.position",
    20,
    "ends 9 mm from the clamp edge",
  ],
  [
    "a pad inside the clamp",
    "from_tip: 0.5 mm",
    "from_tip: 9.5 mm",
    "beyond-tip",
    "pad.from_tip",
    20,
    "inside the clamp",
  ],
  [
    "a pad without a place",
    "  from_tip: 0.5 mm\n",
    "",
    "position-missing",
    "pad",
    18,
    "position or from_tip",
  ],
  [
    "a pad with two places",
    "from_tip: 0.5 mm",
    "from_tip: 0.5 mm\n  position: 8.5 mm",
    "position-twice",
    "pad.from_tip",
    20,
    "not both",
  ],
  [
    "a pad placed from the clamp with a range of lengths",
    "9.0(1) mm",
    "{from: 6 mm, to: 12 mm}\n  notused: 1",
    "unknown-key",
    "strip.notused",
    11,
    "",
  ],
  [
    "a poling left out",
    "poling: up, bottom: lower",
    "bottom: lower",
    "poling-missing",
    "strip.layers.0",
    12,
    "up, down or none",
  ],
  [
    "a poling that is no direction",
    "poling: up, bottom: lower",
    "poling: left, bottom: lower",
    "not-a-choice",
    "strip.layers.0.poling",
    12,
    "up, down, none",
  ],
  [
    "a poled metal",
    "conductor: vane",
    "conductor: vane, poling: up",
    "poling-not-ceramic",
    "strip.layers.1.poling",
    13,
    "brass has no poling",
  ],
  [
    "two names for one piece of metal",
    "conductor: vane",
    "conductor: shim",
    "electrodes-contradict",
    "strip.layers.1",
    13,
    "touch each other",
  ],
  [
    "one electrode on both faces",
    "bottom: vane, top: upper face",
    "bottom: vane, top: vane",
    "electrode-both-faces",
    "strip.layers.2.top",
    14,
    "short-circuited",
  ],
  [
    "an electrode on one face only",
    "bottom: vane, top: upper face",
    "bottom: vane",
    "electrode-one-face",
    "strip.layers.2",
    14,
    "lower face of this layer",
  ],
  [
    "face electrodes on a metal",
    "conductor: vane",
    "conductor: vane, top: x",
    "electrode-not-ceramic",
    "strip.layers.1.top",
    13,
    "",
  ],
  [
    "a conductor that is a ceramic",
    "top: vane}",
    "top: vane, conductor: vane}",
    "conductor-not-metal",
    "strip.layers.0.conductor",
    12,
    "",
  ],
  [
    "a wiring with an unknown electrode",
    "vane: switched",
    "vanne: switched",
    "unknown-electrode",
    "wiring.vanne",
    30,
    'did you mean "vane"?',
  ],
  [
    "an electrode that is wired nowhere",
    "  vane: switched\n",
    "",
    "electrode-not-wired",
    "wiring",
    29,
    "vane",
  ],
  [
    "a terminal that is no node",
    "upper face: bias",
    "upper face: bais",
    "unknown-node",
    "wiring.upper face",
    31,
    'did you mean "bias"?',
  ],
  [
    "a switch node that is no rail",
    "low: bias",
    "low: rail",
    "unknown-node",
    "switch.low",
    36,
    "ground, bias",
  ],
  [
    "a switched electrode without a switch",
    "switch:\n  high: ground\n  low: bias\n  series_resistor: 470 Ω\n",
    "",
    "switch-missing",
    "wiring.vane",
    30,
    "",
  ],
  [
    "a rail named like a node",
    "  bias: {",
    "  ground: {",
    "name-not-allowed",
    "rails.ground",
    33,
    "",
  ],
  [
    "a seat without a pad",
    "pad:\n  material: FKM 75 Shore A\n  thickness: 0.5 mm\n  from_tip: 0.5 mm\n  mass: 4 mg\n",
    "",
    "seat-without-pad",
    "seat",
    18,
    "no pad closes",
  ],
  ["a seat without a gas", "  gas: Ar\n", "", "needed-with", "need.gas", 4, "needed with a seat"],
  [
    "a gas without a pressure",
    "  plenum_pressure: 2 bar\n",
    "",
    "needed-with",
    "need.plenum_pressure",
    4,
    "needed with a gas",
  ],
  [
    "a seat without an orifice",
    "  orifice_diameter: 0.12 mm\n",
    "",
    "needed-with",
    "need.orifice_diameter",
    4,
    "needed with a seat",
  ],
  [
    "a seat inside its orifice",
    "diameter: 0.30 mm",
    "diameter: 0.10 mm",
    "seat-inside-orifice",
    "seat.diameter",
    24,
    "0.12 mm",
  ],
  [
    "a linear pad without a stiffness",
    "mass: 4 mg",
    "mass: 4 mg\n  law: linear",
    "needed-with",
    "pad.stiffness",
    18,
    "linear",
  ],
  [
    "a gas that no table knows",
    "gas: Ar",
    "gas: Arr",
    "unknown-gas",
    "need.gas",
    4,
    'no gas "Arr"',
  ],
  [
    "mole fractions that do not add up",
    "gas: Ar",
    "gas: {Ar: 90 %, He: 5 %}",
    "fractions",
    "need.gas",
    4,
    "0.95",
  ],
  [
    "a material with a slip",
    "material: brass",
    "material: bras",
    "unknown-material",
    "strip.layers.1.material",
    13,
    'did you mean "brass"?',
  ],
  [
    "a rubber as a layer",
    "material: brass, thickness: 0.10 mm, conductor: vane",
    "material: FKM, thickness: 0.10 mm",
    "wrong-material",
    "strip.layers.1.material",
    13,
    "an elastomer",
  ],
  ["a metal as a pad", "FKM 75 Shore A", "brass", "wrong-material", "pad.material", 18, "a metal"],
  [
    "a hardness out of range",
    "FKM 75 Shore A",
    "FKM 98 Shore A",
    "hardness",
    "pad.material",
    18,
    "20 to 95 Shore A",
  ],
  [
    "a standard flow without its state",
    "rate: 10 Hz",
    "gas_load_max: 5 sccm",
    "quantity",
    "need.gas_load_max",
    7,
    "standard_state",
  ],
  [
    "a range that ends before it begins",
    "9.0(1) mm",
    "{from: 12 mm, to: 6 mm}",
    "range-order",
    "strip.free_length",
    10,
    "from smaller than to",
  ],
  [
    "an impossible coupling",
    "switch:",
    "materials:\n  soft ceramic: {d31: -900 pm/V}\nswitch:",
    "coupling",
    "materials.soft ceramic",
    35,
    "k31²",
  ],
  [
    "a new material with gaps",
    "switch:",
    "materials:\n  glop: {kind: glue, density: 1200 kg/m3}\nswitch:",
    "material-incomplete",
    "materials.glop",
    35,
    "young_modulus",
  ],
  [
    "catalogue figures that do not say how they count",
    "switch:",
    "catalogue: {free_length: 9 mm, voltage: 150 V, deflection: 50 µm}\nswitch:",
    "missing-key",
    "catalogue.deflection_counted",
    34,
    "deflection_counted: total travel",
  ],
  [
    "conductor gaps in the wrong order",
    "switch:",
    "surroundings: {conductor_gap_min: 3 mm, conductor_gap_max: 2 mm}\nswitch:",
    "gap-order",
    "surroundings.conductor_gap_min",
    34,
    "",
  ],
  ["an explicit tag", "width: 5 mm", "width: !!float 5", "tag", "", 9, "tag"],
  [
    "a key that stands twice",
    "width: 5 mm",
    "width: 5 mm\n  width: 6 mm",
    "duplicate-key",
    "",
    10,
    "twice",
  ],
  [
    "a bracket that never closes",
    "{voltage: -150 V, sinks: no, storage: 2.2 µF}",
    "{voltage: -150 V",
    "syntax",
    "",
    34,
    "not readable",
  ],
  [
    "a tab as indentation",
    "  width: 5 mm",
    "\twidth: 5 mm",
    "syntax",
    "",
    9,
    "Tabs are not allowed",
  ],
  [
    "a newer schema version",
    "reedlift: 1",
    "reedlift: 2",
    "version-newer",
    "reedlift",
    1,
    "newer version of the program",
  ],
  [
    "a version that is no number",
    "reedlift: 1",
    "reedlift: one",
    "version-invalid",
    "reedlift",
    1,
    "one",
  ],
  [
    "no version",
    "reedlift: 1\n",
    "",
    "version-missing",
    "reedlift",
    1,
    'put "reedlift: 1" on the first line',
  ],
];

test.each(CASES)(
  "%s is refused with path, line and words",
  (_, from, to, code, path, line, words) => {
    const problems = problemsOf(changed(VALVE, from, to));
    const problem = problems.find((p) => p.code === code && p.path === path);
    expect(problem, JSON.stringify(problems, null, 1)).toBeDefined();
    expect(problem?.line).toBe(line);
    expect(problem?.column).toBeGreaterThan(0);
    expect(problem?.severity).toBe("error");
    expect(
      `${problem?.message} ${problem?.allowed} ${problem?.hint ?? ""} ${problem?.found}`,
    ).toContain(words);
  },
);

test("the valve that the cases start from is accepted", () => {
  expect(problemsOf(VALVE)).toEqual([]);
  expect(problemsOf(PLAIN_STRIP)).toEqual([]);
});

test("a pad placed from the clamp is refused with a range of lengths", () => {
  const text = changed(
    changed(VALVE, "9.0(1) mm", "{from: 6 mm, to: 12 mm}"),
    "from_tip: 0.5 mm",
    "position: 5 mm",
  );
  expect(problemsOf(text).map((p) => p.code)).toEqual(["position-with-range"]);
});

test("both readings of a deflection are named when the file does not say which", () => {
  const [problem] = problemsOf(`${VALVE}catalogue: {free_length: 9 mm, voltage: 150 V}\n`);
  expect(problem?.hint).toContain("deflection_counted: one side");
  expect(problem?.hint).toContain("deflection_counted: total travel");
  expect(problem?.hint).toContain("factor of 2");
});

test("all problems of a file are told at once, in the order of the file", () => {
  let text = changed(VALVE, "2 bar", "2 mm");
  text = changed(text, "thickness: 0.10 mm", "thickness: -1 mm");
  text = changed(text, "FKM 75", "FKN 75");
  text = changed(text, "low: bias", "low: bais");
  text = changed(text, "  mass: 4 mg\n", "");
  const problems = problemsOf(text);
  expect(problems.map((p) => p.code)).toEqual([
    "quantity",
    "out-of-range",
    "missing-key",
    "unknown-material",
    "unknown-node",
  ]);
  expect(problems.map((p) => p.line)).toEqual(
    [...problems.map((p) => p.line)].sort((a, b) => a - b),
  );
});

test("a missing version does not hide the other problems", () => {
  const text = changed(changed(VALVE, "reedlift: 1\n", ""), "width: 5 mm", "width: 5");
  expect(
    problemsOf(text)
      .map((p) => p.code)
      .sort(),
  ).toEqual(["bare-number", "version-missing"]);
});

test("a file over the limit is refused before it is parsed", () => {
  const text = `${VALVE}# ${"x".repeat(DESIGN_SIZE_MAX_BYTES)}`;
  expect(problemsOf(text).map((p) => p.code)).toEqual(["too-large"]);
  // Bytes count, not characters.
  const wide = `${VALVE}# ${"µ".repeat(DESIGN_SIZE_MAX_BYTES / 2)}`;
  expect(wide.length).toBeLessThan(DESIGN_SIZE_MAX_BYTES);
  expect(problemsOf(wide).map((p) => p.code)).toEqual(["too-large"]);
});

const N = 200_000;
test.each([
  ["open brackets", `reedlift: 1\nx: ${"[".repeat(N)}`, "too-deep"],
  ["open braces", `reedlift: 1\nx: ${"{a: ".repeat(N)}`, "too-deep"],
  ["nested dashes", `${"- ".repeat(N)}x`, "too-deep"],
  [
    "a staircase of keys",
    Array.from({ length: 1000 }, (_, i) => `${" ".repeat(i)}a:`).join("\n"),
    "too-deep",
  ],
  [
    "a hundred thousand keys",
    Array.from({ length: 1e5 }, (_, i) => `k${i}: 1`).join("\n"),
    "too-long",
  ],
  ["a list of ten thousand", `reedlift: 1\nx: [${"1,".repeat(1e4)}]`, "too-many-entries"],
  ["quotes only", '"'.repeat(N), "too-long"],
  [
    "three hundred aliases",
    `notes: &a x\nsurroundings: {wetted: [${"*a,".repeat(300)}]}`,
    "too-many-aliases",
  ],
])("%s are refused within two seconds", (_, text, code) => {
  const start = performance.now();
  expect(problemsOf(text).map((p) => p.code)).toEqual([code]);
  expect(performance.now() - start).toBeLessThan(2000);
});

test("aliases that multiply are never expanded", () => {
  const lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"];
  for (let i = 1; i < 10; i++) lines.push(`a${i}: &a${i} [${`*a${i - 1}, `.repeat(9)}x]`);
  const start = performance.now();
  const problems = problemsOf(`reedlift: 1\n${lines.join("\n")}\n`);
  expect(problems.filter((p) => p.code === "unknown-key")).toHaveLength(10);
  expect(performance.now() - start).toBeLessThan(1000);
});

test("an alias that contains itself is refused", () => {
  const problems = problemsOf(
    "reedlift: 1\nclamp: {length: 5 mm}\nstrip: &s\n  width: 5 mm\n  free_length: 9 mm\n  layers: *s\n",
  );
  expect(problems.map((p) => p.code)).toEqual(["wrong-type"]);
});

test.each([
  ["nothing", "", "empty"],
  ["blanks and comments only", "\n# nothing\n\n", "empty"],
  ["a word", "hello", "wrong-type"],
  ["a number", "42", "wrong-type"],
  ["a list", "- a\n- b\n", "wrong-type"],
  ["two documents", `${PLAIN_STRIP}---\n${PLAIN_STRIP}`, "several-documents"],
  ["control characters", "\u0000\u0001\u0002", "wrong-type"],
])("%s is no design", (_, text, code) => {
  expect(problemsOf(text).map((p) => p.code)).toContain(code);
});

test("names that records treat specially do no harm", () => {
  for (const name of ["__proto__", "constructor", "toString", "hasOwnProperty"]) {
    const rails = changed(VALVE, "  bias: {", `  ${name}: {voltage: 5 V}\n  bias: {`);
    const result = readDesign(rails);
    if (name === "__proto__") expect(result.ok).toBe(false);
    else expect(result.ok && Object.keys(result.design.rails)).toEqual([name, "bias"]);
    expect(
      problemsOf(changed(VALVE, "material: brass", `material: ${name}`)).map((p) => p.code),
    ).toContain("unknown-material");
    expect(problemsOf(changed(VALVE, "gas: Ar", `gas: ${name}`)).map((p) => p.code)).toContain(
      "unknown-gas",
    );
    expect(problemsOf(`${VALVE}${name}: 1\n`).map((p) => p.code)).toContain("unknown-key");
  }
  expect(({} as Record<string, unknown>).voltage).toBeUndefined();
});

test("what a problem repeats of the file is short and has no control characters", () => {
  const [problem] = problemsOf(
    changed(VALVE, "width: 5 mm", `width: "${"\\u0007".repeat(5)}${"y".repeat(5000)}"`),
  );
  expect(problem?.found.length).toBeLessThanOrEqual(60);
  expect(problem?.found).not.toMatch(/\p{Cc}/u);
});
