import { type Comparison, compare } from "../../bench/compare.ts";
import type { Data, Kind, Settings } from "../../bench/kind.ts";
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
  /** Why nothing could be compared; null: it could, or there is no design. */
  notCompared: string | null;
  settings: Settings;
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
    const compared = comparedWith(kind, data, settings, reduction, design);
    return { kind, data, files: request.files, reduction, ...compared, settings };
  } catch (error) {
    if (error instanceof BenchProblem) {
      const { where, found, allowed } = error;
      return { ok: false, refusals: [{ where, found, allowed }] };
    }
    if (!(error instanceof RangeError)) throw error;
    const found = `it could not be reduced (${error.message})`;
    const allowed = "look for an extreme value in the file or the set-up";
    return { ok: false, refusals: [{ where: "the measurement", found, allowed }] };
  }
}

/** The values beside what the design expects; a design that can't be computed takes only the comparison away. */
function comparedWith(
  kind: Kind,
  data: readonly Data[],
  settings: Settings,
  reduction: Reduction,
  design: Design | null,
): { comparisons: readonly Comparison[]; notCompared: string | null } {
  if (design === null || kind.predict === undefined) return { comparisons: [], notCompared: null };
  try {
    const predictions = kind.predict(design, data, settings, reduction);
    return { comparisons: compare(kind, reduction, predictions), notCompared: null };
  } catch (error) {
    if (!(error instanceof RangeError || error instanceof BenchProblem)) throw error;
    return { comparisons: [], notCompared: error.message };
  }
}

function designOf({ design }: ReduceRequest): Design | null {
  if (design === null) return null;
  const read = readDesign(design.text, { name: design.name });
  return read.ok ? read.design : null;
}
