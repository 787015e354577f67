import { setImmediate } from "node:timers/promises";
import type { Design } from "../design/design.ts";
import { type ReadResult, readDesign } from "../design/readDesign.ts";
import { shapeText } from "../report/text/shapeText.ts";
import { toAscii } from "../report/text/style.ts";
import { pulseModel } from "../sheet/pulseModel.ts";
import { type ShapeStudy, shapeSteps } from "../studies/shape.ts";
import { type JudgedShapes, judgeShapes } from "../studies/shapeJudge.ts";
import { shapeSetting } from "../studies/shapeSetting.ts";
import { palette } from "./colour.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Host } from "./host.ts";
import { described, type Input, readInput } from "./input.ts";
import type { Look, Outcome } from "./outcome.ts";
import { notFinite } from "./pulseCommand.ts";
import { progress } from "./pulseCommandProgress.ts";
import { checkShapeFiles, writeShapeFiles } from "./shapeCommandFiles.ts";
import { type ShapeAskedFor, shapeOptions } from "./shapeCommandOptions.ts";
import { readTablesFile } from "./tablesFile.ts";
import { inFile, trouble } from "./trouble.ts";

/** Drives without a search, and periods that a run goes on after the gate, as the study has them. */
const PLAIN_DRIVES = 9;
const PERIODS = 8;
/** Most steps of a run. */
const STEPS_MAX = 1_000_000;

type Provenance = Readonly<Record<string, unknown>>;

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
  const read = readDesign(input.text, {
    name: bareName(input.name),
    ...(tables === null ? {} : { tables: tables.tables }),
  });
  if (!read.ok)
    throw stopped(
      new Stop(EXIT.invalid, ...read.problems.map((problem) => inFile(input.name, problem))),
      provenance,
    );
  const { design } = read;
  const troubles = read.warnings.map((warning) => inFile(input.name, warning));
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

/** "first-valve" for "examples/first-valve.reed.yaml". */
function bareName(path: string): string {
  const name = path.split(/[\\/]/).pop() as string;
  return name.replace(/(\.reed)?\.(ya?ml|json)$/, "");
}

function stopped(stop: Stop, provenance: Provenance): Stop {
  stop.provenance = provenance;
  return stop;
}

function gateFrom({ pulse, need }: Design, { options }: ShapeAskedFor, gate: number): string {
  if (options.gate !== undefined) return "";
  if (pulse.gate !== null) return "pulse.gate of the design";
  return need.gasPulse === gate
    ? "need.gas_pulse of the design"
    : "half a period of the first resonance";
}

interface Context {
  flags: Flags;
  input: Input;
  provenance: Provenance;
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
    throw stopped(
      new Stop(
        EXIT.failed,
        trouble("no-pulse", `no pulse can be computed: ${pulse.reason}`, {
          file: input.name,
          hint: `reedlift check ${input.name} shows what the design says of its drive`,
        }),
      ),
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
  { flags, input, provenance }: Context,
): Promise<{ study: ShapeStudy; judged: JudgedShapes }> {
  const told = progress({
    bar: host.terminal && process.stderr.isTTY === true,
    ascii: look.ascii,
    what: "drive",
    total: plan.drives,
    write: (text) => {
      if (flags.quiet !== true) host.err(text);
    },
    now: () => performance.now(),
  });
  try {
    const steps = shapeSteps(design, { ...asked.options, gate: plan.gate });
    let next = steps.next();
    for (; next.done !== true; next = steps.next()) {
      told.at(next.value.done / next.value.total);
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
    if (!(error instanceof RangeError)) throw error;
    const failed = trouble("not-computed", `no comparison: ${error.message}`, {
      file: input.name,
      hint: "take another --drive or --gate, or a smaller pulse.step in the design",
    });
    throw stopped(new Stop(EXIT.failed, failed), provenance);
  } finally {
    told.end();
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
