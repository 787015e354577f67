import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { parse } from "yaml";
import { DESIGN_SIZE_MAX_BYTES } from "../../src/design/document.ts";
import { readDesign } from "../../src/design/readDesign.ts";
import { changed, PLAIN_STRIP, VALVE } from "./texts.ts";

function problemsOf(text: string) {
  const result = readDesign(text);
  return result.ok ? [] : result.problems;
}

interface BadCase {
  title: string;
  from: string;
  to: string;
  code: string;
  path: string;
  line: number;
  words: string;
}

/** What is changed in the valve, and what must be said. */
const CASES = parse(readFileSync(join(import.meta.dirname, "bad-input.yaml"), "utf8")) as BadCase[];

test.each(CASES)("$title is refused with path, line and words", (bad) => {
  const { from, to, code, path, line, words } = bad;
  const problems = problemsOf(changed(VALVE, from, to));
  const problem = problems.find((p) => p.code === code && p.path === path);
  expect(problem, JSON.stringify(problems, null, 1)).toBeDefined();
  expect(problem?.line).toBe(line);
  expect(problem?.column).toBeGreaterThan(0);
  expect(problem?.severity).toBe("error");
  expect(
    `${problem?.message} ${problem?.allowed} ${problem?.hint ?? ""} ${problem?.found}`,
  ).toContain(words);
});

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
