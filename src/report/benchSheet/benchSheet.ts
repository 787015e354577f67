import type { Design } from "../../design/design.ts";
import type { SheetResult } from "../../sheet/result.ts";
import { formatQuantity } from "../../units/index.ts";
import { escapeText as esc } from "../figures/svg.ts";
import { benchCautions } from "./cautions.ts";
import { type Drawing, leverDrawing, screenDrawing, stripDrawing } from "./drawing.ts";
import { type Lever, type LeverWish, leverOf } from "./lever.ts";
import { type PolarityTest, polarityTests } from "./polarity.ts";
import type { Row, Step } from "./rows.ts";
import { benchSteps } from "./steps.ts";
import { STYLE } from "./style.ts";

/** The bench sheet as data: the `result` object of `reedlift bench-sheet --json`. */
export interface BenchSheet {
  lever: Lever;
  polarity: PolarityTest[];
  steps: Step[];
}

export interface BenchSheetOptions extends LeverWish {
  /** Name of the design file, as command lines write it. */
  file: string;
  /** Where it comes from, in one line. */
  origin: string;
}

/** What to measure on this design, in which order, with what to expect. */
export function benchSheet(
  design: Design,
  result: SheetResult,
  options: BenchSheetOptions,
): BenchSheet {
  const lever = leverOf(design, result, options);
  return {
    lever,
    polarity: polarityTests(design, result, lever),
    steps: benchSteps(design, result, lever, options.file),
  };
}

/** The sheet as one self-contained HTML file that prints to A4 or Letter. */
export function benchSheetPage(
  design: Design,
  result: SheetResult,
  options: BenchSheetOptions,
): string {
  const sheet = benchSheet(design, result, options);
  const { lever, polarity, steps } = sheet;
  const [incoming, ...rest] = steps as [Step, ...Step[]];
  const drawn = new Map<string, Drawing[]>([
    [
      "lever",
      [stripDrawing(design, lever), leverDrawing(design, lever), screenDrawing(lever, polarity)],
    ],
  ]);
  return [
    "<!doctype html>",
    `<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>Bench sheet: ${esc(design.name)}</title><style>${STYLE}</style></head><body>`,
    `<header><h1>Bench sheet: ${esc(design.name)}</h1><p class="origin">${esc(options.origin)}</p></header>`,
    fields(["strip no.", "date", "by", "temperature", "humidity"]),
    cautions(design, result),
    '<p class="how">Work from top to bottom. Expected values come from the check of this design, value(standard uncertainty); write what is found, with its uncertainty, beside them. The line under each table reduces the file of that measurement.</p>',
    step(incoming, 1, []),
    polarityPart(design, lever, polarity, 2),
    ...rest.map((each, i) => step(each, i + 3, drawn.get(each.id) ?? [])),
    `<section><h2>Remarks</h2><div class="lines">${"<i></i>".repeat(7)}</div></section>`,
    "</body></html>\n",
  ].join("\n");
}

const fields = (names: readonly string[]) =>
  `<p class="fields">${names.map((name) => `<span>${esc(name)}<i></i></span>`).join("")}</p>`;

function cautions(design: Design, result: SheetResult): string {
  const rows = benchCautions(design, result).map(
    ({ text, action }) => `<li><b>${esc(text)}</b> ${esc(action)}</li>`,
  );
  return `<section class="cautions"><h2>Cautions first</h2><ul>${rows.join("")}</ul></section>`;
}

function step({ title, do: does, rows, lines }: Step, number: number, drawings: Drawing[]): string {
  return [
    `<section><h2>${number}. ${esc(title)}</h2>`,
    ...does.map((sentence) => `<p>${esc(sentence)}</p>`),
    ...drawings.map(({ svg, scale, sentence }) => {
      const words = sentence.startsWith("Scale") ? "" : `<figcaption>${esc(sentence)}</figcaption>`;
      return `<figure data-scale="${esc(scale)}">${svg}${words}</figure>`;
    }),
    table(rows),
    ...lines.map((line) => `<pre>${esc(line)}</pre>`),
    "</section>",
  ].join("\n");
}

function table(rows: readonly Row[]): string {
  if (rows.length === 0) return "";
  const body = rows.map(
    ({ label, expected, path }) =>
      `<tr><th scope="row">${esc(label)}</th><td${path === undefined ? "" : ` data-figure="${esc(path)}"`}>${expected === null ? "" : esc(expected)}</td><td class="blank"></td><td class="blank u"></td></tr>`,
  );
  return `<table><thead><tr><th>what</th><th>expected</th><th>found</th><th>u</th></tr></thead><tbody>${body.join("")}</tbody></table>`;
}

function polarityPart(
  design: Design,
  lever: Lever,
  tests: readonly PolarityTest[],
  number: number,
): string {
  const unmarked = design.strip.polarityMark === "unmarked";
  const title = `<section><h2>${number}. Polarity, at low voltage${unmarked ? ": this strip is not marked" : ""}</h2>`;
  if (tests.length === 0)
    return `${title}<p>The design has no wiring yet: give it, and this table tells which electrode, which voltage, which way.</p></section>`;
  const length = (x: number) => formatQuantity(Math.abs(x), 0, "length", { digits: 2 });
  const way = (x: number) => (x > 0 ? "up" : "down");
  const rows = tests.map((test) => {
    const still = Math.abs(test.deflection) < 1e-9;
    const layers = test.layers
      .map(({ number: k, along }) => `${k} (${along ? "with" : "against"} poling)`)
      .join(", ");
    return `<tr><th scope="row">+${test.voltage} V on ${esc(test.electrode)}; ground on ${esc(test.others.join(", "))}</th><td>${esc(layers)}</td><td>${still ? "stays" : `${way(test.deflection)} ${length(test.deflection)}`}</td><td data-polarity="${esc(test.electrode)}">${still ? "stays" : `${way(test.spot)} ${length(test.spot)}`}</td><td class="blank"></td></tr>`;
  });
  const point = design.pad === undefined ? "tip" : "pad";
  const field = Math.max(...tests.map((test) => test.field));
  return [
    title,
    `<p>${unmarked ? "Poling is drawn as you think it is; find out before any other voltage. " : "Check the mark before any other voltage. "}Laser on the mirror, screen ${esc(formatQuantity(lever.distance, 0, "length", { digits: 3 }))} away (drawing below). Touch with ±5 V, then ±10 V, through 10 kΩ, from a supply that cannot give more. On the thinnest layer that is ${esc(formatQuantity(field, 0, "field", { digits: 2 }))}: no ceramic loses its poling by it, whichever way it is poled. Reversing the voltage must reverse the way.</p>`,
    `<table class="polarity"><thead><tr><th>connect</th><th>layers that see it</th><th>${point} goes</th><th>spot goes</th><th>found</th></tr></thead><tbody>${rows.join("")}</tbody></table>`,
    "<p>A spot that goes the other way: the layer that sees the voltage is poled the other way round than drawn. Change its <code>poling</code> in the design, check again, and mark the strip. A spot that stays: that layer has no lead, or no poling. Where two layers see the voltage, tell them apart by the outer electrodes.</p>",
    "</section>",
  ].join("\n");
}
