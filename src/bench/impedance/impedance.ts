import { formatQuantity } from "../../units/index.ts";
import { fittedOf } from "../electric/derived.ts";
import { fitReport } from "../fitReport.ts";
import type { Data, Given, Kind, Settings } from "../kind.ts";
import { BenchProblem, type Fit, type FitCurve, type Reduction, type Value } from "../reduction.ts";
import { optional, word } from "../settings.ts";
import { admittance } from "./circuit.ts";
import { type CircuitFit, fitCircuit, type Sweep } from "./circuitFit.ts";
import { readings } from "./crossCheck.ts";
import { MISMATCHES, predictImpedance } from "./predict.ts";
import { ROLES, SETTINGS } from "./settings.ts";
import { type ReadSweep, readSweep } from "./sweep.ts";
import { branchTable, circuitValues, type MeterAccuracy } from "./values.ts";
import { sweepWarnings } from "./warnings.ts";

const MOST_BRANCHES = 12;
/** Points of the drawn curve. */
const DRAWN = 2000;

const numberOr = (settings: Settings, key: string, none: number): number =>
  optional(settings, key)?.value ?? none;

function reduce(data: readonly Data[], settings: Settings): Reduction {
  const from = numberOr(settings, "from", 0);
  const to = numberOr(settings, "to", Number.POSITIVE_INFINITY);
  if (!(from < to))
    throw new BenchProblem("settings from and to", `${from} Hz to ${to} Hz`, "from below to");
  const most = numberOr(settings, "branches", 4);
  if (!(Number.isInteger(most) && most >= 0 && most <= MOST_BRANCHES))
    throw new BenchProblem("setting branches", `${most}`, `a whole number, 0 to ${MOST_BRANCHES}`);
  const file = data[0] as Data;
  const read = readSweep(file, from, to);
  const fixture = optional(settings, "fixture-capacitance") ?? { value: 0, u: 0 };
  const sweep = without(read.sweep, fixture.value);
  const meter: MeterAccuracy = {
    size: numberOr(settings, "accuracy", 0),
    phase: numberOr(settings, "phase-accuracy", 0),
    frequency: numberOr(settings, "frequency-accuracy", 0),
    fixture: fixture.u,
  };
  const seriesResistance = word(settings, "series-resistance") === "fit" ? null : 0;
  if (sweep.f.length < (seriesResistance === null ? 3 : 2)) return single(sweep, meter);
  const fit = fitCircuit(sweep, { branches: most, seriesResistance });
  if (fit.result.status === "bad start")
    throw new BenchProblem(`file ${file.name}`, fit.result.reason, "a sweep of a capacitor", true);
  const branches = fit.circuit.branches.length;
  const fitted = fittedOf(fit.result, false, `scatter of ${sweep.f.length} points about the fit`);
  const tables = [branchTable(fit.circuit), readings(sweep, fit.circuit)];
  return {
    kind: "impedance",
    ...circuitValues(fitted, branches, seriesResistance, meter),
    fits: [report(fit, sweep, read, seriesResistance)],
    warnings: sweepWarnings(sweep, fit, optional(settings, "drive"), leads(settings)),
    tables: tables.filter((table) => table !== null),
    marks: fit.circuit.branches.map((branch, k) => ({
      role: read.pair[0],
      kind: "instant",
      name: branches === 1 ? "f_s" : `f_s ${k + 1}`,
      from: branch.fs,
    })),
  };
}

const leads = (settings: Settings): Given =>
  optional(settings, "lead-inductance") ?? { value: 1e-6, u: 0 };

function without({ f, g, b }: Sweep, capacitance: number): Sweep {
  return { f, g, b: b.map((x, i) => x - 2 * Math.PI * f[i]! * capacitance) };
}

function report(
  fit: CircuitFit,
  sweep: Sweep,
  read: ReadSweep,
  seriesResistance: number | null,
): Fit {
  const { circuit, result, start } = fit;
  const n = circuit.branches.length;
  const many = n === 1 ? "one resonance" : n === 0 ? "no resonance" : `${n} resonances`;
  const plan = [
    { key: "C0_F", name: "C0" },
    { key: "tan_delta", name: "tan δ" },
    ...circuit.branches.flatMap((_, k) => [
      { key: `C1_${k + 1}_F`, name: `C1 of resonance ${k + 1}` },
      { key: `fs_${k + 1}_Hz`, name: `f_s of resonance ${k + 1}` },
      { key: `Q_${k + 1}`, name: `Q of resonance ${k + 1}` },
    ]),
    ...(seriesResistance === null ? [{ key: "R_ohm", name: "series resistance" }] : []),
  ].map((row, i) => ({ ...row, start: start[i] as number }));
  const title = `equivalent circuit with ${many} to ln Y at ${sweep.f.length} frequencies${read.outside > 0 ? `, ${read.outside} rows outside the window` : ""}`;
  return { ...fitReport(title, plan, result, false, curve(fit, sweep)), residualUnit: "" };
}

/** |Z| as read and as fitted. */
function curve({ circuit }: CircuitFit, { f, g, b }: Sweep): FitCurve {
  const step = Math.max(1, Math.ceil(f.length / DRAWN));
  const some = Array.from({ length: Math.ceil(f.length / step) }, (_, i) => i * step);
  return {
    x: Float64Array.from(some, (i) => f[i]!),
    y: Float64Array.from(some, (i) => 1 / Math.hypot(g[i]!, b[i]!)),
    model: Float64Array.from(some, (i) => 1 / Math.hypot(...admittance(circuit, f[i]!))),
    xName: "frequency",
    xUnit: "Hz",
    yName: "|Z|",
    yUnit: "Ω",
    logX: f[f.length - 1]! > 20 * f[0]!,
  };
}

/** One or two rows, as a capacitance meter writes them: read, not fitted. */
function single({ f, g, b }: Sweep, meter: MeterAccuracy): Reduction {
  const values: Value[] = [];
  const at = formatQuantity(f[0]!, 0, "frequency", { digits: 4 });
  const value = (key: string, name: string, x: number, parts: Value["budget"]) => {
    const budget = parts.filter((part) => part.u > 0);
    const u = budget.length === 0 ? null : Math.hypot(...budget.map((part) => part.u));
    values.push({
      key,
      name,
      value: x,
      u,
      ...(u === null ? { reason: "one reading: give the meter's accuracy" } : {}),
      degreesOfFreedom: Number.POSITIVE_INFINITY,
      budget,
    });
  };
  const c = b[0]! / (2 * Math.PI * f[0]!);
  value("capacitance_F", `capacitance at ${at}`, c, [
    { source: "accuracy of the meter's |Z|", u: c * meter.size },
    { source: "capacitance of the fixture", u: meter.fixture },
  ]);
  value("loss_tangent", `tan δ at ${at}`, g[0]! / b[0]!, [
    { source: "accuracy of the meter's phase", u: meter.phase },
  ]);
  return {
    kind: "impedance",
    values,
    fits: [],
    warnings: [
      {
        key: "no-resonance",
        text: `One reading at ${at}: capacitance and tan δ only. A sweep gives resonance, Q and coupling.`,
      },
    ],
    tables: [],
    marks: [],
    covariance: null,
  };
}

/** Impedance or admittance against frequency at small signal. */
export const IMPEDANCE: Kind = {
  name: "impedance",
  summary:
    "impedance against frequency: capacitance, tan δ, resonances, Q, coupling, equivalent circuit",
  roles: ROLES,
  settings: SETTINGS,
  files: { min: 1, max: 1 },
  reduce: (data, settings) => reduce(data, settings),
  predict: predictImpedance,
  mismatches: MISMATCHES,
};
