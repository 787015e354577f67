import type { Design } from "../../design/design.ts";
import { formatQuantity } from "../../units/index.ts";
import { column, columnIfAny, ways } from "../columns.ts";
import { type GroupOfFit, groupOfFit } from "../fitGroup.ts";
import { fitReport } from "../fitReport.ts";
import { sheetFigure } from "../fromDesign.ts";
import type { Data, Given, Settings } from "../kind.ts";
import { checkedLinear } from "../monteCarlo.ts";
import { BenchProblem, type Reduction, type Value } from "../reduction.ts";
import { optional, word } from "../settings.ts";
import { thinned } from "../thinned.ts";
import { missing, type Part, propagatedTogether } from "../together.ts";
import { type ContactFit, contactFit } from "./fit.ts";
import { forceWarnings } from "./warnings.ts";

/*
 * Through a balance that gives by c per newton, w = z − c F: the strip's own k and B follow from those seen, k_s, B_s:
 *   k = k_s/(1 − k_s c),  B = B_s/(1 − k_s c)       (force falls by what the balance gives way)
 * Where only the voltage was changed k_s is not seen; with the strip's k known, B = B_s (1 + k c).
 * Free deflection per volt B/k: where the load line meets zero force; blocking force: where it meets zero deflection.
 */

/** Standard gravity is 9.80665 m/s²; from equator to pole 9.780 to 9.832 (WGS 84, from memory). */
const GRAVITY: Given = { value: 9.81, u: 0.015 };

export function reduceForce(data: Data, settings: Settings, design: Design | null): Reduction {
  const read = forceOf(data, settings);
  const travel = columnIfAny(data, "travel");
  const voltage = columnIfAny(data, "voltage");
  if (travel === null && voltage === null)
    throw new BenchProblem(data.name, "forces alone", "a column for travel or voltage beside them");
  const driven = changing(travel) ?? changing(voltage);
  if (driven === null)
    throw new BenchProblem(data.name, "neither travel nor voltage changes", "one that does");
  if (falls(read.force, changing(travel)))
    for (let i = 0; i < read.force.length; i++) read.force[i]! *= -1;
  const both = ways(driven);
  const up = both.filter((w) => w > 0).length;
  const turns = up >= 4 && both.length - up >= 4;
  const fit = contactFit({
    force: read.force,
    travel: changing(travel),
    voltage: changing(voltage),
    way: turns ? both : null,
    from: optional(settings, "fit-from")?.value ?? 0,
  });
  const found = groupOfFit(fit.result, false, "line of force");
  const p = (name: string) => fit.columns.indexOf(name);
  const values = forceValues({ fit, found, settings, design, read, p });
  const model = modelOf(fit, read.force.length, { travel, voltage, way: turns ? both : null });
  const x = changing(travel) ?? driven;
  return {
    kind: "force",
    values,
    fits: [
      fitReport(
        `force against ${changing(travel) === null ? "voltage" : changing(voltage) === null ? "travel" : "travel and voltage"}, line from the contact on`,
        fit.columns.map((name, i) => ({
          key: name,
          name: NAMES[name]!,
          start: fit.result.parameters[i]!,
        })),
        fit.result,
        false,
        thinned({
          x,
          y: read.force,
          model,
          xName: changing(travel) === null ? "voltage" : "travel",
          xUnit: changing(travel) === null ? "V" : "m",
          yName: "force",
          yUnit: "N",
        }),
      ),
    ],
    warnings: forceWarnings({ fit, settings, force: read.force, model, turns, values }),
    tables: [],
    marks: [],
    covariance: null,
  };
}

const NAMES: Record<string, string> = {
  tare: "reading before contact",
  a: "force at zero travel and voltage",
  voltage: "force per volt",
  travel: "force per travel",
  loop: "width of the loop",
};

/** The column, where it changes at all. */
function changing(x: Float64Array | null): Float64Array | null {
  return x?.some((value) => value !== x[0]) === true ? x : null;
}

/** Whether the reading falls while the stage presses: a load cell that counts pushes as negative. */
function falls(force: Float64Array, travel: Float64Array | null): boolean {
  if (travel === null) return false;
  const n = force.length;
  const mean = travel.reduce((sum, z) => sum + z / n, 0);
  return force.reduce((sum, f, i) => sum + f * (travel[i]! - mean), 0) < 0;
}

interface Read {
  force: Float64Array;
  /** What readings were multiplied by, one for force, gravity for a mass. */
  factor: Part;
}

function forceOf(data: Data, settings: Settings): Read {
  const raw = column(data, "force", 4);
  const scale = optional(settings, "force-scale") ?? { value: 1, u: 0 };
  if (data.kinds.get("force") !== "mass")
    return {
      force: raw.map((f) => f * scale.value),
      factor: { source: "scale of the load cell", value: 1, u: scale.u / scale.value },
    };
  const g = optional(settings, "gravity") ?? GRAVITY;
  return {
    force: raw.map((m) => m * g.value * scale.value),
    factor: {
      source: "gravity and scale of the balance",
      value: 1,
      u: Math.hypot(g.u / g.value, scale.u / scale.value),
    },
  };
}

interface Around {
  fit: ContactFit;
  found: GroupOfFit;
  settings: Settings;
  design: Design | null;
  read: Read;
  p: (name: string) => number;
}

function forceValues({ fit, found, settings, design, read, p }: Around): Value[] {
  const compliance = optional(settings, "balance-compliance") ?? { value: 0, u: 0 };
  const n = fit.columns.length;
  const give: Part = { source: "give of the balance", ...compliance };
  const seen = p("travel") >= 0;
  const stated = seen
    ? null
    : (optional(settings, "strip-stiffness") ??
      (design === null ? null : sheetFigure(design, `strip.${at(settings)}_stiffness_N_m`)));
  const parts: Part[] = [found.group, read.factor, give];
  if (stated !== null) parts.push({ source: "stiffness of the strip", ...stated });
  // y: fit parameters, force factor, compliance, then the strip's stiffness where it is stated.
  const seenK = (y: Float64Array) => Math.abs(y[p("travel")]!) * y[n]!;
  const stiffness = (y: Float64Array) => seenK(y) / (1 - seenK(y) * y[n + 1]!);
  const held = (y: Float64Array) =>
    seen ? 1 / (1 - seenK(y) * y[n + 1]!) : stated === null ? 1 : 1 + y[n + 2]! * y[n + 1]!;
  const perVolt = (y: Float64Array) => Math.abs(y[p("voltage")]!) * y[n]! * held(y);
  const value = (key: string, name: string, f: (y: Float64Array) => number, all = parts) =>
    checkedLinear(propagatedTogether(key, name, all, f), all, f);
  const out: Value[] = [];
  const place = at(settings);
  const noTravel =
    "the travel was not changed: press the strip by a known travel at a fixed voltage, too";
  const noVolts = "the voltage was not changed";
  out.push(
    seen
      ? value("stiffness_N_m", `stiffness at the ${place}`, stiffness)
      : missing("stiffness_N_m", `stiffness at the ${place}`, noTravel),
  );
  if (p("voltage") < 0) {
    out.push(missing("force_per_volt_N_V", "blocking force per volt", noVolts));
  } else {
    out.push(value("force_per_volt_N_V", "blocking force per volt", perVolt));
    const swing = optional(settings, "swing-voltage");
    const all: Part[] =
      swing === null ? parts : [...parts, { source: "voltage between the states", ...swing }];
    const volts = (y: Float64Array) => y[all.length === parts.length ? 0 : y.length - 1]!;
    const noSwing = "the voltage between the two states is not given: swing-voltage";
    out.push(
      swing === null
        ? missing("blocking_force_N", "blocking force", noSwing)
        : value(
            "blocking_force_N",
            `blocking force for ${formatQuantity(swing.value, swing.u, "voltage")}`,
            (y) => perVolt(y) * volts(y),
            all,
          ),
    );
    const k = (y: Float64Array) => (seen ? stiffness(y) : y[n + 2]!);
    const known = seen || stated !== null;
    const free = "free deflection, where the load line meets zero force";
    out.push(
      !known
        ? missing("deflection_per_volt_m_V", "free deflection per volt", noTravel)
        : value("deflection_per_volt_m_V", "free deflection per volt", (y) => perVolt(y) / k(y)),
      !known || swing === null
        ? missing("free_deflection_m", free, known ? noSwing : noTravel)
        : value("free_deflection_m", free, (y) => (perVolt(y) * volts(y)) / k(y), all),
    );
  }
  const start = seen ? "travel" : "voltage";
  if (fit.hasTare)
    out.push(
      propagatedTogether(
        seen ? "contact_travel_m" : "contact_voltage_V",
        `${start} at first contact${p("travel") >= 0 && p("voltage") >= 0 ? ", at 0 V" : ""}`,
        [found.group],
        (y) => -y[p("a")]! / y[p(start)]!,
      ),
    );
  else
    out.push(
      missing(
        seen ? "contact_travel_m" : "contact_voltage_V",
        `${start} at first contact`,
        "fewer than three points before contact: the tare is not known, forces count from an unknown zero",
      ),
    );
  if (p("loop") >= 0)
    out.push(
      propagatedTogether(
        "hysteresis_N",
        "force going up less coming down, mean over the range",
        [found.group, read.factor],
        (y) => y[p("loop")]! * y[n]!,
      ),
    );
  return out;
}

const at = (settings: Settings): "pad" | "tip" =>
  word(settings, "place") === "tip" ? "tip" : "pad";

function modelOf(
  fit: ContactFit,
  n: number,
  {
    travel,
    voltage,
    way,
  }: { travel: Float64Array | null; voltage: Float64Array | null; way: Int8Array | null },
): Float64Array {
  const p = (name: string) => {
    const i = fit.columns.indexOf(name);
    return i < 0 ? 0 : fit.result.parameters[i]!;
  };
  return Float64Array.from({ length: n }, (_, i) =>
    fit.touching[i] === 0
      ? p("tare")
      : p("tare") +
        p("a") +
        p("voltage") * (voltage?.[i] ?? 0) +
        p("travel") * (travel?.[i] ?? 0) +
        (p("loop") * (way?.[i] ?? 0)) / 2,
  );
}
