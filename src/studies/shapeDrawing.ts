import type { Design } from "../design/design.ts";
import { pulseModel } from "../sheet/pulseModel.ts";
import type { Metre, Ratio, Second, Volt } from "../units/aliases.ts";
import type { ShapeStudy } from "./shape.ts";
import { closingLength, type ShapeDriveKind } from "./shapeDrives.ts";
import type { JudgedRow, JudgedShapes } from "./shapeJudge.ts";
import { shapeRunner } from "./shapeRun.ts";
import type { FrequencyCause } from "./shapeSetting.ts";

/** What a picture of a comparison needs: a few drives in time, and how each takes a wrong frequency. */
export interface ShapeDrawing {
  gate: Second;
  /** Frequency error of the comparison, and the errors at which the drives are drawn, rising. */
  error: Ratio;
  errors: readonly Ratio[];
  /** What `landings` holds: contact speed in m/s, or without a seat the share of the travel that rings on. */
  measure: "speed" | "ringing";
  /** Time that is shown from the opening edge on. */
  end: Second;
  /** Step in time of the series. */
  step: Second;
  drives: readonly DrawnShape[];
}

export interface DrawnShape {
  id: string;
  shape: string;
  made_by: ShapeDriveKind;
  taken: boolean;
  /** On the grid of times k·step. */
  output: ArrayLike<Volt>;
  lift: ArrayLike<Metre>;
  /** At each of the errors; null: the run failed. */
  landings: readonly (number | null)[];
  /** Satellites at the worst of the comparison's three runs; null: no seat. */
  satellites: number | null;
}

/** Drives that one picture can tell apart. */
const DRAWN = 5;
/** The errors that are drawn, in shares of the comparison's. */
const SPREAD = [-2, -1.5, -1, -0.5, 0, 0.5, 1, 1.5, 2] as const;
/** Periods that are shown after the last edge, and that a run goes on after the gate. */
const SHOWN = 3;
const PERIODS = 8;
/** No error is drawn beyond this. */
const ERROR_MAX: Ratio = 0.45;

/**
 * The taken drive, the step, the best ones, then the softest of each other shape, up to five, each run at nine
 * frequencies. It takes a while: call it where a picture is wanted.
 * @throws RangeError where the design has no pulse
 */
export function shapeDrawing(
  design: Design,
  study: ShapeStudy,
  judged: JudgedShapes,
  cause: FrequencyCause,
): ShapeDrawing {
  const pulse = pulseModel(design);
  if ("reason" in pulse) throw new RangeError(pulse.reason);
  const { setting, error } = study;
  // A large error ends the plot, since twice as much leaves nothing to run.
  const reach = 2 * error <= ERROR_MAX ? error : error / 2;
  const errors = SPREAD.map((share) => share * reach);
  const lowest = setting.held.frequency * (1 - Math.max(...errors));
  const duration = setting.gate + PERIODS / lowest;
  const { step } = design.pulse;
  const run = shapeRunner(design, pulse, { gate: setting.gate, duration, step, cause });
  const rows = drawnRows(judged);
  const seated = pulse.model.seat !== null;
  const drives = rows.flatMap(({ row, figures, traces }): DrawnShape[] => {
    if (traces.exact === null) return [];
    const { series } = traces.exact;
    return [
      {
        id: figures.id,
        shape: row.shape,
        made_by: row.drive,
        taken: figures.id === judged.result.taken,
        output: series.output.values,
        lift: series.lift.values,
        landings: errors.map((off) => {
          const found = run(row, 1 + off);
          return found === null ? null : (found.ringing ?? found.impactSpeed);
        }),
        satellites: figures.worst.satellites,
      },
    ];
  });
  const edges = Math.max(...rows.map(({ row }) => closingLength(row, setting.gate)));
  const whole = Math.min(...drives.map(({ lift }) => (lift.length - 1) * step));
  return {
    gate: setting.gate,
    error,
    errors,
    measure: seated ? "speed" : "ringing",
    end: Math.min(whole, setting.gate + edges + SHOWN / setting.held.frequency),
    step,
    drives,
  };
}

function drawnRows({ rows, result }: JudgedShapes): JudgedRow[] {
  const wanted = [result.taken, "step", result.best, result.best_by_switch];
  const rest = rows
    .filter(({ row }) => row.score !== null)
    .sort((a, b) => (a.row.score as number) - (b.row.score as number))
    .map(({ figures }) => figures.id);
  const out: JudgedRow[] = [];
  for (const id of [...wanted, ...rest]) {
    const found = rows.find(({ figures }) => figures.id === id);
    if (found === undefined || found.traces.exact === null || out.includes(found)) continue;
    const known = out.some(({ row }) => row.shape === found.row.shape);
    if (wanted.includes(id) || !known) out.push(found);
  }
  return out.slice(0, DRAWN);
}
