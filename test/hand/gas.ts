import { Cdo, d, gamma, hours, M, p0, pb, R, rate, Sp, T0, TQ, Tw, tg, Vc, Vp } from "./inputs.ts";
import { Ao, pr, psi } from "./seat.ts";
import { given, heading, line, of } from "./working.ts";

const IDEAL = "ideal gas";
heading("11 Gas", "Flow at the open lift for the whole pulse: an estimate without time stepping.");
export const Rg = line("R_s", "specific gas constant of argon", "J/(kg·K)", IDEAL, of`${R} / ${M}`);
const mc = line(
  "ṁ*",
  "choked flow of the orifice alone",
  "kg/s",
  "isentropic flow, Cd A p0 ψ*/√(R_s T0)",
  of`${Cdo} * ${Ao} * ${p0} * ${psi} / sqrt(${Rg} * ${T0})`,
  "gas.choked_mass_flow_kg_s",
);
const mo = line(
  "ṁ",
  "flow at the open lift",
  "kg/s",
  "isentropic flow, Cd A p_m ψ*/√(R_s T0)",
  of`${Cdo} * ${Ao} * ${pr} * ${p0} * ${psi} / sqrt(${Rg} * ${T0})`,
  "gas.open_mass_flow_kg_s",
);
line(
  "Q",
  "throughput at 20 °C",
  "Pa·m³/s",
  IDEAL,
  of`${mo} * ${Rg} * ${TQ}`,
  "gas.throughput_Pa_m3_s",
);
const N = line(
  "N",
  "gas per pulse",
  "mol",
  "flow × pulse",
  of`${mo} * ${tg} / ${M}`,
  "gas.gas_per_pulse_mol",
);
line(
  "Q_mean",
  "mean throughput at 20 °C",
  "Pa·m³/s",
  IDEAL,
  of`${N} * ${rate} * ${R} * ${TQ}`,
  "gas.mean_throughput_Pa_m3_s",
);
line(
  "p_mean",
  "mean chamber pressure",
  "Pa",
  "ṅ R T_w/S above the base pressure",
  of`${pb} + ${N} * ${rate} * ${R} * ${Tw} / ${Sp}`,
  "gas.mean_pressure_Pa",
);
const dp = line(
  "Δp",
  "pressure step of a pulse",
  "Pa",
  IDEAL,
  of`${N} * ${R} * ${Tw} / ${Vc}`,
  "gas.pressure_step_Pa",
);
const tau = line(
  "τ_c",
  "time constant of the chamber",
  "s",
  "V dp/dt = −S p",
  of`${Vc} / ${Sp}`,
  "gas.pump_time_constant_s",
);
line(
  "p_peak",
  "peak pressure once pulses pile up",
  "Pa",
  "geometric series of steps that decay with τ_c",
  of`${pb} + ${dp} / (1 - exp(-1 / (${rate} * ${tau})))`,
  "gas.peak_pressure_Pa",
);
const m0 = line("N_0", "gas in the plenum", "mol", IDEAL, of`${p0} * ${Vp} / (${R} * ${T0})`);
line(
  "Δp_0",
  "plenum droop of a pulse",
  "Pa",
  "adiabatic: dp0 = −γ R T dN/V with T following p0, integrated",
  of`${p0} * (1 - (1 - ${N} / ${m0}) ** ${gamma})`,
  "gas.plenum_droop_Pa",
);
line(
  "Q_stuck",
  "throughput stuck open, at 20 °C",
  "Pa·m³/s",
  IDEAL,
  of`${mc} * ${Rg} * ${TQ}`,
  "stuck_open.throughput_Pa_m3_s",
);
line(
  "p_stuck",
  "chamber pressure stuck open",
  "Pa",
  "Q/S at the wall temperature",
  of`${pb} + ${mc} * ${Rg} * ${Tw} / ${Sp}`,
  "stuck_open.chamber_pressure_Pa",
);
const ARGON = "gas.components.0.record";
const HUBER = "gas table: Huber, Harvey, CRC Handbook";
const mu300 = given(
  "µ_300",
  "viscosity of argon at 300 K",
  22.7e-6,
  "Pa·s",
  HUBER,
  `${ARGON}.viscosity_300K_Pa_s.value`,
);
const mun = given(
  "n",
  "its exponent of temperature",
  0.847,
  "",
  HUBER,
  `${ARGON}.viscosity_exponent.value`,
);
export const mu = line(
  "µ",
  "viscosity at T0",
  "Pa·s",
  "power law",
  of`${mu300} * (${T0} / 300) ** ${mun}`,
);
line(
  "Re",
  "Reynolds number of the choked orifice, 4 ṁ/(π d µ)",
  "",
  "definition",
  of`4 * ${mc} / (PI * ${d} * ${mu})`,
  "gas.reynolds_orifice",
);
const xv = line(
  "x_v",
  "298.15 K/T0 − 1",
  "",
  "variable of the virial series",
  of`298.15 / ${T0} - 1`,
);
const B = line(
  "B",
  "second virial coefficient of argon",
  "m³/mol",
  "gas table: Kehiaian, CRC Handbook, cm³/mol",
  of`1e-6 * (-16 - 60 * ${xv} - 9.7 * ${xv} ** 2 - 1.5 * ${xv} ** 3)`,
);
line(
  "Z",
  "compressibility 1 + B p0/(R T0)",
  "",
  "virial series",
  of`1 + ${B} * ${p0} / (${R} * ${T0})`,
  "gas.compressibility",
);
line("n_d", "pulses a day", "", "definition", of`${rate} * ${hours} * 3600`, "gas.pulses_per_day");
