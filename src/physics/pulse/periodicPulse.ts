import type {
  Ampere,
  Hertz,
  Joule,
  Kilogram,
  Metre,
  Pascal,
  Second,
  Volt,
} from "../../units/aliases.ts";
import { auditPoint } from "./audit.ts";
import { outputCurrent } from "./electricOutput.ts";
import type { Electric } from "./electricState.ts";
import { comesIn } from "./kernel.ts";
import type { DriveCommand, PulseModel } from "./model.ts";
import type { PulseMeasure } from "./periodic.ts";
import type { Series } from "./series.ts";
import type { PulseState } from "./state.ts";

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

/** Looks at every step and sums up what a pulse is told by. */
export function newWatch(setting: TrainSetting, state: PulseState, bent: number) {
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
  let commandedBefore: Electric["commanded"] = state.electric?.commanded ?? "off";
  function liftOf(s: PulseState): Metre {
    return model.seat === null ? (s.y - setting.rest) * setting.model.strip.side : s.y - s.surface;
  }
  /**
   * The rail that gives the output's current at a command: that it is switched to, or with both switches off the one
   * behind the diode that carries it. null: none, or the rail is ground.
   */
  const feeding = (commanded: Electric["commanded"], current: Ampere): number | null => {
    if (sw === null || commanded === "wave") return null;
    const [above, below] =
      voltageOf(sw.high) >= voltageOf(sw.low) ? [sw.high, sw.low] : [sw.low, sw.high];
    const off = current < 0 ? above : below;
    const rail = commanded === "off" ? off : commanded === "high" ? sw.high : sw.low;
    return rail >= 0 ? rail : null;
  };
  const voltageOf = (rail: number): Volt => rails[rail]?.voltage ?? 0;
  /** Motion, gas and pressures of one step. */
  const motion = (time: Second, h: Second, lift: Metre, chamber: Pascal, plenum: Pascal) => {
    const size = model.seat === null ? Math.abs(lift) : lift;
    if (size > peak) peak = size;
    const { delayAt } = setting;
    if (delay === null && delayAt > 0 && liftBefore < delayAt && lift >= delayAt)
      delay = time - h * ((lift - delayAt) / (lift - liftBefore));
    liftBefore = lift;
    if (chamber > chamberPeak) chamberPeak = chamber;
    if (plenum < plenumLeast) plenumLeast = plenum;
  };
  const railAt = (r: number, voltage: Volt) => {
    const share = voltage / (rails[r]?.voltage || 1);
    if (share < (low[r] as number)) low[r] = share;
    if (share > (high[r] as number)) high[r] = share;
  };
  const currentAt = (now: Ampere, h: Second, rail: number | null) => {
    if (rail !== null) drawn[rail] = (drawn[rail] as number) + 0.5 * h * (now + current);
    current = now;
  };
  return {
    look(s: PulseState, time: Second, h: Second): void {
      motion(time, h, liftOf(s), s.chamber, s.plenum);
      if (time >= late) {
        let sum = 0;
        for (let i = 0; i < count; i++) sum += (s.p[i] as number) ** 2;
        if (sum > moving) moving = sum;
      }
      const { electric } = s;
      if (electric === null || sw === null) return;
      commandedBefore = electric.commanded;
      nodes.forEach((node, r) => {
        railAt(r, electric.v[node] as number);
      });
      const now = outputCurrent(electric);
      currentAt(now, h, feeding(electric.commanded, now));
    },
    /** The same over a stretch of `steps` steps of length h from `from` on, with commands timed from its start. */
    lookBack(
      series: Series,
      kinetic: Float64Array,
      commands: readonly DriveCommand[],
      steps: number,
      from: Second,
      h: Second,
    ): void {
      const { lift, chamber, plenum, current: currents } = series;
      const side = model.seat === null ? setting.model.strip.side : 1;
      const { electric } = state;
      const wired = electric !== null && sw !== null;
      let next = 0;
      let commanded = commandedBefore;
      for (let n = 1; n <= steps; n++) {
        const time = from + n * h;
        const at = side * (lift.values[n] as number);
        motion(time, h, at, chamber.values[n] as number, plenum.values[n] as number);
        if (time >= late) moving = Math.max(moving, 2 * (kinetic[n] as number));
        if (!wired) continue;
        for (let r = 0; r < nodes.length; r++) railAt(r, series.rails[r]?.values[n] as number);
        while (comesIn(commands[next], n - 1, h)) {
          commanded = (commands[next] as DriveCommand).state;
          next++;
        }
        const now = currents.values[n] as number;
        currentAt(now, h, feeding(commanded, now));
      }
      commandedBefore = commanded;
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
