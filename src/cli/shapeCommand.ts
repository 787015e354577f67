import { setImmediate } from "node:timers/promises";
import type { Design } from "../design/design.ts";
import type { ReadResult } from "../design/readDesign.ts";
import { shapeText } from "../report/text/shapeText.ts";
import { toAscii } from "../report/text/style.ts";
import { pulseModel } from "../sheet/pulseModel.ts";
import { type ShapeStudy, shapeSteps } from "../studies/shape.ts";
import { type JudgedShapes, judgeShapes } from "../studies/shapeJudge.ts";
import { shapeSetting } from "../studies/shapeSetting.ts";
import { palette } from "./colour.ts";
import { type Provenance, stopped, understoodDesign } from "./designInput.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Host } from "./host.ts";
import { described, type Input, readInput } from "./input.ts";
import type { Look, Outcome } from "./outcome.ts";
import { checkShapeFiles, writeShapeFiles } from "./shapeCommandFiles.ts";
import { type ShapeAskedFor, shapeOptions } from "./shapeCommandOptions.ts";
import { readTablesFile } from "./tablesFile.ts";
import { type Context, noPulse, notComputed, notFinite, told } from "./transient.ts";
import { trouble } from "./trouble.ts";

/** Drives without a search, and periods that a run goes on after the gate, as the study has them. */
const PLAIN_DRIVES = 9;
const PERIODS = 8;
/** Most steps of a run. */
const STEPS_MAX = 1_000_000;

/** `reedlift shape`: drives compared on the pulse, one of them as files for the bench. */
export async function shapeCommand(
  argument: string | null,
  flags: Flags,
  look: Look,
  host: Host,
): Promise<Outcome> {
  const asked = shapeOptions(argument as string, flags);
  checkShapeFiles(flags);
  const tables = flags.tables === undefined ? null : await readTablesFile(flags.tables, host);
  const input = await readInput(argument as string, host);
  const provenance = {
    design: described(input),
    tables: tables === null ? null : described(tables.input),
    seed: asked.options.seed,
  };
  const { read, troubles } = understoodDesign(input, tables, provenance);
  const { design } = read;
  const plan = settle(design, asked, input, provenance);
  if (flags.dryRun === true) return understood(read, plan, look, troubles, provenance);

  const context = { flags, input, provenance };
  const { study, judged } = await computed(design, asked, plan, look, host, context);
  const { result } = judged;
  const notes = await written(design, study, judged, asked, context);
  const pictures =
    flags.svg === undefined && input.name !== "standard input"
      ? { pictures: `reedlift shape ${input.name} --svg FOLDER` }
      : {};
  return {
    code: codeOf(judged, flags),
    result,
    text: () =>
      shapeText(design, result, {
        ascii: look.ascii,
        columns: look.columns,
        palette: palette(look.colour),
        gateFrom: gateFrom(design, asked, plan.gate),
        ...pictures,
      }),
    troubles,
    notes,
    provenance,
  };
}

/** No drive that could be run is a failure. */
function codeOf({ result }: JudgedShapes, flags: Flags) {
  if (result.taken === null) return EXIT.failed;
  return result.verdict.met || flags.exitZero === true ? EXIT.met : EXIT.notMet;
}

function gateFrom({ pulse, need }: Design, { options }: ShapeAskedFor, gate: number): string {
  if (options.gate !== undefined) return "";
  if (pulse.gate !== null) return "pulse.gate of the design";
  return need.gasPulse === gate
    ? "need.gas_pulse of the design"
    : "half a period of the first resonance";
}

/** What will be run. */
interface Plan {
  gate: number;
  /** First resonance with the output held. */
  resonance: number;
  error: number;
  drives: number;
}

/** Settles gate and number of drives, computing nothing in time. */
function settle(
  design: Design,
  { options }: ShapeAskedFor,
  input: Input,
  provenance: Provenance,
): Plan {
  const pulse = pulseModel(design);
  if ("reason" in pulse)
    throw noPulse(
      `no pulse can be computed: ${pulse.reason}`,
      `reedlift check ${input.name} shows what the design says of its drive`,
      input,
      provenance,
    );
  const gate =
    options.gate ?? design.pulse.gate ?? design.need.gasPulse ?? 0.5 / pulse.firstResonance;
  const steps = Math.ceil((gate + PERIODS / pulse.firstResonance) / design.pulse.step);
  if (steps > STEPS_MAX)
    throw stopped(
      new Stop(
        EXIT.invalid,
        trouble("option", "the pulse takes too many steps in time", {
          file: input.name,
          found: `a gate of ${gate} s in steps of ${design.pulse.step} s`,
          allowed: `at most ${STEPS_MAX} steps`,
          hint: "a shorter --gate, or a larger pulse.step in the design",
        }),
      ),
      provenance,
    );
  const { error = 0.05, landing, landingsMax = 150 } = options;
  return {
    gate,
    resonance: shapeSetting(design, pulse, gate).held.frequency,
    error,
    drives: PLAIN_DRIVES + (landing === "none" ? 0 : landingsMax),
  };
}

/** Runs it, with a turn of the event loop between pulses: an interrupt ends here, before any file. */
async function computed(
  design: Design,
  asked: ShapeAskedFor,
  plan: Plan,
  look: Look,
  host: Host,
  context: Context,
): Promise<{ study: ShapeStudy; judged: JudgedShapes }> {
  const progress = told(host, look, context.flags, "drive", plan.drives);
  try {
    const steps = shapeSteps(design, { ...asked.options, gate: plan.gate });
    let next = steps.next();
    for (; next.done !== true; next = steps.next()) {
      progress.at(next.value.done / next.value.total);
      await setImmediate();
    }
    const study = next.value;
    const judged = judgeShapes(design, study, {
      cause: "stiffness",
      by: asked.by,
      seed: asked.options.seed,
      drive: asked.drive,
    });
    await setImmediate();
    const place = notFinite(judged.result, "result");
    if (place !== null) throw new RangeError(`${place} is not finite`);
    return { study, judged };
  } catch (error) {
    throw notComputed(
      error,
      "no comparison",
      "take another --drive or --gate, or a smaller pulse.step in the design",
      context,
    );
  } finally {
    progress.end();
  }
}

async function written(
  design: Design,
  study: ShapeStudy,
  judged: JudgedShapes,
  { sampleRate }: ShapeAskedFor,
  { flags, input, provenance }: Context,
): Promise<string[]> {
  try {
    return await writeShapeFiles(design, study, judged, sampleRate, input, flags);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw stopped(
      new Stop(EXIT.invalid, trouble("option", error.message, { file: input.name })),
      provenance,
    );
  }
}

function understood(
  read: ReadResult & { ok: true },
  { gate, resonance, error, drives }: Plan,
  { ascii }: Look,
  troubles: Outcome["troubles"],
  provenance: Provenance,
): Outcome {
  const line = `# would compute: ${drives} drives, each at three resonances about ${Number(resonance.toPrecision(6))} Hz (off by ${100 * error} %), gate ${gate} s\n`;
  const whole = line + read.canonical;
  return {
    code: EXIT.met,
    result: {
      understood: read.canonical,
      plan: { gate_s: gate, resonance_Hz: resonance, frequency_error: error, drives },
    },
    text: () => (ascii ? toAscii(whole) : whole),
    troubles,
    notes: ["Nothing computed, nothing written (--dry-run)."],
    provenance,
  };
}
