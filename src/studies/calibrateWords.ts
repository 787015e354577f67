import type { CalibrationResult } from "./calibrateResult.ts";

/** What a calibration found, in one to three sentences. */
export function calibrationWords(result: CalibrationResult): string {
  const { agreement, causes, parameters, not_to_blame: blameless } = result;
  if (result.status !== "converged")
    return `The fit did not converge (${result.ended}); nothing here is to be used.`;
  const sentences: string[] = [];
  const first = parameters[0];
  if (agreement.agree_before)
    sentences.push(
      first === undefined
        ? "The values agree with the design, and tell nothing that is not known better already."
        : "The values agree with the design as it is; the calibration only makes it sharper.",
    );
  else if (agreement.agree)
    sentences.push(
      "The values do not agree with the design as it is; with the corrections below they do.",
    );
  else
    sentences.push(
      "The values agree neither with the design nor with any correction within its priors: look for a mistake in a measurement, its conditions, or something that the design leaves out.",
    );
  const alone = causes.filter(({ explains }) => explains);
  const best = alone[0];
  if (!agreement.agree_before && best !== undefined) {
    const also = alone.slice(1).map(({ name }) => name);
    sentences.push(
      `The ${best.name} alone explains them best${also.length === 0 ? "" : `; ${listed(also)} could, too`}.`,
    );
  }
  if (blameless.length > 0) sentences.push(`Not to blame: ${listed(blameless)}.`);
  return sentences.join(" ");
}

/** "a", "a and b", "a, b and c". */
export function listed(names: readonly string[]): string {
  if (names.length < 2) return names.join("");
  return `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`;
}
