import { finiteColumn, risingTimes } from "../electric/times.ts";
import { meanOf, meanValue, missing, type Reading } from "../electric/together.ts";
import { fitReport } from "../fitReport.ts";
import type { Data, Given, Kind, Settings } from "../kind.ts";
import type { BudgetLine, Fit, Reduction, Value } from "../reduction.ts";
import { BenchProblem } from "../reduction.ts";
import { optional } from "../settings.ts";
import { type EdgeReading, readEdge } from "./charge.ts";
import { type Cycle, cycleValues } from "./cycle.ts";
import { currentEdges } from "./edges.ts";
import { behind, voltageStep, workOver } from "./loop.ts";
import { predictCurrent } from "./predict.ts";
import { MISMATCHES, ROLES, SETTINGS } from "./settings.ts";
import { edgeWarnings } from "./warnings.ts";

/** The current in A, whatever the file has. */
function currentOf(data: Data, settings: Settings): { current: Float64Array; shunt: Given | null } {
  const raw = finiteColumn(data, "current");
  const shunt = optional(settings, "shunt");
  if (data.kinds.get("current") !== "voltage") return { current: raw, shunt: null };
  if (shunt === null)
    throw new BenchProblem(
      "setting shunt",
      "not given, and the current is in volts",
      "the resistance of the shunt, such as 10.0(1) Ω",
    );
  if (!(shunt.value > 0))
    throw new BenchProblem("setting shunt", `${shunt.value} Ω`, "a resistance above 0 Ω");
  return { current: raw.map((v) => v / shunt.value), shunt };
}

function reduce(data: readonly Data[], settings: Settings): Reduction {
  const file = data[0] as Data;
  const t = risingTimes(file, 32);
  const { current, shunt } = currentOf(file, settings);
  const readings = currentEdges(file, current).map((edge) => readEdge(t, current, edge));
  const on = readings.filter(({ edge }) => edge.sign === (readings[0] as EdgeReading).edge.sign);
  const off = readings.filter(({ edge }) => edge.sign !== (readings[0] as EdgeReading).edge.sign);
  const scale: Scale = {
    current: Math.hypot(
      shunt === null ? 0 : shunt.u / shunt.value,
      optional(settings, "accuracy")?.value ?? 0,
    ),
    voltage: optional(settings, "voltage-accuracy")?.value ?? 0,
  };
  const cycle = cycleOf(file, settings, t, current, readings);
  const values = [
    ...chargeValues(on, off, scale),
    ...decayValues(on),
    ...cycleValues(cycle, on, off, scale),
  ];
  return {
    kind: "current",
    values,
    fits: on[0]?.decay ? [decayFit(t, current, on[0])] : [],
    warnings: edgeWarnings(t, current, readings, cycle),
    tables: [
      {
        key: "edges",
        title: "each edge",
        columns: [
          { key: "edge", name: "edge" },
          { key: "at_s", name: "at" },
          { key: "charge_C", name: "charge" },
          { key: "u_charge_C", name: "u" },
          { key: "peak_A", name: "largest current" },
          { key: "leak_A", name: "level after less before" },
        ],
        rows: readings.map((r, k) => [
          k + 1,
          t[r.edge.from]!,
          r.charge.value,
          r.charge.u,
          r.peak.value,
          r.leak.value,
        ]),
      },
    ],
    marks: readings.map(({ edge }, k) => ({
      role: "current",
      kind: "span",
      name: `edge ${k + 1}`,
      from: t[edge.from]!,
      to: t[edge.to - 1]!,
    })),
    covariance: null,
  };
}

/** Relative uncertainties of the channels' scales. */
export interface Scale {
  current: number;
  voltage: number;
}

function chargeValues(
  on: readonly EdgeReading[],
  off: readonly EdgeReading[],
  scale: Scale,
): Value[] {
  const part = (v: number): BudgetLine[] => [
    { source: "scale of the current", u: Math.abs(v) * scale.current },
  ];
  const charge = (key: string, name: string, rows: readonly EdgeReading[]) => {
    const mean = meanOf(
      rows.map((r) => r.charge),
      "edges",
    );
    return meanValue(key, name, mean, part(mean.value));
  };
  const peak = meanOf(
    on.map((r) => r.peak),
    "edges",
  );
  const leak = meanOf(
    on.map((r) => r.leak),
    "edges",
  );
  const values = [charge("charge_on_C", "charge, edges like the first", on)];
  if (off.length > 0) {
    values.push(charge("charge_off_C", "charge, edges back", off));
    const pairs = on.flatMap((r, k): Reading[] => {
      const back = off[k];
      if (back === undefined) return [];
      return [
        {
          value: Math.abs(r.charge.value) - Math.abs(back.charge.value),
          u: Math.hypot(r.charge.u, back.charge.u),
        },
      ];
    });
    const difference = meanOf(pairs, "pulses");
    values.push(
      meanValue("charge_difference_C", "charge that a pulse leaves, there less back", difference),
    );
  } else values.push(missing("charge_off_C", "charge, edges back", "the record has no edge back"));
  values.push(
    meanValue("peak_current_A", "largest current", peak, [
      { source: "scale of the current", u: Math.abs(peak.value) * scale.current },
    ]),
    meanValue("leak_current_A", "current that goes on flowing after the edge", leak, [
      { source: "scale of the current", u: Math.abs(leak.value) * scale.current },
    ]),
  );
  return values;
}

function decayValues(on: readonly EdgeReading[]): Value[] {
  const name = "time constant of the edge";
  const taus = on.flatMap(({ tau }) => (tau === null ? [] : [tau]));
  if (taus.length === 0) return [missing("time_constant_s", name, "no decay fits after the edge")];
  return [meanValue("time_constant_s", name, meanOf(taus, "edges"))];
}

const DRAWN = 2000;

function decayFit(t: Float64Array, current: Float64Array, reading: EdgeReading): Fit {
  const decay = reading.decay as NonNullable<EdgeReading["decay"]>;
  const [i0, tau, offset] = decay.parameters as unknown as [number, number, number];
  const { edge, decayFrom } = reading;
  const step = Math.max(1, Math.ceil((edge.to - decayFrom) / DRAWN));
  const some = Array.from(
    { length: Math.ceil((edge.to - decayFrom) / step) },
    (_, k) => decayFrom + k * step,
  );
  const origin = t[edge.peak]!;
  return fitReport(
    "exponential decay of the current after the first edge",
    [
      { key: "I0_A", name: "current at the peak", start: current[edge.peak]! },
      { key: "tau_s", name: "time constant", start: tau },
      { key: "offset_A", name: "level afterwards", start: edge.after.mean },
    ],
    decay,
    false,
    {
      x: Float64Array.from(some, (i) => t[i]!),
      y: Float64Array.from(some, (i) => current[i]!),
      model: Float64Array.from(some, (i) => i0 * Math.exp(-(t[i]! - origin) / tau) + offset),
      xName: "time",
      xUnit: "s",
      yName: "current",
      yUnit: "A",
    },
  );
}

/** Voltage steps, works and loops where the record has the voltage; the step given otherwise. */
function cycleOf(
  file: Data,
  settings: Settings,
  t: Float64Array,
  current: Float64Array,
  readings: readonly EdgeReading[],
): Cycle {
  const given = optional(settings, "voltage-step");
  if (!file.columns.has("voltage")) return { given, steps: [], works: [], loops: [], ahead: 0 };
  const voltage = finiteColumn(file, "voltage");
  const ahead = optional(settings, "resistance-ahead")?.value ?? 0;
  const base = (readings[0] as EdgeReading).edge.before.mean;
  const strip = behind(voltage, current, base, ahead);
  const steps = readings.map((r, k) =>
    voltageStep(strip, r, readings[k + 1]?.edge.from ?? t.length),
  );
  const rest = steps[0]?.before.mean ?? 0;
  const works = readings.map((r, k) => {
    const noise = steps[k]?.before ?? r.edge.before;
    return workOver(t, strip, current, r, rest, noise);
  });
  const loops: Reading[] = [];
  for (let k = 0; k + 1 < readings.length; k += 2) {
    if (readings[k]?.edge.sign === readings[k + 1]?.edge.sign) break;
    const [there, back] = [works[k] as Reading, works[k + 1] as Reading];
    loops.push({ value: there.value + back.value, u: Math.hypot(there.u, back.u) });
  }
  return { given, steps: steps.map((s) => s.step), works, loops, ahead };
}

/** Current into the strip over its edges. */
export const CURRENT: Kind = {
  name: "current",
  summary:
    "current at the edges: charge, large-signal capacitance, time constant, energy, leak, loss of a cycle",
  roles: ROLES,
  settings: SETTINGS,
  files: { min: 1, max: 1 },
  reduce: (data, settings) => reduce(data, settings),
  predict: predictCurrent,
  mismatches: MISMATCHES,
};
