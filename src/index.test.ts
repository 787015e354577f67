import { expect, test } from "vitest";
import * as library from "./index.ts";

/*
 * What the library promises by name. A name that goes away or changes its meaning is a change for its users: it
 * belongs in CHANGELOG.md.
 */
const PROMISED = {
  design: ["designSchema", "editDesign", "readDesign", "withFreeLength", "withValues"],
  sheet: ["fullCheck", "sheetText", "figuresOf"],
  studies: [
    ...["designMap", "designMapSteps", "judgeShapes", "pulse", "pulseSteps"],
    ...["rates", "ratesSteps", "ratesMap", "ratesMapSteps", "shapeStudy", "shapeSteps"],
    ...["stripProposals", "stripProposalsSteps", "NoPulseError"],
    ...["calibrate", "diagnose", "fitTrace", "independent", "joined"],
    ...["readMeasured", "revisedDesign"],
  ],
  bench: [
    ...["KINDS", "kindNamed", "readSettings", "compare", "enNumber", "BenchProblem"],
    ...["startImport", "importTable", "npyTable", "npzTable", "parquetTable"],
    ...["readRecipe", "recipeText", "readingText"],
    ...["reduceText", "reduceFit", "reduceTrace", "reduceComparison"],
  ],
  units: ["formatQuantity", "parseQuantity"],
};

test("every promised name is there, and nothing that is not promised", () => {
  expect(Object.keys(library).sort()).toEqual(Object.values(PROMISED).flat().sort());
  for (const [name, thing] of Object.entries(library)) expect(thing, name).toBeDefined();
});

test("a measurement goes from bytes to a value through public names alone", () => {
  const kind = library.kindNamed("opening");
  if (kind === undefined) throw new Error("opening is a kind");
  const text = "plenum pressure (bar),opening (V)\n1,47.1\n2,55.9\n3,65.1\n4,73.9\n";
  const reading = library.startImport({ name: "opening.csv", roles: kind.roles });
  reading.push(Uint8Array.from(text, (char) => char.charCodeAt(0)));
  const result = reading.finish();
  if (result.outcome !== "data") throw new Error(result.outcome);
  const { settings } = library.readSettings(kind, [], 1);
  const found = kind.reduce([result.data], settings, null);
  const zero = found.values.find(({ key }) => key === "opening_voltage_at_zero_V");
  // Least squares through (1, 47.1), (2, 55.9), (3, 65.1), (4, 73.9) by hand: 60.5 + 8.96 (x − 2.5).
  expect(zero?.value).toBeCloseTo(60.5 - 2.5 * 8.96, 9);
});
