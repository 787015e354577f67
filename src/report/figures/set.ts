import type { Design } from "../../design/design.ts";
import type { SheetResult } from "../../sheet/result.ts";
import { driveChain } from "./driveChain.ts";
import type { Figure } from "./figure.ts";
import { loadLines } from "./loadLines.ts";
import { lockoutBand } from "./lockoutBand.ts";
import { sectionView } from "./sectionView.ts";
import { type SideViewOptions, sideView } from "./sideView.ts";
import { windowChart } from "./windowChart.ts";

/** Every picture that a design has, in the order of the report; `state` is the one that the side view shows. */
export function figuresOf(
  design: Design,
  result: SheetResult,
  options: SideViewOptions = {},
): Figure[] {
  return [
    sideView(design, result, options),
    sectionView(design, result, options),
    windowChart(design, result, options),
    loadLines(design, result, options),
    driveChain(design, result, options.origin === undefined ? {} : { origin: options.origin }),
    lockoutBand(design, result, options),
  ].filter((figure) => figure !== null);
}
