import { expect, test } from "vitest";
import { EXAMPLES, exampleDesign } from "../../test/examples/support.ts";
import { checkDesign } from "./check.ts";
import { evaluate } from "./evaluate.ts";
import { coverageInterval, sampleFigures, standardDeviation } from "./uncertainty.ts";

test.each(EXAMPLES)(
  "%s: intervals are those of whole sheets sampled with the same seed",
  (name) => {
    const design = exampleDesign(name);
    const { result, propagation } = checkDesign(design, { waysOut: false, seed: 7 });
    const whole = evaluate(design, { detail: false });
    const sampled = sampleFigures(design, whole, 100, 7, (d) => evaluate(d, { detail: false }));
    const paths = propagation?.places.map((place) => place.path) ?? [];
    expect(Object.keys(result.not_linear).length).toBeGreaterThan(0);
    for (const [path, interval] of Object.entries(result.not_linear)) {
      const column = sampled.columns[paths.indexOf(path)] as Float64Array;
      expect(interval, path).toEqual(coverageInterval(column));
      expect(propagation?.u[paths.indexOf(path)], path).toBe(standardDeviation(column));
    }
  },
);
