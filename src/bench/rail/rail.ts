import type { Design, Rail } from "../../design/design.ts";
import { formatQuantity } from "../../units/index.ts";
import { derived, type Fitted } from "../electric/derived.ts";
import { meanU, noiseOf } from "../electric/noise.ts";
import { finiteColumn, risingTimes } from "../electric/times.ts";
import type { Reading } from "../electric/together.ts";
import { fitReport } from "../fitReport.ts";
import type { Data, Given, Kind, Settings } from "../kind.ts";
import { BenchProblem, type Fit, type Reduction } from "../reduction.ts";
import { optional, word } from "../settings.ts";
import { predictRail } from "./predict.ts";
import { type RailJump, railJumps } from "./railEdges.ts";
import { FEWEST, type Recovery, recovered, recoveryOf } from "./recovery.ts";
import { MISMATCHES, ROLES, SETTINGS } from "./settings.ts";
import { type Edge, railValues } from "./values.ts";
import { railWarnings } from "./warnings.ts";

/** The rail that is meant: by name, else the first with a storage capacitor, else the first. */
export function railOf(
  design: Design | null,
  settings: Settings,
): { name: string; rail: Rail } | null {
  if (design === null) return null;
  const name = word(settings, "rail");
  const rails = Object.entries(design.rails);
  if (name !== null) {
    const rail = design.rails[name];
    if (rail === undefined)
      throw new BenchProblem(
        "setting rail",
        `"${name}"`,
        `a rail of the design: ${rails.map(([n]) => n).join(", ") || "it has none"}`,
      );
    return { name, rail };
  }
  const found = rails.find(([, rail]) => rail.storage !== null) ?? rails[0];
  return found === undefined ? null : { name: found[0], rail: found[1] };
}

/** Storage capacitor: as given, else the design's with its uncertainty; null: not known. */
function storageOf(settings: Settings, design: Design | null): Given | null {
  const given = optional(settings, "storage");
  if (given !== null) {
    if (!(given.value > 0))
      throw new BenchProblem("setting storage", `${given.value} F`, "a capacitance above 0 F");
    return given;
  }
  const found = railOf(design, settings);
  if (design === null || found?.rail.storage == null) return null;
  const input = design.inputs.find(({ key }) => key === `rails.${found.name}.storage`);
  return { value: found.rail.storage, u: input?.u ?? 0 };
}

function reduce(data: readonly Data[], settings: Settings, design: Design | null): Reduction {
  const on = data.at(-1) as Data;
  const off = data.length > 1 ? (data[0] as Data) : null;
  const t = risingTimes(on, 4 * FEWEST);
  const voltage = finiteColumn(on, "voltage");
  const sign = noiseOf(voltage).mean < 0 ? -1 : 1;
  const sag = voltage.map((v) => -sign * v);
  const jumps = railJumps(on, sag);
  const rest = off === null ? null : noiseOf(finiteColumn(off, "voltage"));
  const level: Reading | null = rest === null ? null : { value: sign * rest.mean, u: meanU(rest) };
  const edges: Edge[] = [];
  jumps.forEach((jump, k) => {
    edges.push(edgeOf(t, sag, jump, jumps[k + 1]?.before ?? t.length - 1, edges.at(-1), level));
  });
  const storage = storageOf(settings, design);
  const load = optional(settings, "load") ?? { value: 0, u: 0 };
  const mean = noiseOf(voltage);
  const set = { sign, off: level, on: { value: sign * mean.mean, u: meanU(mean) } };
  return {
    kind: "rail",
    values: railValues(edges, set, { storage, load }, settings),
    fits: fitsOf(t, sag, sign, edges),
    warnings: railWarnings(t, voltage, edges, set, storage, settings),
    tables: [
      {
        key: "edges",
        title: "each edge",
        columns: [
          { key: "edge", name: "edge" },
          { key: "at_s", name: "at" },
          { key: "droop_V", name: "sag (lift below 0)" },
          { key: "u_droop_V", name: "u" },
          { key: "shape", name: "comes back" },
        ],
        rows: edges.map((edge, k) => [
          k + 1,
          edge.at,
          edge.droop.value,
          edge.droop.u,
          edge.recovery?.shape ?? null,
        ]),
      },
    ],
    marks: edges.map(({ at }, k) => ({
      file: data.length - 1,
      role: "voltage",
      kind: "instant",
      name: `edge ${k + 1}`,
      from: at,
    })),
    covariance: null,
  };
}

/** Samples before a jump from which the level is taken when nothing is fitted there. */
const BEFORE = 200;

/** One edge: level before it by what was fitted there, sag just after it by the recovery. */
function edgeOf(
  t: Float64Array,
  sag: Float64Array,
  jump: RailJump,
  next: number,
  earlier: Edge | undefined,
  level: Reading | null,
): Edge {
  const at = (t[jump.before]! + t[jump.after]!) / 2;
  const last = earlier?.recovery;
  const before =
    earlier === undefined || last === null || last === undefined
      ? levelBefore(sag, earlier === undefined ? 0 : Math.max(0, jump.before - 2), jump.before + 1)
      : value(last.fitted, (p) => recovered(last.shape, p, at - earlier.at));
  const recovery = recoveryBetween(t, sag, jump.after, next + 1, at, level);
  const after: Reading =
    recovery === null
      ? levelBefore(sag, jump.after, Math.min(next + 1, jump.after + FEWEST))
      : at0(recovery);
  return {
    at,
    before,
    after,
    droop: {
      value: after.value - before.value,
      u: Math.hypot(after.u, before.u, between(t, jump, recovery)),
    },
    recovery,
    until: t[next]!,
  };
}

/** The jump lies somewhere between its two samples, rectangular; meanwhile the rail comes back. */
function between(t: Float64Array, { before, after }: RailJump, recovery: Recovery | null): number {
  if (recovery === null) return 0;
  const [, size, third] = recovery.fitted.p as unknown as [number, number, number];
  const rate = recovery.shape === "exponential" ? size / third : third;
  return (Math.abs(rate) * (t[after]! - t[before]!)) / Math.sqrt(12);
}

function levelBefore(sag: Float64Array, from: number, to: number): Reading {
  const noise = noiseOf(sag, Math.max(from, to - BEFORE), to);
  return { value: noise.mean, u: meanU(noise) };
}

const at0 = (recovery: Recovery): Reading =>
  value(recovery.fitted, (p) => recovered(recovery.shape, p, 0));

function value(fitted: Fitted, f: (p: Float64Array) => number): Reading {
  const found = derived("", "", fitted, f);
  return { value: found.value ?? Number.NaN, u: found.u ?? 0 };
}

/** Time constants that a record must show of a recovery for its end to be fitted. */
const SHOWN = 1.5;

function recoveryBetween(
  t: Float64Array,
  sag: Float64Array,
  from: number,
  to: number,
  at: number,
  level: Reading | null,
): Recovery | null {
  const free = recoveryOf(t, sag, from, to, at, null);
  if (level === null || free === null || free.shape === "ramp") return free;
  if (t[to - 1]! - at > SHOWN * (free.fitted.p[2] as number)) return free;
  return recoveryOf(t, sag, from, to, at, { value: -level.value, u: level.u });
}

const DRAWN = 2000;

function fitsOf(t: Float64Array, sag: Float64Array, sign: number, edges: readonly Edge[]): Fit[] {
  const edge = edges.find(({ recovery }) => recovery !== null);
  const recovery = edge?.recovery;
  if (edge === undefined || recovery === null || recovery === undefined) return [];
  const { from, to, shape, fitted, result, start, held } = recovery;
  const step = Math.max(1, Math.ceil((to - from) / DRAWN));
  const some = Array.from({ length: Math.ceil((to - from) / step) }, (_, k) => from + k * step);
  const names = [
    { key: "end_V", name: "sag it ends at (below 0 V, in the rail's direction)" },
    { key: "size_V", name: "sag that comes back" },
    shape === "exponential"
      ? { key: "tau_s", name: "time constant" }
      : { key: "rate_V_s", name: "rate of the ramp" },
  ];
  const plan = names.map((row, i) => ({ ...row, start: start[i] as number }));
  return [
    fitReport(
      `${shape === "exponential" ? "exponential recovery" : "straight recovery to a level"} after the edge at ${formatQuantity(edge.at, 0, "time", { digits: 4 })}`,
      held ? plan.slice(1) : plan,
      result,
      false,
      {
        x: Float64Array.from(some, (i) => t[i]!),
        y: Float64Array.from(some, (i) => -sign * sag[i]!),
        model: Float64Array.from(some, (i) => -sign * recovered(shape, fitted.p, t[i]! - edge.at)),
        xName: "time",
        xUnit: "s",
        yName: "rail",
        yUnit: "V",
      },
    ),
  ];
}

/** Rail with the strip off and on. */
export const RAIL: Kind = {
  name: "rail",
  summary:
    "rail voltage with the strip off and on: sag and charge of an edge, source resistance, what storage cures it",
  roles: ROLES,
  settings: SETTINGS,
  files: { min: 1, max: 2, labels: ["strip off", "strip on"] },
  reduce,
  predict: predictRail,
  mismatches: MISMATCHES,
};
