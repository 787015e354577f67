import { UNVERIFIED } from "../sourced.ts";

const BAR = 1e5;

/** Gases against materials: one row says when a gas and a material do not go together. */
export interface CompatibilityRule {
  readonly id: string;
  /** Chemical symbols of the gases it concerns. */
  readonly gases: readonly string[];
  /** Words that a material's name contains (lower case); empty: whatever the materials. */
  readonly materials: readonly string[];
  readonly severity: "block" | "warning";
  /** Partial pressure from which the row applies, Pa. */
  readonly partialPressureMin: number;
  readonly text: string;
  readonly action: string;
  readonly source: string;
}

/** Words for materials that the valve always or often holds; see `materialsOf` in compatibility. */
const ORGANIC = [
  "fkm",
  "ffkm",
  "nitrile",
  "nbr",
  "silicone",
  "epdm",
  "rubber",
  "elastomer",
  "glue",
  "epoxy",
  "polyimide",
  "peek",
  "acetal",
  "pad",
];
const ELASTOMERS = [
  "fkm",
  "ffkm",
  "nitrile",
  "nbr",
  "silicone",
  "epdm",
  "rubber",
  "elastomer",
  "pad",
];
const FUELS = [
  "H2",
  "D2",
  "CH4",
  "C2H6",
  "C2H4",
  "C2H2",
  "C3H8",
  "C4H10",
  "CO",
  "NH3",
  "H2S",
  "SiH4",
];

const H2_SOURCE =
  "A. Shafiei Mohammadabadi, thesis, University of British Columbia (10 MPa, 200 to 1200 h: porous layer at the electrode); Alvine et al. (lead nanowires at aluminium electrodes); abstracts";

export const COMPATIBILITY: readonly CompatibilityRule[] = [
  {
    id: "hydrogen on electroded ceramic",
    gases: ["H2", "D2"],
    materials: ["electroded ceramic"],
    severity: "warning",
    partialPressureMin: 0.1 * BAR,
    text: "hydrogen attacks electroded lead-based ceramic over hundreds of hours (reduction at the electrode), faster under pressure and field; bare ceramic is touched only at the surface",
    action:
      "log hours and pressure, coat the electrodes, check capacitance and loss factor at intervals",
    source: H2_SOURCE,
  },
  {
    id: "acetylene on copper, silver or brass",
    gases: ["C2H2"],
    materials: ["copper", "silver", "brass", "bronze", "mercury"],
    severity: "block",
    partialPressureMin: 0,
    text: "acetylene forms explosive acetylides with copper, silver and their alloys",
    action: "no copper, silver, brass or silver solder in contact with the gas",
    source: UNVERIFIED,
  },
  {
    id: "acetylene on fired electrodes",
    gases: ["C2H2"],
    materials: ["electroded ceramic"],
    severity: "block",
    partialPressureMin: 0,
    text: "the electrodes of piezo ceramic and their solder are commonly silver: explosive acetylides form with acetylene",
    action:
      "keep the strip out of the gas, or prove that electrodes, solder and leads hold no silver or copper",
    source: UNVERIFIED,
  },
  {
    id: "acetylene under pressure",
    gases: ["C2H2"],
    materials: [],
    severity: "block",
    partialPressureMin: 2 * BAR,
    text: "pure acetylene can decompose explosively above about 2 bar absolute, a spark is enough",
    action: "lower the pressure and follow the rules for acetylene",
    source: UNVERIFIED,
  },
  {
    id: "carbon dioxide in elastomers",
    gases: ["CO2"],
    materials: ELASTOMERS,
    severity: "warning",
    partialPressureMin: 2 * BAR,
    text: "carbon dioxide swells elastomers (the touch point moves by more than the lift) and blisters them on venting",
    action: "set the stand-off after a soak at working pressure, vent slowly, use a hard compound",
    source: "M. Ho 2006, HSE Research Report 485 (abstract), swelling from memory",
  },
  {
    id: "sulphur hexafluoride in elastomers",
    gases: ["SF6"],
    materials: ["silicone", "nitrile", "nbr"],
    severity: "warning",
    partialPressureMin: 2 * BAR,
    text: "sulphur hexafluoride swells some elastomers",
    action: "set the stand-off after a soak at working pressure",
    source: UNVERIFIED,
  },
  {
    id: "sulphur hexafluoride and discharge",
    gases: ["SF6"],
    materials: [],
    severity: "warning",
    partialPressureMin: 0,
    text: "a discharge in sulphur hexafluoride makes toxic and corrosive products",
    action: "keep the voltage outside the lock-out band and treat the exhaust",
    source: UNVERIFIED,
  },
  {
    id: "hydrocarbons in elastomers",
    gases: ["C2H6", "C2H4", "C3H8", "C4H10"],
    materials: ["silicone", "epdm"],
    severity: "warning",
    partialPressureMin: 1 * BAR,
    text: "hydrocarbons swell silicone and ethylene-propylene rubbers",
    action: "use a fluoroelastomer or nitrile pad",
    source: UNVERIFIED,
  },
  {
    id: "ammonia on copper alloys",
    gases: ["NH3"],
    materials: ["copper", "brass", "bronze", "zinc", "silver"],
    severity: "block",
    partialPressureMin: 0,
    text: "ammonia cracks and dissolves copper alloys, and with silver residues can form explosive compounds",
    action: "no copper, brass or silver in contact with the gas",
    source: UNVERIFIED,
  },
  {
    id: "ammonia on fluoroelastomer",
    gases: ["NH3"],
    materials: ["fkm"],
    severity: "warning",
    partialPressureMin: 0,
    text: "ammonia hardens and cracks ordinary fluoroelastomers",
    action: "use an ethylene-propylene or perfluoro elastomer",
    source: UNVERIFIED,
  },
  {
    id: "oxygen with organic parts",
    gases: ["O2"],
    materials: ORGANIC,
    severity: "block",
    partialPressureMin: 10 * BAR,
    text: "oxygen above about 10 bar can ignite pads, glue and grease (compression heat, particle, spark)",
    action:
      "lower the partial pressure or leave the organic parts out; clean for oxygen; a qualified person decides",
    source: UNVERIFIED,
  },
  {
    id: "oxygen enriched gas",
    gases: ["O2"],
    materials: ORGANIC,
    severity: "warning",
    partialPressureMin: 0.235 * BAR,
    text: "above 0.235 bar of oxygen organic parts burn more readily than in air",
    action: "clean for oxygen, no grease, no spark source",
    source: UNVERIFIED,
  },
  {
    id: "nitrous oxide with organic parts",
    gases: ["N2O"],
    materials: ORGANIC,
    severity: "warning",
    partialPressureMin: 1 * BAR,
    text: "nitrous oxide is an oxidiser and can decompose; organic parts can burn in it",
    action: "clean as for oxygen, no grease, no spark source",
    source: UNVERIFIED,
  },
  {
    id: "sulphur compounds on silver and copper",
    gases: ["H2S", "SO2"],
    materials: ["silver", "copper", "brass", "electroded ceramic"],
    severity: "warning",
    partialPressureMin: 0,
    text: "sulphur compounds tarnish and eat silver electrodes, copper and brass",
    action: "coat or avoid these metals",
    source: UNVERIFIED,
  },
  {
    id: "halogens",
    gases: ["Cl2", "HCl", "F2"],
    materials: [],
    severity: "block",
    partialPressureMin: 0,
    text: "halogens and hydrogen halides attack electrodes, solder, leads and glue",
    action: "keep the strip out of the gas",
    source: UNVERIFIED,
  },
  {
    id: "nitric oxide",
    gases: ["NO", "NO2"],
    materials: ["copper", "brass", "silver", "nitrile", "nbr", "electroded ceramic"],
    severity: "warning",
    partialPressureMin: 0,
    text: "nitric oxide turns to nitrogen dioxide with air and then corrodes metals and rubbers",
    action: "purge air out first, use stainless steel and fluoroelastomer",
    source: UNVERIFIED,
  },
  {
    id: "carbon monoxide on nickel and iron",
    gases: ["CO"],
    materials: ["nickel", "steel", "iron", "electroded ceramic"],
    severity: "warning",
    partialPressureMin: 5 * BAR,
    text: "carbon monoxide under pressure forms toxic carbonyls with nickel and iron (some electrodes are nickel)",
    action: "keep temperature and pressure low, watch for carbonyls",
    source: UNVERIFIED,
  },
  {
    id: "hydrogen in hard steel",
    gases: ["H2", "D2"],
    materials: ["hardened steel", "spring steel"],
    severity: "warning",
    partialPressureMin: 10 * BAR,
    text: "hydrogen embrittles hard steels",
    action: "use austenitic steel or brass for stressed parts",
    source: UNVERIFIED,
  },
  {
    id: "helium through elastomers",
    gases: ["He", "H2", "D2"],
    materials: ELASTOMERS,
    severity: "warning",
    partialPressureMin: 20 * BAR,
    text: "light gas dissolves in the pad under pressure: it permeates, and blisters the pad when vented fast",
    action: "vent slowly; a leak at the permeation level is no contact leak",
    source:
      "rapid gas decompression: M. Ho 2006, HSE Research Report 485 (abstract); pressure from memory",
  },
  {
    id: "silane and air",
    gases: ["SiH4"],
    materials: [],
    severity: "block",
    partialPressureMin: 0,
    text: "silane ignites by itself in air",
    action: "only with an installation made for it and a qualified person",
    source: UNVERIFIED,
  },
];

/** Gases that burn, that feed a fire, and that poison; for checks of mixtures and cautions. */
export const FUEL_GASES: readonly string[] = FUELS;
export const OXIDISER_GASES: readonly string[] = ["O2", "N2O", "NO2", "F2", "Cl2", "air"];
export const TOXIC_GASES: readonly string[] = [
  "CO",
  "NH3",
  "NO",
  "NO2",
  "H2S",
  "SO2",
  "Cl2",
  "F2",
  "HCl",
  "SiH4",
];
