import { expect, test } from "vitest";
import type { Design } from "../../src/design/design.ts";
import { evaluate } from "../../src/sheet/evaluate.ts";
import { propagate, sampleFigures, standardDeviation } from "../../src/sheet/uncertainty.ts";
import { EXAMPLES, exampleDesign } from "./support.ts";

/*
 * JCGM 100 against JCGM 101 on every figure of every example: the standard uncertainty by first order
 * lies within 5 % of the standard deviation of 10⁴ samples, or the figure is marked not linear.
 * The standard deviation of 10⁴ normal samples is itself known to 0.7 %, so that 5 % is a real test.
 */
const SAMPLES = 10_000;
const ALLOWED = 0.05;

const plain = (design: Design) => evaluate(design, { detail: false });

test.each(EXAMPLES)("first order agrees with sampling on %s", (name) => {
  const design = exampleDesign(name);
  const nominal = plain(design);
  const found = propagate(design, nominal, plain);
  const sampled = sampleFigures(design, nominal, SAMPLES, 20, plain);
  const wrong: string[] = [];
  let judged = 0;
  found.places.forEach((place, i) => {
    const u = found.u[i] as number;
    const value = (place.holder as Record<string | number, unknown>)[place.key];
    if (typeof value !== "number" || found.notLinear[i] === 1) return;
    const column = sampled.columns[i] as Float64Array;
    const missing = column.filter((x) => !Number.isFinite(x)).length;
    const sd = standardDeviation(column);
    const floor = 1e-9 * Math.abs(value);
    if (sd <= floor && u <= floor) return;
    judged++;
    if (missing > 0.001 * SAMPLES) wrong.push(`${place.path}: ${missing} samples without a value`);
    else if (Math.abs(u - sd) > ALLOWED * sd)
      wrong.push(`${place.path}: first order ${u.toPrecision(4)}, sampled ${sd.toPrecision(4)}`);
  });
  expect(wrong).toEqual([]);
  expect(judged).toBeGreaterThan(name === "mirror-shutter" ? 60 : 120);
});
