import { join } from "node:path";
import { expect, test } from "vitest";
import { calibrateTraceChart } from "./calibrateTraceChart.ts";

const n = 300;
const time = Float64Array.from({ length: n }, (_, i) => i * 1e-5 - 1e-4);
const step = (f: number, q: number) =>
  time.map((t) =>
    t < 0 ? 0 : 40e-6 * (1 - Math.exp((-Math.PI * f * t) / q) * Math.cos(2 * Math.PI * f * t)),
  );
const measured = step(1040, 20).map((x, i) => x + 0.4e-6 * Math.sin(7.3 * i));

test("a recorded step over the model's, as stored", async () => {
  const figure = calibrateTraceChart(
    { name: "krypton buffer gas" },
    {
      figures: {
        points: n,
        rms_before_m: 12e-6,
        rms_after_m: 0.3e-6,
        noise_m: 0.29e-6,
        status: "converged",
        ended: "",
        fitted: [],
        correlations: [],
        notes: [],
      },
      time,
      measured,
      before: step(1157, 30),
      after: step(1040, 20),
    },
  );
  expect(figure.sentence).toMatch(/12 μm rms as designed and 0\.3 μm calibrated/);
  expect(figure.csv.split("\n").length).toBeGreaterThan(n);
  const golden = join(
    import.meta.dirname,
    "..",
    "..",
    "..",
    "test",
    "golden",
    "calibrate-trace.svg",
  );
  await expect(`${figure.svg}\n`.replace(/\n\n$/, "\n")).toMatchFileSnapshot(golden);
});
