import type { Kind, Prediction } from "./kind.ts";
import type { Reduction, Value } from "./reduction.ts";

/** A value beside one prediction of it. */
export interface Comparison {
  key: string;
  name: string;
  of: Prediction["of"];
  /** Where the prediction comes from. */
  from: string;
  /** SI; u null where none can be stated. */
  measured: { value: number; u: number | null };
  /** SI; u null where nothing that it depends on carries an uncertainty. */
  predicted: { value: number; u: number | null };
  /** Measured less predicted, SI. */
  difference: number;
  /** That over the prediction; null for a prediction of zero. */
  relative: number | null;
  /** Null with a reason where it can't be formed. */
  en: number | null;
  reason: string | null;
  /** |En| ≤ 1; null without En. */
  agrees: boolean | null;
  /** The outcome in plain words, with what a mismatch usually means. */
  says: string;
}

/** Coverage factor of the expanded uncertainties in En. */
export const EN_COVERAGE = 2;

/**
 * En = (x − X)/√(U_x² + U_X²), U = 2 u: the difference over its expanded uncertainty. |En| ≤ 1 agrees. For values
 * that are not correlated. Source: ISO 13528:2015, 9.7, and ISO/IEC 17043:2010, B.3.1.3 (definition from memory).
 */
export function enNumber(x: number, uMeasured: number, X: number, uPredicted: number): number {
  return (x - X) / (EN_COVERAGE * Math.hypot(uMeasured, uPredicted));
}

/**
 * Every value of a reduction beside what was predicted of it, in the order of the values, the design before the
 * catalogue. A prediction of a value that the data did not give is left out.
 */
export function compare(
  kind: Kind,
  reduction: Reduction,
  predictions: readonly Prediction[],
): Comparison[] {
  return reduction.values.flatMap((value) =>
    (["design", "catalogue"] as const).flatMap((of) =>
      predictions
        .filter((prediction) => prediction.key === value.key && prediction.of === of)
        .flatMap((prediction) => besideOne(kind, value, prediction)),
    ),
  );
}

function besideOne(kind: Kind, value: Value, prediction: Prediction): Comparison[] {
  if (value.value === null || !Number.isFinite(prediction.value)) return [];
  const uMeasured = stated(value.u, value.value);
  const uPredicted = stated(prediction.u, prediction.value);
  const reason = whyNot(value, uMeasured, uPredicted, prediction.of);
  const en =
    uMeasured === null || uPredicted === null || reason !== null
      ? null
      : enNumber(value.value, uMeasured, prediction.value, uPredicted);
  const agrees = en === null ? null : Math.abs(en) <= 1;
  const difference = value.value - prediction.value;
  return [
    {
      key: value.key,
      name: value.name,
      of: prediction.of,
      from: prediction.from,
      measured: { value: value.value, u: uMeasured },
      predicted: { value: prediction.value, u: uPredicted },
      difference,
      relative: prediction.value === 0 ? null : difference / Math.abs(prediction.value),
      en,
      reason,
      agrees,
      says: words(kind, value.key, difference, en, reason, prediction.of),
    },
  ];
}

/** Part of the variance that may come from the design's own numbers before a comparison with it means nothing. */
const SHARED = 0.1;

/** Whether a value was made with numbers of the design itself: its budget then says "from the design". */
function sharedWithDesign({ budget }: Value): boolean {
  const variance = (lines: Value["budget"]) => lines.reduce((sum, { u }) => sum + u * u, 0);
  const own = budget.filter(({ source }) => source.endsWith("from the design"));
  return variance(own) > SHARED * variance(budget);
}

/** Relative uncertainties below this are the rounding of a computation. */
const ROUNDING = 1e-12;

/** A standard uncertainty that says something: zero is no knowledge, only the lack of a number. */
const stated = (u: number | null, value: number): number | null =>
  u !== null && Number.isFinite(u) && u > ROUNDING * Math.abs(value) ? u : null;

function whyNot(
  value: Value,
  uMeasured: number | null,
  uPredicted: number | null,
  of: Prediction["of"],
): string | null {
  const reasons: string[] = [];
  if (uMeasured === null)
    reasons.push(
      value.reason === undefined
        ? "the measured value has no uncertainty: give the settings theirs, as in 300(1) mm"
        : `the measured value has no uncertainty: ${value.reason}`,
    );
  if (uPredicted === null)
    reasons.push(
      of === "design"
        ? "the design's number has no uncertainty: give one to the inputs it depends on, as in 0.20(1) mm"
        : "the catalogue figure has no uncertainty: give it one in the design, as in 100(10) µm",
    );
  if (of === "design" && uMeasured !== null && uPredicted !== null && sharedWithDesign(value))
    reasons.push(
      "it was made with numbers of the design itself, so that the two are not independent: measure those, too",
    );
  return reasons.length === 0 ? null : reasons.join("; ");
}

function words(
  kind: Kind,
  key: string,
  difference: number,
  en: number | null,
  reason: string | null,
  of: Prediction["of"],
): string {
  const against = of === "design" ? "the design" : "the catalogue";
  if (en === null) return `not judged: ${reason}`;
  if (Math.abs(en) <= 1) return `agrees with ${against}`;
  const way = difference > 0 ? "above" : "below";
  const mismatch = kind.mismatches?.find((each) => each.key === key);
  const meaning = mismatch === undefined ? "" : difference > 0 ? mismatch.high : mismatch.low;
  return meaning === "" ? `${way} ${against}` : `${way} ${against}: ${meaning}`;
}
