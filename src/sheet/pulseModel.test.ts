import { describe, expect, test } from "vitest";
import { EXAMPLES, exampleDesign } from "../../test/examples/support.ts";
import type { Design } from "../design/design.ts";
import { type DesignPulse, pulseModel } from "./pulseModel.ts";
import { buildStrip } from "./stripModel.ts";

function made(design: Design, modes?: number): DesignPulse {
  const out = pulseModel(design, modes);
  if ("reason" in out) throw new Error(out.reason);
  return out;
}

/** Static answers of the transient's coordinates. */
function statics({ model: { strip } }: DesignPulse) {
  let perForce = 0;
  let perMoment = 0;
  let slopePerMoment = 0;
  for (let i = 0; i < strip.count; i++) {
    const square = strip.omega[i]! ** 2;
    perForce += strip.pad[i]! ** 2 / square;
    perMoment += (strip.pad[i]! * strip.jump[i]!) / square;
    slopePerMoment += strip.jump[i]! ** 2 / square;
  }
  return { perForce, perMoment, slopePerMoment };
}

describe("statics of the transient's coordinates are the sheet's", () => {
  test.each(EXAMPLES)("of %s: pad stiffness and travel per moment to 1e-9", (name) => {
    for (const modes of [1, 4, 8]) {
      const design = exampleDesign(name);
      const pulse = made(design, modes);
      const strip = buildStrip(design);
      const { perForce, perMoment } = statics(pulse);
      expect(Math.abs(perForce * strip.padStiffness - 1)).toBeLessThan(1e-9);
      const side = pulse.model.strip.side;
      expect(Math.abs((perMoment * side) / strip.padPerMoment - 1)).toBeLessThan(1e-9);
    }
  });

  test("whatever gas lies around the strip and however near the wall", () => {
    const design = exampleDesign("argon-clusters");
    const near: Design = {
      ...design,
      surroundings: { ...design.surroundings, wallDistance: 0.4e-3 },
    };
    const a = statics(made(design));
    const b = statics(made(near));
    for (const key of ["perForce", "perMoment", "slopePerMoment"] as const)
      expect(Math.abs(a[key] / b[key] - 1)).toBeLessThan(1e-9);
    // A near wall slows the first mode.
    expect(made(near).firstResonance).toBeLessThan(made(design).firstResonance * 0.99);
  });

  test("without the width effect the slope per moment is that of a narrow strip, L/EI", () => {
    const design = exampleDesign("first-valve");
    const narrow: Design = { ...design, model: { ...design.model, width: "narrow" } };
    const { section, freeLength } = buildStrip(narrow);
    const expected = freeLength / section.bendingStiffness;
    expect(Math.abs(statics(made(narrow)).slopePerMoment / expected - 1)).toBeLessThan(1e-9);
  });
});

test("a soft clamp's own give stands beside the width effect, as in the sheet", () => {
  const design = exampleDesign("first-valve");
  for (const stiffness of [500, 50, 10]) {
    const soft: Design = { ...design, clamp: { ...design.clamp, rotationalStiffness: stiffness } };
    const strip = buildStrip(soft);
    const { perForce, perMoment } = statics(made(soft));
    expect(Math.abs(perForce * strip.padStiffness - 1)).toBeLessThan(1e-9);
    expect(Math.abs(perMoment / strip.padPerMoment - 1)).toBeLessThan(1e-9);
  }
});

test("a seat above turns the deflection at the pad round and nothing else", () => {
  const design = exampleDesign("first-valve");
  if (design.seat === undefined) throw new Error("no seat");
  const below = made(design).model.strip;
  const other = pulseModel({ ...design, seat: { ...design.seat, side: "above" } });
  if ("reason" in other) throw new Error(other.reason);
  const above = other.model.strip;
  expect(Array.from(above.pad)).toEqual(Array.from(below.pad, (x) => -x));
  expect(Array.from(above.jump)).toEqual(Array.from(below.jump));
  expect(Array.from(above.omega)).toEqual(Array.from(below.omega));
});

test("damping of the plain modes is 1/2Q of the sheet, that of the static shapes is given", () => {
  const { strip } = made(exampleDesign("first-valve")).model;
  const { structuralQ } = exampleDesign("first-valve").strip;
  expect(strip.count).toBe(strip.modes + 2);
  for (let i = 0; i < strip.modes; i++) {
    // Gas adds to the structure's own.
    expect(strip.zeta[i]!).toBeGreaterThanOrEqual(0.5 / structuralQ);
    const share = strip.gasShare[i]!;
    expect(strip.zeta[i]! * (1 - share) * 2 * structuralQ).toBeCloseTo(1, 9);
  }
  for (let i = strip.modes; i < strip.count; i++) expect(strip.zeta[i]!).toBe(0.9);
});

test("a design without wiring, without a switch or with a refused wiring has no pulse, and says why", () => {
  const design = exampleDesign("first-valve");
  const { wiring: _, ...unwired } = design;
  const { switch: __, ...switchless } = design;
  const bias = design.rails.bias!;
  const wrong = { ...design, rails: { bias: { ...bias, voltage: -bias.voltage } } };
  const reason = (d: Design) => {
    const out = pulseModel(d);
    return "reason" in out ? out.reason : "";
  };
  expect(reason(unwired as Design)).toContain("wiring");
  expect(reason(switchless as Design)).toContain("switch");
  expect(reason(wrong)).toContain("refused");
});
