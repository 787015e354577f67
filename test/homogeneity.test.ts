import { readdirSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { type Declaration, declare, drawFactors, faults, nameOf } from "./homogeneity/declare.ts";
import { FLOW } from "./homogeneity/flow.ts";
import { GAS } from "./homogeneity/gas.ts";
import { JET } from "./homogeneity/jet.ts";
import { BREAKDOWN, CERAMIC, HEAT } from "./homogeneity/limits.ts";
import { SEAT } from "./homogeneity/seat.ts";
import { SHAPING } from "./homogeneity/shaping.ts";
import { STRIP } from "./homogeneity/strip.ts";
import { STRIP_DETAIL } from "./homogeneity/stripDetail.ts";
import { SUPPLY } from "./homogeneity/supply.ts";
import { DRIVE, WIRING } from "./homogeneity/wiring.ts";

const SEEDS = [11, 12, 13, 14];
const DECLARATIONS: readonly Declaration[] = [
  ...STRIP,
  ...STRIP_DETAIL,
  ...WIRING,
  ...DRIVE,
  ...SUPPLY,
  ...CERAMIC,
  ...BREAKDOWN,
  ...HEAT,
  ...GAS,
  ...FLOW,
  ...JET,
  ...SEAT,
  ...SHAPING,
];

test.each(DECLARATIONS.map((declaration) => [nameOf(declaration), declaration] as const))(
  "%s keeps its form in other base units",
  (_, declaration) => {
    expect(faults(declaration, SEEDS)).toEqual([]);
  },
);

/** Public functions that take or give no number with a unit, or are no law; each with the reason. */
const NO_LAW: Record<string, string> = {
  sourced: "makes a table entry",
  shearTerms: "number of functions in an element",
  detailDegree: "number of functions in an element",
  isDetailed: "which way a strip is assembled",
  checkSegments: "refuses what is not above 0",
  modalFunctional: "the shapes that `modes` declares, of all modes instead of a few",
  gasNamed: "looks a gas up in the tables",
  mixGases: "averages over gases of the tables",
  referenceShapes: "polynomials on the reference element, pure numbers",
  referenceIntegrals: "integrals on the reference element, pure numbers",
  plannedStates: "names and texts of states",
  jetGammaFault: "a sentence about the range of a ratio",
  checkSource: "refuses what is not above 0",
  dispersionOverK: "looks pair potentials up in the tables",
  condensationConstant: "looks a gas up in the tables",
  sequenceOf: "checks what it is given",
  unshaped: "one impulse of amplitude 1",
  checkMode: "checks what it is given",
  waveformOf: "checks what it is given",
  noProblems: "gathers words",
  contentLines: "parts text",
  cellsOf: "parts text",
  decimalMark: "reads text",
  numberReader: "reads text",
  delimiterOf: "reads text",
  headerCells: "parts text",
  readHeader: "reads text",
  addUnitsRow: "reads text",
  unitSettled: "reads text",
  readDriveText: "reads text",
  waveformFile: "writes text",
  commandFile: "writes text",
  timingFile: "writes text",
};

test("every public function of physics is declared, or named here with a reason", async () => {
  const folder = join(import.meta.dirname, "..", "src", "physics");
  const files = readdirSync(folder).filter((n) => n.endsWith(".ts") && !n.endsWith(".test.ts"));
  const declared = new Set(DECLARATIONS.flatMap(({ of }) => of.map((f) => f.name)));
  const missing: string[] = [];
  for (const file of files.filter((name) => name !== "index.ts")) {
    const exported = (await import(join(folder, file))) as Record<string, unknown>;
    for (const [name, value] of Object.entries(exported)) {
      if (typeof value !== "function" || declared.has(name) || name in NO_LAW) continue;
      missing.push(`${file}: ${name}`);
    }
  }
  expect(missing).toEqual([]);
});

test("a stray constant, a wrong exponent and an undeclared number are found", () => {
  const of = [() => 0];
  const spring = (k: number, x: number) => k * x;
  const call = (f: (k: number, x: number) => unknown): Declaration["call"] => {
    return ({ q }) => f(q(3, "N/mm"), q(2, "mm"));
  };
  expect(faults(declare({ of, call: call(spring), outputs: "N" }), SEEDS)).toEqual([]);
  const stray = call((k, x) => spring(k, x) + 0.01);
  expect(faults(declare({ of, call: stray, outputs: "N" }), SEEDS)).toHaveLength(1);
  const squared = call((k, x) => spring(k, x) * x);
  expect(faults(declare({ of, call: squared, outputs: "N" }), SEEDS)).toHaveLength(1);
  const hidden = call((k, x) => ({ force: spring(k, x), energy: spring(k, x) * x }));
  expect(faults(declare({ of, call: hidden, outputs: { force: "N" } }), SEEDS)).toEqual([
    "result.energy: no unit declared",
  ]);
  const verdict = call((k, x) => ({ high: spring(k, x) > 5 }));
  expect(faults(declare({ of, call: verdict, outputs: {} }), SEEDS)).toHaveLength(1);
});

test("a held unit keeps its factor and the others still change", () => {
  const logs = drawFactors(5, ["J/(mol·K)"]);
  const [kg, m, s, , K, mol] = logs as [number, number, number, number, number, number];
  expect(kg + 2 * m - 2 * s - K - mol).toBeCloseTo(0, 12);
  expect(Math.max(...logs.map(Math.abs))).toBeGreaterThan(0.1);
});
