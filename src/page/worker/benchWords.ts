import type { Comparison } from "../../bench/compare.ts";
import type { Fit, ResultTable, TraceMark, Value } from "../../bench/reduction.ts";
import { csvText } from "../../report/figures/csv.ts";
import { printFigure, unitOfFigure } from "../../report/figureUnits.ts";
import {
  figure,
  freedom,
  interval95,
  intervalText,
  percent,
} from "../../report/text/reduceLines.ts";
import { comparisonVerdict } from "../../report/text/reduceTextComparison.ts";
import { textStyle } from "../../report/text/style.ts";
import type { Held } from "./benchReduce.ts";
import type { BesideLine, FitLook, ReducedGiven, TableLook, ValueLine } from "./benchRequests.ts";

/** Everything of a reduced measurement in the words of the terminal. */

const STYLE = textStyle({});

export function givenOf(held: Held): ReducedGiven {
  const { kind, reduction, comparisons, files } = held;
  return {
    ok: true,
    kind: kind.name,
    verdict: verdictOf(held),
    values: reduction.values.map(valueLine),
    beside: comparisons.map(besideLine),
    fits: reduction.fits.map(fitLook),
    warnings: [
      ...reduction.warnings.map(({ text }) => text),
      ...(held.notCompared === null ? [] : [`Nothing to compare with: ${held.notCompared}.`]),
    ],
    tables: reduction.tables.map(tableLook),
    marks: Object.fromEntries(files.map((id, i) => [id, marksOf(held, i)])),
  };
}

/** Marks belong to the first file where a measurement has several. */
const marksOf = ({ reduction }: Held, i: number): readonly TraceMark[] =>
  i === 0 ? reduction.marks : [];

function verdictOf({ reduction, comparisons }: Held): string {
  const failed = reduction.fits.find(({ status }) => status !== "converged");
  if (failed !== undefined) return `Not converged: ${failed.title}: ${failed.ended}`;
  if (comparisons.length > 0) {
    const [mark, text] = comparisonVerdict(comparisons, STYLE);
    return `${mark.charAt(0)}${mark.slice(1).toLowerCase()}: ${text}`;
  }
  const first = reduction.values.find(({ value }) => value !== null);
  if (first === undefined) return "No value came out of it: see the reasons.";
  return `Measured: ${first.name} ${printFigure(first.key, first.value as number, first.u)}.`;
}

function valueLine(value: Value): ValueLine {
  const { key, name, reason, budget } = value;
  const ends = interval95(value);
  const sum = budget.reduce((total, { u }) => total + u * u, 0);
  const wordless = value.value === null || value.u === null;
  return {
    key,
    name,
    text: value.value === null ? null : printFigure(key, value.value, value.u),
    interval: ends === null ? null : intervalText(key, ends, false),
    freedom: value.u === null ? "" : freedom(value.degreesOfFreedom),
    reason: wordless ? (reason ?? null) : null,
    budget: budget.map(({ source, u }) => ({
      source,
      text: printFigure(key, u, null, { digits: 2 }),
      share: sum > 0 ? (u * u) / sum : 0,
    })),
  };
}

function besideLine(each: Comparison): BesideLine {
  const { key, name, of, from, measured, predicted, relative, en, agrees, says } = each;
  return {
    key,
    name,
    of,
    from,
    measured: printFigure(key, measured.value, measured.u),
    predicted: printFigure(key, predicted.value, predicted.u),
    difference: relative === null ? "–" : percent(relative, STYLE),
    en: en === null ? null : `${en < 0 ? "−" : ""}${Math.abs(en).toFixed(2)}`,
    agrees,
    says,
  };
}

function fitLook(fit: Fit): FitLook {
  const { points, free, chiSquared, reduced, weighted, correlations } = fit;
  const few = (x: number, digits: number) =>
    x !== 0 && (Math.abs(x) < 1e-3 || Math.abs(x) >= 1e5)
      ? x
          .toExponential(digits - 1)
          .replace("e+", "e")
          .replace("e-", "e−")
      : String(Number(x.toPrecision(digits)));
  const name = (key: string) => fit.parameters.find((each) => each.key === key)?.name ?? key;
  const pairs = [...correlations]
    .sort((a, b) => Math.abs(b.r) - Math.abs(a.r))
    .slice(0, 6)
    .map(
      ({ a, b, r }) => `${name(a)} with ${name(b)} ${r < 0 ? "−" : ""}${Math.abs(r).toFixed(2)}`,
    );
  return {
    title: fit.title,
    converged: fit.status === "converged",
    ended: `${fit.status}: ${fit.ended}`,
    quality: [
      `${points} points, ${free} free ${free === 1 ? "parameter" : "parameters"}`,
      reduced === null
        ? `χ² ${few(chiSquared, 4)}, no point left over`
        : `χ² ${few(chiSquared, 4)}, over ${points - free} degrees of freedom ${few(reduced, 3)}`,
      weighted
        ? "points weighted by their own uncertainties"
        : "points of equal, unknown uncertainty: u is scaled by the residuals",
    ].join("; "),
    parameters: fit.parameters.map(({ key, name: called, value, u, start, state }) => ({
      name: called,
      text: figure(key, value, state === "held" ? null : u, STYLE),
      start: figure(key, start, null, STYLE, 4),
      state: state === "bounded" ? "at its bound" : state,
    })),
    correlations: pairs.length === 0 ? null : `correlations above 0.1: ${pairs.join("; ")}`,
    drawn: fit.curve.x.length > 1,
  };
}

function tableLook({ title, columns, rows }: ResultTable): TableLook {
  return {
    title,
    columns: columns.map(({ name }) => name),
    rows: rows.map((row) =>
      columns.map(({ key }, c) => {
        const cell = row[c] ?? null;
        if (cell === null) return "–";
        return typeof cell === "string" ? cell : printFigure(key, cell, null, { digits: 4 });
      }),
    ),
  };
}

/** Values, SI, with unit, uncertainty and the ends of what holds 95 %, as a table file. */
export function valuesCsv({ kind, reduction, data }: Held, origin: string): string {
  const { values } = reduction;
  const finite = (x: number | null | undefined) =>
    x !== null && x !== undefined && Number.isFinite(x) ? x : null;
  const ends = values.map(interval95);
  return csvText(
    { table: `values of ${kind.name}`, data: data.map(({ name }) => name).join(", "), origin },
    [
      { name: "value", unit: "", values: values.map(({ key }) => key) },
      { name: "unit", unit: "", values: values.map(({ key }) => unitOfFigure(key).machine) },
      { name: "measured", unit: "", values: values.map(({ value }) => finite(value)) },
      { name: "u_measured", unit: "", values: values.map(({ u }) => finite(u)) },
      {
        name: "degrees_of_freedom",
        unit: "1",
        values: values.map((each) => finite(each.degreesOfFreedom)),
      },
      { name: "low_95", unit: "", values: ends.map((each) => finite(each?.[0])) },
      { name: "high_95", unit: "", values: ends.map((each) => finite(each?.[1])) },
      { name: "name", unit: "", values: values.map(({ name }) => name) },
      { name: "reason", unit: "", values: values.map(({ reason = "" }) => reason) },
    ],
  );
}
