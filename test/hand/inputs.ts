import { given, heading } from "./working.ts";

/*
 * Everything that enters the calculation of the first valve, as plain SI numbers. The last column
 * of each call is the place of the number in the checked design; the test holds them equal.
 */
const TP226 = "material table: from constants of TP-226 (Berlincourt, Krueger; rev. Near 2003)";
const CDA = "material table: Copper Development Association, C36000";
const MEMORY = "material table: unverified, from memory";
const CERAMIC = "materials.soft ceramic";
const BRASS = "materials.brass";

type Given = [symbol: string, meaning: string, value: number, unit: string];
const file = (...[symbol, meaning, value, unit, at]: [...Given, at: string]) =>
  given(symbol, meaning, value, unit, "design file", at);
const usual = (...[symbol, meaning, value, unit, at]: [...Given, at: string]) =>
  given(symbol, meaning, value, unit, "default of the tool", at);
const ceramic = (...[symbol, meaning, value, unit, key]: [...Given, key: string]) =>
  given(symbol, meaning, value, unit, TP226, `${CERAMIC}.${key}`);
const brass = (...[symbol, meaning, value, unit, key]: [...Given, key: string]) =>
  given(symbol, meaning, value, unit, CDA, `${BRASS}.${key}`);

heading(
  "Given",
  "All numbers in SI units. The strip has two ceramic layers (index 1 below, 3 above) on a brass vane (index 2).",
);

export const b = file("b", "width of the strip", 5e-3, "m", "strip.width");
export const L = file("L", "free length", 9e-3, "m", "strip.freeLength");
export const tc = file(
  "t_c",
  "thickness of a ceramic layer",
  0.2e-3,
  "m",
  "strip.layers.0.thickness",
);
export const tv = file("t_v", "thickness of the vane", 0.1e-3, "m", "strip.layers.1.thickness");
export const p1 = file("p_1", "poling of layer 1 (+1 is up)", 1, "", "strip.layers.0.poling");
export const p3 = file("p_3", "poling of layer 3", 1, "", "strip.layers.2.poling");

export const Ec = ceramic("E_c", "modulus of the ceramic, 1/s11E", 60e9, "Pa", "youngModulus");
export const nuc = ceramic("ν_c", "its Poisson's ratio", 0.29, "", "poissonRatio");
export const rhoc = ceramic("ρ_c", "its density", 7500, "kg/m³", "density");
export const d31at25 = ceramic("d31(25 °C)", "its piezo coefficient", -274e-12, "m/V", "d31");
export const kd = given(
  "k_d",
  "relative change of d31 per kelvin",
  3e-3,
  "1/K",
  MEMORY,
  `${CERAMIC}.d31Temperature`,
);
export const epsr = given("eps_r", "its relative free permittivity at 25 °C", 3400, "", TP226);
export const eps0 = given(
  "eps_0",
  "permittivity of vacuum",
  8.8541878128e-12,
  "F/m",
  "CODATA 2018",
);
export const ke = given(
  "k_e",
  "relative change of permittivity per kelvin",
  5e-3,
  "1/K",
  MEMORY,
  `${CERAMIC}.epsilon33TTemperature`,
);
export const xR = given(
  "x_R",
  "Rayleigh ratio αE_m/d0 at 1 kV/mm",
  0.667,
  "",
  MEMORY,
  `${CERAMIC}.rayleighRatio`,
);
export const Ev = brass("E_v", "modulus of brass", 97e9, "Pa", "youngModulus");
export const nuv = brass("ν_v", "its Poisson's ratio", 0.31, "", "poissonRatio");
export const rhov = brass("ρ_v", "its density", 8500, "kg/m³", "density");
export const Ta = usual(
  "T_a",
  "ambient temperature",
  295.15,
  "K",
  "surroundings.ambientTemperature",
);

export const Qs = usual("Q_s", "structural Q of the strip", 30, "", "strip.structuralQ");

export const fromTip = file("x_t", "pad's distance from the tip", 0.5e-3, "m", "pad.fromTip");
export const mp = file("m_p", "mass of the pad", 4e-6, "kg", "pad.mass");
export const tp = file("t_p", "thickness of the pad", 0.5e-3, "m", "pad.thickness");
export const shore = given("S_A", "hardness of the pad, Shore A", 75, "", "design file");
export const nup = given(
  "ν_p",
  "Poisson's ratio of the pad",
  0.495,
  "",
  MEMORY,
  "materials.FKM 75 Shore A.poissonRatio",
);
export const dyn = given(
  "k_dyn",
  "dynamic over static stiffness of the pad",
  2,
  "",
  MEMORY,
  "materials.FKM 75 Shore A.dynamicFactor",
);

export const Ds = file("D_s", "seat diameter", 0.3e-3, "m", "seat.diameter");
export const wl = file("w_l", "width of the land", 0.05e-3, "m", "seat.land");
export const s0 = file("s_0", "stand-off, positive towards opening", -5e-6, "m", "seat.standOff");
export const pitch = usual("P", "pitch of the adjusting screw", 0.25e-3, "m", "seat.threadPitch");
export const Cdc = usual(
  "Cd_c",
  "discharge coefficient of the curtain",
  0.8,
  "",
  "seat.dischargeCurtain",
);
export const Cdo = usual(
  "Cd_o",
  "discharge coefficient of the orifice",
  0.9,
  "",
  "seat.dischargeOrifice",
);

export const p0 = file("p_0", "plenum pressure, absolute", 2e5, "Pa", "need.plenumPressure");
export const T0 = usual("T_0", "plenum temperature", 295.15, "K", "need.plenumTemperature");
export const d = file("d", "orifice diameter", 0.12e-3, "m", "need.orificeDiameter");
export const tg = file("t_g", "gas pulse asked for", 200e-6, "s", "need.gasPulse");
export const rate = file("f", "repetition rate", 10, "Hz", "need.rate");
export const hours = usual("h_d", "hours a day", 8, "h", "need.hoursPerDay");
export const gamma = given(
  "γ",
  "heat capacity ratio of argon",
  5 / 3,
  "",
  "monatomic gas",
  "gas.gamma",
);
export const M = given(
  "M",
  "molar mass of argon",
  39.948e-3,
  "kg/mol",
  "CIAAW 2021, rounded",
  "gas.molarMass",
);
export const R = given("R", "gas constant", 8.31446261815324, "J/(mol·K)", "CODATA 2018, exact");
export const TQ = given(
  "T_Q",
  "temperature at which throughput is counted",
  293.15,
  "K",
  "20 °C, common practice, no source",
);
export const Vp = file("V_p", "plenum volume", 20e-6, "m³", "plenum.volume");
export const Vc = file("V_c", "chamber volume", 40e-3, "m³", "chamber.volume");
export const Sp = file("S", "pumping speed", 0.6, "m³/s", "chamber.pumpingSpeed");
export const pb = usual("p_b", "base pressure of the chamber", 1e-5, "Pa", "chamber.basePressure");
export const Tw = usual(
  "T_w",
  "wall temperature of the chamber",
  295.15,
  "K",
  "chamber.wallTemperature",
);

export const Vrail = file(
  "V_b",
  "voltage of the bias rail with its sign",
  -150,
  "V",
  "rails.bias.voltage",
);
export const Ilim = file(
  "I_lim",
  "current limit of the supply",
  5e-3,
  "A",
  "rails.bias.currentLimit",
);
export const Cr = file(
  "C_r",
  "storage capacitor of the bias rail",
  2.2e-6,
  "F",
  "rails.bias.storage",
);
export const Rb = file("R_b", "bleeder across it", 680e3, "Ω", "rails.bias.bleeder");
export const Rs = file("R_s", "series resistor", 470, "Ω", "switch.seriesResistor");
export const Ron = usual("R_on", "on-resistance of the switch", 10, "Ω", "switch.onResistance");
export const Coss = usual(
  "C_out",
  "output capacitance of the switch",
  1e-10,
  "F",
  "switch.outputCapacitance",
);
export const lc = usual("l_c", "cable length", 1, "m", "cable.length");
export const cc = usual(
  "c_c",
  "cable capacitance per length",
  1e-10,
  "F/m",
  "cable.capacitancePerMetre",
);
export const Fls = usual(
  "F_ls",
  "large-signal over free capacitance",
  1.8,
  "",
  "model.largeSignalCapacitanceFactor",
);
export const tanls = usual(
  "tan δ",
  "large-signal loss factor",
  0.15,
  "",
  "model.largeSignalTanDelta",
);
export const droopMax = usual(
  "δ_V",
  "largest droop of a rail over its voltage",
  0.02,
  "",
  "limits.railDroopMax",
);
export const Vlow = usual(
  "V_low",
  "voltage that counts as discharged",
  60,
  "V",
  "limits.storedVoltageTouch",
);

export const gapMin = usual(
  "d_min",
  "smallest gap between bare conductors",
  0.2e-3,
  "m",
  "surroundings.conductorGapMin",
);
export const gapMax = usual(
  "d_max",
  "largest such gap",
  10e-3,
  "m",
  "surroundings.conductorGapMax",
);
export const gse = usual(
  "γ_se",
  "largest secondary emission",
  0.1,
  "",
  "model.secondaryEmissionMax",
);
export const fB = usual("f_B", "factor on the breakdown voltage", 0.8, "", "model.breakdownFactor");
export const Vm = given(
  "V_m",
  "measured minimum of argon",
  137,
  "V",
  "breakdown table: Naidu, Kamaraju 1995, after Cobine; unverified, from memory",
  "lockout.0.minimum_measured_V",
);
export const A1 = given(
  "A_1",
  "Townsend's A of argon, first set, 1/(cm·Torr)",
  11.5,
  "",
  "breakdown table: Lieberman, Lichtenberg 2005, table 14.1",
);
export const B1 = given(
  "B_1",
  "Townsend's B, first set, V/(cm·Torr)",
  176,
  "",
  "breakdown table: Lieberman, Lichtenberg 2005, table 14.1",
);
export const A2 = given(
  "A_2",
  "Townsend's A, second set",
  11,
  "1/(m·Pa)",
  "breakdown table: Nasser 1971",
);
export const B2 = given(
  "B_2",
  "Townsend's B, second set",
  135,
  "V/(m·Pa)",
  "breakdown table: Nasser 1971",
);
export const Tpd = given(
  "T_pd",
  "temperature at which pd is counted",
  293.15,
  "K",
  "20 °C, usual reference of Paschen curves",
);
