import type { CalibrationResult, FittedParameter } from "../../studies/calibrateResult.ts";
import { isQuantityKind } from "../../units/index.ts";
import { printQuantity } from "../figureUnits.ts";
import { type Column, table, wrap, wrapAfter } from "./lines.ts";
import { pulseHeading } from "./pulseTextLines.ts";
import { type TextOptions, type TextStyle, textStyle } from "./style.ts";

export interface CalibrateTextOptions extends TextOptions {
  /** Command line that writes the revision; without it none is named. */
  next?: string;
}

/**
 * A calibration for a terminal: verdict, measured against predicted before and after, what changed, what is held, what
 * is correlated, what would explain the values alone. No line is wider than `columns`; ends with a newline.
 */
export function calibrateText(
  name: string,
  result: CalibrationResult,
  options: CalibrateTextOptions = {},
): string {
  const style = textStyle(options);
  const blocks: string[][] = [verdict(name, result, style)];
  const add = (title: string, lines: readonly string[]) => {
    if (lines.length > 0) blocks.push([pulseHeading(title, style), ...lines]);
  };
  add("Measured against predicted", valueLines(result, style));
  add("What the values tell", parameterLines(result, style));
  add("Held: the values tell nothing of them; their uncertainty counts", heldLines(result, style));
  add("Known only together", correlationLines(result, style));
  add("What would explain the values alone", causeLines(result, style));
  add("Step trace", traceLines(result, style));
  add("Notes", noteLines(result, style));
  if (options.next !== undefined)
    blocks.push(wrap(style.words(`New revision: ${options.next}`), style.columns));
  return `${blocks.map((block) => block.map((line) => line.trimEnd()).join("\n")).join("\n\n")}\n`;
}

/** A number of a kind with its u; deflection over voltage in μm/V. */
export function number(
  value: number,
  u: number | null,
  kind: string | null,
  style: TextStyle,
  digits = 4,
): string {
  const { ascii, words } = style;
  if (kind === null) {
    const unit = ascii ? "um/V" : "μm/V";
    return words(
      printQuantity(value * 1e6, u === null ? null : u * 1e6, null, unit, { ascii, digits }),
    );
  }
  const known = isQuantityKind(kind) ? kind : null;
  return words(printQuantity(value, u, known, kind, { ascii, digits }));
}

/** Force over voltage has no kind of its own: it is written in its SI unit. */
export const kindOf = ({ figure, kind }: { figure: string; kind: string | null }) =>
  figure.endsWith("_N_V") ? "N/V" : kind;

/** "0.8 %", "62 %", "< 0.01 %". */
export function chance(p: number): string {
  if (p < 1e-4) return "< 0.01 %";
  return `${Number((100 * p).toPrecision(2))} %`;
}

function verdict(name: string, result: CalibrationResult, style: TextStyle): string[] {
  const { palette, words, columns } = style;
  const { agreement: a } = result;
  const good = result.status === "converged" && a.agree;
  const head = result.status !== "converged" ? "NOT CONVERGED" : good ? "AGREES" : "DISAGREES";
  const paint = good ? palette.met : palette.unmet;
  const values = `${a.degrees_of_freedom} value${a.degrees_of_freedom === 1 ? "" : "s"}`;
  const quiet = [
    name,
    `as designed χ² = ${round(a.chi_squared_before)} for ${values} (chance ${chance(a.probability_before)})`,
    `calibrated χ² = ${round(a.chi_squared)} (chance ${chance(a.probability)})`,
    `the values settle ${result.combinations} combination${result.combinations === 1 ? "" : "s"} of numbers better than known before`,
  ];
  return [
    ...wrapAfter(`${head}  `, words(result.text), columns).map((line) => paint(line)),
    ...wrap(words(quiet.join("; ")), columns).map((line) => palette.quiet(line)),
  ];
}

const round = (x: number) => `${Number(x.toPrecision(3))}`;
const signed = (x: number, digits = 2) => x.toFixed(digits).replace("-", "−");

function shown(columns: readonly Column[], rows: readonly string[][], style: TextStyle): string[] {
  return table(columns, rows, style.columns).flatMap((part) => [
    style.palette.quiet(part.head),
    ...part.body,
  ]);
}

const LEFT = (head: string): Column => ({ head, align: "left" });
const RIGHT = (head: string): Column => ({ head, align: "right" });

function valueLines(result: CalibrationResult, style: TextStyle): string[] {
  const { words } = style;
  const rows = result.values.map((value) => {
    const pulls = value.figure === result.pulling && Math.abs(value.en_after ?? 0) > 1;
    return [
      words(value.name),
      number(value.measured, value.u_measured, kindOf(value), style),
      number(value.before, value.u_before, kindOf(value), style),
      words(signed(value.en_before)),
      number(value.after, value.u_after, kindOf(value), style),
      value.en_after === null ? "-" : words(signed(value.en_after)),
      pulls ? "pulls" : "",
    ];
  });
  const columns = [
    LEFT("value"),
    RIGHT("measured"),
    RIGHT("as designed"),
    RIGHT("En"),
    RIGHT("calibrated"),
    RIGHT("En"),
    LEFT(""),
  ];
  return [
    ...shown(columns, rows, style),
    ...wrap(
      words(
        "En beyond ±1: they differ by more than twice the standard uncertainty of the difference.",
      ),
      style.columns,
    ).map(style.palette.quiet),
  ];
}

const PRIORS: Record<FittedParameter["prior"], string> = {
  design: "the design",
  table: "its tables",
  assumed: "assumed",
};

function parameterLines(result: CalibrationResult, style: TextStyle): string[] {
  const { words } = style;
  if (result.parameters.length === 0) return [];
  const rows = result.parameters.map((p) => [
    words(p.name),
    number(p.before, p.u_before, p.kind, style),
    number(p.after, p.u_after, p.kind, style),
    words(`${signed(p.shift, 1)} u`),
    `${Math.round(100 * p.ratio)} %`,
    PRIORS[p.prior],
  ]);
  const columns = [
    LEFT("number"),
    RIGHT("known before"),
    RIGHT("calibrated"),
    RIGHT("moved"),
    RIGHT("u left"),
    LEFT("before from"),
  ];
  const why = result.parameters.filter((p) => p.why !== "" && p.ratio < 0.9);
  return [
    ...shown(columns, rows, style),
    ...why
      .flatMap((p) => wrap(words(`${p.name}: ${p.why}.`), style.columns))
      .map(style.palette.quiet),
    ...result.taken.flatMap((t) =>
      wrap(
        words(
          `Taken as ${t.as}: these values can't tell the ${t.name.replace(/,.*/, "")} from a length.`,
        ),
        style.columns,
      ).map(style.palette.quiet),
    ),
  ];
}

function heldLines(result: CalibrationResult, style: TextStyle): string[] {
  const { words } = style;
  if (result.held.length === 0) return [];
  const items = result.held.map((h) => `${h.name} ${number(h.value, h.u, h.kind, style)}`);
  return wrap(words(`${items.join("; ")}.`), style.columns);
}

/** Correlations listed. */
const LISTED = 6;

function correlationLines(result: CalibrationResult, style: TextStyle): string[] {
  const { words, columns } = style;
  const strong = result.correlations.filter(({ r }) => Math.abs(r) > 0.3).slice(0, LISTED);
  if (strong.length === 0) return [];
  const names = new Map([...result.parameters, ...result.held].map((p) => [p.key, p.name]));
  return strong.flatMap(({ a, b, r }) =>
    wrap(words(`r = ${signed(r)}  ${names.get(a) ?? a} and ${names.get(b) ?? b}`), columns),
  );
}

function causeLines(result: CalibrationResult, style: TextStyle): string[] {
  const { words } = style;
  if (result.causes.length === 0 || result.agreement.agree_before) return [];
  const rows = result.causes.map((c) => [
    words(c.name),
    number(c.before, null, c.kind, style),
    number(c.value, null, c.kind, style),
    words(`${signed(c.distance, 1)} u`),
    round(c.chi_squared),
    chance(c.probability),
    c.explains ? "explains them" : "not to blame",
  ]);
  const columns = [
    LEFT("if only this were wrong"),
    RIGHT("as designed"),
    RIGHT("it would be"),
    RIGHT("from known"),
    RIGHT(words("χ²")),
    RIGHT("chance"),
    LEFT(""),
  ];
  return shown(columns, rows, style);
}

function traceLines({ trace }: CalibrationResult, style: TextStyle): string[] {
  if (trace === null) return [];
  const { words } = style;
  const rows = trace.fitted.map((f) => [
    words(f.name),
    number(f.start, null, f.kind, style),
    number(f.value, f.u, f.kind, style),
  ]);
  const length = (x: number) => number(x, null, "length", style, 3);
  return [
    ...shown([LEFT("fitted to the trace"), RIGHT("start"), RIGHT("found")], rows, style),
    ...wrap(
      words(
        `${trace.points} points; measured less model ${length(trace.rms_before_m)} rms as designed, ${length(trace.rms_after_m)} calibrated and fitted; noise of the recording ${length(trace.noise_m)}.`,
      ),
      style.columns,
    ),
    ...trace.notes.flatMap((note) => wrap(words(note), style.columns)),
  ];
}

function noteLines(result: CalibrationResult, style: TextStyle): string[] {
  return result.notes.flatMap((note) => wrap(style.words(note), style.columns));
}
