import { readDesign } from "../../design/readDesign.ts";
import { number } from "../../report/text/calibrateText.ts";
import { textStyle } from "../../report/text/style.ts";
import { joined } from "../../studies/calibrateMeasured.ts";
import { readReduction } from "../../studies/calibrateReduction.ts";
import { diagnose } from "../../studies/diagnose.ts";
import { causeOf } from "../../studies/diagnoseCauses.ts";
import type { CauseRow, DiagnosisResult } from "../../studies/diagnoseResult.ts";
import { SYMPTOMS } from "../../studies/diagnoseSymptoms.ts";
import { TESTS } from "../../studies/diagnoseTests.ts";
import type { DiagnoseAnswer, DiagnoseRequest, Refusal, SymptomLook } from "./benchRequests.ts";

/* The symptom finder: `reedlift diagnose` for the design on the page, with values of this session. */

const STYLE = textStyle({});

/** What can be noticed, and the tests whose outcome can be told. */
export function symptoms(): SymptomLook {
  return {
    symptoms: SYMPTOMS.map(({ id, name }) => ({ id, name })),
    tests: TESTS.map(({ id, name, outcomes }) => ({ id, name, outcomes })),
  };
}

export function diagnosed(request: DiagnoseRequest): DiagnoseAnswer {
  const read = readDesign(request.design.text, { name: request.design.name });
  if (!read.ok)
    return {
      ok: false,
      refusals: [{ where: "the design", found: "it can't be read", allowed: "" }],
    };
  const refusals: Refusal[] = [];
  const sets = request.data.flatMap(({ name: from, json }) => {
    const found = readReduction(JSON.parse(json), from);
    if ("set" in found) return [found.set];
    refusals.push({ where: from, found: found.message, allowed: found.allowed });
    return [];
  });
  if (refusals.length > 0) return { ok: false, refusals };
  try {
    const result = diagnose(read.design, {
      symptoms: SYMPTOMS.filter(({ id }) => request.symptoms.includes(id)),
      values: joined(sets),
      series: [],
      outcomes: request.outcomes,
    });
    return { ok: true, ...wordsOf(result) };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return {
      ok: false,
      refusals: [{ where: "the search", found: error.message, allowed: "" }],
    };
  }
}

function wordsOf(result: DiagnosisResult) {
  const testId = (name: string) => TESTS.find((test) => test.name === name)?.id ?? null;
  return {
    verdict: result.text,
    causes: result.causes.map((cause) => ({
      id: cause.id,
      name: cause.name,
      mend: cause.mend,
      share: cause.share,
      before: cause.share_before,
      sizes: sizesOf(cause),
      blameless: result.not_to_blame.includes(cause.id),
    })),
    tests: result.next_tests.map(({ test, between, expect }) => ({
      id: testId(test),
      name: test,
      expect: between.map((id, k) => `${expect[k] ?? ""} if ${causeOf(id).name}`),
    })),
    values: result.values.map((value) => ({
      name: value.name,
      measured: number(value.measured, value.u_measured, value.kind, STYLE),
      expected: number(value.expected, value.u_expected, value.kind, STYLE),
      en: value.en,
      explained: value.explained === null ? null : number(value.explained, null, value.kind, STYLE),
    })),
    notes: result.notes,
  };
}

/** Sizes below this are not worth a word. */
const NOTHING = 1e-3;

function sizesOf({ sizes }: CauseRow): string {
  return sizes
    .flatMap(({ name, unit, value }) => {
      if (unit === "m" || unit === "kg") {
        const micro = value * 1e6;
        const said = `${name} ${Number(micro.toPrecision(2))} ${unit === "m" ? "μm" : "mg"}`;
        return Math.abs(micro) < 0.1 ? [] : [said];
      }
      if (Math.abs(value) < NOTHING) return [];
      return unit === "share"
        ? [`${name} ${Number((100 * value).toPrecision(2))} %`]
        : [`${name} ${Number(value.toPrecision(2))}`];
    })
    .join(", ")
    .replaceAll("-", "−");
}
