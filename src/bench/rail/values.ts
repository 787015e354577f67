import { storageForDroop } from "../../physics/supply.ts";
import { derived } from "../electric/derived.ts";
import { type Mean, meanOf, meanValue, missing, type Reading } from "../electric/together.ts";
import type { Given, Settings } from "../kind.ts";
import { type Entry, propagated } from "../propagate.ts";
import type { Value } from "../reduction.ts";
import { optional } from "../settings.ts";
import { type Recovery, recovered } from "./recovery.ts";

/** One jump of the rail. All voltages count in the rail's own direction, sag positive. */
export interface Edge {
  at: number;
  before: Reading;
  after: Reading;
  /** Positive: the rail sags. */
  droop: Reading;
  recovery: Recovery | null;
  /** When the next edge or the record's end comes. */
  until: number;
}

/** Levels in the rail's own direction. */
export interface Levels {
  sign: number;
  /** With the strip off; null without that file. */
  off: Reading | null;
  /** Mean over the whole record. */
  on: Reading;
}

/** E6 values of IEC 60063. */
const ROW = [1, 1.5, 2.2, 3.3, 4.7, 6.8, 10];

/** Smallest value of the row that is not below `value`. */
export function nextE6(value: number): number {
  const decade = 10 ** Math.floor(Math.log10(value));
  for (const step of ROW)
    if (step * decade >= value * (1 - 1e-9)) return Number((step * decade).toPrecision(3));
  return 10 * decade;
}

const entry = (source: string, mean: Mean): Entry => ({
  source: `${source}, ${mean.source}`,
  value: mean.value,
  u: mean.u,
  degreesOfFreedom: mean.degreesOfFreedom,
});

/**
 * Mean size of the jumps of one direction. One recovery gives the level after an edge and the one before the next:
 * noise counts by recovery, not by edge, since both hang together.
 */
function meanJump(edges: readonly Edge[], direction: 1 | -1): Mean {
  const counts = edges.map(({ droop }) => (direction * droop.value > 0 ? 1 : 0));
  const n = counts.reduce<number>((sum, c) => sum + c, 0);
  const sizes = edges.map(({ droop }) => ({ value: direction * droop.value, u: droop.u }));
  const mean = meanOf(
    sizes.filter((_, k) => counts[k] === 1),
    "edges",
  );
  if (Number.isFinite(mean.degreesOfFreedom)) return mean;
  let variance = counts[0] === 1 ? (edges[0] as Edge).before.u ** 2 : 0;
  edges.forEach(({ after, droop, before, at, recovery }, k) => {
    const [own, next] = [counts[k] as number, counts[k + 1] ?? 0];
    const rest = Math.max(0, droop.u ** 2 - after.u ** 2 - before.u ** 2);
    if (recovery === null) variance += (own + next) * after.u ** 2;
    else {
      const until = (edges[k + 1]?.at ?? at) - at;
      const both = (p: Float64Array) =>
        own * recovered(recovery.shape, p, 0) - next * recovered(recovery.shape, p, until);
      variance += (derived("", "", recovery.fitted, both).u ?? 0) ** 2;
    }
    variance += own * rest;
  });
  return { ...mean, u: Math.sqrt(variance) / n };
}

const NO_STORAGE = "give the storage capacitor on the rail";

/** Everything the edges say. */
export function railValues(
  edges: readonly Edge[],
  levels: Levels,
  { storage, load }: { storage: Given | null; load: Given },
  settings: Settings,
): Value[] {
  const accuracy = optional(settings, "accuracy")?.value ?? 0;
  const scale: Entry = { source: "scale of the voltage", value: 1, u: accuracy };
  const sagging = edges.filter(({ droop }) => droop.value > 0);
  const lifting = edges.filter(({ droop }) => droop.value < 0);
  const out: Value[] = [];
  if (sagging.length === 0)
    return [missing("droop_per_edge_V", "sag of an edge", "the rail only rises in this record")];
  const droop = meanJump(edges, 1);
  const d = entry("sag", droop);
  out.push(propagated("droop_per_edge_V", "sag of an edge", [d, scale], ([x, a]) => x! * a!));
  if (lifting.length > 0) {
    const lift = meanJump(edges, -1);
    out.push(
      propagated(
        "lift_per_edge_V",
        "lift by charge that comes back",
        [entry("lift", lift), scale],
        ([x, a]) => x! * a!,
      ),
    );
  }
  const c: Entry = { source: "storage capacitor", value: storage?.value ?? 0, u: storage?.u ?? 0 };
  const l: Entry = { source: "capacitance of the load", value: load.value, u: load.u };
  const known = (key: string, name: string, entries: Entry[], f: (x: Float64Array) => number) =>
    storage === null ? missing(key, name, NO_STORAGE) : propagated(key, name, entries, f);
  out.push(
    known(
      "charge_per_edge_C",
      "charge of an edge, sag × (storage + load)",
      [d, scale, c, l],
      ([x, a, s, k]) => x! * a! * (s! + k!),
    ),
    ...recoveryValues(sagging, levels, { storage, c, l, scale }, settings),
    ...missingCharge(edges, levels, storage, c, scale),
  );
  const wanted = optional(settings, "droop")?.value ?? 0.01;
  const height = levels.off ?? {
    value: -(edges[0] as Edge).before.value,
    u: (edges[0] as Edge).before.u,
  };
  const cure = known(
    "storage_for_droop_F",
    `storage that keeps an edge's sag at ${Number((100 * wanted).toPrecision(3))} %`,
    [d, c, l, { source: "voltage of the rail", value: height.value, u: height.u }],
    ([x, s, k, v]) => storageForDroop({ charge: x! * (s! + k!), capacitance: k! }, v!, wanted),
  );
  out.push(cure);
  out.push(
    cure.value === null
      ? missing("storage_next_E6_F", "next value of the E6 row", NO_STORAGE)
      : {
          ...cure,
          key: "storage_next_E6_F",
          name: "next value of the E6 row",
          value: nextE6(cure.value),
          u: 0,
          budget: [],
        },
  );
  return out;
}

interface Known {
  storage: Given | null;
  c: Entry;
  l: Entry;
  scale: Entry;
}

/** Time constant and source resistance of an exponential recovery, or the limit that a ramp shows. */
function recoveryValues(
  sagging: readonly Edge[],
  levels: Levels,
  { storage, c, l, scale }: Known,
  settings: Settings,
): Value[] {
  const of = (shape: Recovery["shape"]) =>
    sagging.flatMap(({ recovery }): Reading[] => {
      if (recovery === null || recovery.shape !== shape || recovery.fitted.covariance === null)
        return [];
      return [{ value: recovery.fitted.p[2]!, u: Math.sqrt(recovery.fitted.covariance[8]!) }];
    });
  const out: Value[] = [];
  const taus = of("exponential");
  const rates = of("ramp");
  const none = rates.length > 0 ? "the rail comes back in a straight ramp" : "no recovery fits";
  if (taus.length > 0) {
    const tau = meanOf(taus, "edges");
    out.push(meanValue("recovery_time_s", "time constant of the recovery", tau));
    const probe = optional(settings, "probe-resistance");
    const parallel: Entry = {
      source: "probe",
      value: 1 / (probe?.value ?? Number.POSITIVE_INFINITY),
      u: probe === null ? 0 : probe.u / probe.value ** 2,
    };
    out.push(
      storage === null
        ? missing("source_resistance_ohm", "resistance between supply and storage", NO_STORAGE)
        : propagated(
            "source_resistance_ohm",
            "resistance between supply and storage, τ over capacitance",
            [entry("time constant", tau), c, l, parallel],
            ([x, s, k, g]) => 1 / ((s! + k!) / x! - g!),
          ),
    );
  } else
    out.push(
      missing("recovery_time_s", "time constant of the recovery", none),
      missing("source_resistance_ohm", "resistance between supply and storage", none),
    );
  if (rates.length > 0) {
    const rate = meanOf(rates, "edges");
    out.push(
      storage === null
        ? missing("current_limit_A", "current limit of the supply", NO_STORAGE)
        : propagated(
            "current_limit_A",
            "current limit of the supply, ramp × capacitance",
            [entry("ramp", rate), c, l, scale],
            ([x, s, k, a]) => x! * (s! + k!) * a!,
          ),
    );
  }
  if (levels.off !== null)
    out.push(
      meanValue("rail_off_V", "rail with the strip off", {
        value: levels.sign * levels.off.value,
        u: levels.off.u,
        degreesOfFreedom: Number.POSITIVE_INFINITY,
        source: "noise and sampling",
      }),
    );
  const set = optional(settings, "set-voltage");
  const probe = optional(settings, "probe-resistance");
  if (set !== null && probe !== null && levels.off !== null)
    out.push(
      propagated(
        "source_resistance_static_ohm",
        "resistance between supply and storage, from what the probe takes off",
        [
          { source: "set voltage", value: Math.abs(set.value), u: set.u },
          { source: "rail with the strip off", value: levels.off.value, u: levels.off.u },
          { source: "probe", value: probe.value, u: probe.u },
          scale,
        ],
        ([v, x, r, a]) => r! * (v! / (x! * a!) - 1),
      ),
    );
  return out;
}

/** What the rail still lacks when the next edge comes, against the level with the strip off. */
function missingCharge(
  edges: readonly Edge[],
  levels: Levels,
  storage: Given | null,
  c: Entry,
  scale: Entry,
): Value[] {
  const key = "missing_charge_C";
  const name = "charge still missing when the next edge comes";
  if (levels.off === null)
    return [missing(key, name, "needs the rail with the strip off, as a first file")];
  if (edges.length < 2) return [missing(key, name, "the record has one edge only")];
  if (storage === null) return [missing(key, name, NO_STORAGE)];
  const before = meanOf(
    edges.slice(1).map((e) => e.before),
    "edges",
  );
  return [
    propagated(
      key,
      name,
      [
        { source: "rail with the strip off", value: levels.off.value, u: levels.off.u },
        entry("rail before an edge", before),
        c,
        scale,
      ],
      ([off, sag, s, a]) => (off! + sag!) * s! * a!,
    ),
  ];
}
