import { describe, expect, test } from "vitest";
import { exampleDesign } from "../../test/examples/support.ts";
import type { SupplierFigures } from "../design/design.ts";
import { withFreeLength } from "../design/values.ts";
import { buildElectrical } from "./electrical.ts";
import { reconcileCatalogue, reconcileMeasured } from "./reconcile.ts";
import { buildStrip } from "./stripModel.ts";

const design = exampleDesign("mirror-shutter");
const LENGTH = design.strip.freeLength;

/** What the model itself says at a length, for figures with planted departures. */
function modelled(length: number, mounted: boolean) {
  const bare = mounted ? design : { ...design, masses: [] };
  const at = withFreeLength(bare, length);
  const strip = buildStrip(at);
  const electrical = buildElectrical(at, strip);
  if (electrical === null) throw new Error("the example has a wiring");
  const volts = Math.abs(electrical.outputHigh - electrical.outputLow);
  const moment = Math.abs((electrical.moments[0] as number) - (electrical.moments[1] as number));
  return {
    volts,
    travel: strip.tipPerMoment * moment,
    force: strip.tipPerMoment * strip.tipStiffness * moment,
    capacitance: electrical.switchedCapacitance,
    f1: ((strip.basis.omega[0] as number) / (2 * Math.PI)) * strip.width.frequency,
  };
}

function figures(
  departure: { travel?: number; force?: number; f1?: number; capacitance?: number },
  options: { length?: number; mounted?: boolean; side?: boolean; u?: number } = {},
): SupplierFigures {
  const m = modelled(options.length ?? LENGTH, options.mounted ?? false);
  const u = options.u ?? 0.01;
  const with1 = (value: number) => ({ value, u: u * value });
  const share = options.side === true ? 0.5 : 1;
  return {
    freeLength: LENGTH,
    freeLengthU: 0,
    voltage: m.volts,
    deflectionCounted: options.side === true ? "one side" : "total travel",
    deflection: with1(m.travel * share * (departure.travel ?? 1)),
    blockingForce: with1(m.force * share * (departure.force ?? 1)),
    capacitance: with1(m.capacitance * (departure.capacitance ?? 1)),
    resonance: with1(m.f1 * (departure.f1 ?? 1)),
  };
}

describe("catalogue", () => {
  test("scales of d31 and stiffness come back from figures made with them", () => {
    const [sd, sk] = [1.12, 0.93];
    const found = reconcileCatalogue(
      design,
      figures({ travel: sd, force: sd * sk, f1: Math.sqrt(sk) }),
    );
    expect(found?.d31_scale).toBeCloseTo(sd, 6);
    expect(found?.stiffness_scale).toBeCloseTo(sk, 6);
    expect(found?.consistent).toBe(true);
    expect(found?.u_d31_scale).toBeGreaterThan(0);
  });

  test("one side and total travel of the same strip give the same scales", () => {
    const one = reconcileCatalogue(design, figures({ travel: 1.1, force: 1.1 }, { side: true }));
    const all = reconcileCatalogue(design, figures({ travel: 1.1, force: 1.1 }));
    expect(one?.d31_scale).toBeCloseTo(all?.d31_scale as number, 9);
  });

  test("a deflection counted the other way shows as figures that belong to no one strip", () => {
    const found = reconcileCatalogue(design, figures({ travel: 0.5 }));
    expect(found?.consistent).toBe(false);
    expect(found?.text).toContain("do not belong to one strip");
  });

  test("a capacitance far off is a contradiction of its own", () => {
    expect(reconcileCatalogue(design, figures({ capacitance: 2 }))?.consistent).toBe(false);
    expect(reconcileCatalogue(design, figures({ capacitance: 1.1 }))?.consistent).toBe(true);
  });
});

describe("figures measured at the user's own length", () => {
  const known = reconcileCatalogue(design, figures({}));

  test("a longer free length is found and d31 is not to blame", () => {
    const longer = 1.05;
    const found = reconcileMeasured(
      design,
      figures({}, { length: LENGTH * longer, mounted: true }),
      known,
    );
    const length = found?.effective_length_m as number;
    expect(Math.abs(length - LENGTH * longer)).toBeLessThan(2 * (found?.u_effective_length_m ?? 0));
    expect(found?.u_effective_length_m as number).toBeLessThan(0.015 * LENGTH);
    expect(found?.not_to_blame).toContain("d31");
    expect(found?.not_to_blame).not.toContain("free length");
  });

  test("a weaker d31 lowers deflection and force alike, and the length is not to blame", () => {
    const found = reconcileMeasured(
      design,
      figures({ travel: 0.85, force: 0.85 }, { mounted: true }),
      known,
    );
    expect(found?.not_to_blame).toContain("free length");
    expect(found?.not_to_blame).not.toContain("d31");
  });

  test("figures as expected blame nothing", () => {
    const found = reconcileMeasured(design, figures({}, { mounted: true }), known);
    expect(found?.not_to_blame).toEqual([]);
    expect(found?.consistent).toBe(true);
  });
});
