import { availableParallelism } from "node:os";
import { setImmediate } from "node:timers/promises";
import type { Design } from "../design/design.ts";
import type { ReadResult } from "../design/readDesign.ts";
import { ratesText } from "../report/text/ratesText.ts";
import { toAscii } from "../report/text/style.ts";
import {
  type RateFigures,
  type RatesOptions,
  type RatesResult,
  rateOrder,
  ratesResult,
} from "../studies/rates.ts";
import {
  CELL_STATES,
  mapOrder,
  newRatesMap,
  putCell,
  type RatesMap,
  type RatesMapOptions,
} from "../studies/ratesMap.ts";
import { type RatesPlan, ratesPlan } from "../studies/ratesPlan.ts";
import { palette } from "./colour.ts";
import { type Provenance, understoodDesign } from "./designInput.ts";
import { EXIT } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Host } from "./host.ts";
import { described, type Input, readInput } from "./input.ts";
import type { Look, Outcome } from "./outcome.ts";
import { checkRatesFiles, writeRatesFiles } from "./ratesCommandFiles.ts";
import { type RatesAsked, ratesOptions } from "./ratesCommandOptions.ts";
import {
  type RatesAnswer,
  type RatesJob,
  type RatesPiece,
  ratesOnWorkers,
  ratesPieces,
} from "./ratesCommandWorker.ts";
import { readTablesFile } from "./tablesFile.ts";
import { type Context, notComputed, told, unsettled } from "./transient.ts";

/** `reedlift rates`: a scan of repetition rates, and a map over gate lengths. */
export async function ratesCommand(
  argument: string | null,
  flags: Flags,
  look: Look,
  host: Host,
): Promise<Outcome> {
  const asked = ratesOptions(argument as string, flags);
  checkRatesFiles(flags, asked.lengths !== null);
  const tables = flags.tables === undefined ? null : await readTablesFile(flags.tables, host);
  const input = await readInput(argument as string, host);
  const provenance = {
    design: described(input),
    tables: tables === null ? null : described(tables.input),
  };
  const { read, troubles } = understoodDesign(input, tables, provenance);
  const { design } = read;
  const settled = settle(design, asked, input, provenance);
  if (flags.dryRun === true) return understood(read, settled, look, troubles, provenance);

  const found = await computed(design, asked, settled, look, host, { flags, input, provenance });
  const { result, map } = found;
  const notes = await writeRatesFiles(design, result, map, input, flags);
  const pictures =
    flags.svg === undefined && input.name !== "standard input"
      ? { pictures: `reedlift rates ${input.name} --svg FOLDER` }
      : {};
  return {
    code: codeOf(result, flags),
    result: map === null ? result : { ...result, map: mapResult(map) },
    text: () =>
      ratesText(design, result, {
        ascii: look.ascii,
        columns: look.columns,
        palette: palette(look.colour),
        ...pictures,
      }),
    troubles,
    notes,
    provenance,
  };
}

/** Nothing computed at any rate is a failure; a wanted rate that is not met is a result. */
function codeOf(result: RatesResult, flags: Flags) {
  if (result.rates.every((r) => r.state === "failed")) return EXIT.failed;
  return result.verdict.met || flags.exitZero === true ? EXIT.met : EXIT.notMet;
}

interface Settled {
  plan: RatesPlan;
  /** Options with the gate that was found, so that no worker looks for it again. */
  options: RatesOptions;
  map: RatesMap | null;
  mapOptions: RatesMapOptions | null;
}

function settle(design: Design, asked: RatesAsked, input: Input, provenance: Provenance): Settled {
  try {
    const plan = ratesPlan(design, asked.options);
    const options = { ...asked.options, gate: plan.gate };
    const mapOptions = asked.lengths === null ? null : { ...options, lengths: asked.lengths };
    return {
      plan,
      options,
      map: mapOptions === null ? null : newRatesMap(design, mapOptions),
      mapOptions,
    };
  } catch (error) {
    const hint = `reedlift pulse ${input.name} shows a single pulse, reedlift check ${input.name} what the design says of its drive`;
    throw unsettled(error, "train", hint, input, provenance);
  }
}

/** Runs every rate, then every cell of the map, here or on workers: the same either way. */
async function computed(
  design: Design,
  asked: RatesAsked,
  { plan, options, map, mapOptions }: Settled,
  look: Look,
  host: Host,
  context: Context,
): Promise<{ result: RatesResult; map: RatesMap | null }> {
  const cases = new Array<RateFigures | null>(plan.rates.length).fill(null);
  const pieces: RatesPiece[] = [
    ...rateOrder(cases.length).map((index) => ({ what: "rate" as const, index })),
    ...(map === null ? [] : mapOrder(map)).map((index) => ({ what: "cell" as const, index })),
  ];
  const progress = told(host, look, context.flags, map === null ? "rate" : "place", pieces.length);
  const job: RatesJob = {
    reedlift: "rates",
    design,
    options,
    map:
      map === null || mapOptions === null
        ? null
        : { options: mapOptions, rates: map.rates, gates: map.gates },
  };
  let done = 0;
  const take = (answer: RatesAnswer) => {
    if ("figures" in answer) cases[answer.piece.index] = answer.figures;
    else if ("cell" in answer && map !== null) putCell(map, answer.piece.index, answer.cell);
    progress.at(++done / pieces.length);
  };
  try {
    const jobs = asked.jobs ?? availableParallelism();
    if (jobs === 1 || !(await ratesOnWorkers(job, pieces, jobs, take))) {
      const compute = await ratesPieces(job);
      for (const piece of pieces) {
        take(compute(piece));
        await setImmediate();
      }
    }
    return { result: ratesResult(design, plan, cases), map };
  } catch (error) {
    throw notComputed(
      error,
      "the rates could not be computed",
      "try a smaller --step, or --linear; if it stays, look for an extreme value in the design",
      context,
    );
  } finally {
    progress.end();
  }
}

/** The map as JSON holds it: null where nothing can be computed. */
function mapResult(map: RatesMap) {
  const numbers = (values: Float64Array) =>
    Array.from(values, (v) => (Number.isFinite(v) ? v : null));
  return {
    rates_Hz: map.rates,
    gates_s: map.gates,
    gas_over_single: numbers(map.gas),
    largest_change: numbers(map.change),
    state: Array.from(map.state, (s) => CELL_STATES[s] ?? null),
    allowed_change: map.allowed,
  };
}

function understood(
  read: ReadResult & { ok: true },
  { plan, map }: Settled,
  { ascii }: Look,
  troubles: Outcome["troubles"],
  provenance: Provenance,
): Outcome {
  const cells = map === null ? "" : `, and a map of ${map.total} places`;
  const line = `# would compute: ${plan.rates.length} rates from ${plan.from} to ${plan.to} Hz, gate ${plan.gate} s, step ${plan.step} s${cells}\n`;
  const whole = line + read.canonical;
  return {
    code: EXIT.met,
    result: {
      understood: read.canonical,
      plan: { gate_s: plan.gate, step_s: plan.step, rates_Hz: plan.rates },
    },
    text: () => (ascii ? toAscii(whole) : whole),
    troubles,
    notes: ["Nothing computed, nothing written (--dry-run)."],
    provenance,
  };
}
