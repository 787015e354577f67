import type { Design } from "../design/design.ts";
import { rateMargins } from "./ratesCase.ts";
import { lineAt } from "./ratesHarmonics.ts";
import type { RatesPlan } from "./ratesPlan.ts";
import type { GuardBand, RateFigures, Recommended } from "./ratesResult.ts";

/** A harmonic is named where its line lies within this share of the resonance. */
const NEAR = 0.12;
/** Sag and chamber share of the plenum above which they are named as a cause. */
const SAGS = 0.02;

const guarded = (r: RateFigures) => r.state !== "as single";

/** Intervals of neighbouring rates whose pulse is not that of a single one. */
export function guardBands(plan: RatesPlan, rates: readonly RateFigures[]): GuardBand[] {
  const out: GuardBand[] = [];
  for (let i = 0; i < rates.length; i++) {
    if (!guarded(rates[i] as RateFigures)) continue;
    let j = i;
    while (j + 1 < rates.length && guarded(rates[j + 1] as RateFigures)) j++;
    const inside = rates.slice(i, j + 1);
    const before = rates[i - 1];
    const after = rates[j + 1];
    out.push(
      bandOf(plan, inside, {
        from: before === undefined ? inside[0]!.rate_Hz : crossing(plan, before, inside[0]!),
        to: after === undefined ? inside.at(-1)!.rate_Hz : crossing(plan, after, inside.at(-1)!),
      }),
    );
    i = j;
  }
  return out;
}

/** Where the change passes the allowed one, straight between a rate that keeps it and one that does not. */
function crossing(plan: RatesPlan, kept: RateFigures, missed: RateFigures): number {
  const [a, b] = [kept.carry_over, missed.carry_over];
  const share = b > plan.change && a <= plan.change ? (plan.change - a) / (b - a) : 0.5;
  return kept.rate_Hz + share * (missed.rate_Hz - kept.rate_Hz);
}

const farthest = (r: RateFigures) =>
  Math.abs(r.gas_most_over_single - 1) >= Math.abs(r.gas_least_over_single - 1)
    ? r.gas_most_over_single
    : r.gas_least_over_single;

function bandOf(
  plan: RatesPlan,
  inside: readonly RateFigures[],
  { from, to }: { from: number; to: number },
): GuardBand {
  const worst = inside.reduce((a, b) => (b.carry_over > a.carry_over ? b : a));
  const near = harmonicIn(plan, worst, from, to);
  const missed = inside.some((r) => r.missed > 0);
  const periods = [...new Set(inside.map((r) => r.period))];
  return {
    from_Hz: from,
    to_Hz: to,
    worst_Hz: worst.rate_Hz,
    gas_over_single: farthest(worst),
    period: periods.length === 1 ? (periods[0] as number | null) : worst.period,
    missed,
    harmonic: near,
    cause: causeOf(plan, worst, near),
  };
}

/** The line nearest to the resonance at the worst rate; else the strongest sub-harmonic that the band holds. */
function harmonicIn(
  plan: RatesPlan,
  worst: RateFigures,
  from: number,
  to: number,
): GuardBand["harmonic"] {
  const f1 = plan.made.firstResonance;
  const line = lineAt(plan, worst.rate_Hz, f1);
  if (Math.abs(line.detuning) <= NEAR) return line;
  const order = Math.max(1, Math.ceil(f1 / (to * (1 + NEAR))));
  const rate = f1 / order;
  if (rate < from * (1 - NEAR) || rate > to * (1 + NEAR)) return null;
  return lineAt(plan, Math.min(to, Math.max(from, rate)), f1);
}

function causeOf(plan: RatesPlan, worst: RateFigures, near: GuardBand["harmonic"]): string {
  const parts: string[] = [];
  if (worst.state === "failed") return worst.reason ?? "not computed";
  if (worst.rail_sag > SAGS + sagAlone(plan))
    parts.push(`the rail sags by ${percent(worst.rail_sag)}`);
  if (worst.stays_open) parts.push("the valve does not close between pulses");
  if (near !== null)
    parts.push(
      Math.abs(near.line_Hz - near.order * worst.rate_Hz) <= 1e-6 * near.line_Hz
        ? `${ordinal(near.order)} harmonic (${Math.round(near.line_Hz)} Hz) ${percent(Math.abs(near.detuning))} ${near.detuning < 0 ? "below" : "above"} the first resonance`
        : `the band holds the rate whose ${ordinal(near.order)} harmonic is the first resonance, ${hertz(near.line_Hz / near.order)}`,
    );
  const rest = 1 / worst.rate_Hz - plan.commanded;
  if (worst.motion_left > 0.02)
    parts.push(
      `the strip still moves at the edge (${percent(worst.motion_left)} of its static travel), ${millis(rest)} after the gate`,
    );
  if (parts.length === 0) parts.push("the strip does not come to the same rest between pulses");
  return parts.join("; ");
}

const sagAlone = (plan: RatesPlan) => Math.max(0, ...plan.single.railSag);
const percent = (x: number) => `${Number((100 * x).toPrecision(2))} %`;
const millis = (t: number) =>
  t >= 1e-3 ? `${Number((t * 1e3).toPrecision(3))} ms` : `${Number((t * 1e6).toPrecision(3))} µs`;

export function ordinal(n: number): string {
  const tens = n % 100;
  const end = tens >= 11 && tens <= 13 ? "th" : (["th", "st", "nd", "rd"][n % 10] ?? "th");
  return `${n}${end}`;
}

/** Intervals in which every limit is kept, and how far up the first one goes. */
export function recommendation(
  design: Design,
  plan: RatesPlan,
  rates: readonly RateFigures[],
): Recommended {
  const intervals: Recommended["intervals"] = [];
  for (let i = 0; i < rates.length; i++) {
    const first = rates[i] as RateFigures;
    if (!first.met) continue;
    let j = i;
    while (j + 1 < rates.length && (rates[j + 1] as RateFigures).met) j++;
    const last = rates[j] as RateFigures;
    const next = rates[j + 1];
    intervals.push({
      from_Hz: first.rate_Hz,
      to_Hz: last.rate_Hz,
      bound: next === undefined ? null : requirementOf(design, plan, next),
    });
    i = j;
  }
  const lowest = rates[0];
  const first = intervals[0];
  const starts = first !== undefined && first.from_Hz === lowest?.rate_Hz;
  const highest = starts ? first.to_Hz : null;
  const binding = starts
    ? first.bound
    : lowest === undefined
      ? null
      : requirementOf(design, plan, lowest);
  return { intervals, highest_Hz: highest, binding, text: textOf(highest, binding, intervals) };
}

const requirementOf = (design: Design, plan: RatesPlan, figures: RateFigures): string | null =>
  rateMargins(design, plan, figures)[0]?.requirement ?? null;

const hertz = (f: number) =>
  f >= 1000 ? `${Number((f / 1000).toPrecision(4))} kHz` : `${Number(f.toPrecision(4))} Hz`;

/** Further intervals named in the sentence. */
const FEW = 3;

function textOf(
  highest: number | null,
  binding: string | null,
  intervals: Recommended["intervals"],
): string {
  const beyond = intervals
    .filter((w) => w.to_Hz !== highest)
    .map((w) =>
      w.from_Hz === w.to_Hz ? hertz(w.from_Hz) : `${hertz(w.from_Hz)} to ${hertz(w.to_Hz)}`,
    );
  if (highest === null) {
    const some =
      beyond.length === 0 ? "no rate scanned keeps every limit" : `only from ${beyond.join(", ")}`;
    return binding === null ? some : `${some}: at the lowest rate ${binding} binds`;
  }
  const rest = beyond.length > FEW ? ` and ${beyond.length - FEW} more` : "";
  const more = beyond.length === 0 ? "" : `; again ${beyond.slice(0, FEW).join(", ")}${rest}`;
  return binding === null
    ? `every rate scanned, up to ${hertz(highest)}, keeps every limit`
    : `up to ${hertz(highest)}; beyond, ${binding} binds${more}`;
}
