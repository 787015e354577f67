import type { Ampere, Hertz, Joule, Kilogram, Metre, Pascal, Second } from "../../units/aliases.ts";
import { auditPoint } from "./audit.ts";
import { outputCurrent } from "./electric.ts";
import { advance, newRun, type PulseState, type Run } from "./kernel.ts";
import type { DriveCommand, PulseModel } from "./model.ts";
import type { PeriodicSystem, PulseMeasure } from "./periodic.ts";
import { slowStates } from "./periodicSlow.ts";

/*
 * A train of the coupled pulse, from one opening edge to the next. Once the strip is at rest again (its motion
 * against that of a part of a period ago below QUIET of the static one, twice), the rest of the period is
 * done in steps that grow fourfold: oscillators and networks are exact at any step, and the pad does not move.
 */

/** Figures of one pulse of a train, from its opening edge to the next one. */
export interface TrainPulse extends PulseMeasure {
  /** Gas let through, kg. */
  mass: Kilogram;
  /** Largest lift (travel where there is no seat), m. */
  peak: Metre;
  /** From the edge to half of the reference peak; null: it is above that at the edge, or never is. */
  delay: Second | null;
  /** Still open at the end. */
  open: boolean;
  chamberPeak: Pascal;
  chamberMean: Pascal;
  plenumLeast: Pascal;
  /** Rails, towards zero and away from it, as shares of the set voltage. */
  railSag: number[];
  railLift: number[];
  /** Mean current of each supply, away from zero positive. */
  supplyCurrent: Ampere[];
  /** Energy from the supplies, and what becomes heat in the strip. */
  supplied: Joule;
  heat: Joule;
  /** Speed of the hardest touch, m/s. */
  impact: number;
  /** Root of the largest energy of motion in the last half period of the first resonance over that of the static change. */
  left: number;
  /** Steps done. */
  steps: number;
}

export interface TrainSetting {
  model: PulseModel;
  commands: readonly DriveCommand[];
  rate: Hertz;
  /** Largest step while something moves, s. */
  step: Second;
  /** When the last command is done. */
  commanded: Second;
  /** Change of the piezo moment between the two states, N·m. */
  moment: number;
  /** Lift at which the delay is taken; 0: none. */
  delayAt: Metre;
  /** Position from which travel counts where there is no seat. */
  rest: Metre;
  /** The plenum is full again at each opening edge, because nothing is known of its line. */
  refill: boolean;
  /** Gas of one pulse, kg, for the scale of the chamber. */
  gas: Kilogram;
  /** Gets the state at every step with the time since the edge. */
  record?: (state: PulseState, time: Second) => void;
}

export interface Train extends PeriodicSystem<TrainPulse> {
  /** The state at the present edge; it is run on. */
  present: PulseState;
}

/** Motion below this share of the static one counts as none. */
const QUIET = 1e-5;
/** Part of a period of the first resonance between two looks. */
const LOOK = 0.35;
/** Steps of one length once it is quiet, and the growth of the length. */
const SAME = 16;
const GROWS = 4;

/** Root of the static energy of the strip bent by `moment`, √J: the scale of its coordinates. */
export function staticScale({ strip }: PulseModel, moment: number): number {
  let sum = 0;
  for (let i = 0; i < strip.count; i++)
    sum += ((strip.jump[i] as number) * moment) ** 2 / (strip.omega[i] as number) ** 2;
  return Math.sqrt(sum);
}

/** A train that starts in `state`, which it takes over. */
export function newTrain(setting: TrainSetting, state: PulseState): Train {
  const { model } = setting;
  const { strip } = model;
  const period = 1 / setting.rate;
  const bent = staticScale(model, setting.moment) || 1;
  const volts = Math.max(1, ...(model.circuit?.spec.rails ?? []).map((r) => Math.abs(r.voltage)));
  const look = Math.max(
    8 * setting.step,
    (LOOK * 2 * Math.PI) / (strip.omega[0] ?? Number.POSITIVE_INFINITY),
  );
  const plan = planOf(setting, period, look);
  const runs = new Map<number, Run>();
  const runAt = (h: Second) => {
    let run = runs.get(h);
    if (run === undefined) {
      run = newRun(model, h);
      runs.set(h, run);
    }
    return run;
  };
  const before = new Float64Array(strip.count);
  const slow = slowStates(setting, state, period);
  const rails = railWatch(model, state);
  const motion = (from: Float64Array) => {
    let sum = 0;
    for (let i = 0; i < strip.count; i++) {
      const moved = (strip.omega[i] as number) * ((state.q[i] as number) - (from[i] as number));
      sum += (state.p[i] as number) ** 2 + moved * moved;
    }
    return Math.sqrt(sum) / bent;
  };
  return {
    present: state,
    slow,
    failed: () => state.failed,
    state() {
      const v = state.electric?.v ?? new Float64Array(0);
      const out = new Float64Array(2 * strip.count + v.length);
      for (let i = 0; i < strip.count; i++) {
        out[i] = ((strip.omega[i] as number) * (state.q[i] as number)) / bent;
        out[strip.count + i] = (state.p[i] as number) / bent;
      }
      for (let i = 0; i < v.length; i++) out[2 * strip.count + i] = (v[i] as number) / volts;
      return out;
    },
    next() {
      if (setting.refill && model.plenum !== null) state.plenum = model.plenum.pressure;
      state.impactSpeed = 0;
      const watch = newWatch(setting, state, bent);
      let time = 0;
      let quiet = 0;
      let steps = 0;
      const go = (h: Second, count: number, commands: readonly DriveCommand[]) => {
        try {
          advance(runAt(h), state, commands, count, (s, i) => {
            watch.look(s, time + i * h, h);
            setting.record?.(s, time + i * h);
          });
        } catch (error) {
          if (!(error instanceof RangeError)) throw error;
          state.failed ??= error.message;
        }
        time += count * h;
        steps += count;
      };
      go(plan.step, plan.first, setting.commands);
      for (let part = 0; part < plan.parts && state.failed === null; part++) {
        before.set(state.q);
        go(plan.step, plan.perPart, []);
        quiet = motion(before) < QUIET ? quiet + 1 : 0;
        if (quiet >= 2) break;
      }
      if (quiet < 2) {
        const count = Math.round((period - time) / plan.step);
        if (count > 0 && state.failed === null) go(plan.step, count, []);
      } else
        for (let h = GROWS * plan.step; state.failed === null; h *= GROWS) {
          const rest = period - time;
          if (rest <= 0.5 * plan.step) break;
          h = Math.max(plan.step, Math.min(h, rails.longest()));
          const count = Math.min(SAME, Math.ceil(rest / h - 1e-6));
          rails.keep(Math.min(count * h, rest));
          go(Math.min(h, rest / count), count, []);
        }
      return watch.done(state, period, steps);
    },
  };
}

/**
 * A supply turns from limiting or blocking to holding at the end of a step: steps stay well shorter than what
 * its rail needs to come to the set voltage at the pace of the last few.
 */
function railWatch({ circuit }: PulseModel, state: PulseState) {
  const rails = circuit?.spec.rails ?? [];
  const voltage = (r: number) => state.electric?.v[circuit?.railNode[r] ?? -1] ?? 0;
  const before = rails.map(() => 0);
  let span = 0;
  return {
    /** Called before a batch of steps that takes `time`. */
    keep(time: Second): void {
      span = time;
      rails.forEach((_, r) => {
        before[r] = voltage(r);
      });
    },
    longest(): Second {
      let most = Number.POSITIVE_INFINITY;
      rails.forEach((rail, r) => {
        if (state.electric?.supplies[r] === "linear") return;
        const pace = span > 0 ? (voltage(r) - (before[r] as number)) / span : 0;
        const left = (rail.voltage - voltage(r)) / pace;
        if (left > 0) most = Math.min(most, left / (2 * SAME));
        else if (span === 0) most = 0;
      });
      return most;
    },
  };
}

interface Plan {
  step: Second;
  /** Steps until everything commanded is done, then parts of a look's length. */
  first: number;
  perPart: number;
  parts: number;
}

/** A period as whole steps where it is short; else steps of the wanted length as long as something moves. */
function planOf(setting: TrainSetting, period: Second, look: Second): Plan {
  const fine = Math.max(1, Math.ceil(period / setting.step - 1e-9));
  const step = period / fine;
  const first = Math.min(fine, Math.ceil(setting.commanded / step + 1e-9) + 1);
  const perPart = Math.max(1, Math.round(look / step));
  return { step, first, perPart, parts: Math.floor((fine - first) / perPart) };
}

/** Looks at every step and sums up what a pulse is told by. */
function newWatch(setting: TrainSetting, state: PulseState, bent: number) {
  const { model } = setting;
  const { count, omega } = model.strip;
  /** From here on what is left of the motion is looked for: half a period holds its fastest. */
  const late = 1 / setting.rate - Math.PI / (omega[0] ?? 1);
  const rails = model.circuit?.spec.rails ?? [];
  const nodes = rails.map((_, r) => model.circuit?.railNode[r] ?? -1);
  const sw = model.circuit?.spec.switch ?? null;
  const mass = state.mass;
  const chamberFrom = state.chamber;
  const from = auditPoint(model, state);
  const low = rails.map(() => Number.POSITIVE_INFINITY);
  const high = rails.map(() => Number.NEGATIVE_INFINITY);
  const drawn = rails.map(() => 0);
  let peak = 0;
  let delay: Second | null = null;
  let chamberPeak = state.chamber;
  let plenumLeast = state.plenum;
  let liftBefore = liftOf(state);
  let current = 0;
  let moving = 0;
  function liftOf(s: PulseState): Metre {
    return model.seat === null ? (s.y - setting.rest) * setting.model.strip.side : s.y - s.surface;
  }
  return {
    look(s: PulseState, time: Second, h: Second): void {
      const lift = liftOf(s);
      const size = model.seat === null ? Math.abs(lift) : lift;
      if (size > peak) peak = size;
      if (
        delay === null &&
        setting.delayAt > 0 &&
        liftBefore < setting.delayAt &&
        lift >= setting.delayAt
      )
        delay = time - h * ((lift - setting.delayAt) / (lift - liftBefore));
      liftBefore = lift;
      if (s.chamber > chamberPeak) chamberPeak = s.chamber;
      if (s.plenum < plenumLeast) plenumLeast = s.plenum;
      if (time >= late) {
        let sum = 0;
        for (let i = 0; i < count; i++) sum += (s.p[i] as number) ** 2;
        if (sum > moving) moving = sum;
      }
      const { electric } = s;
      if (electric === null || sw === null) return;
      for (let r = 0; r < nodes.length; r++) {
        const share = (electric.v[nodes[r] as number] as number) / (rails[r]?.voltage || 1);
        if (share < (low[r] as number)) low[r] = share;
        if (share > (high[r] as number)) high[r] = share;
      }
      const now = outputCurrent(electric);
      const towards = electric.output === "high" || electric.output === "diode high";
      const rail = electric.output === "low" || electric.output === "diode low" ? sw.low : sw.high;
      if ((towards || electric.output === "low" || electric.output === "diode low") && rail >= 0)
        drawn[rail] = (drawn[rail] as number) + 0.5 * h * (now + current);
      current = now;
    },
    done(s: PulseState, period: Second, steps: number): TrainPulse {
      const to = auditPoint(model, s);
      const between = (list: "in" | "lost", what: string) =>
        (to[list].get(what) ?? 0) - (from[list].get(what) ?? 0);
      const supplied = between("in", "supplies");
      const gas = s.mass - mass;
      return {
        gas: model.plenum === null ? peak : gas,
        mass: gas,
        peak,
        delay,
        open: model.seat !== null && liftOf(s) > 0,
        chamberPeak,
        chamberMean: meanOf(model, chamberFrom, s.chamber, gas, period),
        plenumLeast,
        railSag: low.map((x) => Math.max(0, 1 - x)),
        railLift: high.map((x) => Math.max(0, x - 1)),
        supplyCurrent: currentsOf(model, supplied, drawn, period),
        supplied,
        heat: between("lost", "ceramic hysteresis") + between("lost", "strip damping"),
        impact: s.impactSpeed,
        left: Math.sqrt(moving) / bent,
        steps,
      };
    },
  };
}

/**
 * Mean chamber pressure, exact from the balance V dp/dt = ṁ R_s T − S (p − p_b):
 *   p̄ = p_b + (m R_s T − V Δp)/(S T_period)
 */
function meanOf(
  { chamber }: PulseModel,
  from: Pascal,
  to: Pascal,
  mass: Kilogram,
  period: Second,
): Pascal {
  if (chamber === null) return 0;
  const { basePressure, pumpingSpeed, volume, specific } = chamber;
  if (!(pumpingSpeed > 0)) return 0.5 * (from + to);
  return basePressure + (mass * specific - volume * (to - from)) / (pumpingSpeed * period);
}

/** With one supply that has a voltage: its energy over that voltage, exact. Else what the switch draws. */
function currentsOf(
  { circuit }: PulseModel,
  supplied: Joule,
  drawn: readonly number[],
  period: Second,
): Ampere[] {
  const rails = circuit?.spec.rails ?? [];
  const live = rails.filter((rail) => rail.voltage !== 0).length;
  return rails.map((rail, r) => {
    if (rail.voltage === 0) return 0;
    if (live === 1) return supplied / (Math.abs(rail.voltage) * period);
    const size = Math.abs(rail.voltage);
    const steady =
      size *
      (1 / (rail.bleeder ?? Number.POSITIVE_INFINITY) +
        1 / (rail.leakageResistance ?? Number.POSITIVE_INFINITY));
    return (Math.sign(rail.voltage) * (drawn[r] as number)) / period + steady;
  });
}
