import {
  A1,
  A2,
  B1,
  B2,
  Coss,
  Cr,
  cc,
  droopMax,
  Fls,
  fB,
  gapMax,
  gapMin,
  gse,
  Ilim,
  L,
  lc,
  Rb,
  Ron,
  Rs,
  rate,
  T0,
  Tpd,
  tanls,
  Vlow,
  Vm,
} from "./inputs.ts";
import { C11, C13, Css } from "./section.ts";
import { V } from "./strip.ts";
import { bisect, found, heading, line, of } from "./working.ts";

const RC = "charging of a capacitor through a resistor";
const KIRCHHOFF = "charge conservation on the nodes";

heading(
  "12 Drive",
  "The output carries the vane against both outer electrodes, the cable and the switch's own capacitance.",
);
const Cls = line(
  "C_ls",
  "large-signal capacitance of the vane",
  "F",
  "factor on the free capacitance",
  of`${Fls} * ${Css}`,
  "strip.capacitance_large_signal_F",
);
const Cx = line("C_x", "cable and output", "F", "parallel", of`${cc} * ${lc} + ${Coss}`);
const C = line("C", "all that the output carries", "F", "parallel", of`${Cls} + ${Cx}`);
const Rt = line("R_t", "series resistance", "Ω", "series", of`${Rs} + ${Ron}`);
line("t_10-90", "edge, 10 % to 90 %", "s", RC, of`ln(9) * ${Rt} * ${C}`, "drive.edge_10_90_s");
line("I_p", "peak current", "A", RC, of`${V} / ${Rt}`, "drive.peak_current_A");
const Qc = line("Q_c", "charge per cycle", "C", "C V", of`${C} * ${V}`, "drive.charge_per_cycle_C");
const Im = line(
  "I_m",
  "mean current",
  "A",
  "charge × rate",
  of`${Qc} * ${rate}`,
  "drive.mean_current_A",
);
line(
  "I_s",
  "supply current, with the bleeder's",
  "A",
  "sum",
  of`${Im} + ${V} / ${Rb}`,
  "drive.supply_current_A",
);
line(
  "f_I",
  "rate that the current limit allows",
  "Hz",
  "(I_lim − V/R_b)/Q_c",
  of`(${Ilim} - ${V} / ${Rb}) / ${Qc}`,
  "drive.rate_limits.supply current of rail bias.rate_Hz",
);
const Wh = line(
  "W_h",
  "dielectric loss of a cycle, (π/4) C_ls V² tan δ",
  "J",
  "ellipse between 0 and V",
  of`PI / 4 * ${Cls} * ${V} ** 2 * ${tanls}`,
);
line("P_h", "heat in the strip", "W", "loss × rate", of`${Wh} * ${rate}`, "drive.strip_heat_W");
line(
  "W_R",
  "energy in the resistances per edge, (C V² − W_h)/2",
  "J",
  "energy balance of a cycle",
  of`(${C} * ${V} ** 2 - ${Wh}) / 2`,
  "drive.resistor_energy_per_edge_J",
);
const Qe = line(
  "Q_e",
  "charge the rail gives on the edge to low: layer 1 charged, the charge of layer 3 circulates",
  "C",
  KIRCHHOFF,
  of`(${Fls} * (${C11} - ${C13}) * ${L} + ${Cx}) * ${V}`,
);
const Ct = line(
  "C_t",
  "capacitance on the rail after that edge",
  "F",
  "layer 1, cable, output",
  of`${Fls} * ${C11} * ${L} + ${Cx}`,
);
line(
  "ΔV_r",
  "droop of the rail, Q_e/(C_r + C_t)",
  "V",
  KIRCHHOFF,
  of`${Qe} / (${Cr} + ${Ct})`,
  "drive.droop_V",
);
line(
  "C_need",
  "storage for the droop limit, Q_e/(δ_V V) − C_t",
  "F",
  KIRCHHOFF,
  of`${Qe} / (${droopMax} * ${V}) - ${Ct}`,
  "drive.storage_capacitance_F",
);
line(
  "t_b",
  "time to the low voltage, storage and strip through the bleeder",
  "s",
  RC,
  of`${Rb} * (${Cr} + ${Ct}) * ln(${V} / ${Vlow})`,
  "drive.bleed_time_s",
);
line(
  "Q_r",
  "charge stored at the rail",
  "C",
  "C V",
  of`${Cr} * ${V}`,
  "drive.rails.0.stored_charge_C",
);
line(
  "W_r",
  "energy stored there",
  "J",
  "C V²/2",
  of`${Cr} * ${V} ** 2 / 2`,
  "drive.rails.0.stored_energy_J",
);

heading(
  "13 Lock-out band",
  "Paschen's law V(pd) = B pd/(ln(A pd) − ln Γ) with Γ = ln(1 + 1/γ_se), for two sets of Townsend's coefficients; V_lock = f_B V(pd), the flanks that lie farthest out. The measured minimum lies above the computed one, so it does not scale the curve.",
);
const VL = line(
  "V_c",
  "largest voltage between conductors in any state: upper face left open (its charge kept at zero), output low, the coupling of the layers lifts it above the rail",
  "V",
  KIRCHHOFF,
  of`${V} * (1 - ${C13} / ${C11})`,
  "lockout.0.voltage_V",
);
const G = line("Γ", "ln(1 + 1/γ_se)", "", "Townsend", of`ln(1 + 1 / ${gse})`);
const torr = line(
  "u_T",
  "1 Torr·cm in Pa·m",
  "Pa·m",
  "101325/760 Pa by definition",
  of`101325 / 760 / 100`,
);
const a1 = line("A_1,SI", "first set", "1/(m·Pa)", "conversion", of`${A1} / ${torr}`);
const b1 = line("B_1,SI", "first set", "V/(m·Pa)", "conversion", of`${B1} / ${torr}`);
const m1 = line(
  "V_min,1",
  "minimum e B Γ/A of the first set",
  "V",
  "Paschen",
  of`exp(1) * ${b1} * ${G} / ${a1}`,
);
const m2 = line(
  "V_min,2",
  "minimum of the second set",
  "V",
  "Paschen",
  of`exp(1) * ${B2} * ${G} / ${A2}`,
);
const least = line(
  "V_min",
  "computed minimum",
  "V",
  "lower of both",
  of`min(${m1}, ${m2})`,
  "lockout.0.minimum_computed_V",
);
line(
  "s_m",
  "scale min(1, V_m/V_min)",
  "",
  "measured over computed minimum",
  of`min(1, ${Vm} / ${least})`,
);
const Vx = line(
  "V_x",
  "voltage of the curve at the ends of the band, V_c/f_B",
  "V",
  "factor on the breakdown voltage",
  of`${VL} / ${fB}`,
);
const root = (A: number, B: number, from: number, to: number) =>
  bisect((pd) => (B * pd) / (Math.log(A * pd) - Math.log(G.value)) - Vx.value, from, to);
const flank = (set: string, A: typeof a1, B: typeof b1) => {
  const valley = (Math.E * G.value) / A.value;
  const l = found(
    `pd_l,${set}`,
    `left root, set ${set}`,
    "Pa·m",
    "Paschen",
    "root of B pd/(ln(A pd) − ln Γ) = V_x below the minimum",
    root(A.value, B.value, (G.value / A.value) * (1 + 1e-9), valley),
  );
  const r = found(
    `pd_r,${set}`,
    `right root, set ${set}`,
    "Pa·m",
    "Paschen",
    "root above the minimum",
    root(A.value, B.value, valley, 1e3 * valley),
  );
  line(
    `V(pd_l,${set})`,
    "voltage there",
    "V",
    "Paschen",
    of`${B} * ${l} / (ln(${A} * ${l}) - ln(${G}))`,
  );
  line(
    `V(pd_r,${set})`,
    "voltage there",
    "V",
    "Paschen",
    of`${B} * ${r} / (ln(${A} * ${r}) - ln(${G}))`,
  );
  return [l, r] as const;
};
const [l1, r1] = flank("1", a1, b1);
const [l2, r2] = flank("2", A2, B2);
line(
  "p_1",
  "lower end of the band, pd_l/d_max at the gas's temperature",
  "Pa",
  "lowest left root",
  of`min(${l1}, ${l2}) / ${gapMax} * ${T0} / ${Tpd}`,
  "lockout.0.from_Pa",
);
line(
  "p_2",
  "upper end of the band, pd_r/d_min",
  "Pa",
  "highest right root",
  of`max(${r1}, ${r2}) / ${gapMin} * ${T0} / ${Tpd}`,
  "lockout.0.to_Pa",
);
