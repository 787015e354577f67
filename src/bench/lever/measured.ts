import { linearLeastSquares } from "../../numerics/linearLeastSquares.ts";
import { ways } from "../columns.ts";
import { neighbourCorrelation } from "../fitGroup.ts";
import { fitReport, varianceScale } from "../fitReport.ts";
import type { Data } from "../kind.ts";
import { BenchProblem, type Fit, type Value, type Warning } from "../reduction.ts";
import { stateLevels } from "../trace/levels.ts";
import { surveyChannel } from "../trace/samples.ts";
import { settledLevels } from "../trace/settled.ts";

/** Two ends of the motion in the unit of the spot column, with what they are differences over. */
export interface Measured {
  low: number;
  high: number;
  /** Standard uncertainty of high − low, its degrees of freedom and where it comes from. */
  u: number;
  degreesOfFreedom: number;
  source: string;
  /** Reading at rest. */
  rest: number;
  volts: number | null;
  hysteresis: Value | null;
  fits: Fit[];
  warnings: Warning[];
}

export function fromStates(raw: Float64Array, data: Data): Measured {
  const channel = surveyChannel("spot", raw, data.firstRow);
  const levels = settledLevels(channel, stateLevels(channel, "mode"));
  return {
    low: levels.low.value,
    high: levels.high.value,
    u: Math.hypot(levels.low.u, levels.high.u),
    degreesOfFreedom: Number.POSITIVE_INFINITY,
    source: "state levels of the spot",
    rest: levels.low.value,
    volts: null,
    hysteresis: null,
    fits: [],
    warnings: [],
  };
}

/**
 * Spot = a + b n + h·way·(1 − n²), n the voltage from −1 to 1 over its range, way ±1 on the way up and down: the
 * straight line through the loop's ends and its two parabolic branches (Rayleigh's law).
 */
export function fromSweep(raw: Float64Array, voltage: Float64Array, data: Data): Measured {
  const n = raw.length;
  let low = voltage[0]!;
  let high = low;
  for (const v of voltage) {
    low = Math.min(low, v);
    high = Math.max(high, v);
  }
  if (!(high > low))
    throw new BenchProblem(data.name, `one voltage (${low} V)`, "a sweep of the voltage");
  const half = (high - low) / 2;
  const way = ways(voltage);
  const both = way.includes(1) && way.includes(-1);
  const columns = both ? 3 : 2;
  if (n < columns + 2)
    throw new BenchProblem(data.name, `${n} rows`, `at least ${columns + 2} points of the sweep`);
  const A = new Float64Array(n * columns);
  for (let i = 0; i < n; i++) {
    const x = (voltage[i]! - low) / half - 1;
    A[i * columns] = 1;
    A[i * columns + 1] = x;
    if (both) A[i * columns + 2] = way[i]! * (1 - x * x);
  }
  const result = linearLeastSquares(A, raw);
  if (result.covariance === null)
    throw new BenchProblem(data.name, result.reason, "points at several voltages", true);
  const scale = varianceScale(result, false);
  const [a = 0, b = 0, h = 0] = result.parameters;
  const cov = (i: number, j: number) => result.covariance![i * columns + j]! * scale;
  const left = n - columns;
  const zero = Math.min(1, Math.max(-1, -low / half - 1));
  const hysteresis: Value | null = both
    ? propagatedPair(
        Math.abs(h / b),
        Math.sqrt(Math.max(0, cov(2, 2) + (h / b) ** 2 * cov(1, 1) - ((2 * h) / b) * cov(1, 2))) /
          Math.abs(b),
        left,
      )
    : null;
  const unit = data.kinds.get("spot") === "voltage" ? "V" : "m";
  const fit = fitReport(
    both ? "line and loop of the spot against voltage" : "line of the spot against voltage",
    [
      { key: "middle", name: "spot at mid voltage", start: a },
      { key: "half_travel", name: "half the travel of the spot", start: b },
      ...(both ? [{ key: "half_width", name: "half the width of the loop", start: h }] : []),
    ],
    result,
    false,
    {
      x: voltage,
      y: raw,
      model: raw.map((v, i) => v - result.residuals[i]!),
      xName: "voltage",
      xUnit: "V",
      yName: "spot",
      yUnit: unit,
    },
  );
  const warnings: Warning[] = [];
  const r = neighbourCorrelation(result.residuals);
  if (n >= 12 && Math.abs(r) > 2.6 / Math.sqrt(n))
    warnings.push({
      key: "residuals-hang-together",
      text: `The residuals hang together (correlation ${r.toFixed(2)} from point to point): the loop is no line with parabolic branches, or the spot drifted. The uncertainty of the fit is then too small.`,
    });
  return {
    low: a - b,
    high: a + b,
    u: 2 * Math.sqrt(cov(1, 1)),
    degreesOfFreedom: left,
    source: `scatter of ${n} points about the ${both ? "loop" : "line"}`,
    rest: a + b * zero,
    volts: high - low,
    hysteresis,
    fits: [fit],
    warnings,
  };
}

function propagatedPair(value: number, u: number, degreesOfFreedom: number): Value {
  return {
    key: "hysteresis",
    name: "width of the loop at mid voltage over the travel",
    value,
    u,
    degreesOfFreedom,
    budget: [{ source: "scatter of the points", u }],
  };
}
