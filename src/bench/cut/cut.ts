import type { Design } from "../../design/design.ts";
import { checkDesign } from "../../sheet/check.ts";
import { missing } from "../electric/together.ts";
import { IMPEDANCE } from "../impedance/impedance.ts";
import type { Data, Given, Kind, Prediction, Settings } from "../kind.ts";
import { type Entry, propagated } from "../propagate.ts";
import { BenchProblem, type Reduction, type Value } from "../reduction.ts";
import { optional } from "../settings.ts";
import { MISMATCHES, ROLES, SETTINGS } from "./settings.ts";
import { judged } from "./verdict.ts";

type When = "before" | "after";

/** What the sweeps give under the names of the settings. */
const FROM_SWEEP: Readonly<Record<string, string>> = {
  capacitance: "capacitance_F",
  loss: "loss_tangent",
  resonance: "series_resonance_Hz",
  coupling: "coupling_factor",
};

/** Measured quantities by name, "capacitance-before" and so on. */
export type Measured = ReadonlyMap<string, Given>;

function measuredOf(
  data: readonly Data[],
  settings: Settings,
  design: Design | null,
): { measured: Measured; sweeps: Reduction[] } {
  if (data.length === 1)
    throw new BenchProblem("files", "one sweep", "two, before and after cutting, or none");
  const measured = new Map<string, Given>();
  const sweeps: Reduction[] = [];
  (["before", "after"] as const).forEach((when: When, i) => {
    const file = data[i];
    if (file === undefined) return;
    const sweep = IMPEDANCE.reduce([file], settings, null);
    sweeps.push(sweep);
    for (const [name, key] of Object.entries(FROM_SWEEP)) {
      const found = sweep.values.find((value) => value.key === key);
      if (found?.value != null)
        measured.set(`${name}-${when}`, { value: found.value, u: found.u ?? 0 });
    }
  });
  for (const { key } of SETTINGS) {
    if (!/-(before|after)$/.test(key)) continue;
    const given = optional(settings, key);
    if (given === null) continue;
    const zero = key.startsWith("loss") || key.startsWith("coupling");
    if (zero ? given.value < 0 : !(given.value > 0))
      throw new BenchProblem(`setting ${key}`, `${given.value}`, zero ? "0 or more" : "above 0");
    measured.set(key, given);
  }
  if (design !== null) fromDesign(design, measured);
  return { measured, sweeps };
}

/** Sizes of the piece after cutting that were not given. */
function fromDesign(design: Design, measured: Map<string, Given>): void {
  const uOf = (key: string) => design.inputs.find((input) => input.key === key)?.u ?? 0;
  const put = (key: string, value: number | null, input: string) => {
    if (value !== null && !measured.has(key)) measured.set(key, { value, u: uOf(input) });
  };
  put("width-after", design.strip.width, "strip.width");
  put("free-length-after", design.strip.freeLength, "strip.free_length");
  put("length-after", design.strip.totalLength, "strip.total_length");
}

const entry = (source: string, { value, u }: Given): Entry => ({ source, value, u });

function reduce(data: readonly Data[], settings: Settings, design: Design | null): Reduction {
  const { measured, sweeps } = measuredOf(data, settings, design);
  const pairs = ["capacitance", "loss", "resonance", "coupling", "deflection", "insulation"];
  if (!pairs.some((name) => measured.has(`${name}-after`)))
    throw new BenchProblem(
      "settings",
      "nothing measured after cutting",
      `two sweeps as files, or at least one of ${pairs.map((name) => `${name}-after`).join(", ")}`,
    );
  const values = ratios(measured, optional(settings, "clamp-correction") ?? { value: 0, u: 0 });
  const tolerance = optional(settings, "tolerance")?.value ?? 0.03;
  const { table, causes, warnings } = judged(values, measured, tolerance);
  return {
    kind: "cut",
    values,
    fits: sweeps.flatMap((sweep, i) =>
      sweep.fits.map((fit) => ({ ...fit, title: `${i === 0 ? "before" : "after"}: ${fit.title}` })),
    ),
    warnings: [
      ...warnings,
      ...sweeps.flatMap((sweep, i) =>
        sweep.warnings.map(({ key, text }) => ({
          key,
          text: `${i === 0 ? "Before" : "After"}: ${text}`,
        })),
      ),
    ],
    tables: causes === null ? [table] : [table, causes],
    marks: [],
    covariance: null,
  };
}

/** After over before, with what the new size explains taken out: 1 for a good cut. */
function ratios(measured: Measured, correction: Given): Value[] {
  const out: Value[] = [];
  const of = (name: string): Entry | null => {
    const found = measured.get(name);
    return found === undefined ? null : entry(name.replaceAll("-", " "), found);
  };
  const ratio = (
    key: string,
    name: string,
    names: readonly string[],
    f: (x: Float64Array) => number,
    more: Entry[] = [],
  ) => {
    const entries = names.map(of);
    const lacking = names.filter((_, i) => entries[i] === null);
    out.push(
      lacking.length > 0
        ? missing(key, name, `needs ${lacking.join(", ")}`)
        : propagated(key, name, [...(entries as Entry[]), ...more], f),
    );
  };
  const length = entry("length the clamp adds", correction);
  ratio(
    "capacitance_over_area",
    "capacitance after over before, over the ratio of areas",
    [
      "capacitance-after",
      "capacitance-before",
      "length-after",
      "length-before",
      "width-after",
      "width-before",
    ],
    ([a, b, la, lb, wa, wb]) => (a! / b!) * ((lb! * wb!) / (la! * wa!)),
  );
  ratio(
    "loss_change",
    "tan δ after less before",
    ["loss-after", "loss-before"],
    ([a, b]) => a! - b!,
  );
  const lengths = ["free-length-after", "free-length-before"];
  ratio(
    "resonance_after_length",
    "resonance after over before, corrected for length",
    ["resonance-after", "resonance-before", ...lengths],
    ([a, b, la, lb, d]) => (a! / b!) * ((la! + d!) / (lb! + d!)) ** 2,
    [length],
  );
  ratio(
    "coupling_ratio",
    "coupling after over before",
    ["coupling-after", "coupling-before"],
    ([a, b]) => a! / b!,
  );
  ratio(
    "deflection_after_length",
    "deflection after over before, corrected for length",
    ["deflection-after", "deflection-before", ...lengths],
    ([a, b, la, lb, d]) => (a! / b!) * ((lb! + d!) / (la! + d!)) ** 2,
    [length],
  );
  const after = (key: string, name: string, from: string) => {
    const found = measured.get(from);
    if (found !== undefined)
      out.push(propagated(key, name, [entry("as measured", found)], ([x]) => x!));
  };
  after("capacitance_after_F", "capacitance after", "capacitance-after");
  after("loss_tangent_after", "tan δ after", "loss-after");
  after("resonance_after_Hz", "first resonance after", "resonance-after");
  after("insulation_after_ohm", "insulation after", "insulation-after");
  return out;
}

function predict(design: Design): Prediction[] {
  const { result } = checkDesign(design, { waysOut: false });
  const strip = result.strip as typeof result.strip & Record<string, number>;
  const modes = result.modes as typeof result.modes & Record<string, number[]>;
  const out: Prediction[] = [];
  if (strip.capacitance_small_signal_F !== null)
    out.push({
      key: "capacitance_after_F",
      value: strip.capacitance_small_signal_F as number,
      u: strip.u_capacitance_small_signal_F ?? 0,
      from: "sheet: strip.capacitance_small_signal_F, between the nodes that the switch drives",
      of: "design",
    });
  const f1 = modes.open_air_Hz?.[0];
  if (f1 !== undefined)
    out.push({
      key: "resonance_after_Hz",
      value: f1,
      u: modes.u_open_air_Hz?.[0] ?? 0,
      from: "sheet: modes.open_air_Hz, first, with the design's pad and masses",
      of: "design",
    });
  return out;
}

/** A strip before and after cutting: whether the piece is as a good cut should be. */
export const CUT: Kind = {
  name: "cut",
  summary:
    "before and after cutting: whether capacitance, loss, resonance, deflection are as they should be",
  roles: ROLES,
  settings: SETTINGS,
  files: { min: 0, max: 2, labels: ["before", "after"] },
  reduce,
  predict: (design) => predict(design),
  mismatches: MISMATCHES,
};
