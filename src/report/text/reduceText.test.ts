import { expect, test } from "vitest";
import {
  WRITTEN_KIND,
  WRITTEN_PREDICTIONS,
  writtenFit,
  writtenReduction,
  writtenReport,
} from "../../../test/golden/reducedRun.ts";
import { compare } from "../../bench/compare.ts";
import { interval95, intervalText } from "./reduceLines.ts";
import { reduceText } from "./reduceText.ts";

test("a reduced measurement: verdict, reading, values, warnings, comparison, budget, fit, tables", () => {
  const text = reduceText(writtenReport(), {
    pictures: "reedlift reduce trace r.csv --svg FOLDER",
  });
  const titles = text.split("\n").flatMap((line) => /^(.*?) ─+$/.exec(line)?.[1] ?? []);
  expect(titles).toEqual([
    "Read",
    "Values",
    "Warnings",
    "Against what was expected",
    "Uncertainty, largest part first",
    "Fit: damped oscillation, 1 mode, to the ring-down after 0.4 ms",
    "Extremes after the edge",
  ]);
  expect(text).toContain("DOES NOT AGREE  first resonance is below the design, En −1.35");
  expect(text).toContain("first resonance      2.71130(42) kHz  2.71040 … 2.71220 kHz");
  expect(text).toContain("second resonance: none, it does not stand out of the noise");
  expect(text).toContain("transition duration: no uncertainty, one transition shows no scatter");
  expect(text).toContain("first resonance (−5.2 %) below the design: the strip is clamped");
  expect(text).toContain("quality factor (−3.7 %) not judged: the design's number");
  expect(text).toContain("3 more rows with --csv");
  expect(text).not.toMatch(/NaN|undefined|Infinity/);
});

test.each([80, 90, 100])("no line is wider than %d columns, and ASCII is ASCII", (columns) => {
  const text = reduceText(writtenReport(), { columns, ascii: true });
  for (const line of text.split("\n")) expect(line.length).toBeLessThanOrEqual(columns);
  expect(/^[\x20-\x7e\n]*$/.test(text)).toBe(true);
});

test("the parts of a budget add up to all of it, largest first", () => {
  const text = reduceText(writtenReport());
  // 0.36² of 0.42² and 0.217² of 0.42² with two digits each.
  expect(text).toContain("73 %");
  expect(text).toContain("27 %");
  expect(text.indexOf("fit to the ring-down")).toBeLessThan(
    text.indexOf("sample clock 1.00000(8) "),
  );
});

test("a fit that did not converge is the verdict, and says so where it stands", () => {
  const report = writtenReport();
  const failed = { ...writtenFit(), status: "not converged" as const, ended: "100 iterations" };
  const text = reduceText({ ...report, reduction: { ...report.reduction, fits: [failed] } });
  expect(text.startsWith("NOT CONVERGED  damped oscillation")).toBe(true);
  expect(text).toContain("not converged: 100 iterations");
});

test("agreement, no judgement and no design each have their verdict", () => {
  const report = writtenReport();
  const say = (comparisons: ReturnType<typeof compare>) =>
    reduceText({ ...report, comparisons }).split("\n")[0];
  const of = (k: number) => compare(WRITTEN_KIND, writtenReduction(), [WRITTEN_PREDICTIONS[k]!]);
  expect(say(of(1))).toBe("AGREES  1 of 1 with |En| ≤ 1.");
  expect(say(of(2))).toContain("NOT JUDGED");
  expect(say([])).toBe("MEASURED  first resonance 2.71130(42) kHz");
});

test("both ends of an interval stand in one unit, to two digits of its half width", () => {
  expect(intervalText("a_Hz", [995.21, 1004.79], false)).toBe("0.9952 … 1.0048 kHz");
  expect(intervalText("a_m", [-2e-6, 11e-6], false)).toBe("−2.0 … 11.0 μm");
  expect(intervalText("quality_factor", [28, 30.1], false)).toBe("28.0 … 30.1");
  expect(intervalText("leak_Pa_m3_s", [1.1e-9, 1.3e-9], true)).toBe("1.10e-8 ... 1.30e-8 mbar*l/s");
});

test("the 95 % interval uses Student's factor for the degrees of freedom", () => {
  const of = { key: "a_m", value: 10, u: 1, degreesOfFreedom: 5 };
  // JCGM 100:2008, table G.2: t = 2.57 for 5 degrees of freedom.
  const [low, high] = interval95(of) as [number, number];
  expect((high - low) / 2).toBeCloseTo(2.5705818356363146, 9);
  expect(interval95({ ...of, u: null })).toBeNull();
  expect(interval95({ ...of, interval95: [1, 2] })).toEqual([1, 2]);
});
