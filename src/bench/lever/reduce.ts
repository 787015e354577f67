import type { Design } from "../../design/design.ts";
import { formatQuantity } from "../../units/index.ts";
import { column, columnIfAny } from "../columns.ts";
import type { Data, Settings } from "../kind.ts";
import { type Entry, propagated } from "../propagate.ts";
import { BenchProblem, type Reduction, type Value } from "../reduction.ts";
import { optional } from "../settings.ts";
import { fromStates, fromSweep, type Measured } from "./measured.ts";
import { factorsOf, padOf, type Setup, setupOf, slopeOf } from "./setup.ts";
import { idealShape, type ShapeFactors } from "./shapes.ts";
import { leverWarnings } from "./warnings.ts";

/** Lift per volt, swing and hysteresis from a slow sweep, or the swing between two states of a trace. */
export function reduceLever(
  [data]: readonly Data[],
  settings: Settings,
  design: Design | null,
): Reduction {
  if (data === undefined) throw new BenchProblem("files", "none", "one file is needed");
  const setup = setupOf(data, settings, design);
  const raw = column(data, "spot", 3);
  const voltage = columnIfAny(data, "voltage");
  const measured = voltage === null ? fromStates(raw, data) : fromSweep(raw, voltage, data);
  return assemble(setup, measured, settings, design);
}

function assemble(
  setup: Setup,
  measured: Measured,
  settings: Settings,
  design: Design | null,
): Reduction {
  const { entries, sensitivity } = setup;
  const x = Float64Array.from(entries, ({ value }) => value);
  const factors = factorsOf(setup, x);
  const perMetre = sensitivity?.value ?? 1;
  const travel = measured.high - measured.low;
  const all: Entry[] = [
    ...entries,
    {
      source: measured.source,
      value: travel,
      u: measured.u,
      degreesOfFreedom: measured.degreesOfFreedom,
    },
    { source: "detector sensitivity", value: perMetre, u: sensitivity?.u ?? 0 },
  ];
  all.push({
    source: "shape of the motion (voltage or first mode)",
    value: 1,
    u: measured.volts === null ? shapeDoubt(x) : 0,
  });
  const middle = (measured.low + measured.high) / 2 - measured.rest;
  const difference = (z: Float64Array, f: (slope: number, k: ShapeFactors) => number) => {
    const k = factorsOf(setup, z);
    const shift = (end: number) => (middle + (end * z[7]!) / 2) / z[8]!;
    const move = f(slopeOf(z, k, shift(1)), k) - f(slopeOf(z, k, shift(-1)), k);
    return Math.abs(move);
  };
  const swing = (z: Float64Array) => z[9]! * difference(z, (slope, k) => slope / k.slopeOverLift);
  const slope = (z: Float64Array) => difference(z, (s) => s);
  const volts = measured.volts;
  const values: Value[] = [];
  if (volts !== null) {
    values.push(
      propagated(
        "lift_per_volt_m_V",
        "lift per volt, end to end of the sweep",
        all,
        (z) => swing(z) / volts,
      ),
    );
    const to = optional(settings, "scale-to");
    if (to !== null) {
      const scaled = [...all, { source: "length scaled to", ...to }];
      const last = scaled.length - 1;
      values.push(
        propagated(
          "scaled_lift_per_volt_m_V",
          `lift per volt, scaled to ${formatQuantity(to.value, 0, "length", { digits: 4 })} by the square law`,
          scaled,
          (z) => (swing(z) / volts) * (z[last]! / z[2]!) ** 2,
        ),
      );
    }
    values.push(
      propagated(
        "slope_per_volt_rad_V",
        "slope at the mirror per volt",
        all.slice(0, 9),
        (z) => slope(z) / volts,
      ),
    );
  }
  values.push(
    propagated(
      "swing_m",
      volts === null ? "swing between both states" : "swing over the sweep",
      all,
      swing,
    ),
  );
  if (measured.hysteresis !== null) values.push(measured.hysteresis);
  values.push(
    propagated(
      "slope_over_lift_1_m",
      "shape factor: slope at the mirror over lift",
      entries,
      (z) => factorsOf(setup, z).slopeOverLift,
    ),
  );
  // Not a number where the beam misses the screen, or does so within the uncertainty of the travel.
  if (values.some(({ value, u }) => value === null || (u !== null && !Number.isFinite(u))))
    throw new BenchProblem(
      "spot",
      "travel that no tilt of the mirror makes at this distance",
      "a spot that stays on the screen: check distance, unit and sensitivity",
    );
  return {
    kind: "lever",
    values,
    fits: measured.fits,
    warnings: [
      ...measured.warnings,
      ...leverWarnings(x, factors, measured, perMetre, settings, design),
    ],
    tables: [],
    marks: [],
    covariance: null,
  };
}

/** A moving strip is bent as by voltage or as in its first mode, either as likely: rectangular between both. */
function shapeDoubt(x: ArrayLike<number>): number {
  const of = (shape: "voltage" | "first mode") =>
    idealShape(shape, x[2]!, Math.min(x[1]!, x[2]!), padOf(x)).slopeOverLift;
  return Math.abs(1 - of("voltage") / of("first mode")) / Math.sqrt(3);
}
