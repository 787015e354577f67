import type { Design } from "../design/design.ts";
import { flowMetrics, type LiftMetrics, liftMetrics } from "../physics/pulse/metrics.ts";
import type { Series } from "../physics/pulse/series.ts";
import type { DesignPulse } from "../sheet/pulseModel.ts";
import type { Ampere, Kilogram, Metre, Ratio, Second } from "../units/aliases.ts";
import { closingLength, type ShapeDrive } from "./shapeDrives.ts";
import { drivePlayer } from "./shapePlayer.ts";
import type { FrequencyCause } from "./shapeSetting.ts";

/** What one drive makes of one pulse. Times run from the gate's opening edge where nothing else is said. */
export interface ShapeFigures {
  peakLift: Metre;
  /** To half of the peak lift; null: not reached. */
  openDelay: Second | null;
  /** From the end of the gate to the first contact; null: none, or no seat. */
  closeDelay: Second | null;
  /** Largest speed at which the pad meets the seat after the gate, m/s. */
  impactSpeed: number;
  /** Openings after the first contact, above 1 % of the peak lift. */
  satellites: number;
  /** Largest of them, as a share of the peak lift. */
  satelliteLift: Ratio;
  /** Gas of all of them. */
  satelliteMass: Kilogram;
  /** Contacts while commanded open. */
  reclosures: number;
  /** Gas of the whole pulse; null: no gas. */
  mass: Kilogram | null;
  /** Largest current into the output. */
  peakCurrent: Ampere;
  /** Without a seat: amplitude that rings on after the closing edge, as a share of the static travel; else null. */
  ringing: Ratio | null;
}

export interface RunSpan {
  gate: Second;
  /** What a wrong frequency comes from. */
  cause: FrequencyCause;
  /** Computed time from the gate's opening edge on. */
  duration: Second;
  step: Second;
}

/** Runs a drive on the design's strip with its resonances `ratio` times as high; null where the run fails. */
export type ShapeRunner = (drive: ShapeDrive, ratio: Ratio) => ShapeFigures | null;

/** A runner that starts every pulse from the same closed state at rest. */
export function shapeRunner(design: Design, pulse: DesignPulse, span: RunSpan): ShapeRunner {
  const steps = Math.ceil(span.duration / span.step);
  const play = drivePlayer(design, pulse, { cause: span.cause, step: span.step, steps });
  return (drive, ratio) => {
    const played = play(drive, ratio);
    if (played === null) return null;
    const { series, state } = played;
    const peakCurrent = state.electric?.peakCurrent ?? 0;
    return { ...figuresOf(series, drive, pulse, span), peakCurrent };
  };
}

function figuresOf(
  series: Series,
  drive: ShapeDrive,
  pulse: DesignPulse,
  { gate, step }: RunSpan,
): Omit<ShapeFigures, "peakCurrent"> {
  const seated = pulse.model.seat !== null;
  const lift = liftMetrics(series, { gate, staticLift: pulse.staticLift });
  const { peak, satellites } = lift;
  const largest = satellites.reduce((most, opening) => Math.max(most, opening.lift), 0);
  return {
    peakLift: peak,
    openDelay: lift.openDelay,
    closeDelay: seated ? closeDelayOf(lift, gate) : null,
    impactSpeed: seated ? lift.impactSpeed : 0,
    satellites: seated ? satellites.length : 0,
    satelliteLift: seated && peak > 0 ? largest / peak : 0,
    satelliteMass: seated ? satellites.reduce((sum, opening) => sum + opening.mass, 0) : 0,
    reclosures: seated ? lift.reclosures.length : 0,
    mass: seated ? (flowMetrics(series)?.mass ?? 0) : null,
    ringing: seated ? null : ringingAfter(series, gate + closingLength(drive, gate), step, pulse),
  };
}

function closeDelayOf({ firstContact }: LiftMetrics, gate: Second): Second | null {
  return firstContact === null ? null : firstContact - gate;
}

/** Half of what the travel swings in the first period after a time, over the static travel at low field. */
function ringingAfter(series: Series, from: Second, step: Second, pulse: DesignPulse): Ratio {
  const { values } = series.lift;
  const first = Math.min(values.length - 1, Math.ceil(from / step));
  const last = Math.min(values.length - 1, first + Math.ceil(1 / (pulse.firstResonance * step)));
  let [low, high] = [Infinity, -Infinity];
  for (let i = first; i <= last; i++) {
    low = Math.min(low, values[i] as number);
    high = Math.max(high, values[i] as number);
  }
  const [one = 0, other = 0] = pulse.electrical.moments;
  const travel = Math.abs(pulse.strip.padPerMoment * (one - other));
  return travel > 0 ? (high - low) / (2 * travel) : 0;
}
