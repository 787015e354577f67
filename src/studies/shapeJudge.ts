import type { Design } from "../design/design.ts";
import type { MarginRow } from "../sheet/result.ts";
import { pulseMargins, verdictOf } from "./pulseMargins.ts";
import type { ShapeRow, ShapeStudy } from "./shape.ts";
import type { ShapeDrive } from "./shapeDrives.ts";
import { driveFigures, settingFigures } from "./shapeFigures.ts";
import { gateForGasPulse } from "./shapeGate.ts";
import type { ShapeDriveFigures, ShapeResult } from "./shapeResult.ts";
import type { FrequencyCause } from "./shapeSetting.ts";
import { shapeTimingRows, type TimingTraces } from "./shapeTiming.ts";
import { type ShapeTrace, type ShapeTracer, shapeTracer } from "./shapeTrace.ts";

/** How the study was asked for, as far as it does not say so itself. */
export interface ShapeAsked {
  cause: FrequencyCause;
  /** What the soft landing was looked for with. */
  by: "switch" | "waveform";
  seed: number;
  /** Id of the drive to take; null: the best. */
  drive: string | null;
}

/** A row of the comparison with its runs in time. */
export interface JudgedRow {
  row: ShapeRow;
  figures: ShapeDriveFigures;
  margins: MarginRow[];
  traces: TimingTraces;
}

/** A finished comparison: what is printed, and the runs behind it. */
export interface JudgedShapes {
  result: ShapeResult;
  rows: JudgedRow[];
  /** Runs another drive or resonance the same way. */
  trace: ShapeTracer;
}

/** Name of a row for an option, a file and JSON: "zv-switch", "raised-cosine"; a shape made in one way has no ending. */
export function shapeId({ shape, drive }: Pick<ShapeDrive, "shape" | "drive">): string {
  const name = shape.toLowerCase().replaceAll(" ", "-");
  return ["step", "ramp", "raised cosine", "soft landing"].includes(shape)
    ? name
    : `${name}-${drive}`;
}

/**
 * Judges each drive by what the need asks of a pulse and takes one. The best is the softest landing (smallest score)
 * of those that keep every requirement at the design's own resonance; where none does, the softest of all.
 * @throws RangeError for a drive that is not among the rows or can't be made
 */
export function judgeShapes(design: Design, study: ShapeStudy, asked: ShapeAsked): JudgedShapes {
  const trace = shapeTracer(design, study.setting, asked.cause);
  const step = study.rows[0] as ShapeRow;
  const rows = study.rows.map((row): JudgedRow => {
    const traces = {
      exact: trace(row, 1),
      low: trace(row, 1 - study.error),
      high: trace(row, 1 + study.error),
    };
    const margins = marginsOf(design, traces.exact);
    const off = [traces.low, traces.high].flatMap((each) => unmetOf(marginsOf(design, each)));
    const figures: ShapeDriveFigures = {
      ...driveFigures(row, step),
      id: shapeId(row),
      need_met: traces.exact === null ? null : margins.every(({ met }) => met),
      unmet: unmetOf(margins),
      unmet_when_off: [...new Set(off)],
    };
    return { row, figures, margins, traces };
  });
  const best = softest(rows);
  const bySwitch = softest(rows.filter(({ row }) => row.drive === "switch"));
  const taken = asked.drive === null ? best : rowNamed(rows, asked.drive);
  const sw = design.switch;
  const timing =
    taken === null
      ? []
      : shapeTimingRows(
          taken.row,
          study.setting,
          { deadTime: sw?.deadTime ?? 0, idle: sw?.idle ?? study.setting.closed },
          taken.traces,
        );
  const result: ShapeResult = {
    verdict: taken === null ? NONE : verdictOf(taken.margins),
    margins: taken?.margins ?? [],
    taken: taken?.figures.id ?? null,
    best: best?.figures.id ?? null,
    best_by_switch: bySwitch?.figures.id ?? null,
    gate_for_need_s: gateForNeed(design, study, taken, trace),
    setting: settingFigures(study, asked.cause, design.pulse.step),
    drives: rows.map(({ figures }) => figures),
    search:
      study.search === null
        ? null
        : {
            made_by: asked.by,
            landings: study.search.evaluations,
            landings_most: study.search.evaluationsMax,
            status: study.search.status,
            seed: asked.seed,
          },
    timing: timing.map(({ channel, event, delay, uncertainty }) => ({
      channel,
      event,
      delay_s: delay,
      uncertainty_s: uncertainty,
    })),
    reasons: reasonsOf(study, rows, taken),
  };
  if (result.gate_for_need_s === null)
    result.reasons.gate_for_need_s = taken?.figures.unmet.includes(WIDTH)
      ? "no shorter gate makes the gas pulse of these edges narrow enough"
      : "the gas pulse is not too wide";
  return { result, rows, trace };
}

/** Requirement that a shorter gate may mend. */
const WIDTH = "pulse width";

function gateForNeed(
  design: Design,
  { setting }: ShapeStudy,
  taken: JudgedRow | null,
  trace: ShapeTracer,
): number | null {
  const wanted = design.need.gasPulse;
  if (taken === null || wanted === null || !taken.figures.unmet.includes(WIDTH)) return null;
  return gateForGasPulse(taken.row, setting.gate, wanted, trace);
}

const NONE = { met: false, binding: null, text: "no drive could be run" };

const marginsOf = (design: Design, trace: ShapeTrace | null): MarginRow[] =>
  trace === null ? [] : pulseMargins(design, [trace.figures]);

const unmetOf = (margins: readonly MarginRow[]): string[] =>
  margins.flatMap(({ id, met }) => (met ? [] : [id]));

function softest(rows: readonly JudgedRow[]): JudgedRow | null {
  const run = rows.filter(({ row }) => row.score !== null);
  const kept = run.filter(({ figures }) => figures.need_met === true);
  const score = ({ row }: JudgedRow) => row.score ?? Number.POSITIVE_INFINITY;
  return (kept.length > 0 ? kept : run).reduce<JudgedRow | null>(
    (least, each) => (least === null || score(each) < score(least) ? each : least),
    null,
  );
}

function rowNamed(rows: readonly JudgedRow[], id: string): JudgedRow {
  const found = rows.find(({ figures }) => figures.id === id);
  if (found === undefined)
    throw new RangeError(
      `there is no drive "${id}": ${rows.map(({ figures }) => figures.id).join(", ")}`,
    );
  if (found.row.commands === null)
    throw new RangeError(`the drive ${id} can't be made: ${found.row.remark ?? "no reason known"}`);
  return found;
}

function reasonsOf(
  study: ShapeStudy,
  rows: readonly JudgedRow[],
  taken: JudgedRow | null,
): Record<string, string> {
  const out: Record<string, string> = {};
  if (study.setting.slewMax === null)
    out["setting.slew_max_V_per_s"] =
      "neither the switch nor a rail without storage limits the current";
  if (study.search === null) out.search = "no soft landing was asked for";
  rows.forEach(({ row, figures }, i) => {
    if (row.commands === null) out[`drives.${i}.exact`] = row.remark ?? "it can't be made";
    else if (row.score === null) out[`drives.${i}.score`] = "a run failed";
    const { exact } = figures;
    if (exact === null) return;
    if (exact.ringing_share !== null) {
      out[`drives.${i}.exact.impact_speed_m_s`] = "the design has no seat";
      out[`drives.${i}.exact.gas_kg`] = "the design has no seat";
      return;
    }
    if (exact.open_delay_s === null)
      out[`drives.${i}.exact.open_delay_s`] = "half of the peak lift is not passed";
    if (exact.close_delay_s === null)
      out[`drives.${i}.exact.close_delay_s`] = "it does not close in the computed time";
    out[`drives.${i}.exact.ringing_share`] = "the pad meets a seat: bounces count in its place";
  });
  if (taken === null) out.taken = "no drive could be run";
  const trace = taken?.traces.exact ?? null;
  if (trace !== null && trace.figures.gas === null) out["timing.gas"] = "no gas passes";
  else if (trace !== null && trace.jet === null) out["timing.interaction point"] = trace.jetReason;
  else if (trace !== null && trace.jet?.interaction == null)
    out["timing.interaction point"] = "the design gives no need.interaction_distance";
  return out;
}
