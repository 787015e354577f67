import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { readDesign } from "../../design/readDesign.ts";
import { pulsePlan } from "../../studies/pulsePlan.ts";
import { auditPoint } from "./audit.ts";
import { compiledKernel, fromBase64 } from "./compiled.ts";
import { advanceRecorded } from "./fast.ts";
import { newRun } from "./kernel.ts";
import { newSeries, seriesColumns } from "./series.ts";
import { startState } from "./start.ts";

const EXAMPLES = join(import.meta.dirname, "../../../examples");
const names = readdirSync(EXAMPLES)
  .filter((file) => file.endsWith(".reed.yaml"))
  .map((file) => file.replace(".reed.yaml", ""));

test("this host compiles the kernel", () => {
  expect(compiledKernel()).not.toBeNull();
});

test.each(names.flatMap((name) => [[name, "linear"] as const, [name, "large signal"] as const]))(
  "the compiled and the plain step give the same run: %s, %s",
  (name, ceramic) => {
    const text = readFileSync(join(EXAMPLES, `${name}.reed.yaml`), "utf8");
    const read = readDesign(text, { name });
    if (!read.ok) throw new Error("the example is refused");
    const plan = pulsePlan(read.design, { gate: 110e-6, duration: 3e-3, ceramic });
    const { model, closed } = plan.made;
    const [plain, fast] = [true, false].map((slow) => {
      const state = startState(model, { output: closed });
      const series = newSeries(model, plan.step, plan.steps);
      const recording = { series, rest: state.y };
      advanceRecorded(newRun(model, plan.step), state, plan.commands, plan.steps, recording, slow);
      return { series, state };
    });
    if (plain === undefined || fast === undefined) throw new Error("no runs");
    const others = seriesColumns(fast.series);
    seriesColumns(plain.series).forEach((column, k) => {
      const scale = column.values.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
      const worst = column.values.reduce(
        (most, v, i) => Math.max(most, Math.abs(v - (others[k]?.values[i] ?? Number.NaN))),
        0,
      );
      // The order of sums differs; loops of hysteresis and contact enlarge it.
      expect(worst, column.name).toBeLessThanOrEqual(1e-10 * scale);
    });
    const [one, other] = [auditPoint(model, plain.state), auditPoint(model, fast.state)];
    // Sums of products round where a supply is stiff.
    for (const part of ["in", "lost", "stored"] as const) {
      const largest = Math.max(...[...one[part].values()].map(Math.abs));
      for (const [what, energy] of one[part])
        expect(Math.abs((other[part].get(what) ?? 0) - energy), what).toBeLessThan(1e-6 * largest);
    }
  },
);

test("base 64 as RFC 4648, section 10", () => {
  const text = (code: string) => String.fromCharCode(...fromBase64(code));
  expect(text("Zm9vYmFy")).toBe("foobar");
  expect(text("Zm9vYmE=")).toBe("fooba");
  expect(text("Zg==")).toBe("f");
  expect(text("")).toBe("");
});
