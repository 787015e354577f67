import { type Comparison, compare } from "../../bench/compare.ts";
import type { Data, Kind } from "../../bench/kind.ts";
import { readSettings } from "../../bench/readSettings.ts";
import { BenchProblem, type Reduction } from "../../bench/reduction.ts";
import type { Design } from "../../design/design.ts";
import { readDesign } from "../../design/readDesign.ts";
import type { ReducedAnswer, ReduceRequest, Refusal } from "./benchRequests.ts";

/** A measurement as it was reduced last, whole. */
export interface Held {
  kind: Kind;
  data: readonly Data[];
  files: readonly number[];
  reduction: Reduction;
  comparisons: readonly Comparison[];
  settings: readonly { key: string; text: string }[];
  design: Design | null;
}

/** Reads settings and design, reduces, compares. Refusals are an answer; faults of the program are thrown. */
export function reduceFiles(
  kind: Kind,
  data: readonly Data[],
  request: ReduceRequest,
): Held | (ReducedAnswer & { ok: false }) {
  const design = designOf(request);
  const { settings, problems, missing } = readSettings(kind, request.settings, data.length);
  const refusals: Refusal[] = problems.map(({ key, message, found, allowed, hint }) => ({
    where: `setting ${key.replaceAll("-", " ")}`,
    found: `${message} (${found})`,
    allowed: hint === "" ? allowed : `${allowed}; ${hint}`,
  }));
  if (design === null)
    for (const { key, summary } of missing)
      refusals.push({
        where: `setting ${key.replaceAll("-", " ")}`,
        found: "not given",
        allowed: summary,
      });
  if (refusals.length > 0) return { ok: false, refusals };
  try {
    const reduction = kind.reduce(data, settings, design);
    const predictions =
      design === null ? [] : (kind.predict?.(design, data, settings, reduction) ?? []);
    const comparisons = compare(kind, reduction, predictions);
    const { files, settings: texts } = request;
    return { kind, data, files, reduction, comparisons, settings: texts, design };
  } catch (error) {
    if (!(error instanceof BenchProblem)) throw error;
    const { where, found, allowed } = error;
    return { ok: false, refusals: [{ where, found, allowed }] };
  }
}

function designOf({ design }: ReduceRequest): Design | null {
  if (design === null) return null;
  const read = readDesign(design.text, { name: design.name });
  return read.ok ? read.design : null;
}
