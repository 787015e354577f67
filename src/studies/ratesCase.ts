import type { Design } from "../design/design.ts";
import { type PeriodicState, periodicState } from "../physics/pulse/periodic.ts";
import type { TrainPulse } from "../physics/pulse/periodicPulse.ts";
import { newTrain, type Train } from "../physics/pulse/periodicTrain.ts";
import { startState } from "../physics/pulse/start.ts";
import { atMost, tightestFirst } from "../sheet/marginRow.ts";
import type { MarginRow } from "../sheet/result.ts";
import { momentChange, type RatesPlan } from "./ratesPlan.ts";
import type { RateFigures, RateState } from "./ratesResult.ts";

/** Pulses at most: so many, and more where a ring-down spans several. */
const PULSES = 160;
const RING_DOWNS = 12;
const PULSES_MAX = 400;
/** Share of the allowed change below which pulses that do not repeat are told, but make no guard band. */
const NOTICED = 0.4;
/** Pulses after which such a train is left. */
const CALM_AFTER = 28;
/** Pulses that may still be open at the next edge. Common practice, no source. */
const OPEN_SHARE_MAX = 0.01;

/** The train at one rate, from rest until it is periodic. It depends on nothing but plan and rate. */
export function rateCase(design: Design, plan: RatesPlan, rate: number): RateFigures {
  const most = Math.min(PULSES_MAX, Math.ceil(PULSES + RING_DOWNS * plan.made.ringDown * rate));
  const spread = NOTICED * plan.change;
  const options = { most, peakOf: plan.single.peak, calm: { after: CALM_AFTER, spread } };
  const found = periodicState(trainAt(plan, rate), options);
  // Where a moved rail ends the run, the run without moves has the word.
  return figuresOf(
    design,
    plan,
    rate,
    found.failed === null ? found : periodicState(trainAt(plan, rate), { ...options, plain: true }),
  );
}

/** A train at a rate, at rest before its first opening edge. */
export function trainAt(plan: RatesPlan, rate: number): Train {
  const { made, single } = plan;
  const { model } = made;
  const state = startState(model, { output: made.closed });
  return newTrain(
    {
      model,
      commands: plan.commands,
      rate,
      step: plan.step,
      commanded: plan.commanded,
      moment: momentChange(made),
      delayAt: 0.5 * single.peak,
      rest: state.y,
      refill: plan.refill,
      gas: single.mass,
    },
    state,
  );
}

function figuresOf(
  design: Design,
  plan: RatesPlan,
  rate: number,
  found: PeriodicState<TrainPulse>,
): RateFigures {
  const { single, made } = plan;
  const { cycle } = found;
  const list = (pick: (f: TrainPulse) => number) => cycle.map(pick);
  const mean = (pick: (f: TrainPulse) => number) =>
    list(pick).reduce((a, b) => a + b, 0) / Math.max(1, cycle.length);
  const most = (pick: (f: TrainPulse) => number) => Math.max(0, ...list(pick));
  const least = (pick: (f: TrainPulse) => number) => Math.min(...list(pick));
  const gas = cycle.map((f) => f.gas / single.gas);
  const molar = design.gas?.molarMass ?? 0;
  const heat = mean((f) => f.heat) * rate;
  const staysOpen = cycle.length > 0 && cycle.every((f) => f.open);
  const delays = cycle.map((f) => f.delay);
  const { chamber, plenum } = made.model;
  const figures: RateFigures = {
    rate_Hz: rate,
    state: "as single",
    met: false,
    binding: null,
    smallest_margin: 0,
    period: found.period,
    pulses_run: found.pulses,
    gas_over_single: mean((f) => f.gas) / single.gas,
    gas_least_over_single: gas.length === 0 ? 0 : Math.min(...gas),
    gas_most_over_single: Math.max(0, ...gas),
    gas_each_over_single: found.period === null ? [] : gas,
    gas_mol: plenum === null || molar <= 0 ? null : mean((f) => f.mass) / molar,
    spread: found.spread,
    missed: found.missed,
    peak_lift_m: most((f) => f.peak),
    peak_lift_over_single: most((f) => f.peak) / single.peak,
    delay_change_s:
      single.delay === null || delays.length === 0 || delays.includes(null)
        ? null
        : farthest(delays as number[], single.delay) - single.delay,
    carry_over: gas.length === 0 ? 0 : Math.abs(farthest(gas, 1) - 1),
    motion_left: most((f) => f.left),
    stays_open: staysOpen,
    open_share: cycle.length === 0 ? 0 : cycle.filter((f) => f.open).length / cycle.length,
    rail_sag: most((f) => Math.max(0, ...f.railSag)),
    rail_lift: most((f) => Math.max(0, ...f.railLift)),
    chamber_mean_Pa: chamber === null ? null : mean((f) => f.chamberMean),
    chamber_peak_Pa: chamber === null ? null : most((f) => f.chamberPeak),
    plenum_least_Pa: plenum === null || cycle.length === 0 ? null : least((f) => f.plenumLeast),
    supply_current_A: Math.max(
      0,
      ...(made.model.circuit?.spec.rails ?? []).map((_, r) =>
        mean((f) => Math.abs(f.supplyCurrent[r] ?? 0)),
      ),
    ),
    supply_power_W: mean((f) => f.supplied) * rate,
    strip_heat_W: heat,
    strip_temperature_K: plan.ambient + heat * plan.perWatt,
    impact_speed_m_s: most((f) => f.impact),
    residual: found.residual,
    slow: found.slow.map((s) => ({
      name: s.name,
      residual: s.residual,
      time_constant_s:
        s.pole === null || !(s.pole > 1e-3 && s.pole < 1) ? null : -1 / (rate * Math.log(s.pole)),
      moves: s.moves,
    })),
    reason: null,
  };
  figures.state = stateOf(found, figures, plan);
  figures.reason = reasonOf(found, figures);
  const rows = rateMargins(design, plan, figures);
  const [tightest] = rows;
  figures.smallest_margin = Math.max(-1e9, tightest?.margin ?? -1);
  figures.binding = tightest?.id ?? null;
  figures.met = rows.every((row) => row.met);
  return figures;
}

const farthest = (values: readonly number[], from: number): number =>
  values.reduce((a, b) => (Math.abs(b - from) > Math.abs(a - from) ? b : a));

function stateOf(
  found: PeriodicState<TrainPulse>,
  figures: RateFigures,
  plan: RatesPlan,
): RateState {
  if (found.failed !== null || found.cycle.length === 0) return "failed";
  if (found.missed > 0) return "misses";
  const noticed = figures.spread > NOTICED * plan.change;
  if (found.period === null && noticed) return "no repeat";
  if (figures.stays_open) return "stays open";
  if (found.period !== 1 && noticed) return "alternates";
  return figures.carry_over > plan.change ? "differs" : "as single";
}

const percent = (x: number) => `${Number((100 * x).toPrecision(3))} %`;

function reasonOf(found: PeriodicState<TrainPulse>, figures: RateFigures): string | null {
  if (found.failed !== null) return found.failed;
  const parts: string[] = [];
  if (found.period === null)
    parts.push(
      `no repeat of period ≤ 8 in ${found.pulses} pulses; gas per pulse spreads over ${percent(found.spread)}`,
    );
  else if (found.period > 1)
    parts.push(
      `repeats after ${found.period} pulses; gas ${figures.gas_each_over_single.map((x) => x.toFixed(3)).join(", ")} of a single pulse`,
    );
  if (found.missed > 0)
    parts.push(`${found.missed} of ${found.cycle.length} pulses do not open above 1 %`);
  if (figures.stays_open) parts.push("the valve does not close between pulses");
  return parts.length === 0 ? null : parts.join("; ");
}

/** What a rate is held to, tightest first. */
export function rateMargins(design: Design, plan: RatesPlan, figures: RateFigures): MarginRow[] {
  const { need, limits } = design;
  const what = plan.made.model.plenum === null ? "travel" : "gas";
  const none = figures.state === "failed";
  const value = (x: number | null) => (none ? null : x);
  const rows: MarginRow[] = [
    atMost(
      {
        id: "rate change",
        requirement: `${what} per pulse, change from a single pulse`,
        unit: "1",
        ...(figures.state === "no repeat" || figures.state === "alternates"
          ? { note: figures.reason ?? "" }
          : {}),
      },
      value(figures.missed > 0 ? Math.max(1, figures.carry_over) : figures.carry_over),
      plan.change,
    ),
    atMost(
      {
        id: "rate repeat",
        requirement: "largest less smallest pulse over their mean",
        unit: "1",
        ...(figures.period === null && figures.reason !== null ? { note: figures.reason } : {}),
      },
      value(figures.spread),
      plan.change,
    ),
    atMost(
      { id: "rate rail", requirement: "rail away from its set voltage in the train", unit: "1" },
      value(Math.max(figures.rail_sag, figures.rail_lift)),
      limits.railDroopMax,
    ),
  ];
  if (Number.isFinite(plan.riseMax) && plan.riseMax > 0)
    rows.push(
      atMost(
        {
          id: "rate temperature",
          requirement: `warming of the strip in the train (${plan.riseLimitedBy} sets the limit)`,
          unit: "K",
        },
        value(figures.strip_temperature_K - plan.ambient),
        plan.riseMax,
      ),
    );
  if (need.chamberPressureMax !== null && figures.chamber_mean_Pa !== null)
    rows.push(
      atMost(
        { id: "rate chamber", requirement: "chamber pressure, mean of the train", unit: "Pa" },
        value(figures.chamber_mean_Pa),
        need.chamberPressureMax,
      ),
    );
  if (figures.open_share > 0)
    rows.push(
      atMost(
        { id: "rate closes", requirement: "pulses that the next one finds open", unit: "1" },
        figures.open_share,
        OPEN_SHARE_MAX,
      ),
    );
  return tightestFirst(rows);
}
