import { expose, transfer } from "comlink";
import type { ImportResult } from "../../bench/import/index.ts";
import type { Recipe } from "../../bench/import/recipe.ts";
import type { Data, Kind } from "../../bench/kind.ts";
import { KINDS, kindNamed } from "../../bench/kinds.ts";
import type { TraceMark } from "../../bench/reduction.ts";
import type { Figure } from "../../report/figures/figure.ts";
import { reduceComparison } from "../../report/figures/reduceComparison.ts";
import { reduceFit } from "../../report/figures/reduceFit.ts";
import { reduceTrace } from "../../report/figures/reduceTrace.ts";
import { readingResult, reduceResult } from "../../report/reduceResult.ts";
import { calibrated } from "./benchCalibrate.ts";
import { diagnosed, symptoms } from "./benchDiagnose.ts";
import { importFile, recipeOf, recipeText, said } from "./benchImport.ts";
import { type Held, reduceFiles } from "./benchReduce.ts";
import type {
  FileAnswer,
  KindLook,
  Progress,
  ReadRequest,
  ReducedAnswer,
  ReduceRequest,
} from "./benchRequests.ts";
import { benchSheetOf } from "./benchSheet.ts";
import { buffersOf, partOf, type Trace, type TracePart, traceOf } from "./benchTrace.ts";
import { givenOf, valuesCsv } from "./benchWords.ts";
import { forPage } from "./forPage.ts";
import type { Drawn } from "./requests.ts";

/*
 * The worker of the bench: it reads the files, keeps their columns, reduces them. Between pieces of a file it
 * hears what else is asked, so that a reading can be stopped.
 */

interface Kept {
  result: Extract<ImportResult, { outcome: "data" }>;
  data: Data;
  kind: Kind;
  bytes: number;
  trace: Trace | null;
}

const files = new Map<number, Kept>();
const stopped = new Map<number, { over: boolean }>();
let held: Held | null = null;

function kindOf(name: string): Kind {
  const kind = kindNamed(name);
  if (kind === undefined) throw new RangeError(`no such measurement: ${name}`);
  return kind;
}

/** What can be measured, in the order of the bench. */
function kinds(): KindLook[] {
  return KINDS.map(({ name, summary, roles, settings, files: count }) => ({
    name,
    summary,
    roles,
    settings,
    files: count,
  }));
}

async function read(
  request: ReadRequest,
  onProgress: (progress: Progress) => void,
): Promise<FileAnswer> {
  const turn = { over: false };
  stopped.set(request.id, turn);
  files.delete(request.id);
  held = null;
  const kind = kindOf(request.kind);
  const result = await importFile(request, kind, onProgress, () => turn.over);
  if (result === null || turn.over) return { outcome: "stopped" };
  if (result.outcome !== "data") return result;
  const { data, reading, passed, recipe } = result;
  files.set(request.id, { result, data, kind, bytes: request.file.size, trace: null });
  return {
    outcome: "data",
    reading,
    passed,
    recipe,
    rows: data.rows,
    interval: data.interval,
    roles: [...data.columns.keys()],
  };
}

function stop(id: number): void {
  const turn = stopped.get(id);
  if (turn !== undefined) turn.over = true;
}

function close(id: number): void {
  stop(id);
  files.delete(id);
  held = null;
}

function trace(
  id: number,
  view: readonly [number, number] | null,
  width: number,
): TracePart | null {
  const kept = files.get(id);
  if (kept === undefined || kept.data.rows === 0) return null;
  kept.trace ??= traceOf(kept.data);
  const { axis } = kept.trace;
  const part = partOf(kept.trace, view ?? [axis.from, axis.to], width);
  return transfer(part, buffersOf(part));
}

function traceOnPaper(id: number, view: readonly [number, number], origin: string): Figure | null {
  const kept = files.get(id);
  if (kept === undefined) return null;
  kept.trace ??= traceOf(kept.data);
  const x = kept.trace.places === null ? {} : { view: { x: view } };
  const figure = reduceTrace(kept.kind, kept.data, marksOf(id), "measured", { origin, ...x });
  return figure === null ? null : { ...figure, csv: figure.csv };
}

const marksOf = (id: number): readonly TraceMark[] =>
  held !== null && held.files[0] === id ? held.reduction.marks : [];

function reduce(request: ReduceRequest): ReducedAnswer {
  const kind = kindOf(request.kind);
  const data = request.files.flatMap((id) => files.get(id)?.data ?? []);
  held = null;
  if (data.length !== request.files.length)
    return {
      ok: false,
      refusals: [
        { where: "the files", found: "one of them is not read", allowed: "read it first" },
      ],
    };
  const found = reduceFiles(kind, data, request);
  if ("ok" in found) return found;
  held = found;
  return givenOf(found);
}

function fitOnPaper(index: number, origin: string): Figure | null {
  const fit = held?.reduction.fits[index];
  if (held === null || fit === undefined) return null;
  const figure = reduceFit({ name: held.data[0]?.name ?? "" }, fit, `fit-${index + 1}`, { origin });
  return { ...figure, csv: figure.csv };
}

/** A fit at the size that it has on the page. */
function fitFigure(index: number, size: { width: number; height: number }): Drawn | null {
  const fit = held?.reduction.fits[index];
  if (held === null || fit === undefined) return null;
  const of = { name: held.data[0]?.name ?? "" };
  return forPage(reduceFit(of, fit, `fit-${index + 1}`, { size, bare: true }));
}

function comparisonOnPaper(origin: string): Figure | null {
  if (held === null) return null;
  const of = { name: held.data.map(({ name }) => name).join(", ") };
  const figure = reduceComparison(of, held.comparisons, { origin });
  return figure === null ? null : { ...figure, csv: figure.csv };
}

/** What `reedlift reduce --json` writes; files are named with their size, the page hashes none. */
function reducedJson(version: string): string | null {
  if (held === null) return null;
  const { kind, reduction, comparisons, settings, files: ids } = held;
  const read = ids.flatMap((id) => files.get(id) ?? []);
  const envelope = {
    schema: "https://reedlift.invalid/schema/reduce-1.json",
    version,
    provenance: {
      program: "reedlift",
      command: "reduce",
      kind: kind.name,
      data: read.map(({ data: { name }, bytes }) => ({ name, bytes, sha256: null })),
    },
    problems: [],
    result: reduceResult(
      reduction,
      comparisons,
      settings,
      read.map(({ result, data }) => readingResult(result, data.name)),
    ),
  };
  return `${JSON.stringify(envelope, null, 2)}\n`;
}

/** Values with their uncertainties and 95 % intervals, SI, as a table file. */
function reducedCsv(origin: string): string | null {
  return held === null ? null : valuesCsv(held, origin);
}

const calls = {
  kinds,
  read,
  stop,
  close,
  trace,
  traceOnPaper,
  reduce,
  fitFigure,
  fitOnPaper,
  comparisonOnPaper,
  reducedJson,
  reducedCsv,
  said: (line: string): Recipe => said(line),
  calibrate: calibrated,
  benchSheet: benchSheetOf,
  symptoms,
  diagnose: diagnosed,
  recipeText: (recipe: Recipe): string => recipeText(recipe),
  recipeOf: (text: string): Recipe | string => recipeOf(text),
};

export type BenchCalls = typeof calls;

expose(calls);
