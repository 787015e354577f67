import { type Mean, meanOf, missing, type Reading } from "../electric/together.ts";
import type { Given } from "../kind.ts";
import { type Entry, propagated } from "../propagate.ts";
import type { Value } from "../reduction.ts";
import type { EdgeReading } from "./charge.ts";
import type { Scale } from "./current.ts";

/** What voltage and current together give. */
export interface Cycle {
  /** Step of voltage as a setting; null: not given. */
  given: Given | null;
  /** From the voltage column, one an edge; empty without it. */
  steps: readonly Reading[];
  /** ∫ v i dt of each edge. */
  works: readonly Reading[];
  /** ∮ V dQ of each pair of edges. */
  loops: readonly Reading[];
  /** Resistance that was taken out, Ω. */
  ahead: number;
}

const NO_STEP = "give the voltage step, or a column for the strip's voltage";

/** Capacitance, series resistance, energy and loss; each null with a reason without a voltage. */
export function cycleValues(
  cycle: Cycle,
  on: readonly EdgeReading[],
  off: readonly EdgeReading[],
  scale: Scale,
): Value[] {
  const charges = [...on, ...off].map(({ charge, edge }) => ({
    value: charge.value * edge.sign,
    u: charge.u,
  }));
  const charge = meanOf(charges, "edges");
  const step = stepOf(cycle);
  const q = entry("charge", charge);
  const scaleOf = (source: string, u: number): Entry => ({ source, value: 1, u });
  const scales = [
    scaleOf("scale of the current", scale.current),
    scaleOf("scale of the voltage", cycle.steps.length > 0 ? scale.voltage : 0),
  ];
  if (step === null)
    return [
      missing("capacitance_large_signal_F", "large-signal capacitance, Q/ΔV", NO_STEP),
      missing("series_resistance_ohm", "series resistance, τ ΔV/Q", NO_STEP),
      missing("energy_per_edge_J", "energy of an edge", NO_STEP),
      missing("loss_per_cycle_J", "loss of a cycle, ∮ V dQ", NO_STEP),
    ];
  const v = entry("step of voltage", step);
  const values = [
    propagated(
      "capacitance_large_signal_F",
      "large-signal capacitance, Q/ΔV",
      [q, v, ...scales],
      ([x, y, a, b]) => (x! * a!) / (y! * b!),
    ),
  ];
  const slow = on.flatMap(({ tauOverCharge }) => (tauOverCharge === null ? [] : [tauOverCharge]));
  values.push(
    slow.length === 0
      ? missing("series_resistance_ohm", "series resistance, τ ΔV/Q", "no decay fits")
      : propagated(
          "series_resistance_ohm",
          "series resistance, τ ΔV/Q",
          [entry("time constant over charge", meanOf(slow, "edges")), v, ...scales],
          ([x, y, a, b]) => (x! * y! * b!) / a!,
        ),
  );
  return [...values, ...energies(cycle, on.length, q, v, scales)];
}

function energies(
  cycle: Cycle,
  ons: number,
  q: Entry,
  v: Entry,
  scales: readonly Entry[],
): Value[] {
  const product = ([x, a, b]: Float64Array) => x! * a! * b!;
  if (cycle.works.length === 0)
    return [
      propagated(
        "energy_per_edge_J",
        "energy in the strip after an edge, ½ Q ΔV",
        [q, v, ...scales],
        ([x, y, a]) => 0.5 * x! * y! * a!,
      ),
      missing(
        "loss_per_cycle_J",
        "loss of a cycle, ∮ V dQ",
        "the record has no column for the strip's voltage",
      ),
    ];
  // Edges come in turns, the first is one of the first direction.
  const there = meanOf(cycle.works.filter((_, k) => k % 2 === 0).slice(0, ons), "edges");
  const out = [
    propagated(
      "energy_per_edge_J",
      "energy given to the strip by an edge, ∫ V dQ",
      [entry("work of an edge", there), ...scales],
      product,
    ),
  ];
  if (cycle.loops.length === 0)
    return [
      ...out,
      missing("loss_per_cycle_J", "loss of a cycle, ∮ V dQ", "the record has no edge and back"),
    ];
  const loop = entry("work of a cycle", meanOf(cycle.loops, "cycles"));
  return [
    ...out,
    propagated("loss_per_cycle_J", "loss of a cycle, ∮ V dQ", [loop, ...scales], product),
    propagated(
      "large_signal_loss_tangent",
      "large-signal tan δ, loss over (π/4) Q ΔV",
      [loop, q, v],
      ([w, x, y]) => w! / ((Math.PI / 4) * x! * y!),
    ),
  ];
}

const entry = (source: string, mean: Mean): Entry => ({
  source: `${source}, ${mean.source}`,
  value: mean.value,
  u: mean.u,
  degreesOfFreedom: mean.degreesOfFreedom,
});

/** Size of the step, from the column where there is one. */
function stepOf(cycle: Cycle): Mean | null {
  if (cycle.steps.length > 0)
    return meanOf(
      cycle.steps.map((s) => ({ value: Math.abs(s.value), u: s.u })),
      "edges",
    );
  if (cycle.given === null) return null;
  return {
    value: Math.abs(cycle.given.value),
    u: cycle.given.u,
    degreesOfFreedom: Number.POSITIVE_INFINITY,
    source: "as given",
  };
}
