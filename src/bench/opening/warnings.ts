import type { Design } from "../../design/design.ts";
import { linearLeastSquares } from "../../numerics/linearLeastSquares.ts";
import { factor95 } from "../../numerics/student.ts";
import { formatQuantity } from "../../units/index.ts";
import type { Settings } from "../kind.ts";
import type { Value, Warning } from "../reduction.ts";
import { optional } from "../settings.ts";
import type { Lines, Readings } from "./readings.ts";
import { swingVoltage } from "./values.ts";

/** What a careful colleague would say of an opening line. */
export function openingWarnings(
  { x, v, way, ux, uv }: Readings,
  { opening, runs, gap }: Lines,
  values: readonly Value[],
  settings: Settings,
  design: Design | null,
): Warning[] {
  const warnings: Warning[] = [];
  const slope = opening.parameters[runs]!;
  const bend = curvatureOf(x, v, runs === 2 ? way : null, ux, uv, slope);
  if (bend !== null)
    warnings.push({
      key: "line-curved",
      text: `The opening voltage is not a straight line in the pressure (it departs by ${formatQuantity(Math.abs(bend), 0, "voltage", { digits: 2 })} over the range): the body gives way, the sealing line moves over the land, or the strip's force is not proportional to the voltage. Intercept and diameter are those of the mean line.`,
    });
  const arrangement = design?.seat?.arrangement ?? null;
  if (arrangement !== null && slope !== 0 && slope > 0 === (arrangement === "pressure opens"))
    warnings.push({
      key: "slope-sign",
      text: `The opening voltage ${slope > 0 ? "rises" : "falls"} with pressure, but the design says ${arrangement}: check on which side of the pad the gas is, and which voltage opens.`,
    });
  let low = Number.POSITIVE_INFINITY;
  let high = 0;
  for (const p of x) {
    low = Math.min(low, p);
    high = Math.max(high, p);
  }
  if (low > 0.5 * high)
    warnings.push({
      key: "range-short",
      text: "The lowest pressure is more than half the highest: the voltage without pressure is extrapolated far. Measure at a few low pressures too.",
    });
  const zero = values[0]!;
  if (zero.value !== null && zero.u !== null && zero.value < -2 * zero.u)
    warnings.push({
      key: "no-preload",
      text: "The line meets zero pressure below the closed state's voltage: without pressure nothing holds the pad on its seat, it will leak at low pressure.",
    });
  const rail = optional(settings, "rail") ?? swingVoltage(settings, design);
  const working = values.find((value) => value.key === "opening_voltage_V");
  if (rail !== null && typeof working?.value === "number" && working.value > 0.8 * rail.value)
    warnings.push({
      key: "near-rail",
      text: `At the working pressure the valve opens only at ${Math.round((100 * working.value) / rail.value)} % of the voltage that there is; 50 to 80 % is common practice.`,
    });
  if (gap !== null)
    warnings.push({
      key: "hysteresis-of-ceramic",
      text: "Opening less closing voltage holds the ceramic's own hysteresis and the gas force that falls once the pad has left, besides the stick force: the stick force given is an upper bound.",
    });
  if (way.every((w) => w === way[0]))
    warnings.push({
      key: "one-direction",
      text: "Pressure went one way only: what creeps or sticks in between cannot be told from the slope. Come back down at a few pressures.",
    });
  return warnings;
}

/** Departure of a second-order term from the line over the range, when it is significant at 99 %; else null. */
function curvatureOf(
  x: Float64Array,
  v: Float64Array,
  way: Int8Array | null,
  ux: Float64Array | null,
  uv: Float64Array | null,
  slope: number,
): number | null {
  const columns = way === null ? 3 : 4;
  if (x.length < columns + 2) return null;
  let high = 0;
  for (const p of x) high = Math.max(high, Math.abs(p));
  const A = new Float64Array(x.length * columns);
  x.forEach((p, i) => {
    A.set([1, p / high, (p / high) ** 2], i * columns);
    if (way !== null) A[i * columns + 3] = way[i]!;
  });
  const u = uv?.map((each, i) => Math.hypot(each, slope * (ux?.[i] ?? 0))) ?? null;
  const fit = linearLeastSquares(A, v, u);
  if (fit.covariance === null) return null;
  const left = x.length - columns;
  const scale = u === null ? fit.chiSquared / left : Math.max(1, fit.chiSquared / left);
  const term = fit.parameters[2]!;
  const s = Math.sqrt(fit.covariance[2 * columns + 2]! * scale);
  // 99 % from the 95 % factor: at most 1.7 times it for four degrees of freedom, 1.32 for many.
  return Math.abs(term) > s * factor95(left) * 1.5 ? term / 4 : null;
}
