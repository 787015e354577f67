import type { Design } from "../../design/design.ts";
import { buildElectrical } from "../../sheet/electrical.ts";
import { seatState } from "../../sheet/seatState.ts";
import { buildStrip } from "../../sheet/stripModel.ts";
import { formatQuantity, type QuantityKind } from "../../units/index.ts";
import { followed, sheetFigure } from "../fromDesign.ts";
import type { Given, Settings } from "../kind.ts";
import { checkedLinear } from "../monteCarlo.ts";
import type { Entry } from "../propagate.ts";
import { BenchProblem, type Value } from "../reduction.ts";
import { optional } from "../settings.ts";
import { missing, type Part, propagatedTogether } from "../together.ts";
import type { Lines } from "./readings.ts";

/*
 * The pad leaves its seat when the strip's pull, F_v V with V counted from the closed state, equals preload, stick
 * force and pressure force:  V_open = (F_0 + A_s (p0 − p_down))/F_v. So the slope times F_v is the seal area, the
 * intercept times F_v the force that opens without pressure, F_0. The pad springs back while it is unloaded, so the
 * preload in the closed state is F_0/(1 + k_strip/k_pad) (stick force included). A body that gives way with pressure moves the seat plane and
 * enters the slope: the area is then an effective one.
 */

/** Blocking force over the voltage between the states, settings first. */
export function forcePerVolt(settings: Settings, design: Design | null): { parts: Entry[] } | null {
  const force =
    optional(settings, "blocking-force") ??
    (design === null ? null : sheetFigure(design, "strip.blocking_force_at_pad_N"));
  const swing = swingVoltage(settings, design);
  if (force === null || swing === null) return null;
  if (!(force.value > 0 && swing.value > 0))
    throw new BenchProblem(
      "settings blocking-force, swing-voltage",
      "not both above zero",
      "force and voltage between the two switch states",
    );
  const own = settings.has("blocking-force") ? "" : ", from the design";
  return {
    parts: [
      { source: `blocking force ${text(force, "force")}${own}`, ...force },
      { source: `swing voltage ${text(swing, "voltage")}`, ...swing },
    ],
  };
}

const text = (given: Given, kind: QuantityKind): string =>
  formatQuantity(given.value, given.u, kind);

/** Preload in the closed state over the force that opens: 1/(1 + k_strip/k_pad). */
function contactShare(settings: Settings, design: Design | null): Entry | null {
  const strip = optional(settings, "strip-stiffness");
  const pad = optional(settings, "pad-stiffness");
  if (strip !== null && pad !== null) {
    const value = 1 / (1 + strip.value / pad.value);
    const relative = Math.hypot(strip.u / strip.value, pad.u / pad.value);
    return { source: "stiffness of strip over pad", value, u: value * (1 - value) * relative };
  }
  if (design === null) return null;
  const found = followed(design, (d) => {
    const model = buildStrip(d);
    const state = seatState(d, model, buildElectrical(d, model));
    if (state === null || d.seat === undefined) return null;
    const lift = d.seat.standOff - state.closedFree;
    return lift > 0 ? [state.unpressurised.contactForce / (state.stiffness * lift)] : null;
  });
  if (found === null) return null;
  return {
    source: "spring-back of the pad, from the design",
    value: found.values[0]!,
    u: Math.sqrt(found.covariance[0]!),
  };
}

/** Voltage between the switch states: the setting, else the design's. */
export function swingVoltage(settings: Settings, design: Design | null): Given | null {
  const found = optional(settings, "swing-voltage");
  if (found !== null || design === null) return found;
  const electrical = buildElectrical(design, buildStrip(design));
  if (electrical === null) return null;
  const value = Math.abs(electrical.outputHigh - electrical.outputLow);
  const rail = design.inputs.find(
    (input) => input.path[0] === "rails" && input.path[2] === "voltage",
  );
  return { value, u: rail?.u ?? 0 };
}

/** What the lines say, the force on the pad where the strip's force per volt is known. */
export function openingValues(
  lines: Lines,
  settings: Settings,
  design: Design | null,
  force: { parts: Entry[] } | null,
): Value[] {
  const { opening, group, runs } = lines;
  const p = runs;
  const scale = (key: string, source: string): Entry => {
    const given = optional(settings, key) ?? { value: 1, u: 0 };
    return { source, ...given };
  };
  // Numbers handed to each formula: intercepts, slope, pressure scale, voltage scale, force, swing.
  const base: Part[] = [
    group.group,
    scale("pressure-scale", "scale of the pressure gauge"),
    scale("voltage-scale", "scale of the voltage"),
  ];
  const withForce: Part[] = [...base, ...(force?.parts ?? [])];
  const zero = (y: Float64Array) => {
    let sum = 0;
    for (let g = 0; g < runs; g++) sum += y[g]!;
    return sum / runs;
  };
  const v0 = (y: Float64Array) => zero(y) * y[p + 2]!;
  const slope = (y: Float64Array) => (y[p]! * y[p + 2]!) / y[p + 1]!;
  const perVolt = (y: Float64Array) => y[p + 3]! / y[p + 4]!;
  const sized = (
    key: string,
    name: string,
    parts: readonly Part[],
    f: (y: Float64Array) => number,
  ) => checkedLinear(propagatedTogether(key, name, parts, f), parts, f);
  const noForce =
    "the strip's force per volt is not known: give blocking-force and swing-voltage, or a design";
  const forced = (key: string, name: string, f: (y: Float64Array) => number): Value =>
    force === null ? missing(key, name, noForce) : sized(key, name, withForce, f);
  const opens = opening.parameters[runs]! < 0;
  const area = (y: Float64Array) => Math.abs(slope(y)) * perVolt(y);
  const preloadValue = (): Value => {
    const key = "preload_at_zero_N";
    const name = "preload without pressure, stick force included";
    if (force === null) return missing(key, name, noForce);
    const share = contactShare(settings, design);
    if (share === null)
      return missing(
        key,
        name,
        "how far the pad springs back on opening is not known: give strip-stiffness and pad-stiffness, or a design with its seat",
      );
    return sized(key, name, [...withForce, share], (y) => v0(y) * perVolt(y) * y[p + 5]!);
  };
  const values: Value[] = [
    sized("opening_voltage_at_zero_V", "opening voltage without pressure", base, v0),
    sized("opening_voltage_slope_V_Pa", "opening voltage per pressure", base, slope),
    forced(
      "opening_force_at_zero_N",
      "force that opens without pressure",
      (y) => v0(y) * perVolt(y),
    ),
    preloadValue(),
    forced("effective_seal_area_m2", "effective seal area", area),
    forced("seal_diameter_m", "effective seal diameter", (y) => Math.sqrt((4 * area(y)) / Math.PI)),
  ];
  const rail = optional(settings, "rail") ?? swingVoltage(settings, design);
  const down = optional(settings, "down-pressure")?.value ?? 0;
  if (rail !== null && !opens) {
    const parts: Part[] = [...base, { source: "rail", ...rail }];
    values.push(
      sized(
        "pressure_at_rail_Pa",
        "plenum pressure at which the opening voltage reaches the rail",
        parts,
        (y) => (y[p + 3]! - v0(y)) / slope(y) + down,
      ),
    );
  }
  const working =
    optional(settings, "working-pressure") ??
    (design === null || !(design.need.plenumPressure > 0)
      ? null
      : { value: design.need.plenumPressure, u: 0 });
  if (working !== null) {
    const parts: Part[] = [...base, { source: "working pressure", ...working }];
    values.push(
      sized(
        "opening_voltage_V",
        "opening voltage at the working pressure",
        parts,
        (y) => v0(y) + slope(y) * (y[p + 3]! - down),
      ),
    );
  }
  return [...values, ...hysteresisValues(lines, rail, force, down)];
}

/** Differences between the runs and between opening and closing. */
function hysteresisValues(
  { opening, group, runs, gap: found }: Lines,
  rail: Given | null,
  force: { parts: Entry[] } | null,
  down: number,
): Value[] {
  const values: Value[] = [];
  if (runs === 2)
    values.push(
      propagatedTogether(
        "run_difference_V",
        "opening voltage with rising less falling pressure",
        [group.group],
        (y) => y[0]! - y[1]!,
      ),
    );
  if (found === null) return values;
  const n = runs + 1;
  const parts: Part[] = [found.group];
  const gap = (y: Float64Array, pressure: number) => {
    let sum = 0;
    for (let g = 0; g < runs; g++) sum += y[g]!;
    return sum / runs + y[runs]! * pressure;
  };
  values.push(
    propagatedTogether(
      "hysteresis_at_zero_V",
      "opening less closing voltage without pressure",
      parts,
      (y) => gap(y, 0),
    ),
  );
  const slope = opening.parameters[runs]!;
  if (rail !== null && slope > 0) {
    const mean = opening.parameters.subarray(0, runs).reduce((sum, c) => sum + c / runs, 0);
    const at = (rail.value - mean) / slope;
    values.push(
      propagatedTogether(
        "hysteresis_at_rail_V",
        `opening less closing voltage where opening reaches the rail, ${formatQuantity(at + down, 0, "pressure", { digits: 3 })}`,
        parts,
        (y) => gap(y, at),
      ),
    );
  }
  if (force !== null) {
    const all: Part[] = [...parts, ...force.parts];
    values.push(
      propagatedTogether(
        "stick_force_N",
        "stick force without pressure, at most",
        all,
        (y) => (gap(y, 0) * y[n]!) / y[n + 1]!,
      ),
    );
  }
  return values;
}
