import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import type { Design } from "../design/design.ts";
import { readDesign } from "../design/readDesign.ts";
import { withValues } from "../design/values.ts";
import { randomStream } from "../numerics/random.ts";
import { calibrate } from "./calibrate.ts";
import { type Conditions, independent, type Measured, USUAL } from "./calibrateMeasured.ts";
import { Bench, observableNamed } from "./calibrateObservables.ts";
import { calibrationParameters, designWith } from "./calibrateParameters.ts";

function designOf(text: string): Design {
  const read = readDesign(text, { name: "strip" });
  if (!read.ok) throw new Error(read.problems.map((p) => p.message).join("\n"));
  return read.design;
}
const KRYPTON = designOf(readFileSync("examples/krypton-buffer.reed.yaml", "utf8"));

type Asked = readonly [figure: string, relativeU: number, conditions?: Partial<Conditions>];

/** What a bench finds on a design that bends `stretch` further; `noise` draws the errors. */
function found(design: Design, stretch: number, asked: readonly Asked[], noise?: () => number) {
  const bench = new Bench(design, stretch);
  return independent(
    asked.map(([figure, relative, more]): Measured => {
      const conditions = { ...USUAL, ...more };
      const clean = bench.figure(figure, conditions) as number;
      const u = Math.abs(relative * clean);
      return {
        figure,
        name: figure,
        value: clean + (noise?.() ?? 0) * u,
        u,
        kind: observableNamed(figure)?.kind ?? null,
        conditions,
        from: "bench",
      };
    }),
  );
}

const F1: Asked = ["first_resonance_Hz", 0.003];
const SWING: Asked = ["swing_m", 0.02];
const FORCE: Asked = ["blocking_force_N", 0.03];
const STIFF: Asked = ["stiffness_N_m", 0.03];
const RATIO: Asked = ["resonance_ratio", 0.001];

const parameter = (result: ReturnType<typeof calibrate>["result"], key: string) =>
  result.parameters.find((p) => p.key === key);
const D31 = "materials.soft ceramic.d31";

describe("a strip that is really clamped at 14.8 mm", () => {
  test("f1 10.5 % low and swing 12 % high return 14.8 mm within 0.2 mm, and d31 is not to blame", () => {
    const data = found(KRYPTON, 0.8e-3, [F1, SWING]);
    const nominal = new Bench(KRYPTON);
    expect(data.values[0]!.value / nominal.figure("first_resonance_Hz", USUAL)!).toBeCloseTo(
      0.895,
      2,
    );
    expect(data.values[1]!.value / nominal.figure("swing_m", USUAL)!).toBeCloseTo(1.12, 1);
    const { result } = calibrate(KRYPTON, data);
    const length = parameter(result, "strip.free_length")!;
    expect(result.status).toBe("converged");
    expect(Math.abs(length.after - 14.8e-3)).toBeLessThan(0.1e-3);
    expect(length.u_after).toBeLessThan(0.25e-3);
    expect(Math.abs(parameter(result, D31)!.shift)).toBeLessThan(0.2);
    expect(result.agreement.agree_before).toBe(false);
    expect(result.agreement.agree).toBe(true);
    expect(result.causes[0]?.name).toBe("free length");
    expect(result.not_to_blame).toContain("d31");
  });

  test("force low as √f1 with them: sharper, below 0.2 mm", () => {
    const { result } = calibrate(KRYPTON, found(KRYPTON, 0.8e-3, [F1, SWING, FORCE]));
    const length = parameter(result, "strip.free_length")!;
    expect(Math.abs(length.after - 14.8e-3)).toBeLessThan(0.1e-3);
    expect(length.u_after).toBeLessThan(0.2e-3);
    expect(result.causes.filter((c) => c.explains).map((c) => c.name)).toEqual(["free length"]);
    for (const value of result.values) expect(Math.abs(value.en_after ?? 0)).toBeLessThan(0.2);
  });

  test("the calibrated design reproduces the resonance as well as it was measured", () => {
    const { result } = calibrate(KRYPTON, found(KRYPTON, 0.8e-3, [F1, SWING, FORCE]));
    const f1 = result.values[0]!;
    expect(f1.u_after).toBeLessThan(1.2 * f1.u_measured);
    expect(Math.abs(f1.after - f1.measured)).toBeLessThan(0.5 * f1.u_measured);
  });
});

describe("which number is to blame", () => {
  const planted = (key: string, factor: number, asked: readonly Asked[]) => {
    const input = KRYPTON.inputs.find((each) => each.key === key)!;
    const design = withValues(KRYPTON, [{ path: input.path, value: input.value * factor }]);
    return calibrate(KRYPTON, found(design, 0, asked)).result;
  };

  test("swing low and f1 as designed: d31, and not the length", () => {
    const result = planted(D31, 0.72, [F1, SWING, STIFF]);
    expect(result.not_to_blame).toContain("free length");
    expect(parameter(result, D31)!.after / -2.74e-10).toBeLessThan(0.85);
    expect(Math.abs(parameter(result, "strip.free_length")!.shift)).toBeLessThan(0.2);
  });

  test("a soft clamp shows in f2/f1 and enters; without it the clamp is taken as rigid and that is said", () => {
    const at = calibrationParameters(KRYPTON);
    const soft = at.map((p) => (p.input === null ? 0.08 : p.value));
    const { design } = designWith(KRYPTON, at, soft);
    const without = calibrate(KRYPTON, found(design, 0, [F1, SWING])).result;
    expect(without.taken.map((t) => t.key)).toEqual(["clamp.rotational_stiffness"]);
    const result = calibrate(KRYPTON, found(design, 0, [F1, SWING, RATIO, STIFF])).result;
    const compliance = parameter(result, "clamp.rotational_stiffness")!;
    expect(result.taken).toEqual([]);
    expect(Math.abs(compliance.after - 0.08)).toBeLessThan(2 * compliance.u_after);
    expect(compliance.after).toBeGreaterThan(0.04);
  });

  test("values that contradict each other are told, and which one pulls", () => {
    const data = found(KRYPTON, 0, [F1, SWING, STIFF, FORCE]);
    const values = data.values.map((v) =>
      v.figure === "stiffness_N_m" ? { ...v, value: 1.5 * v.value } : v,
    );
    const { result } = calibrate(KRYPTON, { ...data, values });
    expect(result.agreement.agree).toBe(false);
    expect(result.pulling).toBe("stiffness_N_m");
    expect(result.text).toMatch(/mistake/);
  });

  test("a held number keeps its value and its uncertainty counts", () => {
    const data = found(KRYPTON, 0.8e-3, [F1, SWING]);
    const { result } = calibrate(KRYPTON, data, { hold: ["strip.free_length"] });
    expect(parameter(result, "strip.free_length")).toBeUndefined();
    expect(result.held.map((h) => h.key)).toContain("strip.free_length");
  });

  test("a key that is no number to correct is refused", () => {
    const data = found(KRYPTON, 0, [F1]);
    expect(() => calibrate(KRYPTON, data, { free: ["strip.colour"] })).toThrow(/strip\.colour/);
  });
});

test("a value taken at another length shares what the clamp gives", () => {
  const lengths = [10e-3, 12e-3, 14e-3];
  const asked = lengths.map((freeLength): Asked => ["first_resonance_Hz", 0.003, { freeLength }]);
  const { result } = calibrate(KRYPTON, found(KRYPTON, 0.5e-3, asked));
  const length = parameter(result, "strip.free_length")!;
  // Three lengths tell the clamp from the modulus: f1 ∝ (L + ΔL)^-2 has its own shape.
  expect(Math.abs(length.after - 14.5e-3)).toBeLessThan(2 * length.u_after);
  expect(length.u_after).toBeLessThan(0.16e-3);
});

test("24 synthetic benches on the whole sheet: intervals of 95 % hold, no bias", () => {
  const parameters = calibrationParameters(KRYPTON).filter((p) => p.input !== null);
  let inside = 0;
  let counted = 0;
  let bias = 0;
  const runs = 24;
  for (let i = 0; i < runs; i++) {
    const stream = randomStream(5, i);
    const truth = parameters.map(({ value, u, lower, upper }) =>
      Math.min(Math.max(value + u * stream.normal(), lower), upper),
    );
    const { design, stretch } = designWith(KRYPTON, parameters, truth);
    const data = found(design, stretch, [F1, SWING, FORCE], () => stream.normal());
    const { result } = calibrate(KRYPTON, data);
    for (const p of result.parameters) {
      const j = parameters.findIndex(({ key }) => key === p.key);
      const z = (p.after - truth[j]!) / p.u_after;
      if (Math.abs(z) < 1.96) inside++;
      counted++;
      if (p.key === "strip.free_length") bias += z / runs;
    }
  }
  // Standard deviation of the share: √(0.95 × 0.05/counted) with some 5 numbers a bench, not independent: ±3 %.
  expect(inside / counted).toBeGreaterThan(0.9);
  // Of the mean of 24: 0.2.
  expect(Math.abs(bias)).toBeLessThan(0.5);
});
