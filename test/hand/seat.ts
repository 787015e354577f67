import { Cdc, Cdo, Ds, d, gamma, wl as land, nup, p0, pb, pitch, s0, shore, tp } from "./inputs.ts";
import { layerIntegral } from "./layer.ts";
import { Fbl, Fr, k, swing, V, wh, wl } from "./strip.ts";
import { bisect, found, heading, line, of } from "./working.ts";

const CHOICE = "tool's choice, common practice, no source";
export const BALANCE = "balance of forces";
const STATIC = "static balance";

heading(
  "7 Seat and pad, closed",
  "y is the pad's travel towards opening from rest; the seat plane lies at y = s_0. The pad is a sheet on a stiff backing under a land ring; its contact comes on gradually over δ_s, so that the tangent is zero at first touch.",
);
const Ep = line(
  "E_p",
  "modulus of the pad",
  "Pa",
  "Gent 1958: E/MPa = 0.0981 (56 + 7.62336 S)/(0.137505 (254 − 2.54 S))",
  of`1e6 * 0.0981 * (56 + 7.62336 * ${shore}) / (0.137505 * (254 - 2.54 * ${shore}))`,
  "design.materials.FKM 75 Shore A.youngModulus",
);
const JOHNSON =
  "ring on a layer that is bonded to a stiff backing: F = π² E* R δ/Λ; form after Johnson 1985, numbers fitted by the tool to the layer's integral";
const Epl = line(
  "E_p*",
  "its plane-strain modulus E/(1 − ν²)",
  "Pa",
  "linear elasticity",
  of`${Ep} / (1 - ${nup} ** 2)`,
);
const Rm = line("R_m", "mean radius of the land", "m", "geometry", of`${Ds} / 2`);
const bl = line("b_l", "half width of the land", "m", "geometry", of`${land} / 2`);
const xi = line("ξ", "1/2 − ν_p", "", "definition", of`0.5 - ${nup}`);
const rho = line("ρ_p", "radius over pad thickness", "", "geometry", of`${Rm} / ${tp}`);
const rs = line(
  "r_p",
  "the same on the scale of the fit",
  "",
  JOHNSON,
  of`${rho} / (0.407 + 0.764 * ${xi})`,
);
const Af = line(
  "A_f",
  "slope of f_b for a small ring",
  "",
  JOHNSON,
  of`PI * (1.77 - 3.2 * ${xi} + 5.5 * ${xi} ** 2)`,
);
const Bf = line(
  "B_f",
  "slope of f_b for a large ring",
  "",
  JOHNSON,
  of`21.24 * (1 - 3.448 * ${xi} + 7.939 * ${xi} ** 2)`,
);
const Cf = line("C_f", "between them", "", JOHNSON, of`9.735 - 5.611 * ${xi}`);
const ff = line(
  "f_b",
  "effect of the backing",
  "",
  JOHNSON,
  of`${rho} * (${Af} + ${Cf} * ${rs} + ${Bf} * ${rs} ** 3) / (1 + 0.498 * ${rs} + ${rs} ** 3)`,
);
const Re = line("R_e", "effective radius R_m/(1 + f_b)", "m", JOHNSON, of`${Rm} / (1 + ${ff})`);
const Lam = line(
  "Λ_p",
  "½ ln[1 + (16 R_e/b_l)²]",
  "",
  JOHNSON,
  of`ln(1 + (16 * ${Re} / ${bl}) ** 2) / 2`,
);
const Kp = line("K", "slope of the pad", "N/m", JOHNSON, of`PI ** 2 * ${Epl} * ${Rm} / ${Lam}`);
found(
  "K_int",
  "the same from the layer's integral itself; the fit may differ by 1 %",
  "N/m",
  "Johnson 1985, Contact Mechanics, 5.7",
  "π E* R/∫L(x t/R) J0²(x) J0²(x b_l/R) dx, L(x) = (2κ sinh 2x − 4x)/(2κ cosh 2x + 4x² + 1 + κ²), κ = 3 − 4ν",
  (Math.PI * Epl.value * Rm.value) /
    layerIntegral(tp.value / Rm.value, bl.value / Rm.value, nup.value),
);
const ds = line(
  "δ_s",
  "indentation over which contact comes on",
  "m",
  `0.4 % of the thickness, ${CHOICE}`,
  of`0.004 * ${tp}`,
);
const padForce = (x: number) =>
  x <= 0 ? 0 : Kp.value * (x - ds.value * (1 - Math.exp(-x / ds.value)));
const As = line("A_s", "area within the seat diameter", "m²", "geometry", of`PI * ${Ds} ** 2 / 4`);
export const Fp = line(
  "F_p",
  "pressure force, closed",
  "N",
  "(p0 − p_down) A_s",
  of`(${p0} - ${pb}) * ${As}`,
  "seat.pressure_force_N",
);

const PAD = "K[δ − δ_s (1 − exp(−δ/δ_s))] = k (s_0 − δ − y_low)";
const delta0 = found(
  "δ_0",
  "indentation without pressure",
  "m",
  BALANCE,
  `root of ${PAD}`,
  bisect((x) => padForce(x) - k.value * (s0.value - x - wl.value), 0, 1e-4),
);
const pre = line(
  "F_0",
  "preload: pad force without pressure",
  "N",
  "pad law",
  of`${Kp} * (${delta0} - ${ds} * (1 - exp(-${delta0} / ${ds})))`,
  "seat.preload_at_zero_pressure_N",
);
line(
  "F_0,strip",
  "the strip's force there (equal)",
  "N",
  BALANCE,
  of`${k} * (${s0} - ${delta0} - ${wl})`,
);
export const delta = found(
  "δ",
  "indentation, closed under pressure",
  "m",
  BALANCE,
  `root of ${PAD} + F_p`,
  bisect((x) => padForce(x) - k.value * (s0.value - x - wl.value) - Fp.value, 0, 1e-4),
  "seat.indentation_closed_m",
);
const Fs = line(
  "F_s",
  "sealing force: pad force under pressure",
  "N",
  "pad law",
  of`${Kp} * (${delta} - ${ds} * (1 - exp(-${delta} / ${ds})))`,
  "seat.sealing_force_N",
);
line(
  "F_s,strip",
  "strip and pressure there (equal)",
  "N",
  BALANCE,
  of`${k} * (${s0} - ${delta} - ${wl}) + ${Fp}`,
);
export const kpad = line(
  "F_pad′",
  "tangent of the pad law",
  "N/m",
  "derivative",
  of`${Kp} * (1 - exp(-${delta} / ${ds}))`,
);
line(
  "f_l",
  "line force F_s/(π D_s)",
  "N/m",
  "geometry",
  of`${Fs} / (PI * ${Ds})`,
  "seat.sealing_line_force_N_m",
);
line(
  "σ_s",
  "contact stress F_s/(π D_s w)",
  "Pa",
  "geometry",
  of`${Fs} / (PI * ${Ds} * ${land})`,
  "seat.sealing_stress_Pa",
);
line(
  "r_open",
  "crack-open force ratio",
  "",
  "blocking force over pressure force and preload",
  of`${Fbl} / (${Fp} + ${pre})`,
  "seat.crack_open_force_ratio",
);
const Vo = line(
  "V_open",
  "opening voltage: step of the switch at which the pad just leaves the seat, y_low + w_s V_open/V = s_0 + F_p/k",
  "V",
  STATIC,
  of`${V} * (${s0} + ${Fp} / ${k} - ${wl}) / ${swing}`,
  "seat.opening_voltage_V",
);
line("V_open/V", "of the rail", "", "ratio", of`${Vo} / ${V}`, "seat.opening_voltage_fraction");
line(
  "A_eff",
  "seal area from the slope of V_open(p), k w_s/V · dV_open/dp",
  "m²",
  STATIC,
  of`${k} * ${swing} / ${V} * (${V} * ${As} / (${k} * ${swing}))`,
  "seat.effective_seal_area_m2",
);
line("adv", "advance from first touch at rest", "m", "definition", of`${s0}`, "seat.advance_m");
line(
  "turns",
  "the same in turns of the screw",
  "",
  "definition",
  of`${s0} / ${pitch}`,
  "seat.advance_turns",
);

heading(
  "8 Open",
  "Gas goes through the curtain π D_s h, then through the orifice. The chamber is so low that the orifice is choked: ψ(p_down/p_m) = ψ*.",
);
const ISENTROPIC =
  "isentropic flow of an ideal gas, equal stagnation temperature at both restrictions";
export const Ao = line("A_o", "area of the orifice", "m²", "geometry", of`PI * ${d} ** 2 / 4`);
const rc = line(
  "r*",
  "critical pressure ratio",
  "",
  ISENTROPIC,
  of`(2 / (${gamma} + 1)) ** (${gamma} / (${gamma} - 1))`,
);
export const psi = line(
  "ψ*",
  "flow function at the critical ratio",
  "",
  ISENTROPIC,
  of`sqrt(2 * ${gamma} / (${gamma} - 1) * (${rc} ** (2 / ${gamma}) - ${rc} ** ((${gamma} + 1) / ${gamma})))`,
);
line(
  "h_full",
  "lift at which the curtain π D_s h equals the orifice",
  "m",
  "d²/(4 D_s)",
  of`${d} ** 2 / (4 * ${Ds})`,
  "seat.lift_for_full_opening_m",
);
const flowFunction = (r: number) => {
  const g = gamma.value;
  const at = Math.max(r, rc.value);
  return Math.sqrt(((2 * g) / (g - 1)) * (at ** (2 / g) - at ** ((g + 1) / g)));
};
const middle = (lift: number) => {
  const area = (Cdc.value * Math.PI * Ds.value * lift) / (Cdo.value * Ao.value);
  return bisect((r) => area * flowFunction(r) - r * psi.value, 1e-9, 1);
};
const openLift = (free: number) =>
  bisect(
    (lift) => k.value * (free - s0.value - lift) - (p0.value - p0.value * middle(lift)) * As.value,
    1e-12,
    free - s0.value,
  );

export const hO = found(
  "h",
  "open lift",
  "m",
  BALANCE,
  "root of k (y_high − s_0 − h) = (p0 − p_m(h)) A_s",
  openLift(wh.value),
  "seat.lift_open_m",
);
const aO = line(
  "a",
  "curtain over orifice, effective areas",
  "",
  "Cd A of both",
  of`${Cdc} * PI * ${Ds} * ${hO} / (${Cdo} * ${Ao})`,
  "seat.open_area_ratio",
);
export const pr = found(
  "r_m",
  "pressure between curtain and orifice over the plenum pressure, p_m/p0",
  "",
  ISENTROPIC,
  "root of a ψ(r_m) = r_m ψ*",
  middle(hO.value),
);
line(
  "curtain",
  "left side a ψ(r_m)",
  "",
  ISENTROPIC,
  of`${aO} * sqrt(2 * ${gamma} / (${gamma} - 1) * (${pr} ** (2 / ${gamma}) - ${pr} ** ((${gamma} + 1) / ${gamma})))`,
);
line("orifice", "right side r_m ψ* (equal)", "", ISENTROPIC, of`${pr} * ${psi}`);
line(
  "F_g",
  "gas force on the open pad, towards closing",
  "N",
  "(p0 − p_m) A_s",
  of`${p0} * (1 - ${pr}) * ${As}`,
);
line("F_k", "the strip's force there (equal)", "N", BALANCE, of`${k} * (${wh} - ${s0} - ${hO})`);

heading("9 Large signal at the seat", "The same balances with both free deflections times F_R.");
const whl = line("y_high,ls", "free deflection, high", "m", "Rayleigh", of`${Fr} * ${wh}`);
const wll = line("y_low,ls", "free deflection, low", "m", "Rayleigh", of`${Fr} * ${wl}`);
found(
  "h_ls",
  "open lift",
  "m",
  BALANCE,
  "root of the balance of section 8",
  openLift(whl.value),
  "large_signal.rows.lift when open.large_signal",
);
const dls = found(
  "δ_ls",
  "indentation, closed under pressure",
  "m",
  BALANCE,
  "root of the balance of section 7",
  bisect((x) => padForce(x) - k.value * (s0.value - x - wll.value) - Fp.value, 0, 1e-4),
);
line(
  "F_s,ls",
  "sealing force",
  "N",
  "pad law",
  of`${Kp} * (${dls} - ${ds} * (1 - exp(-${dls} / ${ds})))`,
  "large_signal.rows.sealing force.large_signal",
);
