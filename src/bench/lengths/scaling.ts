import type { Design } from "../../design/design.ts";
import { withFreeLength } from "../../design/values.ts";
import { leastSquares } from "../../numerics/leastSquares.ts";
import { monotoneCubic } from "../../numerics/monotone.ts";
import { buildStrip } from "../../sheet/stripModel.ts";
import { formatQuantity } from "../../units/index.ts";
import { groupOfFit, widenedWarning } from "../fitGroup.ts";
import { type FitPlan, fitReport } from "../fitReport.ts";
import type { Given } from "../kind.ts";
import { checkedLinear } from "../monteCarlo.ts";
import type { Fit, Reduction, Value, Warning } from "../reduction.ts";
import { missing, type Part, propagatedTogether } from "../together.ts";
import { frequencyFactor, stiffnessFactor } from "./laws.ts";
import type { Quantity, Readings } from "./readings.ts";

/*
 * Readings at several free lengths L, x = L + δ, ε = ℓ/x with ℓ = EI/k_θ of the clamp:
 *   deflection ∝ x², first resonance ∝ x⁻² R(ε), tip stiffness ∝ x⁻³/(1 + 3ε), blocking force ∝ x⁻¹/(1 + 3ε).
 * A clamp that rotates leaves the deflection as it is, a longer strip does not: both columns tell them apart. With a
 * design each law is multiplied by what its model departs from it (width, masses), rigid clamp. Lengths with an
 * uncertainty are fitted along (errors in variables).
 */

const POWER: Record<Quantity, number> = { deflection: 2, frequency: -2, stiffness: -3, force: -1 };
const KEY: Record<Quantity, readonly [key: string, name: string]> = {
  deflection: ["deflection_at_length_m", "deflection"],
  frequency: ["resonance_at_length_Hz", "first resonance"],
  stiffness: ["stiffness_at_length_N_m", "stiffness"],
  force: ["force_at_length_N", "blocking force"],
};
const UNIT: Record<Quantity, string> = {
  deflection: "m",
  frequency: "Hz",
  stiffness: "N/m",
  force: "N",
};

type Shape = (quantity: Quantity, x: number) => number;

export function scaledFromLengths(
  readings: Readings,
  target: Given | null,
  design: Design | null,
): Reduction {
  const { lengths, lengthU, columns } = readings;
  const quantities = [...columns.keys()];
  const n = lengths.length;
  const fitsGive =
    columns.has("deflection") &&
    quantities.length > 1 &&
    n * quantities.length > quantities.length + 2;
  const mean = lengths.reduce((sum, l) => sum + l / n, 0);
  const shape = design === null ? () => 1 : departures(design, lengths, mean);
  const head = 1 + (fitsGive ? 1 : 0);
  const at = (p: ArrayLike<number>, quantity: Quantity, length: number): number => {
    const x = length + p[0]! * mean;
    const give = fitsGive ? (p[1]! * mean) / x : 0;
    const factor =
      quantity === "deflection"
        ? 1
        : quantity === "frequency"
          ? frequencyFactor(give)
          : stiffnessFactor(give);
    const coefficient = Math.exp(p[head + quantities.indexOf(quantity)]!);
    return coefficient * (x / mean) ** POWER[quantity] * factor * shape(quantity, x);
  };
  const free = head + quantities.length;
  const start = [0, ...(fitsGive ? [0] : [])];
  for (const quantity of quantities) {
    const { y } = columns.get(quantity)!;
    const logs = lengths.map((l, i) =>
      Math.log(y[i]! / ((l / mean) ** POWER[quantity] * shape(quantity, l))),
    );
    start.push(logs.reduce((sum, v) => sum + v / n, 0));
  }
  const exact = !(lengthU > 0);
  const all = exact ? start : [...start, ...Array.from(lengths, () => 0)];
  const result = leastSquares((p) => {
    const out: number[] = [];
    const true_ = (i: number) => lengths[i]! + (exact ? 0 : p[free + i]! * lengthU);
    for (const quantity of quantities) {
      const { y, u } = columns.get(quantity)!;
      for (let i = 0; i < n; i++) out.push((y[i]! - at(p, quantity, true_(i))) / u[i]!);
    }
    if (!exact) for (let i = 0; i < n; i++) out.push(p[free + i]!);
    return Float64Array.from(out);
  }, all);
  const found = groupOfFit(result, true, "fit over the lengths");
  const size = result.parameters.length;
  const group: Part = {
    ...found.group,
    values: found.group.values.slice(0, free),
    covariance: Array.from(
      { length: free * free },
      (_, k) => found.group.covariance[Math.floor(k / free) * size + (k % free)]!,
    ),
  };
  const reference = target ?? { value: design?.strip.freeLength ?? mean, u: 0 };
  return {
    kind: "lengths",
    values: [
      propagatedTogether(
        "clamp_correction_m",
        "what the strip is longer than its free length",
        [group],
        (y) => y[0]! * mean,
      ),
      ...giveValues(fitsGive, group, mean, design),
      ...quantities.map((quantity) => {
        const parts: Part[] = [group, { source: "length to scale to", ...reference }];
        const f = (y: Float64Array) => at(y, quantity, y[free]!);
        const [key, name] = KEY[quantity];
        const text = formatQuantity(reference.value, reference.u, "length");
        return checkedLinear(propagatedTogether(key, `${name} at ${text}`, parts, f), parts, f);
      }),
    ],
    fits: quantities.map((quantity) =>
      reportOf(quantity, readings, result, at, { fitsGive, free }),
    ),
    warnings: [
      ...widenedWarning(found, "square law"),
      ...scalingWarnings(readings, reference, fitsGive, design, result.parameters[0]! * mean),
    ],
    tables: [],
    marks: [],
    covariance: null,
  };

  function reportOf(
    quantity: Quantity,
    { lengths: x, columns: given }: Readings,
    fit: typeof result,
    model: typeof at,
    { fitsGive: gives, free: count }: { fitsGive: boolean; free: number },
  ): Fit {
    const plan: FitPlan[] = [
      { key: "correction_ratio", name: "clamp correction over the mean length", start: 0 },
      ...(gives ? [{ key: "give_ratio", name: "EI/k_θ over the mean length", start: 0 }] : []),
      ...quantities.map((each, k) => ({
        key: `ln_${each}`,
        name: `logarithm of the ${KEY[each][1]} at the mean length`,
        start: start[head + k]!,
      })),
    ];
    const report = fitReport(
      `${KEY[quantity][1]} against free length, exponent ${POWER[quantity]}, with clamp correction`,
      [
        ...plan,
        ...Array.from({ length: fit.parameters.length - count }, (_, i) => ({
          key: `length_${i + 1}`,
          name: `error of length ${i + 1} over its u`,
          start: 0,
        })),
      ],
      fit,
      true,
      {
        x,
        y: given.get(quantity)!.y,
        model: x.map((l) => model(fit.parameters, quantity, l)),
        xName: "free length",
        xUnit: "m",
        yName: KEY[quantity][1],
        yUnit: UNIT[quantity],
      },
    );
    return report;
  }
}

function giveValues(fits: boolean, group: Part, mean: number, design: Design | null): Value[] {
  const name = "give of the clamp in rotation, EI over its stiffness";
  if (!fits)
    return [
      missing(
        "clamp_give_m",
        name,
        "a clamp that rotates and a strip that is longer lower the resonance alike: deflection and resonance together tell them apart",
      ),
    ];
  const out = [propagatedTogether("clamp_give_m", name, [group], (y) => y[1]! * mean)];
  const give = out[0]!;
  if (design !== null && give.value !== null && give.u !== null && give.value > 2 * give.u)
    out.push(
      propagatedTogether(
        "clamp_stiffness_N_m_rad",
        "rotational stiffness of the clamp",
        [group],
        (y) => buildStrip(design, 1).section.bendingStiffness / (y[1]! * mean),
      ),
    );
  return out;
}

/** What the design's model, clamped rigidly, departs from the bare square law, 1 at the mean length. */
function departures(design: Design, lengths: Float64Array, mean: number): Shape {
  const rigid: Design = {
    ...design,
    clamp: { ...design.clamp, rotationalStiffness: null, translationalStiffness: null },
  };
  let low = Number.POSITIVE_INFINITY;
  let high = 0;
  for (const l of lengths) {
    low = Math.min(low, l);
    high = Math.max(high, l);
  }
  const nodes = Float64Array.from(
    { length: 9 },
    (_, i) => 0.8 * low + ((1.25 * high - 0.8 * low) * i) / 8,
  );
  const of = (x: number): Record<Quantity, number> => {
    const strip = buildStrip(withFreeLength(rigid, x), 1);
    const f = (strip.basis.omega[0] as number) * strip.width.frequency;
    return {
      deflection: strip.padPerMoment / x ** 2,
      frequency: f * x ** 2,
      stiffness: strip.padStiffness * x ** 3,
      force: strip.padPerMoment * strip.padStiffness * x,
    };
  };
  const one = of(mean);
  const tables = new Map<Quantity, (x: number) => number>();
  const rows = Array.from(nodes, of);
  for (const quantity of Object.keys(POWER) as Quantity[])
    tables.set(
      quantity,
      monotoneCubic(
        nodes,
        rows.map((row) => row[quantity] / one[quantity]),
      ),
    );
  return (quantity, x) => tables.get(quantity)!(Math.min(nodes[8]!, Math.max(nodes[0]!, x)));
}

function scalingWarnings(
  { lengths, columns }: Readings,
  reference: Given,
  fitsGive: boolean,
  design: Design | null,
  correction: number,
): Warning[] {
  const warnings: Warning[] = [];
  const add = (key: string, text: string) => warnings.push({ key, text });
  let low = Number.POSITIVE_INFINITY;
  let high = 0;
  for (const l of lengths) {
    low = Math.min(low, l);
    high = Math.max(high, l);
  }
  if (high < 1.3 * low)
    add(
      "lengths-close",
      "The lengths differ by less than a third: clamp correction and coefficient are hardly told apart. Measure at half and at full length.",
    );
  if (reference.value > 1.3 * high || reference.value < low / 1.3)
    add(
      "scaled-far",
      `The length to scale to, ${formatQuantity(reference.value, 0, "length")}, is far from those measured: clamp and masses count differently there.`,
    );
  if (design === null)
    add(
      "bare-strip",
      "The laws are those of a bare strip: a pad, mirror or glue that stays the same while the strip is shortened breaks them for the resonance. Give the design, which counts them.",
    );
  if (!fitsGive && columns.has("frequency"))
    add(
      "clamp-not-told",
      "Resonance alone: the clamp correction holds what the clamp rotates, too. It scales resonances, not deflections.",
    );
  if (Math.abs(correction) > 0.15 * low)
    add(
      "correction-large",
      "The clamp correction is more than 15 % of the shortest length: look whether the jaws close at their edge.",
    );
  return warnings;
}
