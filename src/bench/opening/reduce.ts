import type { Design } from "../../design/design.ts";
import { type StraightLine, straightLine } from "../../numerics/straightLine.ts";
import { type GroupOfFit, groupOfFit, widenedWarning } from "../fitGroup.ts";
import { fitReport } from "../fitReport.ts";
import type { Data, Settings } from "../kind.ts";
import type { Fit, Reduction } from "../reduction.ts";
import { type Lines, type Readings, RUN, readingsOf } from "./readings.ts";
import { forcePerVolt, openingValues } from "./values.ts";
import { openingWarnings } from "./warnings.ts";

/** Values of an opening line; see the sheet's seat figures for the same from the design. */
export function reduceOpening(data: Data, settings: Settings, design: Design | null): Reduction {
  const readings = readingsOf(data, settings);
  const { x, v, closing, way, ux, uv } = readings;
  const up = way.filter((w) => w > 0).length;
  const both = up >= RUN && x.length - up >= RUN;
  const runs = both ? Array.from(way, (w) => (w > 0 ? 0 : 1)) : null;
  const opening = straightLine(x, v, ux, uv, runs);
  const group = groupOfFit(opening, uv !== null, "line of the opening voltage");
  const back = closing === null ? null : straightLine(x, closing, ux, uv, runs);
  const lines: Lines = {
    opening,
    group,
    runs: both ? 2 : 1,
    gap: closing === null ? null : gapOf(readings, closing, runs),
  };
  const force = forcePerVolt(settings, design);
  const values = openingValues(lines, settings, design, force);
  return {
    kind: "opening",
    values,
    fits: [
      reportLine("opening voltage against plenum pressure, straight line", opening, x, v, runs, uv),
      ...(back === null || closing === null
        ? []
        : [
            reportLine(
              "closing voltage against plenum pressure, straight line",
              back,
              x,
              closing,
              runs,
              uv,
            ),
          ]),
    ],
    warnings: [
      ...widenedWarning(group, "straight line"),
      ...openingWarnings(readings, lines, values, settings, design),
    ],
    tables: [],
    marks: [],
    covariance: null,
  };
}

/** Opening less closing voltage against pressure: errors of the pressure reading, common to both, drop out. */
function gapOf(
  { x, v, ux, uv }: Readings,
  closing: Float64Array,
  runs: readonly number[] | null,
): GroupOfFit {
  const gap = straightLine(
    x,
    v.map((value, i) => value - closing[i]!),
    ux,
    uv?.map((u) => u * Math.SQRT2) ?? null,
    runs,
  );
  return groupOfFit(gap, uv !== null, "line of opening less closing voltage");
}

function reportLine(
  title: string,
  line: StraightLine,
  x: Float64Array,
  y: Float64Array,
  runs: readonly number[] | null,
  uv: Float64Array | null,
): Fit {
  const n = line.parameters.length - 1;
  const names = n === 2 ? ["rising pressure", "falling pressure"] : [""];
  return fitReport(
    title,
    [
      ...names.map((name, g) => ({
        key: `intercept${n === 2 ? `_${g === 0 ? "up" : "down"}` : ""}_V`,
        name: name === "" ? "voltage at zero" : `voltage at zero, ${name}`,
        start: line.parameters[g]!,
      })),
      { key: "slope_V_Pa", name: "slope", start: line.parameters[n]! },
    ],
    line,
    uv !== null,
    {
      x,
      y,
      model: x.map((at, i) => line.parameters[runs?.[i] ?? 0]! + line.parameters[n]! * at),
      xName: "pressure difference",
      xUnit: "Pa",
      yName: "voltage from the closed state",
      yUnit: "V",
    },
  );
}
