import { readDesign } from "../../design/readDesign.ts";
import { chance, number } from "../../report/text/calibrateText.ts";
import { textStyle } from "../../report/text/style.ts";
import { calibrate } from "../../studies/calibrate.ts";
import { joined } from "../../studies/calibrateMeasured.ts";
import { readReduction } from "../../studies/calibrateReduction.ts";
import type { CalibrationResult } from "../../studies/calibrateResult.ts";
import {
  calibratedBefore,
  countedAlready,
  nextName,
  revisedDesign,
} from "../../studies/calibrateRevision.ts";
import type { CalibrateAnswer, CalibrateRequest, Refusal } from "./benchRequests.ts";

/* Calibration of the design on the page by reductions of this session: `reedlift calibrate` with the same numbers. */

const STYLE = textStyle({});

export async function calibrated(request: CalibrateRequest): Promise<CalibrateAnswer> {
  const { text, name, file } = request.design;
  const read = readDesign(text, { name });
  if (!read.ok) return refused([{ where: "the design", found: "it can't be read", allowed: "" }]);
  const refusals: Refusal[] = [];
  const origins = await Promise.all(
    request.data.map(async (each) => ({ name: each.name, sha256: await sha256(each.json) })),
  );
  for (const { name: twice } of countedAlready(text, origins))
    refusals.push({
      where: twice,
      found: "these values are in this design already",
      allowed: "the design that it was made from, or other values",
    });
  const sets = request.data.flatMap(({ name: from, json }) => {
    const found = readReduction(JSON.parse(json), from);
    if ("set" in found) return [found.set];
    refusals.push({ where: from, found: found.message, allowed: found.allowed });
    return [];
  });
  if (refusals.length > 0) return refused(refusals);
  try {
    const made = calibrate(read.design, joined(sets), {
      lengthKnown: calibratedBefore(text, "strip.free_length"),
    });
    const { result, parameters } = made;
    const revision = nextName(file ?? "design.reed.yaml");
    const covariance = `${revision.replace(/(\.reed)?\.(ya?ml|json)$/, "")}.covariance.json`;
    const design = { name: file ?? "a design without a file", sha256: await sha256(text) };
    const revised =
      result.status !== "converged"
        ? null
        : revisedDesign(text, read.design, parameters, result, {
            design,
            data: origins,
            covariance,
          });
    return {
      ok: true,
      ...wordsOf(result),
      revision:
        revised === null
          ? null
          : { name: revision, text: revised.text, changes: [...revised.changes], covariance },
      covariance: `${JSON.stringify(
        {
          reedlift_covariance: 1,
          revision,
          program: `reedlift ${request.version}`,
          made_from: design,
          data: origins,
          parameters: [...result.parameters, ...result.held].flatMap((p) =>
            result.covariance.keys.includes(p.key) ? [{ key: p.key, kind: p.kind }] : [],
          ),
          keys: result.covariance.keys,
          matrix: result.covariance.matrix,
        },
        null,
        2,
      )}\n`,
    };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return refused([{ where: "calibration", found: error.message, allowed: "" }]);
  }
}

const refused = (refusals: readonly Refusal[]): CalibrateAnswer => ({ ok: false, refusals });

const signed = (x: number, digits: number) => x.toFixed(digits).replace("-", "−");

function wordsOf(result: CalibrationResult) {
  const { agreement: a } = result;
  const count = `${a.degrees_of_freedom} ${a.degrees_of_freedom === 1 ? "value" : "values"}`;
  const names = new Map([...result.parameters, ...result.held].map((p) => [p.key, p.name]));
  return {
    converged: result.status === "converged",
    agrees: a.agree,
    verdict: result.text,
    ended: [
      result.ended,
      `as designed χ² = ${Number(a.chi_squared_before.toPrecision(3))} for ${count} (chance ${chance(a.probability_before)})`,
      `calibrated χ² = ${Number(a.chi_squared.toPrecision(3))} (chance ${chance(a.probability)})`,
    ].join("; "),
    values: result.values.map((value) => ({
      name: value.name,
      from: value.from,
      measured: number(value.measured, value.u_measured, value.kind, STYLE),
      before: number(value.before, value.u_before, value.kind, STYLE),
      enBefore: value.en_before,
      after: number(value.after, value.u_after, value.kind, STYLE),
      enAfter: value.en_after,
      pulls: value.figure === result.pulling,
      place: placeOf(value),
    })),
    parameters: result.parameters.map((p) => ({
      name: p.name,
      before: number(p.before, p.u_before, p.kind, STYLE),
      after: number(p.after, p.u_after, p.kind, STYLE),
      moved: `${signed(p.shift, 1)} u`,
      left: `${Math.round(100 * p.ratio)} %`,
      prior: { design: "the design", table: "its tables", assumed: "assumed" }[p.prior],
      why: p.why,
    })),
    held: result.held.map((h) => `${h.name} ${number(h.value, h.u, h.kind, STYLE)}`),
    correlations: result.correlations
      .slice(0, 6)
      .map(
        ({ a: one, b: other, r }) =>
          `${names.get(one) ?? one} with ${names.get(other) ?? other} ${signed(r, 2)}`,
      ),
    causes: a.agree_before
      ? []
      : result.causes.map((cause) => ({
          name: cause.name,
          before: number(cause.before, null, cause.kind, STYLE),
          value: number(cause.value, null, cause.kind, STYLE),
          distance: `${signed(cause.distance, 1)} u`,
          chance: chance(cause.probability),
          explains: cause.explains,
        })),
    blameless: result.not_to_blame,
    notes: result.notes,
  };
}

/** Over the standard uncertainty of the difference as designed: all values are seen on one axis. */
function placeOf(value: CalibrationResult["values"][number]) {
  const { measured, u_measured, before, u_before, after, u_after } = value;
  const unit = Math.hypot(u_measured, u_before);
  return {
    uMeasured: u_measured / unit,
    before: (before - measured) / unit,
    uBefore: u_before / unit,
    after: (after - measured) / unit,
    uAfter: u_after / unit,
  };
}

async function sha256(text: string): Promise<string> {
  const bytes = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text));
  return Array.from(new Uint8Array(bytes), (b) => b.toString(16).padStart(2, "0")).join("");
}
