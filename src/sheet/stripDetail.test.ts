import { expect, test } from "vitest";
import { CUT_STRIPS, withSegments } from "../../test/design/cutStrips.ts";
import { changed, VALVE } from "../../test/design/texts.ts";
import type { Design } from "../design/design.ts";
import { readDesign } from "../design/readDesign.ts";
import { withFreeLength, withValues } from "../design/values.ts";
import { functionalProduct, shapeOf } from "../physics/beamMoments.ts";
import { largestSurfaceTension } from "../physics/section.ts";
import { lengthWindow } from "../studies/window.ts";
import { buildElectrical } from "./electrical.ts";
import { evaluate } from "./evaluate.ts";
import { stripTransient } from "./pulseStrip.ts";
import { heldCapacitanceOf } from "./stripLoad.ts";
import { buildStrip } from "./stripModel.ts";
import { piecePlaces } from "./stripPieces.ts";
import { largestTension } from "./stripTension.ts";

function designOf(text: string): Design {
  const read = readDesign(text);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.design;
}

const PLAIN = designOf(VALVE);
const relative = (a: number, b: number) => Math.abs(a / b - 1);
/** Narrow strip without shear: closed forms. */
const TEXTBOOK = "model: {width: narrow, beam: thin}\n";

test("what is absent or says nothing new leaves every figure bit for bit", () => {
  const sheet = evaluate(PLAIN, { detail: true });
  const same = designOf(changed(VALVE, "free_length", "width_at_tip: 5 mm\n  free_length"));
  const { inputs: _, ...other } = evaluate(same, { detail: true });
  const { inputs: __, ...own } = sheet;
  expect(other).toEqual(own);
});

test("a segment that takes nothing off gives the plain strip's figures", () => {
  // Overlapping nothing: the segment ends where the free length of this design does not reach.
  const far = withSegments("{measured_from: clamp, from: 8.9 mm, to: 9.0 mm, bare: [upper face]}");
  const design = designOf(far);
  const short = withFreeLength(design, 8e-3);
  const [a, b] = [
    evaluate(short, { detail: true }),
    evaluate(withFreeLength(PLAIN, 8e-3), { detail: true }),
  ];
  expect(buildStrip(short).detail).not.toBeNull();
  expect(relative(a.strip.swing_at_pad_m!, b.strip.swing_at_pad_m!)).toBeLessThan(1e-12);
  expect(relative(a.strip.swing_at_tip_m!, b.strip.swing_at_tip_m!)).toBeLessThan(1e-12);
  expect(
    relative(a.strip.capacitance_small_signal_F!, b.strip.capacitance_small_signal_F!),
  ).toBeLessThan(1e-12);
  expect(relative(a.strip.clamp_line_stress_Pa!, b.strip.clamp_line_stress_Pa!)).toBeLessThan(
    1e-12,
  );
  expect(relative(a.modes.open_vacuum_Hz[0]!, b.modes.open_vacuum_Hz[0]!)).toBeLessThan(1e-8);
  expect(
    relative(a.modes.open_circuit_vacuum_Hz[0]!, b.modes.open_circuit_vacuum_Hz[0]!),
  ).toBeLessThan(1e-8);
  expect(relative(a.modes.open_gas_Hz[0]!, b.modes.open_gas_Hz[0]!)).toBeLessThan(1e-8);
  expect(relative(a.seat!.lift_open_m!, b.seat!.lift_open_m!)).toBeLessThan(1e-9);
});

test("bare both faces beyond a place: a shorter drive and a straight end", () => {
  const at = 6e-3;
  const design = designOf(
    `${withSegments("{from: 6 mm, to: 9 mm, bare: [lower face, upper face]}")}${TEXTBOOK}`,
  );
  const whole = designOf(VALVE + TEXTBOOK);
  const [strip, plain] = [buildStrip(design), buildStrip(whole)];
  const EI = plain.section.bendingStiffness;
  const x = plain.pad;
  const exact = (at ** 2 / 2 + at * (x - at)) / EI;
  expect(relative(strip.padPerMoment, exact)).toBeLessThan(1e-12);
  // Every layer keeps its own moment there.
  strip.detail!.theta.forEach((theta, k) => {
    expect(relative(theta, plain.section.theta[k]!)).toBeLessThan(1e-12);
  });
  // Capacitance by area; the ceramic that bends freely there is stiffer by its coupling.
  expect(relative(strip.detail!.free[0]!, plain.section.cFree[0]! * at)).toBeLessThan(1e-12);
  const [driven, bare] = strip.detail!.pieces;
  expect(bare!.section.active).toEqual([]);
  expect(bare!.section.bendingStiffness).toBeGreaterThan(driven!.section.bendingStiffness);
  // Compliance at the pad: ∫ (x_p − x)²/EI over both pieces.
  const first = (x ** 3 - (x - at) ** 3) / (3 * EI);
  const second = (x - at) ** 3 / (3 * bare!.section.bendingStiffness);
  expect(relative(1 / strip.padStiffness, first + second)).toBeLessThan(1e-12);
});

test("one ceramic cut away beyond a place: each layer's curvature in each piece", () => {
  const at = 5e-3;
  const design = designOf(`${withSegments("{from: 5 mm, to: 9 mm, removed: [3]}")}${TEXTBOOK}`);
  const strip = buildStrip(design);
  const [full, cut] = strip.detail!.pieces;
  const x = strip.pad;
  // The lower layer works in both pieces, the upper one in the first only.
  const lower =
    (full!.section.theta[0]! / full!.section.bendingStiffness) * (x * at - at ** 2 / 2) +
    ((cut!.section.theta[0]! / cut!.section.bendingStiffness) * (x - at) ** 2) / 2;
  const upper = (full!.section.theta[1]! / full!.section.bendingStiffness) * (x * at - at ** 2 / 2);
  const [a, b] = strip.detail!.theta;
  expect(relative(strip.padPerMoment * a!, lower)).toBeLessThan(1e-11);
  expect(relative(strip.padPerMoment * b!, upper)).toBeLessThan(1e-11);
  // The switched combination keeps its charge: Σ b Θ′ = Σ b Θ, b = +1 and −1 at the vane.
  const { theta } = strip.section;
  expect(relative(a! - b!, theta[0]! - theta[1]!)).toBeLessThan(1e-12);
  expect(cut!.section.thickness).toBeCloseTo(0.3e-3, 12);
  const sheet = evaluate(design, { detail: true });
  expect(sheet.strip.mass_per_length_kg_m).toBe(strip.section.massPerLength);
  // What the wired load sees: the pad's free position, state by state.
  const electrical = buildElectrical(design, strip)!;
  electrical.states.slice(0, 2).forEach((state, i) => {
    const free = lower * state.deltaV[0]! + upper * state.deltaV[1]!;
    expect(relative(strip.padPerMoment * electrical.moments[i]!, free)).toBeLessThan(1e-11);
  });
});

for (const [name, text] of CUT_STRIPS)
  test(`${name}: the coordinates of the pulse carry the statics of the sheet`, () => {
    const design = designOf(text);
    const strip = buildStrip(design);
    const { detail, beam } = strip;
    const electrical = buildElectrical(design, strip)!;
    const transient = stripTransient(design, strip, 8);
    let compliance = 0;
    let perMoment = 0;
    for (let i = 0; i < transient.count; i++) {
      const square = transient.omega[i]! ** 2;
      compliance += transient.pad[i]! ** 2 / square;
      perMoment += (transient.pad[i]! * transient.jump[i]!) / square;
    }
    expect(relative(compliance, 1 / strip.padStiffness)).toBeLessThan(1e-6);
    expect(relative(perMoment, strip.padPerMoment)).toBeLessThan(1e-6);
    // Reciprocity on the narrow strip: charge per newton at the pad is the pad's deflection per volt.
    detail!.work.forEach((work) => {
      expect(functionalProduct(beam, work, shapeOf(beam, strip.pad))).toBe(
        functionalProduct(beam, shapeOf(beam, strip.pad), work),
      );
    });
    // Free minus held capacitance is the motional one, positive semidefinite; held is a fair share of free.
    const held = heldCapacitanceOf(design, strip);
    const n = detail!.theta.length;
    for (let k = 0; k < n; k++) {
      const motional = detail!.free[k * n + k]! - held[k * n + k]!;
      expect(motional).toBeGreaterThan(0);
      expect(held[k * n + k]!).toBeGreaterThan(0.5 * detail!.free[k * n + k]!);
    }
    // An open circuit never softens.
    const sheet = evaluate(design, { detail: true });
    sheet.modes.open_circuit_vacuum_Hz.forEach((f, i) => {
      expect(f).toBeGreaterThanOrEqual(sheet.modes.open_vacuum_Hz[i]! * (1 - 1e-9));
    });
    expect(sheet.strip.largest_stress_Pa!).toBeGreaterThanOrEqual(
      sheet.strip.clamp_line_stress_Pa!,
    );
    expect(electrical.switchedCapacitance).toBeGreaterThan(0);
    // Margins-only evaluations, which windows and ways out use, give the same margins.
    const lean = evaluate(design, { detail: false, marginsOnly: true });
    expect(lean.margins.map((row) => row.margin)).toEqual(sheet.margins.map((row) => row.margin));
  });

test("a foundation that becomes stiff is the rigid clamp", () => {
  const at = (modulus: string) =>
    evaluate(
      designOf(
        changed(VALVE, "  length: 5 mm", `  length: 5 mm\n  foundation_modulus: ${modulus}`),
      ),
      { detail: true },
    );
  const rigid = evaluate(PLAIN, { detail: true });
  const stiff = at("1e9 MPa");
  expect(relative(stiff.modes.open_vacuum_Hz[0]!, rigid.modes.open_vacuum_Hz[0]!)).toBeLessThan(
    2e-2,
  );
  const hard = withValues(
    designOf(changed(VALVE, "  length: 5 mm", "  length: 5 mm\n  foundation_modulus: 1e9 MPa")),
    [{ path: ["clamp", "foundationModulus"], value: 1e25 }],
  );
  const limit = evaluate(hard, { detail: true });
  expect(relative(limit.modes.open_vacuum_Hz[0]!, rigid.modes.open_vacuum_Hz[0]!)).toBeLessThan(
    1e-4,
  );
  expect(relative(limit.strip.pad_stiffness_N_m, rigid.strip.pad_stiffness_N_m)).toBeLessThan(1e-4);
  expect(relative(limit.strip.swing_at_pad_m!, rigid.strip.swing_at_pad_m!)).toBeLessThan(1e-9);
  const soft = at("300 MPa");
  expect(soft.modes.open_vacuum_Hz[0]!).toBeLessThan(0.95 * rigid.modes.open_vacuum_Hz[0]!);
  // Without electrodes in the clamp the voltage's deflection does not feel it.
  expect(relative(soft.strip.swing_at_pad_m!, rigid.strip.swing_at_pad_m!)).toBeLessThan(1e-8);
});

test("the largest tension of a force lies where a ceramic was cut, or inside the soft clamp", () => {
  const tensionOf = (text: string, force: number) => {
    const design = designOf(text);
    const strip = buildStrip(design);
    const electrical = buildElectrical(design, strip)!;
    const rest = electrical.states[0]!;
    const state = { ...rest, deltaV: rest.deltaV.map(() => 0) };
    return {
      strip,
      ...largestTension(strip, strip.detail!, electrical, { index: 0, state, force }),
    };
  };
  const cut = tensionOf(
    withSegments("{measured_from: tip, from: 0 mm, to: 8 mm, removed: [3]}"),
    1,
  );
  expect(cut.x).toBeCloseTo(1e-3, 12);
  const piece = cut.strip.detail!.pieces[1]!.section;
  const bent = (1 * (cut.strip.pad - 1e-3)) / piece.bendingStiffness;
  expect(relative(cut.stress, largestSurfaceTension(piece, [0], bent))).toBeLessThan(1e-12);

  const soft = tensionOf(
    changed(VALVE, "  length: 5 mm", "  length: 5 mm\n  foundation_modulus: 4000 MPa"),
    1,
  );
  // M(s) = e^−βs [P x_p (cos βs + sin βs) + (P/β) sin βs] in a long clamp (Hetényi 1946), turning at M′ = 0:
  // tan βs = 1/(1 + 2 β x_p).
  const { section, pad } = soft.strip;
  const beta = (4e9 / (4 * section.bendingStiffness)) ** 0.25;
  expect(beta * 5e-3).toBeGreaterThan(3.5);
  const turn = Math.atan(1 / (1 + 2 * beta * pad)) / beta;
  const moment =
    Math.exp(-beta * turn) *
    (pad * (Math.cos(beta * turn) + Math.sin(beta * turn)) + Math.sin(beta * turn) / beta);
  const exact = largestSurfaceTension(section, [0, 0], moment / section.bendingStiffness);
  expect(soft.x).toBeLessThanOrEqual(0);
  expect(relative(soft.stress, exact)).toBeLessThan(2e-3);
});

test("the sheet's largest tension counts voltage and seat together", () => {
  const design = designOf(withSegments("{measured_from: tip, from: 0 mm, to: 8 mm, removed: [3]}"));
  const sheet = evaluate(design, { detail: true });
  // Beyond the pad nothing but the voltage bends: there the single ceramic on its vane is worst.
  expect(sheet.strip.largest_stress_at_m!).toBeCloseTo(9e-3, 12);
  const strip = buildStrip(design);
  const electrical = buildElectrical(design, strip)!;
  const { section } = strip.detail!.pieces[1]!;
  const worst = electrical.states.slice(0, 2).map(({ deltaV }) => {
    const dv = [deltaV[0]!];
    return largestSurfaceTension(
      section,
      dv,
      (section.theta[0]! * dv[0]!) / section.bendingStiffness,
    );
  });
  expect(relative(sheet.strip.largest_stress_Pa!, Math.max(...worst))).toBeLessThan(1e-12);
  expect(sheet.strip.largest_stress_Pa!).toBeGreaterThan(sheet.strip.clamp_line_stress_Pa!);
  const row = sheet.margins.find(({ id }) => id === "clamp_stress");
  expect(row?.note).toBe("9 mm from the clamp edge");
  expect(row?.value).toBe(sheet.strip.largest_stress_Pa);
});

test("segments stay with the clamp or with the tip when the free length changes", () => {
  const design = designOf(
    withSegments(
      "{measured_from: clamp, from: 0 mm, to: 1 mm, bare: [upper face]}",
      "{measured_from: tip, from: 0.5 mm, to: 2 mm, removed: [1]}",
    ),
  );
  const places = (length: number) =>
    piecePlaces(withFreeLength(design, length)).map(({ from, to, missing }) => [
      Number(from.toFixed(9)),
      Number(to.toFixed(9)),
      [...missing.bare].join(),
      [...missing.removed].join(),
    ]);
  expect(places(9e-3)).toEqual([
    [0, 0.001, "upper face", ""],
    [0.001, 0.007, "", ""],
    [0.007, 0.0085, "", "0"],
    [0.0085, 0.009, "", ""],
  ]);
  expect(places(12e-3)[1]).toEqual([0.001, 0.01, "", ""]);
  expect(places(2.5e-3)).toEqual([
    [0, 0.0005, "upper face", ""],
    [0.0005, 0.001, "upper face", "0"],
    [0.001, 0.002, "", "0"],
    [0.002, 0.0025, "", ""],
  ]);
  const window = lengthWindow(design);
  const plain = lengthWindow(PLAIN);
  expect(window.margins.clamp_stress?.[0]).not.toBe(plain.margins.clamp_stress?.[0]);
  window.lengths_m.forEach((length, i) => {
    const at = evaluate(withFreeLength(design, length), { detail: false, marginsOnly: true });
    for (const row of at.margins) expect(window.margins[row.id]?.[i]).toBe(row.margin);
  });
});
