import { type LeastSquaresResult, leastSquares } from "../../numerics/leastSquares.ts";
import { linearLeastSquares } from "../../numerics/linearLeastSquares.ts";
import { factor95 } from "../../numerics/student.ts";
import { formatQuantity } from "../../units/index.ts";
import { column, columnIfAny, readingU } from "../columns.ts";
import { groupOfFit, neighbourCorrelation, widenedWarning } from "../fitGroup.ts";
import { fitReport } from "../fitReport.ts";
import type { Data, Given, Settings } from "../kind.ts";
import { BenchProblem, type BudgetLine, type Fit, type Warning } from "../reduction.ts";
import { thinned } from "../thinned.ts";

/** Rise of pressure in one record. */
export interface Rise {
  name: string;
  /** Pa/s at the mean temperature of the record. */
  rate: number;
  /** Of the rate, independent from record to record; Pa/s. */
  parts: readonly BudgetLine[];
  u: number;
  degreesOfFreedom: number;
  meanPressure: number;
  lastPressure: number;
  /** K. */
  temperature: number;
  fit: Fit;
  warnings: readonly Warning[];
}

/** Time constant of a settling part, over the length of the record. */
const SETTLING: readonly [number, number] = [0.01, 2];

/**
 * Slope of pressure against time: a straight line, or with model "settling" a line and a part a (1 − exp(−t/τ)) that
 * dies away, as outgassing of fresh surfaces does. A temperature column is divided out, p T̄/T; without one the stated
 * drift counts, p̄ ΔT/T over the record. What neighbouring residuals have in common widens the uncertainty by
 * √((1 + r)/(1 − r)) (first-order autoregression; G. E. P. Box, G. M. Jenkins, Time Series Analysis (1970)).
 */
export function riseOf(data: Data, settings: Settings, temperature: Given, drift: Given): Rise {
  const settling = settings.get("model") === "settling";
  const time = column(data, "time", settling ? 8 : 4);
  const read = column(data, "pressure");
  const gas = columnIfAny(data, "temperature");
  const n = time.length;
  const start = time[0]!;
  const length = time[n - 1]! - start;
  if (!(length > 0))
    throw new BenchProblem(data.name, "time does not rise from first to last row", "rising times");
  const meanT = gas === null ? temperature.value : gas.reduce((sum, t) => sum + t / n, 0);
  const p = gas === null ? read : read.map((value, i) => (value * meanT) / gas[i]!);
  const t = time.map((value) => (value - start) / length);
  const u = readingU(settings, "pressure-reading", n);
  const result = settling ? settlingFit(t, p, u) : lineFit(t, p, u);
  const found = groupOfFit(result, u !== null, `${data.name}: rise of pressure`);
  const r = neighbourCorrelation(result.residuals);
  const together = Math.abs(r) > 2.6 / Math.sqrt(n) && r > 0 && r < 1;
  const wide = together ? Math.sqrt((1 + r) / (1 - r)) : 1;
  const names = ["pressure at the start", "rise over the record"].concat([
    "settling part",
    "its time constant over the record",
  ]);
  const meanPressure = p.reduce((sum, value) => sum + value / n, 0);
  const count = result.parameters.length;
  const parts: BudgetLine[] = [
    {
      source: `${data.name}: scatter about the ${settling ? "curve" : "line"}`,
      u: (wide * Math.sqrt(found.group.covariance[count + 1]!)) / length,
    },
  ];
  const warnings = [...widenedWarning(found, settling ? "curve" : "straight line")];
  if (together)
    warnings.push({
      key: "noise-not-white",
      text: `${data.name}: neighbouring readings depart together (correlation ${r.toFixed(2)}); the uncertainty is widened by ${wide.toFixed(1)}. Averaging in the gauge, or a drift, does that.`,
    });
  if (gas === null && drift.u > 0)
    parts.push({
      source: `${data.name}: temperature drift ${formatQuantity(drift.u, 0, "temperature difference")}`,
      u: (meanPressure * drift.u) / meanT / length,
    });
  const bend = settling ? null : bendOf(t, p, u);
  if (bend !== null) {
    parts.push({
      source: `${data.name}: bend of the rise`,
      u: Math.abs(bend) / Math.sqrt(3) / length,
    });
    const rate = result.parameters[1]!;
    const [from, to] = [(rate - bend) / length, (rate + bend) / length].map((v) =>
      formatQuantity(v, 0, "pressure rate", { digits: 3 }),
    );
    warnings.push({
      key: "rise-curved",
      text: `${data.name}: the rise is no straight line, from ${from} at the start to ${to} at the end. ${
        bend < 0
          ? "It flattens as outgassing does: wait longer before closing the valve, or take the settling model."
          : "It steepens: the temperature rises, or a seal opens."
      }`,
    });
  }
  const driftRate = gas === null ? (meanPressure * drift.value) / meanT / length : 0;
  return {
    name: data.name,
    rate: result.parameters[1]! / length - driftRate,
    parts,
    u: Math.hypot(...parts.map((part) => part.u)),
    degreesOfFreedom:
      parts.length > 1
        ? freedom(parts, found.group.degreesOfFreedom)
        : (found.group.degreesOfFreedom ?? Infinity),
    meanPressure,
    lastPressure: p[n - 1]!,
    temperature: meanT,
    fit: fitReport(
      `${data.name}: pressure against time, ${settling ? "line and a settling part" : "straight line"}`,
      Array.from(result.parameters, (value, i) => ({
        key: ["start_Pa", "rise_Pa", "settling_Pa", "settling_ratio"][i]!,
        name: names[i]!,
        start: value,
      })),
      result,
      u !== null,
      thinned({
        x: time,
        y: p,
        model: t.map((at) => modelAt(result.parameters, at)),
        xName: "time",
        xUnit: "s",
        yName: gas === null ? "pressure" : "pressure at the mean temperature",
        yUnit: "Pa",
      }),
    ),
    warnings,
  };
}

/** Effective degrees of freedom when only the first part has few (JCGM 100:2008, eq. G.2b). */
function freedom(parts: readonly BudgetLine[], first = Number.POSITIVE_INFINITY): number {
  const u = Math.hypot(...parts.map((part) => part.u));
  return parts[0]!.u > 0 ? (first * u ** 4) / parts[0]!.u ** 4 : Number.POSITIVE_INFINITY;
}

function lineFit(t: Float64Array, p: Float64Array, u: Float64Array | null): LeastSquaresResult {
  const A = new Float64Array(2 * t.length);
  t.forEach((at, i) => {
    A[2 * i] = 1;
    A[2 * i + 1] = at;
  });
  return linearLeastSquares(A, p, u);
}

const modelAt = ([p0 = 0, rise = 0, a = 0, tau = 1]: Float64Array, t: number): number =>
  p0 + rise * t - (a === 0 ? 0 : a * Math.expm1(-t / tau));

/** Linear parameters solved at each trial τ first, then all four together. */
function settlingFit(t: Float64Array, p: Float64Array, u: Float64Array | null): LeastSquaresResult {
  const solve = (tau: number) => {
    const A = new Float64Array(3 * t.length);
    t.forEach((at, i) => {
      A.set([1, at, -Math.expm1(-at / tau)], 3 * i);
    });
    return linearLeastSquares(A, p, u);
  };
  let best = { tau: 0.2, chiSquared: Number.POSITIVE_INFINITY, start: [0, 0, 0] };
  for (let k = 0; k <= 16; k++) {
    const tau = SETTLING[0] * (SETTLING[1] / SETTLING[0]) ** (k / 16);
    const at = solve(tau);
    if (at.chiSquared < best.chiSquared)
      best = { tau, chiSquared: at.chiSquared, start: Array.from(at.parameters) };
  }
  return leastSquares(
    (y) => p.map((value, i) => (value - modelAt(y, t[i]!)) / (u?.[i] ?? 1)),
    [...best.start, best.tau],
    {
      lower: [-Infinity, -Infinity, -Infinity, SETTLING[0]],
      upper: [Infinity, Infinity, Infinity, SETTLING[1]],
    },
  );
}

/** Slope at the end less the mean slope, over the record, when significant at 99 %; else null. */
function bendOf(t: Float64Array, p: Float64Array, u: Float64Array | null): number | null {
  if (t.length < 6) return null;
  const A = new Float64Array(3 * t.length);
  t.forEach((at, i) => {
    A.set([1, at, at * at], 3 * i);
  });
  const fit = linearLeastSquares(A, p, u);
  if (fit.covariance === null) return null;
  const left = t.length - 3;
  const r = Math.max(0, Math.min(0.95, neighbourCorrelation(fit.residuals)));
  const scale = u === null ? fit.chiSquared / left : Math.max(1, fit.chiSquared / left);
  const s = Math.sqrt((fit.covariance[8]! * scale * (1 + r)) / (1 - r));
  return Math.abs(fit.parameters[2]!) > 1.5 * factor95(left) * s ? fit.parameters[2]! : null;
}
