import { transfer } from "comlink";
import type { Design } from "../../design/design.ts";
import { type ReadResult, readDesign } from "../../design/readDesign.ts";
import { tipOf } from "../../design/values.ts";
import { csvText } from "../../report/figures/csv.ts";
import type { Figure } from "../../report/figures/figure.ts";
import { seriesTable } from "../../report/figures/pulseSeries.ts";
import { mainView, pulseTraces } from "../../report/figures/pulseTraces.ts";
import { sideGeometry } from "../../report/figures/sideGeometry.ts";
import { pulseCautions } from "../../report/text/pulseText.ts";
import { evaluate } from "../../sheet/evaluate.ts";
import { type PulseRun, pulse } from "../../studies/pulse.ts";
import { NoPulseError } from "../../studies/pulseOptions.ts";
import type { PulseResult } from "../../studies/pulseResult.ts";
import { formatQuantity } from "../../units/index.ts";
import { forPage } from "./forPage.ts";
import { pulseGroups } from "./pulseGroups.ts";
import { panelsOf } from "./pulsePlaces.ts";
import type {
  PulseAnswer,
  PulseGiven,
  PulseMotion,
  PulseRefused,
  PulseRequest,
} from "./pulseRequests.ts";
import { gateRange } from "./pulseStudies.ts";

/*
 * The pulse of the text on the page. The last run is kept: another part of its time costs a drawing only.
 */

interface Held {
  text: string;
  name: string;
  read: ReadResult;
  run: PulseRun | PulseRefused | null;
}

let last: Held | null = null;

function heldFor(text: string, name: string): Held {
  if (last?.text !== text || last.name !== name)
    last = { text, name, read: readDesign(text, { name }), run: null };
  return last;
}

function runOf(held: Held, design: Design): PulseRun | PulseRefused {
  held.run ??= tried(design);
  return held.run;
}

function tried(design: Design): PulseRun | PulseRefused {
  try {
    return pulse(design, { frames: true, surprises: false });
  } catch (error) {
    if (error instanceof RangeError) return refused(error);
    throw error;
  }
}

function refused(error: RangeError): PulseRefused {
  const reason = error.message;
  if (!(error instanceof NoPulseError))
    return { ok: false, reason, mend: { step: "pulse", focus: "pulse.gate" } };
  const step = /no switch/.test(reason) ? "drive" : "wiring";
  return { ok: false, reason, mend: { step, focus: step === "drive" ? "switch.high" : "wiring" } };
}

/** One pulse of a text: null where the text is no design. */
export function pulseLook(request: PulseRequest): PulseAnswer | null {
  const held = heldFor(request.text, request.name);
  if (!held.read.ok) return null;
  const { design } = held.read;
  const run = runOf(held, design);
  if ("ok" in run) return run;
  const { size, time } = request;
  const figure = pulseTraces(design, run, {
    size,
    bare: true,
    ...(time === undefined ? {} : { view: { x: time } }),
  });
  const panels = panelsOf(design, run, figure);
  const motion = motionOf(design, run);
  const answer: PulseAnswer = {
    ok: true,
    result: run.result,
    step: run.series.step,
    count: run.series.count,
    main: mainView(run),
    gates: gateRange(run.made.firstResonance),
    traces: forPage(figure),
    panels,
    motion,
    groups: pulseGroups(run.result),
    cautions: cautionsOf(run.result),
    command: commandOf(run.result),
  };
  const buffers = [
    motion.shape.buffer,
    ...panels.flatMap((p) => p.curves.map((c) => c.values.buffer)),
  ];
  return transfer(answer, buffers as ArrayBuffer[]);
}

/** Cautions of the terminal, options by the names of their inputs. */
function cautionsOf(result: PulseResult): PulseGiven["cautions"] {
  return [...pulseCautions(result)].map(({ text, action }) => ({
    text,
    action: action.replaceAll("--duration", "time computed").replaceAll("--step", "step in time"),
  }));
}

function motionOf(design: Design, { frames, made }: PulseRun): PulseMotion {
  const geometry = sideGeometry(design, evaluate(design, { detail: false }));
  const places = frames?.places ?? [];
  const [closed, open] = geometry.shapes.map((shape) => ({
    shape: places.map((x) => shape.at(x)),
    lift: shape.lift,
  })) as unknown as [PulseMotion["rest"]["closed"], PulseMotion["rest"]["open"]];
  return {
    places,
    index: frames?.index ?? [],
    shape: frames?.shape.slice() ?? new Float64Array(0),
    rest: { closed, open },
    pad: geometry.pad,
    tip: tipOf(design),
    hasPad: design.pad !== undefined,
    hasSeat: made.model.seat !== null,
  };
}

function commandOf({ drive }: PulseResult): string {
  const gate = drive.gate_s;
  if (gate === null) return "";
  return `--gate "${formatQuantity(gate, 0, "time", { ascii: true, digits: 12 })}"`;
}

/** Every recorded quantity on every grid point, as a table file; null where there is no pulse. */
export function pulseTable(text: string, name: string, origin: string): string | null {
  const found = kept(text, name);
  if (found === null) return null;
  const { design, run } = found;
  return csvText(
    { series: "one pulse in time", design: design.name, drive: run.result.drive.text, origin },
    seriesTable(run).map(({ name: called, unit, values }) => ({
      name: called,
      unit,
      values: Array.from(values),
    })),
  );
}

/** The traces as a file for paper; null where there is no pulse. */
export function pulseOnPaper(text: string, name: string, origin: string): Figure | null {
  const found = kept(text, name);
  return found === null ? null : pulseTraces(found.design, found.run, { origin });
}

function kept(text: string, name: string): { design: Design; run: PulseRun } | null {
  const held = heldFor(text, name);
  if (!held.read.ok) return null;
  const run = runOf(held, held.read.design);
  return "ok" in run ? null : { design: held.read.design, run };
}
