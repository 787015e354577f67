import type { Design } from "../../design/design.ts";
import { formatQuantity } from "../../units/index.ts";
import { column } from "../columns.ts";
import { groupOfFit, neighbourCorrelation } from "../fitGroup.ts";
import { fitReport } from "../fitReport.ts";
import type { Data, Settings } from "../kind.ts";
import { percent } from "../mirror.ts";
import { BenchProblem, type Reduction, type Value, type Warning } from "../reduction.ts";
import { optional, word } from "../settings.ts";
import { missing, propagatedTogether } from "../together.ts";
import { type Calibration, calibrate } from "./calibrate.ts";
import { type Detector, linearReach, placeOf, signalAt, slopeAt, steepestAt } from "./curves.ts";

const FEWEST = 7;

/** Calibration of a detector, and with a second file the places that its signal means. */
export function reducePosition(
  files: readonly Data[],
  settings: Settings,
  _design: Design | null,
): Reduction {
  const [first, second] = files;
  if (first === undefined) throw new BenchProblem("files", "none", "a calibration file is needed");
  const detector = (word(settings, "detector") ?? "split diode") as Detector;
  const loss = optional(settings, "linearity")?.value ?? 0.05;
  if (!(loss > 0 && loss < 1))
    throw new BenchProblem("setting linearity", `${loss}`, "a fraction between 0 and 1");
  const { x, v } = ordered(first);
  const fit = calibrate(detector, x, v);
  const { group } = groupOfFit(fit.result, false, `calibration of the ${detector}`);
  const p = fit.result.parameters;
  const scale = optional(settings, "position-scale");
  // A stage that travels k times what it says makes every length k times as large.
  const parts = [
    group,
    { source: "scale of the stage", value: scale?.value ?? 1, u: scale?.u ?? 0 },
  ];
  const k = fit.result.parameters.length;
  const of = (key: string, name: string, f: (p: Float64Array) => number, power: number): Value =>
    propagatedTogether(key, name, parts, (z) => f(z) * z[k]! ** power);
  const at = steepestAt(detector, p);
  const spot = detector !== "position-sensitive";
  const reach = spot ? linearReach(detector, p, loss) : (x[fit.to - 1]! - x[fit.from]!) / 2;
  const values: Value[] = [
    of(
      "sensitivity_V_m",
      "sensitivity where the curve is steepest",
      (z) => Math.abs(slopeAt(detector, z, steepestAt(detector, z))),
      -1,
    ),
    spot
      ? of(
          "linear_range_m",
          `range in which the slope is within ${percent(loss)} of that`,
          (z) => 2 * linearReach(detector, z, loss),
          1,
        )
      : {
          key: "linear_range_m",
          name: "range on the line within 2 % of its travel",
          value: 2 * reach,
          u: null,
          reason: "bounded by the points that were taken",
          degreesOfFreedom: Number.POSITIVE_INFINITY,
          budget: [],
        },
    spot
      ? of("spot_radius_m", "1/e² radius of the spot", (z) => z[3]!, 1)
      : missing("spot_radius_m", "1/e² radius of the spot", "this detector does not show it"),
    spot
      ? of("centre_m", "middle of the curve", (z) => z[2]!, 1)
      : of("centre_m", "place of zero signal", (z) => -z[0]! / z[1]!, 1),
    ...saturation(detector, of),
    {
      ...of(
        "position_noise_m",
        "scatter of the calibration as a place",
        (z) => residual(fit) / Math.abs(slopeAt(detector, z, at)),
        1,
      ),
      u: null,
      reason: "a scatter, for judging",
    },
  ];
  const converted = second === undefined ? null : convert(second, detector, parts, fit, reach);
  return {
    kind: "position",
    values: [...values, ...(converted?.values ?? [])],
    fits: [report(fit, x, v)],
    warnings: [...warningsOf(fit, x, v), ...(converted?.warnings ?? [])],
    tables: [],
    marks: [],
    covariance: null,
  };
}

function ordered(data: Data): { x: Float64Array; v: Float64Array } {
  const x = column(data, "position", FEWEST);
  const v = column(data, "signal", FEWEST);
  const order = Array.from(x.keys()).sort((i, j) => x[i]! - x[j]!);
  const out = {
    x: Float64Array.from(order, (i) => x[i]!),
    v: Float64Array.from(order, (i) => v[i]!),
  };
  if (!(out.x[out.x.length - 1]! > out.x[0]!))
    throw new BenchProblem(data.name, `one position (${out.x[0]} m)`, "a scan of the position");
  return out;
}

const residual = ({ result }: Calibration): number =>
  Math.sqrt(result.chiSquared / Math.max(1, result.residuals.length - result.parameters.length));

function saturation(
  detector: Detector,
  of: (key: string, name: string, f: (p: Float64Array) => number, power: number) => Value,
): Value[] {
  if (detector === "position-sensitive") return [];
  const low = detector === "split diode" ? -1 : 0;
  return [
    of("lower_limit_V", "signal with the spot gone to one side", (z) => z[0]! + low * z[1]!, 0),
    of(
      "upper_limit_V",
      detector === "pinhole"
        ? "signal with the spot on the hole"
        : "signal with the spot gone to the other side",
      (z) => z[0]! + z[1]!,
      0,
    ),
  ];
}

/** Places of a second file's signal: lowest, highest, middle, with the calibration's uncertainty. */
function convert(
  data: Data,
  detector: Detector,
  parts: Parameters<typeof propagatedTogether>[2],
  { result }: Calibration,
  reach: number,
): { values: Value[]; warnings: Warning[] } {
  const v = column(data, "signal", 1);
  const p = result.parameters;
  const k = p.length;
  let low = v[0]!;
  let high = low;
  let sum = 0;
  for (const y of v) {
    low = Math.min(low, y);
    high = Math.max(high, y);
    sum += y;
  }
  const place = (key: string, name: string, signal: (z: Float64Array) => number): Value =>
    propagatedTogether(key, name, parts, (z) => signal(z) * z[k]!);
  const mean = sum / v.length;
  const values = [
    place("lowest_place_m", "place at the lowest signal", (z) => placeOf(detector, z, low)),
    place("highest_place_m", "place at the highest signal", (z) => placeOf(detector, z, high)),
    place("travel_m", "travel between both", (z) =>
      Math.abs(placeOf(detector, z, high) - placeOf(detector, z, low)),
    ),
    place("mean_place_m", "place at the mean signal", (z) => placeOf(detector, z, mean)),
  ];
  const warnings: Warning[] = [];
  const at = steepestAt(detector, p);
  const out = [low, high].filter((signal) => !Number.isFinite(placeOf(detector, p, signal)));
  if (out.length > 0)
    warnings.push({
      key: "signal-saturated",
      text: `The signal goes to ${out.map((s) => formatQuantity(s, 0, "voltage", { digits: 3 })).join(" and ")}, which no place on the calibration makes: saturated, or brighter than when it was calibrated.`,
    });
  else if (
    detector !== "position-sensitive" &&
    [low, high].some((s) => Math.abs(placeOf(detector, p, s) - at) > reach)
  )
    warnings.push({
      key: "beyond-linear",
      text: "The signal leaves the linear range. The curve is used, not the slope; its uncertainty grows fast towards the ends.",
    });
  return { values, warnings };
}

function report(fit: Calibration, x: Float64Array, v: Float64Array) {
  const { detector, from, to, result, start } = fit;
  const names =
    detector === "position-sensitive"
      ? [
          ["offset", "signal at zero"],
          ["slope", "volts per metre"],
        ]
      : [
          ["offset", "signal without light or in balance"],
          ["height", "height of the curve"],
          ["centre", "middle"],
          ["radius", "1/e² radius"],
        ];
  const xs = x.slice(from, to);
  return fitReport(
    `${detector}: signal against position${to - from < x.length ? `, ${to - from} of ${x.length} points` : ""}`,
    names.map(([key, name], i) => ({ key: key as string, name: name as string, start: start[i]! })),
    result,
    false,
    {
      x: xs,
      y: v.slice(from, to),
      model: xs.map((at) => signalAt(detector, result.parameters, at)),
      xName: "position",
      xUnit: "m",
      yName: "signal",
      yUnit: "V",
    },
  );
}

function warningsOf(
  { detector, from, to, result }: Calibration,
  x: Float64Array,
  v: Float64Array,
): Warning[] {
  const out: Warning[] = [];
  const n = to - from;
  const p = result.parameters;
  const r = neighbourCorrelation(result.residuals);
  if (n >= 12 && r > 2.6 / Math.sqrt(n))
    out.push({
      key: "residuals-hang-together",
      text: `The residuals hang together (correlation ${r.toFixed(2)} from point to point): the spot is no round Gaussian, the edge scatters, or the light drifted. The uncertainties of the fit are then too small.`,
    });
  const flat = (value: number) => v.reduce((count, y) => count + (y === value ? 1 : 0), 0);
  const high = v.reduce((a, b) => Math.max(a, b));
  if (flat(high) >= 4)
    out.push({
      key: "clipped",
      text: "Several points sit on exactly the highest signal: the amplifier looks saturated. Less light or gain.",
    });
  if (detector !== "position-sensitive") {
    const inside = x.filter((at) => Math.abs(at - p[2]!) < p[3]!).length;
    if (inside < 6)
      out.push({
        key: "points-coarse",
        text: `Only ${inside} points lie within a spot radius of the middle; 6 are wanted.`,
      });
    if (x[0]! > p[2]! - p[3]! || x[x.length - 1]! < p[2]! + p[3]!)
      out.push({
        key: "scan-short",
        text: "The scan ends within one spot radius of the middle on a side: height and radius hang together. Scan until the signal no longer changes.",
      });
  } else if (n < x.length)
    out.push({
      key: "range-cut",
      text: `${x.length - n} points at the ends lie off the line and were left out: the detector saturates or the spot leaves it there.`,
    });
  return out;
}
