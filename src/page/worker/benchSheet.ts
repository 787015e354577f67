import { readDesign } from "../../design/readDesign.ts";
import { benchSheetPage } from "../../report/benchSheet/benchSheet.ts";
import { checkDesign } from "../../sheet/check.ts";

/** What `reedlift bench-sheet` takes without options. */
const RESOLUTION = 1e-6;
const READING = 0.2e-3;

/** The bench sheet of a design as one HTML file; why there is none as { reason }. */
export function benchSheetOf(
  text: string,
  name: string,
  file: string,
  version: string,
): string | { reason: string } {
  const read = readDesign(text, { name });
  if (!read.ok) return { reason: "the design can't be read" };
  try {
    const { result } = checkDesign(read.design, { waysOut: false });
    return benchSheetPage(read.design, result, {
      resolution: RESOLUTION,
      reading: READING,
      file,
      origin: `reedlift ${version}, ${file}; remade by: reedlift bench-sheet ${file}`,
    });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return { reason: error.message };
  }
}
