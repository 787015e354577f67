import { expect, test } from "vitest";
import { readDesign } from "../../src/design/readDesign.ts";
import { solve } from "../../src/numerics/linear.ts";
import { buildBeam } from "../../src/physics/beam.ts";
import { momentFunctional, shapeOf } from "../../src/physics/beamMoments.ts";
import { buildElectrical } from "../../src/sheet/electrical.ts";
import { stripTransient } from "../../src/sheet/pulseStrip.ts";
import { detailPlan } from "../../src/sheet/stripDetail.ts";
import { buildStrip, stripBeamSpec } from "../../src/sheet/stripModel.ts";
import { pulse } from "../../src/studies/pulse.ts";
import { CUT_STRIPS } from "../design/cutStrips.ts";
import { changed } from "../design/texts.ts";

/* Strips that are not alike along their length, in time: energy, charge and the answer to a swung voltage. */

const TEXTBOOK = "model: {width: narrow}\n";
const designOf = (text: string) => {
  const read = readDesign(text);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.design;
};
const relative = (a: number, b: number) => Math.abs(a / b - 1);

for (const [name, text] of CUT_STRIPS) {
  test(`${name}: a pulse keeps its energy, with linear and with lossy ceramic`, () => {
    for (const ceramic of ["linear", "large signal"] as const) {
      const { audit, pulses } = pulse(designOf(text), { gate: 200e-6, ceramic }).result;
      expect(audit.relative, ceramic).toBeLessThan(1e-3);
      expect(pulses[0]!.gas?.amount_mol ?? 0).toBeGreaterThan(0);
    }
  });

  test(`${name}: the switched node carries each layer's own charge along the strip`, () => {
    const design = designOf(text + TEXTBOOK);
    const strip = buildStrip(design);
    const electrical = buildElectrical(design, strip)!;
    const { theta, held, free } = strip.detail!;
    const transient = stripTransient(design, strip, 8);
    // The vane is switched: b = +1 on the lower layer, −1 on the upper one.
    const b = [1, -1];
    const form = (c: Float64Array) =>
      b.reduce((sum, p, k) => sum + b.reduce((row, q, l) => row + p * q * c[2 * k + l]!, 0), 0);
    const coupling = b.reduce((sum, p, k) => sum + p * theta[k]!, 0);
    let flexibility = 0;
    for (let i = 0; i < transient.count; i++)
      flexibility += (transient.jump[i]! / transient.omega[i]!) ** 2;
    expect(relative(form(held) + coupling ** 2 * flexibility, form(free))).toBeLessThan(1e-7);
    expect(relative(electrical.switchedCapacitance, form(free))).toBeLessThan(1e-12);
  });

  test(`${name}: the pad follows a swung voltage as the whole beam does`, () => {
    // Pressure opens: the strip works in vacuum.
    const design = designOf(changed(text, "pressure closes", "pressure opens") + TEXTBOOK);
    const strip = buildStrip(design);
    const transient = stripTransient(design, strip, 8);
    const plan = detailPlan(design, strip.section)!;
    const beam = buildBeam({ ...stripBeamSpec(design, strip.section, plan), order: 24 });
    const n = beam.unknowns;
    // Each layer's own Θ along the strip, with the sign that the switched vane gives it.
    const work = momentFunctional(
      beam,
      plan.thetas.map((row) => row[0]! - row[1]!),
    );
    const at = shapeOf(beam, strip.pad);
    const { theta } = strip.detail!;
    const coupling = theta[0]! - theta[1]!;
    for (const share of [0.3, 0.8, 1.7, 4]) {
      const omega = share * strip.basis.omega[0]!;
      const dynamic = beam.mass.map(
        (m, i) => (i % (n + 1) === 0 ? beam.stiffness[i / (n + 1)]! : 0) - omega ** 2 * m,
      );
      const u = solve(dynamic, n, work)!;
      const exact = u.reduce((sum, value, j) => sum + value * at[j]!, 0);
      let modal = 0;
      for (let i = 0; i < transient.count; i++)
        modal +=
          (transient.pad[i]! * transient.jump[i]! * coupling) /
          (transient.omega[i]! ** 2 - omega ** 2);
      expect(relative(modal * transient.side, exact), `${share}`).toBeLessThan(1e-4);
    }
  });
}
