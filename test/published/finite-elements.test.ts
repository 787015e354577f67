import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import {
  buildBeam,
  momentDeflection,
  momentSlope,
  staticCompliance,
} from "../../src/physics/beam.ts";
import { modes } from "../../src/physics/modes.ts";
import { type SectionLayer, type SectionOptions, sectionOf } from "../../src/physics/section.ts";

/*
 * finite-elements.json: clamped layered strips by 2-D plane-stress piezoelectric finite elements
 * (8-node quadrilaterals, displacement and potential), made independently of this program with
 * NumPy and SciPy; its `what` and `tolerance` say how. Ceramic constants in IEEE Std 176 symbols.
 */
interface Ceramic {
  s11: number;
  d31: number;
  eps33: number;
  rho: number;
}
interface Case {
  id: string;
  layers: [string, number, 1 | -1][];
  free_length_m: number;
  width_m: number;
  interface_potentials_V: number[];
  result_fe2d: {
    tip_deflection_m: number;
    blocking_force_N: number;
    interface_charge_C: number[];
    short_circuit_f_Hz: [number, number];
  };
}
const data = JSON.parse(readFileSync(new URL("finite-elements.json", import.meta.url), "utf8")) as {
  ceramics: Record<string, Ceramic & { s13: number }>;
  passive: Record<string, { E: number; nu: number; rho: number }>;
  cases: Case[];
};

/** Poisson's ratio is not in the 2-D data of the ceramics; G = E/(2(1 + ν)) = 1/s55 fixes it. */
function layersOf(one: Case): SectionLayer[] {
  return one.layers.map(([name, thickness, poling]) => {
    const ceramic = data.ceramics[name] as (Ceramic & { s55: number }) | undefined;
    if (ceramic !== undefined)
      return {
        thickness,
        width: one.width_m,
        youngModulus: 1 / ceramic.s11,
        poissonRatio: ceramic.s55 / (2 * ceramic.s11) - 1,
        density: ceramic.rho,
        thermalExpansion: 0,
        d31: ceramic.d31,
        epsilon33T: ceramic.eps33,
        poling,
        electroded: true,
      };
    const passive = data.passive[name] as { E: number; nu: number; rho: number };
    return {
      thickness,
      width: one.width_m,
      youngModulus: passive.E,
      poissonRatio: passive.nu,
      density: passive.rho,
      thermalExpansion: 0,
      d31: 0,
      epsilon33T: 0,
      poling: 0,
      electroded: false,
    };
  });
}

function solveCase(one: Case, options: SectionOptions = {}) {
  const section = sectionOf(layersOf(one), options);
  const L = one.free_length_m;
  const beam = buildBeam({
    segments: [{ ...section, length: L, active: true }],
    clamp: { rotationalStiffness: null, translationalStiffness: null },
    masses: [],
    stations: [],
  });
  const V = one.interface_potentials_V;
  const deltaV = section.active.map((k) => (V[k + 1] as number) - (V[k] as number));
  const moment = deltaV.reduce((sum, v, k) => sum + (section.theta[k] as number) * v, 0);
  const tip = moment * momentDeflection(beam, L);
  const slope = moment * momentSlope(beam, L);
  const n = section.active.length;
  const charge = new Array<number>(V.length).fill(0);
  section.active.forEach((layer, k) => {
    let top = (section.theta[k] as number) * slope;
    for (let j = 0; j < n; j++)
      top += (section.cAxial[k * n + j] as number) * L * (deltaV[j] as number);
    charge[layer + 1] = (charge[layer + 1] as number) + top;
    charge[layer] = (charge[layer] as number) - top;
  });
  const { omega } = modes(beam, 2);
  return {
    tip,
    blocking: tip / staticCompliance(beam, L, L),
    charge,
    frequencies: Array.from(omega, (w) => w / (2 * Math.PI)),
  };
}

const off = (value: number, reference: number) => Math.abs(value / reference - 1);

for (const one of data.cases) {
  const fe = one.result_fe2d;

  test(`${one.id}: tip deflection and blocking force within 1 % of finite elements`, () => {
    const mine = solveCase(one);
    expect(off(mine.tip, fe.tip_deflection_m)).toBeLessThan(0.01);
    expect(off(mine.blocking, fe.blocking_force_N)).toBeLessThan(0.01);
  });

  test(`${one.id}: first resonance within 0.5 %, second within 1 %`, () => {
    const mine = solveCase(one);
    expect(off(mine.frequencies[0] as number, fe.short_circuit_f_Hz[0])).toBeLessThan(0.005);
    expect(off(mine.frequencies[1] as number, fe.short_circuit_f_Hz[1])).toBeLessThan(0.01);
  });

  test(`${one.id}: every electrode charge within 0.5 % of the largest`, () => {
    const mine = solveCase(one);
    const largest = Math.max(...fe.interface_charge_C.map(Math.abs));
    fe.interface_charge_C.forEach((charge, i) => {
      expect(Math.abs((mine.charge[i] as number) - charge) / largest).toBeLessThan(0.005);
    });
  });

  test(`${one.id}: the uniform-field form overestimates the deflection by 2 to 5 %`, () => {
    const excess = solveCase(one, { field: "uniform" }).tip / fe.tip_deflection_m - 1;
    expect(excess).toBeGreaterThan(0.02);
    expect(excess).toBeLessThan(0.05);
  });
}
