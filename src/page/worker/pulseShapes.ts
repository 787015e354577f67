import type { Design } from "../../design/design.ts";
import type { Figure, FigureOptions } from "../../report/figures/figure.ts";
import { shapeChart } from "../../report/figures/shapeChart.ts";
import { type ShapeRow, type ShapeStudy, shapeSteps } from "../../studies/shape.ts";
import { type ShapeDrawing, shapeDrawing } from "../../studies/shapeDrawing.ts";
import { driveFigures } from "../../studies/shapeFigures.ts";
import { type JudgedShapes, judgeShapes, shapeId } from "../../studies/shapeJudge.ts";
import type { ShapeDriveFigures } from "../../studies/shapeResult.ts";
import { formatQuantity, type QuantityKind } from "../../units/index.ts";
import { forPage } from "./forPage.ts";
import type { RatesAnswer, ShapeLine, ShapesRequest } from "./pulseRequests.ts";

/*
 * Drives compared, one after the other; the last comparison is kept, so that another size or part of its picture costs
 * a drawing. The need judges them, and the picture is drawn, when all are run.
 */

interface Held {
  text: string;
  design: Design;
  steps: Iterator<ShapeStudy, ShapeStudy>;
  study: ShapeStudy | null;
  ran: boolean;
  judged: JudgedShapes | null;
  drawing: ShapeDrawing | null;
}

/** As `reedlift shape` asks without options. */
const ASKED = { cause: "stiffness", by: "switch", seed: 1, drive: null } as const;

let last: Held | null = null;

function heldFor(text: string, design: Design): Held {
  if (last?.text !== text) {
    const steps = shapeSteps(design);
    last = { text, design, steps, study: null, ran: false, judged: null, drawing: null };
  }
  return last;
}

/** Goes on with the comparison of a design where it stands. RangeError where the design has no pulse. */
export function* shapesStudy(
  text: string,
  design: Design,
  request: ShapesRequest,
): Generator<RatesAnswer | undefined, RatesAnswer | undefined, undefined> {
  const held = heldFor(text, design);
  if (request.stopped) return answerOf(held, request);
  while (!held.ran) {
    const next = held.steps.next();
    held.study = next.value;
    held.ran = next.done === true;
    yield answerOf(held, request);
  }
  if (held.study === null) return undefined;
  held.judged ??= judgeShapes(design, held.study, ASKED);
  yield answerOf(held, request);
  held.drawing ??= shapeDrawing(design, held.study, held.judged, ASKED.cause);
  return answerOf(held, request);
}

function answerOf(held: Held, { size, view }: ShapesRequest): RatesAnswer | undefined {
  if (held.study === null) return undefined;
  const figure = figureOf(held, { size, bare: true, ...(view === undefined ? {} : { view }) });
  const { done, total } = held.study;
  // Judging and drawing are still to come when all are run.
  const left = held.drawing === null ? 1 : 0;
  return {
    figure: figure === null ? null : forPage(figure),
    result: null,
    judged: null,
    drives: linesOf(held),
    done,
    total: Math.max(done, total) + left,
    reason: null,
  };
}

function figureOf({ design, drawing }: Held, options: FigureOptions): Figure | null {
  return drawing === null ? null : shapeChart(design, drawing, options);
}

/** The picture of the comparison that was begun for a text; null before it is drawn, or where it is gone. */
export function shapesFigure(text: string, options: FigureOptions): Figure | null {
  return last?.text === text ? figureOf(last, options) : null;
}

function linesOf({ study, judged }: Held): ShapeLine[] {
  if (judged !== null)
    return judged.result.drives.map((drive) => lineOf(drive, drive.id === judged.result.taken));
  const rows = study?.rows ?? [];
  return rows.map((row) =>
    lineOf(
      {
        ...driveFigures(row, rows[0] as ShapeRow),
        id: shapeId(row),
        need_met: null,
        unmet: [],
        unmet_when_off: [],
      },
      false,
    ),
  );
}

const say = (value: number | null | undefined, kind: QuantityKind): string =>
  value == null ? "none" : formatQuantity(value, 0, kind, { digits: 3 });
const percent = (value: number | null | undefined): string =>
  value == null ? "none" : `${formatQuantity(100 * value, 0, "ratio", { digits: 2 })} %`;

function lineOf(drive: ShapeDriveFigures, taken: boolean): ShapeLine {
  const { id, exact, worst, commands, edges, shape, remark } = drive;
  const seated = worst.ringing_share === null;
  return {
    id,
    name: shape === "step" ? shape : `${shape}, ${drive.made_by}`,
    taken,
    shaped:
      commands === null
        ? "can't be made"
        : shape === "step"
          ? "none"
          : edges === "both"
            ? edges
            : "closing",
    lands: seated ? say(exact?.impact_speed_m_s, "speed") : percent(exact?.ringing_share),
    worst: seated ? say(worst.impact_speed_m_s, "speed") : percent(worst.ringing_share),
    satellites: exact?.satellites == null ? "none" : `${exact.satellites}, ${worst.satellites}`,
    opens: say(exact?.open_delay_s, "time"),
    gas: percent(drive.gas_over_step),
    need: needWords(drive),
    remark,
  };
}

function needWords({ need_met, unmet_when_off }: ShapeDriveFigures): string {
  if (need_met === null) return "not judged";
  if (!need_met) return "missed";
  return unmet_when_off.length === 0 ? "kept" : "kept if exact";
}
