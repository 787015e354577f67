import { fromTip, L, tc, Vrail, xR } from "./inputs.ts";
import { EI, s, th1, th3 } from "./section.ts";
import { Fc, Fd } from "./width.ts";
import { heading, line, of } from "./working.ts";

const FREE = "bending moment of the ceramic, w″ = M_p/EI";
const BEAM = "cantilever with shear";

heading(
  "4 States and fields",
  "High: vane at ground. Low: vane at the bias rail. Lower face at ground, upper face at the rail.",
);
export const V = line(
  "V",
  "voltage of the rail, magnitude",
  "V",
  "the rail is negative",
  of`-${Vrail}`,
);
const dv1h = line("ΔV_1,high", "vane minus lower face", "V", "wiring", of`0`);
const dv3h = line("ΔV_3,high", "upper face minus vane", "V", "wiring", of`${Vrail} - 0`);
const dv1l = line("ΔV_1,low", "vane minus lower face", "V", "wiring", of`${Vrail} - 0`);
const dv3l = line("ΔV_3,low", "upper face minus vane", "V", "wiring", of`${Vrail} - ${Vrail}`);
const FIELD = "E_z = −ΔV/t; both layers are poled up, so E_z lies along the poling";
line(
  "E_z,1,high",
  "field in layer 1",
  "V/m",
  FIELD,
  of`-${dv1h} / ${tc}`,
  "strip.states.high.layers.0.field_along_poling_V_m",
);
export const Ez3h = line(
  "E_z,3,high",
  "field in layer 3",
  "V/m",
  FIELD,
  of`-${dv3h} / ${tc}`,
  "strip.states.high.layers.1.field_along_poling_V_m",
);
export const Ez1l = line(
  "E_z,1,low",
  "field in layer 1",
  "V/m",
  FIELD,
  of`-${dv1l} / ${tc}`,
  "strip.states.low.layers.0.field_along_poling_V_m",
);
line(
  "E_z,3,low",
  "field in layer 3",
  "V/m",
  FIELD,
  of`-${dv3l} / ${tc}`,
  "strip.states.low.layers.1.field_along_poling_V_m",
);

heading("5 Free deflection, stiffness, force", "+z is up. The seat lies below, so up opens.");
export const xp = line(
  "x_p",
  "place of the pad from the clamp edge",
  "m",
  "geometry",
  of`${L} - ${fromTip}`,
);
const Mh = line("M_high", "moment ΣΘ ΔV", "N·m", FREE, of`${th1} * ${dv1h} + ${th3} * ${dv3h}`);
const Ml = line("M_low", "moment ΣΘ ΔV", "N·m", FREE, of`${th1} * ${dv1l} + ${th3} * ${dv3l}`);
export const kh = line(
  "κ_high",
  "free curvature",
  "1/m",
  FREE,
  of`${Mh} / ${EI}`,
  "curvature.high",
);
export const kl = line("κ_low", "free curvature", "1/m", FREE, of`${Ml} / ${EI}`, "curvature.low");
export const wh = line(
  "w_high",
  "free deflection at the pad, F_d κ x²/2",
  "m",
  FREE,
  of`${Fd} * ${kh} * ${xp} ** 2 / 2`,
  "strip.states.high.free_deflection_m",
);
export const wl = line(
  "w_low",
  "free deflection at the pad",
  "m",
  FREE,
  of`${Fd} * ${kl} * ${xp} ** 2 / 2`,
  "strip.states.low.free_deflection_m",
);
const wth = line(
  "w_high(L)",
  "free deflection at the tip",
  "m",
  FREE,
  of`${Fd} * ${kh} * ${L} ** 2 / 2`,
);
const wtl = line(
  "w_low(L)",
  "free deflection at the tip",
  "m",
  FREE,
  of`${Fd} * ${kl} * ${L} ** 2 / 2`,
);
export const swing = line(
  "w_s",
  "swing at the pad",
  "m",
  "travel between the switch states",
  of`${wh} - ${wl}`,
  "strip.swing_at_pad_m",
);
const swingTip = line(
  "w_s(L)",
  "swing at the tip",
  "m",
  "travel between the switch states",
  of`${wth} - ${wtl}`,
  "strip.swing_at_tip_m",
);
const cp = line(
  "a_p",
  "compliance at the pad, F_c [x³/(3 EI) + s x]",
  "m/N",
  BEAM,
  of`${Fc} * (${xp} ** 3 / (3 * ${EI}) + ${s} * ${xp})`,
);
const ct = line(
  "a_t",
  "compliance at the tip",
  "m/N",
  BEAM,
  of`${Fc} * (${L} ** 3 / (3 * ${EI}) + ${s} * ${L})`,
);
export const k = line(
  "k",
  "stiffness at the pad",
  "N/m",
  BEAM,
  of`1 / ${cp}`,
  "strip.pad_stiffness_N_m",
);
const kt = line(
  "k_t",
  "stiffness at the tip",
  "N/m",
  BEAM,
  of`1 / ${ct}`,
  "strip.tip_stiffness_N_m",
);
export const Fbl = line(
  "F_b",
  "blocking force at the pad, state to state",
  "N",
  "stiffness × swing",
  of`${k} * ${swing}`,
  "strip.blocking_force_at_pad_N",
);
line(
  "F_b(L)",
  "blocking force at the tip, state to state",
  "N",
  "stiffness × swing",
  of`${kt} * ${swingTip}`,
  "strip.blocking_force_at_tip_N",
);
line(
  "F_high",
  "force that holds the pad at zero, state high",
  "N",
  "stiffness × free deflection",
  of`-${k} * ${wh}`,
  "strip.states.high.blocking_force_N",
);
line(
  "F_low",
  "the same, state low",
  "N",
  "stiffness × free deflection",
  of`-${k} * ${wl}`,
  "strip.states.low.blocking_force_N",
);

heading(
  "6 Large signal",
  "Rayleigh's law about the centre of the loop; peak field of both layers from section 4.",
);
const x = line(
  "x",
  "αE_m/d0 at the peak field",
  "",
  "Rayleigh; ratio at 1 kV/mm times field",
  of`${xR} * ${Ez3h} / 1e6`,
);
export const Fr = line(
  "F_R",
  "d_eff/d0",
  "",
  "Rayleigh: d_eff = d0 + α E_m/2 for a drive 0…E_m",
  of`1 + ${x} / 2`,
);
line(
  "loop",
  "loop width over swing",
  "",
  "Rayleigh: (α E_m/4)/(d0 + α E_m/2)",
  of`${x} / 4 / (1 + ${x} / 2)`,
  "large_signal.loop_width_over_swing",
);
line(
  "w_s,ls",
  "swing at the pad, large signal",
  "m",
  "Rayleigh",
  of`${Fr} * ${swing}`,
  "large_signal.rows.swing at the pad.large_signal",
);
line(
  "F_b,ls",
  "blocking force at the pad, large signal",
  "N",
  "Rayleigh",
  of`${Fr} * ${Fbl}`,
  "large_signal.rows.blocking force at the pad.large_signal",
);
