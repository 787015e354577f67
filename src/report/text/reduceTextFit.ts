import type { Fit } from "../../bench/reduction.ts";
import { type Column, table, wrap, wrapAfter } from "./lines.ts";
import { figure } from "./reduceLines.ts";
import type { TextStyle } from "./style.ts";

const number = (x: number, digits: number) =>
  x !== 0 && (Math.abs(x) < 1e-3 || Math.abs(x) >= 1e5)
    ? x.toExponential(digits - 1).replace("e+", "e")
    : String(Number(x.toPrecision(digits)));

/** How a fit ended, its points and χ², each parameter with uncertainty and start, correlations above 0.1. */
export function fitLines(fit: Fit, style: TextStyle): string[] {
  const { words, columns, palette } = style;
  const { points, free, chiSquared, reduced, weighted, correlations } = fit;
  const count = `${points} points, ${free} free ${free === 1 ? "parameter" : "parameters"}`;
  const yUnit = fit.residualUnit ?? fit.curve.yUnit;
  const bare = /^\p{L}+$/u.test(yUnit);
  const unit = weighted || yUnit === "" ? "" : ` ${bare ? yUnit : `(${yUnit})`}²`;
  const left =
    reduced === null
      ? ", no point left over"
      : `, reduced (over ${points - free} degrees of freedom) ${number(reduced, 3)}${unit}`;
  const square = `χ² ${number(chiSquared, 4)}${unit}${left}`;
  const how = weighted
    ? "points weighted by their own uncertainties"
    : "points of equal, unknown uncertainty: u is scaled by the residuals";
  const ended = `${fit.status}: ${fit.ended}`;
  const paint = fit.status === "converged" ? palette.quiet : palette.unmet;
  return [
    ...wrap(words(ended), columns).map(paint),
    ...wrap(words(`${count}; ${square}; ${how}`), columns),
    ...parameterLines(fit, style),
    ...correlationLines(correlations, fit, style),
  ];
}

function parameterLines(fit: Fit, style: TextStyle): string[] {
  const { words, columns, palette } = style;
  const heads: Column[] = [
    { head: "parameter", align: "left" },
    { head: "value(u)", align: "right" },
    { head: "start", align: "right" },
    { head: "state", align: "left" },
  ];
  const rows = fit.parameters.map(({ key, name, value, u, start, state }) => [
    words(name),
    figure(key, value, state === "held" ? null : u, style),
    figure(key, start, null, style, 4),
    state === "bounded" ? "at its bound" : state,
  ]);
  return table(heads, rows, columns).flatMap((part) => [palette.quiet(part.head), ...part.body]);
}

/** Pairs that are named, the strongest first. */
const PAIRS = 6;

function correlationLines(correlations: Fit["correlations"], fit: Fit, style: TextStyle): string[] {
  if (correlations.length === 0) return [];
  const name = (key: string) => fit.parameters.find((p) => p.key === key)?.name ?? key;
  const sorted = [...correlations].sort((a, b) => Math.abs(b.r) - Math.abs(a.r));
  const pairs = sorted
    .slice(0, PAIRS)
    .map(
      ({ a, b, r }) => `${name(a)} with ${name(b)} ${r < 0 ? "−" : ""}${Math.abs(r).toFixed(2)}`,
    );
  const rest = sorted.length - PAIRS;
  const more = rest > 0 ? `; ${rest} more` : "";
  return wrapAfter(
    "",
    style.words(`correlations above 0.1: ${pairs.join("; ")}${more}`),
    style.columns,
  );
}
