import {
  b,
  d31at25,
  Ec,
  Ev,
  eps0,
  epsr,
  kd,
  ke,
  L,
  nuc,
  nuv,
  p1,
  p3,
  rhoc,
  rhov,
  Ta,
  tc,
  tv,
} from "./inputs.ts";
import { heading, line, of } from "./working.ts";

const LAMINATE = "classical laminate theory, E t weighted";
const WEINBERG = "layered beam with redistributed field in the ceramic";
const IEEE = "IEEE Std 176-1987, 31 operation";
const SHEAR = "Timoshenko beam: shear energy ∫τ²/2G of Jourawski's stress τ = Q S/(b EI)";

heading(
  "1 Section",
  "z from the bottom face. Layer voltage ΔV is that of its upper face minus that of its lower face.",
);

export const d31 = line(
  "d31",
  "piezo coefficient at ambient temperature",
  "m/V",
  "linear about 25 °C = 298.15 K",
  of`${d31at25} * (1 + ${kd} * (${Ta} - 298.15))`,
);
line(
  "eps33T(25 °C)",
  "free permittivity at 25 °C",
  "F/m",
  "definition",
  of`${epsr} * ${eps0}`,
  "design.materials.soft ceramic.epsilon33T",
);
export const eps = line(
  "eps33T",
  "free permittivity at ambient temperature",
  "F/m",
  "linear about 25 °C = 298.15 K",
  of`${epsr} * ${eps0} * (1 + ${ke} * (${Ta} - 298.15))`,
);
export const z1 = line("z_1", "mid-plane of layer 1", "m", "geometry", of`${tc} / 2`);
export const z2 = line("z_2", "mid-plane of the vane", "m", "geometry", of`${tc} + ${tv} / 2`);
export const z3 = line(
  "z_3",
  "mid-plane of layer 3",
  "m",
  "geometry",
  of`${tc} + ${tv} + ${tc} / 2`,
);
export const h = line("h", "thickness of the strip", "m", "geometry", of`2 * ${tc} + ${tv}`);
export const EA = line(
  "EA",
  "axial stiffness ΣE b t",
  "N",
  LAMINATE,
  of`${b} * (2 * ${Ec} * ${tc} + ${Ev} * ${tv})`,
  "section.axialStiffness",
);
export const zn = line(
  "z_n",
  "neutral plane ΣE b t z_m/ΣE b t",
  "m",
  LAMINATE,
  of`${b} * (${Ec} * ${tc} * ${z1} + ${Ev} * ${tv} * ${z2} + ${Ec} * ${tc} * ${z3}) / ${EA}`,
  "strip.neutral_plane_m",
);
export const k31sq = line("k31²", "coupling squared", "", IEEE, of`${d31} ** 2 * ${Ec} / ${eps}`);
export const Es = line(
  "E*",
  "bending modulus of a ceramic between electrodes",
  "Pa",
  WEINBERG,
  of`${Ec} / (1 - ${k31sq})`,
);
const EI1 = line(
  "EI_1",
  "share of layer 1, b[E* t³/12 + E t (z_m − z_n)²]",
  "N·m²",
  WEINBERG,
  of`${b} * (${Es} * ${tc} ** 3 / 12 + ${Ec} * ${tc} * (${z1} - ${zn}) ** 2)`,
);
const EI2 = line(
  "EI_2",
  "share of the vane",
  "N·m²",
  WEINBERG,
  of`${b} * (${Ev} * ${tv} ** 3 / 12 + ${Ev} * ${tv} * (${z2} - ${zn}) ** 2)`,
);
const EI3 = line(
  "EI_3",
  "share of layer 3",
  "N·m²",
  WEINBERG,
  of`${b} * (${Es} * ${tc} ** 3 / 12 + ${Ec} * ${tc} * (${z3} - ${zn}) ** 2)`,
);
export const EI = line(
  "EI",
  "bending stiffness",
  "N·m²",
  WEINBERG,
  of`${EI1} + ${EI2} + ${EI3}`,
  "strip.bending_stiffness_N_m2",
);
export const nu = line(
  "ν",
  "Poisson's ratio weighted by EI",
  "",
  "weights EI_k/EI",
  of`(${EI1} * ${nuc} + ${EI2} * ${nuv} + ${EI3} * ${nuc}) / ${EI}`,
  "section.poissonRatio",
);
export const m = line(
  "m",
  "mass per length Σρ b t",
  "kg/m",
  "geometry",
  of`${b} * (2 * ${rhoc} * ${tc} + ${rhov} * ${tv})`,
  "strip.mass_per_length_kg_m",
);
export const rhoI = line(
  "ρI",
  "rotary inertia per length Σρ b[t³/12 + t (z_m − z_n)²]",
  "kg·m",
  "Rayleigh",
  of`${b} * (${rhoc} * (${tc} ** 3 / 12 + ${tc} * (${z1} - ${zn}) ** 2) + ${rhov} * (${tv} ** 3 / 12 + ${tv} * (${z2} - ${zn}) ** 2) + ${rhoc} * (${tc} ** 3 / 12 + ${tc} * (${z3} - ${zn}) ** 2))`,
  "section.rotaryInertiaPerLength",
);

/*
 * Bending stress per curvature is E (z_m − z_n) + E* (z − z_m) in each layer, as in EI; S is its
 * integral from the lower face. The section is symmetric: one ceramic layer and half the vane do.
 */
const a = line("a", "half thickness of the vane", "m", "geometry", of`${tv} / 2`);
const Gc = line(
  "G_c",
  "shear modulus of the ceramic",
  "Pa",
  "isotropic",
  of`${Ec} / (2 * (1 + ${nuc}))`,
);
const Gv = line(
  "G_v",
  "shear modulus of the vane",
  "Pa",
  "isotropic",
  of`${Ev} / (2 * (1 + ${nuv}))`,
);
const A1 = line("α_1", "E_c (z_n − z_1)", "N/m", SHEAR, of`${Ec} * (${zn} - ${z1})`);
const A2 = line("α_2", "E*/2", "Pa", SHEAR, of`${Es} / 2`);
const Icer = line(
  "I_c",
  "∫S²dζ over layer 1, S = b[α_1 (ζ + t/2) + α_2 (t²/4 − ζ²)], ζ from its mid-plane",
  "N²·m³",
  SHEAR,
  of`${b} ** 2 * (${A1} ** 2 * ${tc} ** 3 / 3 + ${A1} * ${A2} * ${tc} ** 4 / 6 + ${A2} ** 2 * ${tc} ** 5 / 30)`,
);
const Sa = line("S_a", "S at the edge of the vane", "N·m", SHEAR, of`${b} * ${A1} * ${tc}`);
const rv = line("r_v", "E_v b/2", "N/m", SHEAR, of`${Ev} * ${b} / 2`);
const Ivane = line(
  "I_v",
  "∫S²dζ over half the vane, S = S_a + r_v (a² − ζ²)",
  "N²·m³",
  SHEAR,
  of`${Sa} ** 2 * ${a} + 4 * ${Sa} * ${rv} * ${a} ** 3 / 3 + 8 * ${rv} ** 2 * ${a} ** 5 / 15`,
);
line(
  "∫S dz",
  "over the section: equals EI, since ∫τ b dz must be the shear force",
  "N·m²",
  "equilibrium",
  of`2 * ${b} * (${A1} * ${tc} ** 2 / 2 + ${A2} * ${tc} ** 3 / 6) + 2 * (${Sa} * ${a} + 2 * ${rv} * ${a} ** 3 / 3)`,
  "section.bendingStiffness",
);
export const s = line(
  "s",
  "shear flexibility ∫S²/G dz/(b EI²)",
  "1/N",
  SHEAR,
  of`(2 * ${Icer} / ${Gc} + 2 * ${Ivane} / ${Gv}) / (${b} * ${EI} ** 2)`,
  "section.shearFlexibility",
);

heading(
  "2 Coupling and capacitance",
  "Charge on upper electrodes: Q_k = Θ_k·(slope difference) + Σ C_kj ΔV_j. Index 11 stands for each layer with itself (both are alike), 13 for the two layers with each other.",
);
export const th1 = line(
  "Θ_1",
  "coupling of layer 1, E b d31 p (z_m − z_n)",
  "N·m/V",
  IEEE,
  of`${Ec} * ${b} * ${d31} * ${p1} * (${z1} - ${zn})`,
  "section.theta.0",
);
export const th3 = line(
  "Θ_3",
  "coupling of layer 3",
  "N·m/V",
  IEEE,
  of`${Ec} * ${b} * ${d31} * ${p3} * (${z3} - ${zn})`,
  "section.theta.1",
);
const c1 = line(
  "c_1",
  "axial coupling E b d31 p",
  "N/V",
  IEEE,
  of`${Ec} * ${b} * ${d31} * ${p1}`,
  "section.axialCoupling.0",
);
const c3 = line(
  "c_3",
  "axial coupling of layer 3",
  "N/V",
  IEEE,
  of`${Ec} * ${b} * ${d31} * ${p3}`,
  "section.axialCoupling.1",
);
const Ccl = line(
  "C_cl",
  "clamped capacitance per length (eps33T − d31² E) b/t",
  "F/m",
  IEEE,
  of`(${eps} - ${d31} ** 2 * ${Ec}) * ${b} / ${tc}`,
  "section.cClamped.0",
);
export const Cax11 = line(
  "C_ax,11",
  "bending blocked, axially free: C_cl + c c/EA",
  "F/m",
  "reciprocity of the laminate",
  of`${Ccl} + ${c1} * ${c1} / ${EA}`,
  "section.cAxial.0",
);
export const Cax13 = line(
  "C_ax,13",
  "the two layers share the axial strain",
  "F/m",
  "reciprocity of the laminate",
  of`${c1} * ${c3} / ${EA}`,
  "section.cAxial.1",
);
export const C11 = line(
  "C_11",
  "mechanically free: C_ax + Θ Θ/EI",
  "F/m",
  "reciprocity of the laminate",
  of`${Cax11} + ${th1} * ${th1} / ${EI}`,
  "section.cFree.0",
);
export const C13 = line(
  "C_13",
  "mechanically free, between the layers",
  "F/m",
  "reciprocity of the laminate",
  of`${Cax13} + ${th1} * ${th3} / ${EI}`,
  "section.cFree.1",
);
export const Css = line(
  "C_ss",
  "small-signal capacitance of the vane against both outer electrodes, (C_11 − 2 C_13 + C_33) L",
  "F",
  "incidence of the vane: +1 on layer 1, −1 on layer 3",
  of`(2 * ${C11} - 2 * ${C13}) * ${L}`,
  "strip.capacitance_small_signal_F",
);
