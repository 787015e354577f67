import { causeOf } from "../../studies/diagnoseCauses.ts";
import type { CauseRow, DiagnosisResult } from "../../studies/diagnoseResult.ts";
import { kindOf, number } from "./calibrateText.ts";
import { type Column, table, wrap, wrapAfter } from "./lines.ts";
import { pulseHeading } from "./pulseTextLines.ts";
import { type TextOptions, type TextStyle, textStyle } from "./style.ts";

/** Causes listed. */
const LISTED = 8;
const BAR = 12;

/**
 * What the symptom finder says, for a terminal: verdict, ranked causes, the next test, the values. No line is wider than
 * `columns`; ends with a newline.
 */
export function diagnoseText(
  name: string,
  result: DiagnosisResult,
  options: TextOptions = {},
): string {
  const style = textStyle(options);
  const { words, columns, palette } = style;
  const looked = result.symptoms.map((symptom) => symptom.name).join("; ");
  const blocks: string[][] = [
    [
      ...wrapAfter("CAUSE  ", words(result.text), columns).map(palette.strong),
      ...wrap(words(`${name}${looked === "" ? "" : `; ${looked}`}`), columns).map(palette.quiet),
    ],
  ];
  const add = (title: string, lines: readonly string[]) => {
    if (lines.length > 0) blocks.push([pulseHeading(title, style), ...lines]);
  };
  add("Causes, likeliest first", causeLines(result, style));
  add("Next test", nextLines(result, style));
  add("Values against the design as it is", valueLines(result, style));
  add(
    "Notes",
    result.notes.flatMap((note) => wrap(words(note), columns)),
  );
  return `${blocks.map((block) => block.map((line) => line.trimEnd()).join("\n")).join("\n\n")}\n`;
}

const LEFT = (head: string): Column => ({ head, align: "left" });
const RIGHT = (head: string): Column => ({ head, align: "right" });

function shown(columns: readonly Column[], rows: readonly string[][], style: TextStyle): string[] {
  return table(columns, rows, style.columns).flatMap((part) => [
    style.palette.quiet(part.head),
    ...part.body,
  ]);
}

const percent = (share: number) => (share < 0.005 ? "< 1 %" : `${Math.round(100 * share)} %`);

function causeLines({ causes, not_to_blame: blameless }: DiagnosisResult, style: TextStyle) {
  const { words, glyphs } = style;
  const rows = causes.slice(0, LISTED).map((row) => {
    const filled = Math.round(row.share * BAR);
    return [
      words(row.name.replace(/:.*/, "")),
      percent(row.share),
      glyphs.used.repeat(filled) + glyphs.left.repeat(BAR - filled),
      percent(row.share_before),
      row.chi_squared === null ? "-" : `${Number(row.chi_squared.toPrecision(3))}`,
      blameless.includes(row.id) ? "not to blame" : words(sizeText(row)),
    ];
  });
  const heads = [
    LEFT("cause"),
    RIGHT("share"),
    LEFT(""),
    RIGHT("before"),
    RIGHT(words("χ²")),
    LEFT("fitted"),
  ];
  const rest = causes.length - LISTED;
  const more = rest > 0 ? [`${rest} more, each less likely.`] : [];
  return [...shown(heads, rows, style), ...more];
}

/** Sizes below this are not worth a word. */
const NOTHING = 1e-3;

/** "added 12 mg", "d31 lost 22 %"; what is all but zero is left out. */
function sizeText({ sizes }: CauseRow): string {
  return sizes
    .flatMap(({ name, unit, value }) => {
      if (unit === "m" || unit === "kg") {
        const micro = value * 1e6;
        return Math.abs(micro) < 0.1
          ? []
          : [`${name} ${Number(micro.toPrecision(2))} ${unit === "m" ? "μm" : "mg"}`];
      }
      if (Math.abs(value) < NOTHING) return [];
      return unit === "share"
        ? [`${name} ${Number((100 * value).toPrecision(2))} %`]
        : [`${name} ${Number(value.toPrecision(2))}`];
    })
    .join(", ")
    .replaceAll("-", "−");
}

function nextLines({ next_tests: tests }: DiagnosisResult, style: TextStyle): string[] {
  const { words, columns } = style;
  return tests.flatMap(({ test, between, expect }, i) => [
    ...wrapAfter(`${i + 1}. `, words(`${test}:`), columns),
    ...between.flatMap((id, k) =>
      wrapAfter(
        "     ",
        words(`${expect[k] ?? ""} if ${causeOf(id).name.replace(/:.*/, "")}`),
        columns,
      ),
    ),
  ]);
}

function valueLines({ values }: DiagnosisResult, style: TextStyle): string[] {
  const { words } = style;
  if (values.length === 0) return [];
  const rows = values.map((v) => [
    words(v.name),
    number(v.measured, v.u_measured, kindOf(v), style),
    number(v.expected, v.u_expected, kindOf(v), style),
    words(v.en.toFixed(2).replace("-", "−")),
    v.explained === null ? "-" : number(v.explained, null, kindOf(v), style),
  ]);
  const heads = [
    LEFT("value"),
    RIGHT("measured"),
    RIGHT("as designed"),
    RIGHT("En"),
    RIGHT("with the first cause"),
  ];
  return shown(heads, rows, style);
}
