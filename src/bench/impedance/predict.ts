import type { Design } from "../../design/design.ts";
import { checkDesign } from "../../sheet/check.ts";
import { dampingKnown } from "../fromDesign.ts";
import type { Data, Mismatch, Prediction, Settings } from "../kind.ts";
import type { Reduction } from "../reduction.ts";
import { word } from "../settings.ts";

/** Resonance of the sheet for each surrounding. */
const AROUND = {
  air: { list: "open_air_Hz", q: "q_air" },
  vacuum: { list: "open_vacuum_Hz", q: "q_vacuum" },
  "working gas": { list: "open_gas_Hz", q: "q_gas" },
} as const;

/** Between resonance found and predicted: the nearest of the design's, if nearer than half as much again. */
const NEAR = 1.5;

/** Sheet figures for what a sweep between the two nodes of the switch gives, without a seat. */
export function predictImpedance(
  design: Design,
  _data: readonly Data[],
  settings: Settings,
  found: Reduction,
): Prediction[] {
  const { result } = checkDesign(design, { waysOut: false });
  const out: Prediction[] = [];
  const add = (key: string, value: number | null | undefined, u: number, from: string) => {
    if (value !== null && value !== undefined && Number.isFinite(value))
      out.push({ key, value, u, from, of: "design" });
  };
  const strip = result.strip as typeof result.strip & Record<string, number>;
  add(
    "capacitance_F",
    strip.capacitance_small_signal_F,
    strip.u_capacitance_small_signal_F ?? 0,
    "sheet: strip.capacitance_small_signal_F, between the nodes that the switch drives",
  );
  const loss = lossOf(design);
  if (loss !== null)
    add("loss_tangent", loss.value, loss.u, `materials: tan δ of ${loss.material}, small signal`);
  const around = (word(settings, "around") ?? "air") as keyof typeof AROUND;
  const { list, q } = AROUND[around];
  const modes = result.modes as typeof result.modes & Record<string, number[]>;
  const shorted = modes.open_vacuum_Hz;
  const open = modes.open_circuit_vacuum_Hz;
  const predicted = modes[list] ?? [];
  const u = modes[`u_${list}`] ?? [];
  const resonances = found.values.filter(
    ({ key, value }) => /^series_resonance(_\d+)?_Hz$/.test(key) && value !== null,
  );
  // None of the design's near any that was found: the lowest is set against the nearest all the same.
  const [lowest] = resonances;
  const apart = resonances.every(({ value }) => nearestOf(predicted, value as number) === null);
  if (apart && lowest !== undefined) {
    const n = nearestOf(predicted, lowest.value as number, Number.POSITIVE_INFINITY);
    if (n !== null)
      add(lowest.key, predicted[n], u[n] ?? 0, `sheet: modes.${list}, resonance ${n + 1}`);
  }
  for (const { key, value } of resonances) {
    const n = nearestOf(predicted, value as number);
    if (n === null) continue;
    const end = /_(\d+)_Hz$/.exec(key)?.[1];
    const of = (text: string, unit: string) =>
      `${text}${end === undefined ? "" : `_${end}`}${unit}`;
    const f = predicted[n] as number;
    const ratio = (open[n] as number) / (shorted[n] as number);
    add(key, f, u[n] ?? 0, `sheet: modes.${list}, resonance ${n + 1}`);
    add(
      of("parallel_resonance", "_Hz"),
      f * ratio,
      (u[n] ?? 0) * ratio,
      `sheet: modes.${list} times open over short circuit in vacuum, resonance ${n + 1}`,
    );
    const k = Math.sqrt(1 - 1 / ratio ** 2);
    add(
      of("coupling_factor", ""),
      k,
      couplingU(modes, n, k),
      `sheet: short and open circuit, resonance ${n + 1}`,
    );
    add(
      of("quality_factor", ""),
      modes[q]?.[n],
      dampingKnown(design) ? (modes[`u_${q}`]?.[n] ?? 0) : 0,
      `sheet: modes.${q}`,
    );
  }
  return out;
}

/** Of k² = 1 − (f_s/f_p)²: both move together with length and mass, so only half of either's part counts for k. */
function couplingU(modes: Record<string, number[]>, n: number, k: number): number {
  const part = (list: string) => (modes[`u_${list}`]?.[n] ?? 0) / (modes[list]?.[n] ?? 1);
  const apart = Math.abs(part("open_circuit_vacuum_Hz") - part("open_vacuum_Hz"));
  return ((1 - k * k) / k) * apart;
}

function nearestOf(list: readonly number[], value: number, within = NEAR): number | null {
  let best: number | null = null;
  list.forEach((f, i) => {
    const off = Math.abs(Math.log(f / value));
    if (
      off < Math.log(within) &&
      (best === null || off < Math.abs(Math.log((list[best] as number) / value)))
    )
      best = i;
  });
  return best;
}

function lossOf(design: Design): { value: number; u: number; material: string } | null {
  for (const { material: name, poling } of design.strip.layers) {
    const material = design.materials[name];
    if (poling === 0 || material?.kind !== "ceramic") continue;
    const input = design.inputs.find(({ key }) => key === `materials.${name}.tan_delta`);
    return { value: material.tanDelta, u: input?.u ?? 0, material: name };
  }
  return null;
}

export const MISMATCHES: readonly Mismatch[] = [
  {
    key: "capacitance_F",
    high: "A second layer is in circuit, the electrode is larger than drawn (it goes on under the clamp), or cable and fixture are counted.",
    low: "Near a half or a third: one layer's lead is open. Less: electrode lost, a crack through it, or a thicker layer than stated.",
  },
  {
    key: "loss_tangent",
    high: "Damp or dirty edges, a smeared electrode, a resistive joint (it grows with frequency), or too large a drive.",
    low: "Harder ceramic than stated, or the meter's phase is off: check with a known capacitor.",
  },
  {
    key: "series_resonance_Hz",
    high: "Shorter free length than entered, less mass at the tip, or the pad touches its seat.",
    low: "Longer free length or a soft clamp (12 % low is 6 % in length), added mass, or a crack near the clamp. The second resonance tells which.",
  },
  {
    key: "coupling_factor",
    high: "Less capacitance beside the bending part than the design counts (leads, clamped electrode), or another resonance close by.",
    low: "Depoled (heat or field against the poling), the bond has let go, or capacitance beside the strip: cable, clamped electrode.",
  },
  {
    key: "quality_factor",
    high: "The structural Q entered is too cautious, or less gas around the strip than stated.",
    low: "Clamp or glue takes energy, the pad or a lead drags, a crack rubs, or too large a drive.",
  },
];
