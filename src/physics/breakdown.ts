import type { Kelvin, Metre, Pascal, Ratio, Volt } from "../units/aliases.ts";
import { type BreakdownRecord, breakdownRecord, type TownsendSet } from "./tables/breakdown.ts";

/** Temperature at which pd is counted: the law depends on density, not on pressure. */
export const BREAKDOWN_TEMPERATURE: Kelvin = 293.15;

/**
 * Paschen's law with Townsend's coefficients and secondary emission γ:
 *   V(pd) = B pd / (ln(A pd) − ln Γ),  Γ = ln(1 + 1/γ)
 * pd in Pa·m. Infinite at and left of pd = Γ/A. Minimum e B Γ/A at pd = e Γ/A.
 */
export function paschenVoltage(set: Pick<TownsendSet, "a" | "b">, gamma: Ratio, pd: number): Volt {
  const denominator = Math.log((set.a * pd) / Math.log1p(1 / gamma));
  return denominator > 0 ? (set.b * pd) / denominator : Number.POSITIVE_INFINITY;
}

/** Minimum of Paschen's curve: voltage and pd (Pa·m). */
export function paschenMinimum(
  set: Pick<TownsendSet, "a" | "b">,
  gamma: Ratio,
): { voltage: Volt; pd: number } {
  const pd = (Math.E * Math.log1p(1 / gamma)) / set.a;
  return { voltage: set.b * pd, pd };
}

/**
 * The two pd at which Paschen's curve has this voltage, or null when it lies below the minimum.
 *
 * With s = ln(A pd/Γ) and y = e·V/V_min the law reads e^s/s = y, that is s − ln s = ln y. The left
 * root lies in [1/y, 1], the right one in [1, 2 ln y]; both brackets hold for every y ≥ e.
 */
export function paschenCrossings(
  set: Pick<TownsendSet, "a" | "b">,
  gamma: Ratio,
  voltage: Volt,
): { left: number; right: number } | null {
  const minimum = paschenMinimum(set, gamma);
  const lnY = 1 + Math.log(voltage / minimum.voltage);
  if (!(lnY >= 1)) return null;
  const scale = minimum.pd / Math.E;
  return {
    left: scale * Math.exp(crossing(Math.exp(-lnY), lnY)),
    right: scale * Math.exp(crossing(2 * lnY, lnY)),
  };
}

/**
 * Root of s − ln s = ln y on the side of s = 1 where `from` lies, beyond the root: Newton's method, which
 * comes nearer from there without overshoot, the left side being convex.
 */
function crossing(from: number, lnY: number): number {
  let s = from;
  for (let i = 0; i < 60; i++) {
    const slope = 1 - 1 / s;
    if (slope === 0) break;
    const step = (s - Math.log(s) - lnY) / slope;
    s -= step;
    if (Math.abs(step) <= 1e-15 * s) break;
  }
  return s;
}

export interface LockoutInput {
  /** Largest voltage between two conductors in any state. */
  voltage: Volt;
  /** Names or symbols of the components; one for a pure gas. */
  gases: readonly string[];
  gapMin: Metre;
  gapMax: Metre;
  /** Default 0.8. */
  factor: Ratio;
  secondaryEmissionMin: Ratio;
  secondaryEmissionMax: Ratio;
  /** Gas temperature; pressures scale with it. */
  temperature?: Kelvin;
}

export interface Lockout {
  status: "band" | "below the minimum" | "no data";
  /** Absolute pressure between which the voltage must be off; null without a band. */
  band: { from: Pascal; to: Pascal } | null;
  /** Component that sets the lowest limit, null without data. */
  gas: string | null;
  /** Lowest measured minimum among the components with data. */
  minimumMeasured: Volt | null;
  measuredSource: string | null;
  /** Lowest and highest computed minimum over coefficient sets and secondary emission of that component. */
  minimumComputed: { low: Volt; high: Volt } | null;
  /** Lowest voltage that is ever locked out, factor × the lower of both minima. */
  lowestLimit: Volt | null;
  /** Components without a curve. */
  missing: string[];
  notes: string[];
}

/**
 * Pressures between which a voltage must stay off, over all gaps between `gapMin` and `gapMax`.
 *
 * Construction of the limit curve. V_c = lowest computed minimum over the coefficient sets and both
 * ends of the secondary-emission range (the higher emission always gives the lower curve);
 * V_m = measured minimum. V_lock(pd) = factor · s · V_Paschen(pd), s = min(1, V_m/V_c): where the measured
 * minimum lies lower, the whole curve is scaled down until its minimum is the measured one. Scaling
 * keeps the pd of the minimum and lowers the flanks more than a constant shift would, so the band is
 * the wider of the two. The band is p1 = (pd)_left/gapMax to p2 = (pd)_right/gapMin, the widest over
 * the sets; in a mixture the widest over the components, each taken as if it were alone.
 */
export function lockout(input: LockoutInput): Lockout {
  const density = (input.temperature ?? BREAKDOWN_TEMPERATURE) / BREAKDOWN_TEMPERATURE;
  const notes = gapNotes(input);
  const missing: string[] = [];
  let least: { record: BreakdownRecord; limit: Volt; low: Volt; high: Volt } | null = null;
  let measured: { value: Volt; source: string } | null = null;
  let left = Number.POSITIVE_INFINITY;
  let right = 0;
  for (const name of input.gases) {
    const record = breakdownRecord(name);
    const own = record.measuredMinimum;
    if (own !== null && (measured === null || own.value < measured.value)) measured = own;
    if (record.sets.length === 0) {
      missing.push(record.symbol);
      notes.push(`${record.reason}: its own band is not known`);
      continue;
    }
    let low = Number.POSITIVE_INFINITY;
    let high = 0;
    for (const set of record.sets) {
      low = Math.min(low, paschenMinimum(set, input.secondaryEmissionMax).voltage);
      high = Math.max(high, paschenMinimum(set, input.secondaryEmissionMin).voltage);
    }
    const scale = own === null ? 1 : Math.min(1, own.value / low);
    const limit = input.factor * scale * low;
    if (least === null || limit < least.limit) least = { record, limit, low, high };
    const curveVoltage = Math.abs(input.voltage) / (input.factor * scale);
    for (const set of record.sets) {
      const crossing = paschenCrossings(set, input.secondaryEmissionMax, curveVoltage);
      if (crossing === null) continue;
      left = Math.min(left, crossing.left);
      right = Math.max(right, crossing.right);
    }
  }
  if (input.gases.length > 1)
    notes.push(
      "a little argon, krypton, xenon or hydrogen in neon or helium breaks down below either gas alone (Penning ionisation, from memory): take the band as a lower estimate there",
    );
  const band =
    right > 0
      ? { from: (left * density) / input.gapMax, to: (right * density) / input.gapMin }
      : null;
  return {
    status:
      band !== null
        ? "band"
        : missing.length > 0 || least === null
          ? "no data"
          : "below the minimum",
    band,
    gas: least === null ? null : least.record.symbol,
    minimumMeasured: measured === null ? null : measured.value,
    measuredSource: measured === null ? null : measured.source,
    minimumComputed: least === null ? null : { low: least.low, high: least.high },
    lowestLimit: least === null ? null : least.limit,
    missing,
    notes,
  };
}

function gapNotes(input: LockoutInput): string[] {
  if (!(input.gapMin > 0) || !(input.gapMax >= input.gapMin))
    throw new RangeError(
      `conductor gaps must satisfy 0 < min ≤ max: got ${input.gapMin} m and ${input.gapMax} m`,
    );
  if (input.gapMin < 10e-6)
    return [
      "law not valid for gaps below 10 µm (field emission): the upper pressure is not to be relied on",
    ];
  if (input.gapMin < 100e-6)
    return ["law doubtful for gaps below 0.1 mm: breakdown may come below the computed voltage"];
  return [];
}
