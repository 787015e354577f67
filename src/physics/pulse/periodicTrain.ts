import type { Second } from "../../units/aliases.ts";
import { advanceRecorded } from "./fast.ts";
import { advance, newRun } from "./kernel.ts";
import type { DriveCommand, PulseModel } from "./model.ts";
import type { PeriodicSystem } from "./periodic.ts";
import { newWatch, type TrainPulse, type TrainSetting } from "./periodicPulse.ts";
import { slowStates } from "./periodicSlow.ts";
import { newSeries, type Series } from "./series.ts";
import type { PulseState, Run } from "./state.ts";

/*
 * A train of the coupled pulse, from one opening edge to the next. Once the strip is at rest again (its motion
 * against that of a part of a period ago below QUIET of the static one, twice), the rest of the period is
 * done in steps that grow fourfold: oscillators and networks are exact at any step, and the pad does not move.
 */

export interface Train extends PeriodicSystem<TrainPulse> {
  /** The state at the present edge; it is run on. */
  present: PulseState;
}

/** Motion below this share of the static one counts as none; a free strip rings on exactly in long steps too. */
const QUIET = 1e-5;
const QUIET_FREE = 1e-3;
/** Part of a period of the first resonance between two looks. */
const LOOK = 1.35;
/** Fewer steps than this are not worth a stretch. */
const FEW = 8;
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
      run = newRun(model, h, runs.values().next().value);
      runs.set(h, run);
    }
    return run;
  };
  const before = new Float64Array(strip.count);
  let room: { series: Series; kinetic: Float64Array } | null = null;
  const roomFor = (count: number) => {
    if (room === null || room.series.count <= count)
      room = {
        series: newSeries(model, setting.step, count),
        kinetic: new Float64Array(count + 1),
      };
    return room;
  };
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
      if (setting.refill && model.plenum !== null) {
        state.plenum = model.plenum.pressure;
        state.plenumMass = 1;
      }
      state.impactSpeed = 0;
      const watch = newWatch(setting, state, bent);
      let time = 0;
      let quiet = 0;
      let steps = 0;
      /** Steps in one stretch. */
      const glide = (h: Second, count: number, commands: readonly DriveCommand[]) => {
        const room = roomFor(count);
        try {
          const recording = { series: room.series, rest: setting.rest, kinetic: room.kinetic };
          advanceRecorded(runAt(h), state, commands, count, recording);
        } catch (error) {
          if (!(error instanceof RangeError)) throw error;
          state.failed ??= error.message;
        }
        watch.lookBack(room.series, room.kinetic, commands, count, time, h);
        time += count * h;
        steps += count;
      };
      const go = (h: Second, count: number, commands: readonly DriveCommand[]) => {
        if (setting.record === undefined && count > FEW) {
          glide(h, count, commands);
          return;
        }
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
        quiet = motion(before) < (model.seat === null ? QUIET_FREE : QUIET) ? quiet + 1 : 0;
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
