import { readdirSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { type Declaration, faults, nameOf } from "./declare.ts";
import { PULSE } from "./pulse.ts";

const SEEDS = [11, 12, 13, 14];

test.each(PULSE.map((declaration) => [nameOf(declaration), declaration] as const))(
  "%s keeps its form in other base units",
  (_, declaration: Declaration) => {
    expect(faults(declaration, SEEDS)).toEqual([]);
  },
);

/** Functions of the transient that take or give no number with a unit of their own; each with the reason. */
const NO_LAW: Record<string, string> = {
  copyHysteresis: "copies",
  copyElectric: "copies",
  copyState: "copies",
  newSeries: "makes room",
  recordInto: "copies numbers of a state",
  fromBase64: "reads text",
  compiledKernel: "an instance of the compiled step",
  assemblyConstants: "writes text",
  suppliesCode: "numbers states",
  failed: "looks for what is no number",
  seriesColumns: "lists columns",
  comesIn: "compares times",
  loadSlots: "copies numbers",
  storeAccounts: "copies numbers",
  networksBeside: "lists networks",
  at: "looks an offset up",
  phi1: "a pure number of a pure number",
};

/** Parts of a whole run, exercised together by the runs declared in pulse.ts. */
const INSIDE_A_RUN = [
  ...["newElectric", "renewTangents", "book", "stepFor", "command", "chooseAtRest"],
  ...["chooseOutput", "outputCurrent", "outputTimeConstant", "limitHolds", "beginStep"],
  ...["finishStep", "networkFor", "giveCommand", "goOn", "partOf", "plenumAhead"],
  ...["layerMoment", "storedElectric", "hysteresisEnergies", "gridStep", "driveAt", "renewGas"],
  ...["settleBooks", "shapeInto", "addProducts", "bookPowers"],
  ...["advanceRecorded", "meet", "endForce", "finishMechanics", "huntFactor", "gasStep"],
  ...["placeLayers", "moveLayers", "inverseOf", "voltagesOf", "rhoOf", "largeSignalLayer"],
  ...["leavesLimit", "crosses", "supplyNoise", "chooseSupplies"],
  ...["loadRun", "loadState", "storeState", "loadElectric", "storeElectric"],
];

test("every public function of the transient is declared, part of a run, or named with a reason", async () => {
  const folder = join(import.meta.dirname, "..", "..", "src", "physics", "pulse");
  const files = readdirSync(folder).filter((n) => n.endsWith(".ts") && !n.endsWith(".test.ts"));
  const declared = new Set(PULSE.flatMap(({ of }) => of.map((f) => f.name)));
  const missing: string[] = [];
  for (const file of files) {
    // Trains in periodic state have tests of their own: a solver over whole runs.
    if (file.startsWith("periodic")) continue;
    const exported = (await import(join(folder, file))) as Record<string, unknown>;
    for (const [name, value] of Object.entries(exported)) {
      if (typeof value !== "function" || declared.has(name)) continue;
      if (name in NO_LAW || INSIDE_A_RUN.includes(name)) continue;
      missing.push(`${file}: ${name}`);
    }
  }
  expect(missing).toEqual([]);
});
