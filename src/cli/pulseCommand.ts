import { setImmediate } from "node:timers/promises";
import type { Design } from "../design/design.ts";
import type { ReadResult } from "../design/readDesign.ts";
import { pulseText } from "../report/text/pulseText.ts";
import { toAscii } from "../report/text/style.ts";
import { type PulseRun, pulseSteps } from "../studies/pulse.ts";
import type { PulseOptions } from "../studies/pulseOptions.ts";
import { type PulsePlan, pulsePlan } from "../studies/pulsePlan.ts";
import { palette } from "./colour.ts";
import { type Provenance, understoodDesign } from "./designInput.ts";
import { EXIT } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Host } from "./host.ts";
import { described, type Input, readInput } from "./input.ts";
import type { Look, Outcome } from "./outcome.ts";
import { type DriveFile, readDrive } from "./pulseCommandDrive.ts";
import { checkPulseFiles, writePulseFiles } from "./pulseCommandFiles.ts";
import { picturesLine, pulseOptions } from "./pulseCommandOptions.ts";
import { readTablesFile } from "./tablesFile.ts";
import { type Context, notComputed, notFinite, told, unsettled } from "./transient.ts";
import { type Trouble, trouble } from "./trouble.ts";

/** Most points of a series: about 0.1 GB a dozen of them. */
const POINTS_MAX = 1_000_000;

/** `reedlift pulse`: one pulse or a train, its margins, figures, pictures and series. */
export async function pulseCommand(
  argument: string | null,
  flags: Flags,
  look: Look,
  host: Host,
): Promise<Outcome> {
  const asked = pulseOptions(argument as string, flags);
  checkPulseFiles(flags);
  const tables = flags.tables === undefined ? null : await readTablesFile(flags.tables, host);
  const input = await readInput(argument as string, host);
  const drive = await readDrive(flags, host);
  const provenance = {
    design: described(input),
    tables: tables === null ? null : described(tables.input),
    drive: drive?.described ?? null,
  };
  const { read, troubles } = understoodDesign(input, tables, provenance);
  const { design } = read;
  const settled = settle(design, { ...asked, ...drive?.options }, drive, input, provenance);
  troubles.push(...settled.troubles);
  if (flags.dryRun === true) return understood(read, settled.plan, look, troubles, provenance);

  const run = await computed(design, settled.options, settled.plan, look, host, {
    flags,
    input,
    provenance,
  });
  const { result } = run;
  const notes = await writePulseFiles(design, run, input, flags, settled.options);
  const pictures =
    flags.svg === undefined && input.name !== "standard input"
      ? { pictures: picturesLine(input.name, flags, "FOLDER") }
      : {};
  return {
    code: result.verdict.met || flags.exitZero === true ? EXIT.met : EXIT.notMet,
    result,
    text: () =>
      pulseText(design, result, {
        ascii: look.ascii,
        columns: look.columns,
        palette: palette(look.colour),
        ...pictures,
        ...(settled.gateFrom === null ? {} : { gateFrom: settled.gateFrom }),
      }),
    troubles,
    notes,
    provenance,
  };
}

interface Settled {
  options: PulseOptions;
  plan: PulsePlan;
  troubles: Trouble[];
  /** Where the gate's length comes from; null where it was given on the command line. */
  gateFrom: string | null;
}

function gateFrom(
  { pulse, need }: Design,
  asked: PulseOptions,
  { gate }: PulsePlan,
): string | null {
  if (asked.gate !== undefined || asked.edges !== undefined || asked.waveform !== undefined)
    return null;
  if (pulse.gate !== null) return "The gate is pulse.gate of the design.";
  if (need.gasPulse !== null && gate === need.gasPulse)
    return "The gate is need.gas_pulse itself: none was found that gives a gas pulse as long.";
  return need.gasPulse === null
    ? "The gate is half a period of the first resonance: neither --gate nor pulse.gate is given."
    : "The gate was looked for so that the gas pulse is as long as need.gas_pulse asks.";
}

/** Options and plan of the run, with what does not fit; a drawn drive gets the time that it lasts. */
function settle(
  design: Design,
  options: PulseOptions,
  drive: DriveFile | null,
  input: Input,
  provenance: Provenance,
): Settled {
  try {
    let plan = pulsePlan(design, options);
    // A gate that was found is kept, so that half the step compares the same pulse.
    let chosen = drive === null && plan.gate !== null ? { ...options, gate: plan.gate } : options;
    const past = drive !== null && drive.end >= plan.period;
    if (past && plan.rate === null && options.duration === undefined) {
      chosen = { ...chosen, duration: drive.end + plan.period };
      plan = pulsePlan(design, chosen);
    }
    if (plan.steps > POINTS_MAX)
      throw new RangeError(
        `${plan.steps} steps of ${plan.step} s are too many for one period: at most ${POINTS_MAX}`,
      );
    const cut = drive !== null && drive.end >= plan.period;
    if (cut && plan.rate !== null)
      throw new RangeError(
        `the drive lasts ${drive.end} s, longer than the period of ${plan.period} s`,
      );
    const late = trouble("drive-cut", "the drive goes on after the time that is computed", {
      severity: "warning",
      file: drive?.described.name ?? "",
      found: `a last point at ${drive?.end} s, ${plan.period} s computed`,
      hint: "give a longer --duration",
    });
    return {
      options: chosen,
      plan,
      troubles: cut ? [late] : [],
      gateFrom: gateFrom(design, options, plan),
    };
  } catch (error) {
    const hint = `reedlift check ${input.name} shows what the design says of its drive`;
    throw unsettled(error, "pulse", hint, input, provenance);
  }
}

/** Runs it, with a turn of the event loop between pulses: an interrupt ends here, before any file. */
async function computed(
  design: Design,
  options: PulseOptions,
  plan: PulsePlan,
  look: Look,
  host: Host,
  context: Context,
): Promise<PulseRun> {
  const { flags } = context;
  const progress = told(host, look, flags, "pulse", plan.count);
  try {
    const steps = pulseSteps(design, options);
    for (;;) {
      const next = steps.next();
      await setImmediate();
      if (next.done === true) {
        const place = notFinite(next.value.result, "result");
        if (place !== null) throw new RangeError(`${place} is not finite`);
        return next.value;
      }
      progress.at(next.value);
    }
  } catch (error) {
    const smaller = Number((plan.step * 0.5e6).toPrecision(3));
    throw notComputed(
      error,
      "the pulse could not be computed",
      `try a smaller step (--step "${smaller} µs"), fewer modes (--modes 4), or --linear; if it stays, look for an extreme value in the design`,
      context,
    );
  } finally {
    progress.end();
  }
}

function understood(
  read: ReadResult & { ok: true },
  plan: PulsePlan,
  { ascii }: Look,
  troubles: readonly Trouble[],
  provenance: Provenance,
): Outcome {
  const { text, gate, period, step, steps, count, rate } = plan;
  const line = `# would compute: ${text}; ${steps} steps of ${Number((step * 1e6).toPrecision(6))} µs a pulse\n`;
  const whole = line + read.canonical;
  return {
    code: EXIT.met,
    result: {
      understood: read.canonical,
      plan: {
        text,
        gate_s: gate,
        period_s: period,
        step_s: step,
        steps,
        pulses: count,
        rate_Hz: rate,
      },
    },
    text: () => (ascii ? toAscii(whole) : whole),
    troubles,
    notes: ["Nothing computed, nothing written (--dry-run)."],
    provenance,
  };
}
