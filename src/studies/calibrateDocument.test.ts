import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { readDesign } from "../design/readDesign.ts";
import { evaluate } from "../sheet/evaluate.ts";
import { readMeasured } from "./calibrateDocument.ts";
import { readReduction } from "./calibrateReduction.ts";

const read = readDesign(readFileSync("examples/krypton-buffer.reed.yaml", "utf8"));
if (!read.ok) throw new Error("the example is refused");
const { design } = read;
const values = (text: string) =>
  readMeasured(text, "bench.yaml", design, () => evaluate(design, { detail: false }));
const problems = (text: string) => {
  const found = values(text);
  return found.ok ? [] : found.problems.map((p) => `${p.line}:${p.path}: ${p.message}`);
};
const one = (entry: string) => `reedlift_measured: 1\nvalues:\n  - ${entry}\n`;

describe("a file of measured values", () => {
  test("values, conditions and correlations", () => {
    const found = values(`reedlift_measured: 1
conditions: {in: vacuum}
values:
  - {figure: f1, value: 1035(3) Hz, leads: open}
  - {figure: swing, value: 160 ± 4 µm, voltage: -180 V, counted: one side, at: pad}
  - {figure: opening voltage, value: 92(2) V, with: {need.plenum_pressure: 2 bar}}
  - {figure: modes.open_vacuum_Hz.2, value: 20.3(1) kHz}
correlations:
  - {between: [1, 2], r: -0.5}
`);
    if (!found.ok) throw new Error(JSON.stringify(found.problems));
    const [f1, swing, opening, third] = found.set.values;
    expect(f1?.figure).toBe("first_resonance_Hz");
    expect(f1?.conditions).toMatchObject({ in: "vacuum", leads: "open" });
    expect(swing?.value).toBeCloseTo(160e-6, 12);
    expect(swing?.conditions).toMatchObject({ voltage: 180, counted: "one side", at: "pad" });
    expect(opening?.conditions.set).toEqual([{ key: "need.plenum_pressure", value: 2e5 }]);
    expect(third?.value).toBe(20300);
    expect(found.set.covariance[1]).toBeCloseTo(-0.5 * 3 * 4e-6, 12);
  });

  test("JSON says the same", () => {
    const found = values(
      '{"reedlift_measured": 1, "values": [{"figure": "capacitance", "value": "19.8(2) nF"}]}',
    );
    expect(found.ok && found.set.values[0]?.u).toBeCloseTo(0.2e-9, 15);
  });

  test.each([
    ["nothing that says so", "values: []", /0:: this is no file of measured values/],
    [
      "a misspelt figure",
      one("{figure: frst resonance, value: 1(1) Hz}"),
      /3:values\.0\.figure: no such figure/,
    ],
    [
      "no uncertainty",
      one("{figure: f1, value: 1035 Hz}"),
      /3:values\.0\.value: a measured value needs/,
    ],
    ["a wrong unit", one("{figure: f1, value: 1035(3) mm}"), /3:values\.0\.value/],
    ["travel with two readings", one("{figure: swing, value: 160(3) µm}"), /two readings/],
    [
      "an unknown key",
      one("{figure: f1, value: 1(1) Hz, im: air}"),
      /3:values\.0\.im: this key is not known/,
    ],
    [
      "a choice that is none",
      one("{figure: f1, value: 1(1) Hz, in: water}"),
      /3:values\.0\.in: not one of the choices/,
    ],
    [
      "a key that the design lacks",
      one("{figure: f1, value: 1(1) Hz, with: {need.pressure: 1 bar}}"),
      /no number of this key/,
    ],
    ["a bare number", one("{figure: f1, value: 1035}"), /a quantity with its unit/],
    ["broken text", "reedlift_measured: [", /./],
  ])("%s is refused with its place", (_, text, expected) => {
    expect(problems(text).join("\n")).toMatch(expected);
  });

  test("every problem at once", () => {
    expect(
      problems(`${one("{figure: f1, value: 1 Hz}")}  - {figure: f9, value: 2(1) Hz}\n`),
    ).toHaveLength(2);
  });
});

describe("a result of reduce", () => {
  const envelope = (result: unknown) => ({
    schema: "https://reedlift.invalid/schema/reduce-1.json",
    result,
  });

  test("values with their uncertainty and covariance; what the model lacks is named", () => {
    const found = readReduction(
      envelope({
        kind: "impedance",
        values: {
          first_resonance_Hz: 1035,
          u_first_resonance_Hz: 3,
          capacitance_F: 2e-8,
          u_capacitance_F: 1e-10,
          branch_resistance_ohm: 12,
          u_branch_resistance_ohm: 1,
        },
        covariance: {
          keys: ["capacitance_F", "first_resonance_Hz"],
          matrix: [1e-20, 1e-10, 1e-10, 9],
        },
      }),
      "sweep.json",
    );
    if (!("set" in found)) throw new Error(found.message);
    expect(found.set.values.map((v) => v.figure)).toEqual(["first_resonance_Hz", "capacitance_F"]);
    expect([...found.set.covariance]).toEqual([9, 1e-10, 1e-10, expect.closeTo(1e-20, 25)]);
    expect(found.left).toEqual(["branch_resistance_ohm"]);
  });

  test("nothing to compare is a problem that lists what there is", () => {
    const found = readReduction(envelope({ kind: "gauge", values: { rise_s: 1 } }), "gauge.json");
    expect("message" in found && found.found).toBe("rise_s");
  });
});
