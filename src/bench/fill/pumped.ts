import { type LeastSquaresResult, leastSquares } from "../../numerics/leastSquares.ts";
import { linearLeastSquares } from "../../numerics/linearLeastSquares.ts";
import { column, positive } from "../columns.ts";
import { groupOfFit, neighbourCorrelation } from "../fitGroup.ts";
import { fitReport } from "../fitReport.ts";
import type { Data, Settings } from "../kind.ts";
import { BenchProblem, type Reduction, type Warning } from "../reduction.ts";
import { given, optional } from "../settings.ts";
import { thinned } from "../thinned.ts";
import { type Part, propagatedTogether } from "../together.ts";
import { amountValues } from "./closed.ts";

/*
 * One pulse into a pumped chamber: p = p_base + Δp exp(−(t − t_pulse)/τ), τ = V/S (dp/dt V = −S (p − p_base)).
 */

/** Trial time constants over the length of the record. */
const LOW = 1e-3;
const HIGH = 5;

export function reducePumped(data: Data, settings: Settings): Reduction {
  const time = column(data, "time", 8);
  const pressure = column(data, "pressure");
  let top = 0;
  pressure.forEach((p, i) => {
    if (p > pressure[top]!) top = i;
  });
  const from = optional(settings, "fit-from");
  const first = from === null ? top : time.findIndex((t) => t >= from.value);
  const n = time.length - first;
  if (first < 0 || n < 6)
    throw new BenchProblem(
      data.name,
      `${Math.max(0, n)} readings after the pulse`,
      "at least 6; record longer, or give fit-from",
    );
  const pulseAt = optional(settings, "pulse-time") ?? { value: time[first]!, u: 0 };
  const t = time.subarray(first);
  const p = pressure.subarray(first);
  const length = t[n - 1]! - t[0]!;
  if (!(length > 0)) throw new BenchProblem(data.name, "time does not rise", "rising times");
  const s = t.map((at) => (at - t[0]!) / length);
  const result = decayFit(s, p);
  const found = groupOfFit(result, false, "decay of the pressure");
  const r = neighbourCorrelation(result.residuals);
  const together = r > 2.6 / Math.sqrt(n);
  const wide = together ? (1 + Math.min(r, 0.95)) / (1 - Math.min(r, 0.95)) : 1;
  const group: Part = {
    ...found.group,
    covariance: found.group.covariance.map((c) => c * wide),
  };
  const volume = positive(given(settings, "volume"), "volume");
  const tau = (y: Float64Array) => y[2]! * length;
  const parts: Part[] = [group, { source: "time of the pulse", ...pulseAt }];
  const step = propagatedTogether(
    "pressure_per_pulse_Pa",
    "step of pressure at the pulse",
    parts,
    (y) => y[1]! * Math.exp((t[0]! - y[3]!) / tau(y)),
  );
  const asPart: Part = {
    source: "step of pressure",
    value: step.value ?? Number.NaN,
    u: step.u ?? 0,
    degreesOfFreedom: step.degreesOfFreedom,
  };
  const withVolume: Part[] = [group, { source: "volume", ...volume }];
  const tauValue = propagatedTogether(
    "pump_time_constant_s",
    "time constant of the pump",
    [group],
    tau,
  );
  return {
    kind: "fill",
    values: [
      ...amountValues(asPart, settings, null),
      step,
      tauValue,
      propagatedTogether(
        "pumping_speed_m3_s",
        "effective pumping speed",
        withVolume,
        (y) => y[3]! / tau(y),
      ),
      propagatedTogether(
        "base_pressure_Pa",
        "pressure long after the pulse",
        [group],
        (y) => y[0]!,
      ),
    ],
    fits: [
      fitReport(
        `${data.name}: pressure after the pulse, one exponential`,
        [
          { key: "base_Pa", name: "base", start: p[n - 1]! },
          { key: "step_Pa", name: "step at the first fitted reading", start: p[0]! - p[n - 1]! },
          { key: "time_ratio", name: "time constant over the fitted length", start: 0.3 },
        ],
        result,
        false,
        thinned({
          x: t.slice(),
          y: p.slice(),
          model: s.map((at) => decay(result.parameters, at)),
          xName: "time",
          xUnit: "s",
          yName: "pressure",
          yUnit: "Pa",
        }),
      ),
    ],
    warnings: pumpedWarnings({
      tau: tauValue.value ?? 0,
      length,
      spacing: length / (n - 1),
      together,
      r,
      settings,
    }),
    tables: [],
    marks: [{ role: "pressure", kind: "span", name: "fitted", from: t[0]!, to: t[n - 1]! }],
    covariance: null,
  };
}

const decay = ([base = 0, step = 0, tau = 1]: Float64Array, s: number): number =>
  base + step * Math.exp(-s / tau);

function decayFit(s: Float64Array, p: Float64Array): LeastSquaresResult {
  let best = { tau: 0.3, chiSquared: Number.POSITIVE_INFINITY, start: [0, 0] };
  for (let k = 0; k <= 12; k++) {
    const tau = LOW * (HIGH / LOW) ** (k / 12);
    const A = new Float64Array(2 * s.length);
    s.forEach((at, i) => {
      A[2 * i] = 1;
      A[2 * i + 1] = Math.exp(-at / tau);
    });
    const at = linearLeastSquares(A, p);
    if (at.chiSquared < best.chiSquared)
      best = { tau, chiSquared: at.chiSquared, start: Array.from(at.parameters) };
  }
  return leastSquares(
    (y) => p.map((value, i) => value - decay(y, s[i]!)),
    [...best.start, best.tau],
    { lower: [-Infinity, -Infinity, LOW], upper: [Infinity, Infinity, HIGH] },
  );
}

interface Around {
  tau: number;
  length: number;
  spacing: number;
  together: boolean;
  r: number;
  settings: Settings;
}

function pumpedWarnings({ tau, length, spacing, together, r, settings }: Around): Warning[] {
  const warnings: Warning[] = [];
  const add = (key: string, text: string) => warnings.push({ key, text });
  if (length < 3 * tau)
    add(
      "window-short",
      `Only ${(length / tau).toPrecision(2)} time constants are recorded: base and time constant are hardly told apart. Record at least five.`,
    );
  if (spacing > tau / 5)
    add(
      "sampling-coarse",
      "Fewer than five readings a time constant: the step at the pulse is extrapolated.",
    );
  if (together)
    add(
      "not-one-exponential",
      `What is left after the fit is no noise (neighbours correlate by ${r.toFixed(2)}): gas comes back from the walls, the pump's speed falls with pressure, or the gauge lags. The uncertainties are widened for it.`,
    );
  if (optional(settings, "pulse-time") === null)
    add(
      "pulse-time",
      "The step is taken at the highest reading, after the gas has spread in the chamber and some has left: give pulse-time to extrapolate back to the pulse.",
    );
  return warnings;
}
