import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { sequenceLength, zvSequence } from "../../src/physics/shaping.ts";
import { eiSequence } from "../../src/physics/shapingInsensitive.ts";
import {
  residualVibration,
  toleratedBand,
  waveformResidual,
  worstResidual,
} from "../../src/physics/shapingResidual.ts";
import { raisedCosineEdge, rampEdge, waveformLength } from "../../src/physics/waveform.ts";

const DOCUMENT = readFileSync(join(import.meta.dirname, "../../docs/shaping.md"), "utf8");
const ZETA = 0.02;

/** Row of the table in the document, without its name. */
function rowOf(name: string): string[] {
  const line = DOCUMENT.split("\n").find((text) => text.startsWith(`| ${name} |`));
  return line!
    .split("|")
    .slice(2, -1)
    .map((cell) => cell.trim());
}

const three = (value: number) => value.toFixed(3);

function residuals(residual: (f: number) => number, length: number): string[] {
  const worst = (error: number) => worstResidual(residual, 1, error, length).residual;
  return [residual(1), worst(0.05), worst(0.1), worst(0.2)].map(three);
}

test.each([
  ["ZV", zvSequence(1, ZETA)],
  ["ZVD", zvSequence(1, ZETA, 1)],
  ["EI for 5 %", eiSequence(1, ZETA, 0.05)],
])("the document's row of %s is what is computed", (name, sequence) => {
  const length = sequenceLength(sequence);
  const band = toleratedBand(sequence, 1, ZETA, 0.05)!;
  expect(rowOf(name)).toEqual([
    three(length),
    ...residuals((f) => residualVibration(sequence, f, ZETA), length),
    `${three(band.from)} to ${three(band.to)}`,
  ]);
});

test.each([
  ["ramp of one period", rampEdge(1)],
  ["raised cosine of 1.5 periods", raisedCosineEdge(1.5, 1e-6)],
])("the document's row of a %s is what is computed", (name, edge) => {
  const length = waveformLength(edge);
  expect(rowOf(name)).toEqual([
    three(length),
    ...residuals((f) => waveformResidual(edge, f, ZETA), length),
    "",
  ]);
});
