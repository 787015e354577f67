import type { Design } from "../../design/design.ts";
import type { PulseResult } from "../../studies/pulseResult.ts";
import { formatQuantity } from "../../units/index.ts";
import { jetTable } from "./jetTable.ts";
import { wrap, wrapAfter } from "./lines.ts";
import { marginTable } from "./marginTable.ts";
import { commandLines, figureLines } from "./pulseTextFigures.ts";
import { pulseHeading } from "./pulseTextLines.ts";
import {
  auditLines,
  convergenceLines,
  electricLines,
  openingLines,
  trainLines,
} from "./pulseTextTables.ts";
import { type TextOptions, type TextStyle, textStyle } from "./style.ts";

export interface PulseTextOptions extends TextOptions {
  /** Command line that draws the pictures; without it none is named. */
  pictures?: string;
  /** Where the gate's length comes from, as a sentence. */
  gateFrom?: string;
}

/** Share of the losses that the audit may leave open, and relative change at half the step, without a caution. */
const OPEN_MAX = 0.01;

/**
 * A pulse or train for a terminal: verdict, margins, what was commanded, the pulse in lines, satellites, the
 * drive, the train, the energy audit, cautions, the way to the pictures. No line is wider than `columns`; ends
 * with a newline.
 */
export function pulseText(
  design: Design,
  result: PulseResult,
  options: PulseTextOptions = {},
): string {
  const style = textStyle(options);
  const blocks: string[][] = [verdictLines(design, result, style)];
  const add = (title: string, lines: readonly string[]) => {
    if (lines.length > 0) blocks.push([pulseHeading(title, style), ...lines]);
  };
  const last = result.pulses.at(-1);
  const { pulses: count, gate_s } = result.drive;
  if (result.margins.length > 0)
    add("Margins of the pulse, tightest first", marginTable(result.margins, style));
  const { gateFrom } = options;
  add("Commanded", [
    ...commandLines(result, style),
    ...(gateFrom === undefined ? [] : wrap(style.words(gateFrom), style.columns)),
  ]);
  if (last !== undefined) {
    const name = count === 1 ? "The pulse" : `Pulse ${last.number} of ${count}`;
    const start = gate_s === null ? "the start of the drive" : "the gate edge";
    add(name, figureLines(result, last, style));
    const drawn = gate_s === null;
    const again = [last.satellites, last.reclosures].flatMap((list, i) =>
      list.length > 0 ? [i === 0 ? "satellites" : drawn ? "openings" : "re-closures"] : [],
    );
    add(capital(again.join(" and ")), openingLines(last, start, drawn, style));
    add("Drive in the pulse", electricLines(result, last, style));
  }
  if (result.jet !== null)
    add(
      count === 1 ? "Free jet at the peak of the flow" : "Free jet at the peak of the last flow",
      jetTable(result.jet, style),
    );
  if (count > 1) add("The train", trainLines(result, style));
  add(
    count === 1 ? "Where the energy went" : `Where the energy went, ${count} pulses`,
    auditLines(result.audit, style),
  );
  if (result.convergence !== null)
    add(
      count === 1 ? "At half the step" : "At half the step, last pulse",
      convergenceLines(result.convergence, result.drive.step_s, style),
    );
  add("Cautions", cautionLines(result, style));
  if (options.pictures !== undefined)
    blocks.push(wrap(style.words(`Pictures: ${options.pictures}`), style.columns));
  return `${blocks.map((block) => block.map((line) => line.trimEnd()).join("\n")).join("\n\n")}\n`;
}

const capital = (words: string) => words.charAt(0).toUpperCase() + words.slice(1);

function verdictLines(design: Design, result: PulseResult, style: TextStyle): string[] {
  const { palette, words, columns, ascii } = style;
  const { met, text } = result.verdict;
  const paint = met ? palette.met : palette.unmet;
  // The word in front says whether they are met.
  const what = text.replace(/^not met: /, "");
  const lines = wrapAfter(`${met ? "MET" : "NOT MET"}  `, words(what), columns);
  const q = (x: number, kind: "length" | "pressure") =>
    formatQuantity(x, 0, kind, { ascii, digits: 4 });
  const parts = [
    design.name,
    result.drive.text,
    ...(design.gas === undefined
      ? []
      : [
          `${design.gas.name} ${q(design.need.plenumPressure, "pressure")} absolute`,
          `orifice ${q(design.need.orificeDiameter, "length")}`,
        ]),
  ];
  return [
    ...lines.map((line) => paint(line)),
    ...wrap(words(parts.join("; ")), columns).map((line) => palette.quiet(line)),
  ];
}

export interface PulseCaution {
  text: string;
  action: string;
}

/** What a reader of the figures must know before trusting them. */
export function* pulseCautions(result: PulseResult): Generator<PulseCaution> {
  const last = result.pulses.at(-1);
  const valve = !("gas" in result.reasons);
  const percent = (x: number) => `${Number((100 * x).toPrecision(2))} %`;
  if (valve && result.start.contact_force_N <= 0)
    yield {
      text: "the pad does not press on the seat before the gate: gas flows all the time",
      action: "reedlift check says what seals it: more stand-off, or a bias that bends it shut",
    };
  if (result.drive.closing_from_s === null)
    yield {
      text: "this drive has no end to count from: closing, contact speed and satellites are not judged",
      action: "look at the openings above, and at the pictures",
    };
  if (last !== undefined && valve && last.peak_lift_m <= 0)
    yield {
      text: "the valve does not open",
      action: "reedlift check shows the opening voltage, and what mends it",
    };
  if (last?.stays_open === true)
    yield {
      text:
        result.drive.rate_Hz === null
          ? "the valve is still open when the computed time ends: gas and widths are cut off there"
          : "the valve does not close within its period",
      action:
        result.drive.rate_Hz === null
          ? "give a longer --duration"
          : "a shorter gate or a lower rate",
    };
  if (last?.satellites.some((opening) => opening.to_s === null) === true)
    yield {
      text: "a satellite is still open when the computed time ends",
      action: "give a longer --duration or a lower rate",
    };
  const train = unsettled(result);
  if (train !== null) yield train;
  if (result.audit.relative > OPEN_MAX)
    yield {
      text: `the energy audit leaves ${percent(result.audit.relative)} open: figures may be off by as much`,
      action: "compute with a smaller --step",
    };
  for (const { figure, value, difference } of result.convergence ?? [])
    if (value !== null && difference !== null && Math.abs(difference) > OPEN_MAX * Math.abs(value))
      yield {
        text: `${figure} changes by ${percent(Math.abs(difference / value))} at half the step`,
        action: "compute with a smaller --step until it stays",
      };
}

/** A train whose pulses alternate, or have not come to stay the same; null: neither, or too short to tell. */
function unsettled({ pulses, drive }: PulseResult): PulseCaution | null {
  const gas = (k: number) => pulses.at(k)?.gas?.amount_mol ?? pulses.at(k)?.peak_lift_m ?? 0;
  if (drive.pulses < 4 || !(gas(-1) > 0)) return null;
  const change = (k: number) => Math.abs(gas(-1) - gas(k)) / gas(-1);
  if (change(-2) <= OPEN_MAX) return null;
  const by = `${Number((100 * change(-2)).toPrecision(2))} %`;
  return change(-3) < 0.2 * change(-2)
    ? {
        text: `the pulses alternate: the last one differs by ${by} from the one before, and not from the second before`,
        action: "a little more or less rate, gate or damping ends it: reedlift rates shows where",
      }
    : {
        text: `the train has not settled: the last pulse differs by ${by} from the one before`,
        action: "compute more of them with --count",
      };
}

function cautionLines(result: PulseResult, style: TextStyle): string[] {
  const { words, columns, palette } = style;
  return [...pulseCautions(result)].flatMap(({ text, action }) => [
    ...wrapAfter("! ", words(text), columns).map((line) => palette.caution(line)),
    ...wrap(words(action), columns - 4).map((line) => `    ${line}`),
  ]);
}
