import type { PassiveRecord } from "../materials.ts";
import { type Sourced, sourced, UNVERIFIED } from "../sourced.ts";

/*
 * Layers without piezo action. Moduli 5 %, densities 2 % between alloys and batches; conductivities 10 %.
 */
const ASM = "ASM values as transcribed in a public materials table";
const BRASS = `Copper Development Association C36000 as transcribed in a public materials table; other brasses 100 to 110 GPa`;

interface Row {
  kind: PassiveRecord["kind"];
  /** GPa. */
  young: number;
  poisson: number;
  density: number;
  /** ppm/K. */
  expansion: number;
  conductivity: number;
  /** Source of modulus, Poisson's ratio and density; expansion and conductivity are from memory. */
  source?: string;
  youngU?: number;
  densityU?: number;
  /** °C. */
  serviceMax?: number;
}

function passive(row: Row): PassiveRecord {
  const source = row.source ?? UNVERIFIED;
  const memory = (value: number, u: number): Sourced => sourced(value, u, UNVERIFIED);
  return {
    kind: row.kind,
    young_modulus_Pa: sourced(row.young * 1e9, row.youngU ?? 0.05, source),
    poisson_ratio: sourced(row.poisson, 0.05, source),
    density_kg_m3: sourced(row.density, row.densityU ?? 0.02, source),
    thermal_expansion_1_K: memory(row.expansion * 1e-6, row.kind === "metal" ? 0.05 : 0.2),
    thermal_conductivity_W_m_K: memory(row.conductivity, row.kind === "metal" ? 0.1 : 0.3),
    ...(row.serviceMax === undefined
      ? {}
      : {
          service_temperature_max_K: { value: row.serviceMax + 273.15, u: 10, source: UNVERIFIED },
        }),
  };
}

const metal = (row: Omit<Row, "kind">) => passive({ kind: "metal", ...row });
const glue = (row: Omit<Row, "kind">) =>
  passive({ kind: "glue", youngU: 0.3, densityU: 0.1, ...row });
const insulator = (row: Omit<Row, "kind">) => passive({ kind: "insulator", ...row });

/** Built-in passive materials by the name that a design file uses. */
export const PASSIVES: Readonly<Record<string, PassiveRecord>> = {
  brass: metal({
    young: 97,
    poisson: 0.31,
    density: 8500,
    expansion: 20.5,
    conductivity: 115,
    source: BRASS,
  }),
  "stainless steel": metal({
    young: 193,
    poisson: 0.29,
    density: 8000,
    expansion: 17.3,
    conductivity: 16.2,
    source: ASM,
  }),
  copper: metal({ young: 120, poisson: 0.34, density: 8960, expansion: 16.7, conductivity: 390 }),
  "nickel-iron 36 %": metal({
    young: 141,
    poisson: 0.29,
    density: 8100,
    expansion: 1.3,
    conductivity: 10.5,
  }),
  "phosphor bronze": metal({
    young: 110,
    poisson: 0.34,
    density: 8800,
    expansion: 17.8,
    conductivity: 70,
  }),
  "beryllium copper": metal({
    young: 128,
    poisson: 0.3,
    density: 8250,
    expansion: 17,
    conductivity: 105,
  }),
  "titanium Ti-6Al-4V": metal({
    young: 113.8,
    poisson: 0.342,
    density: 4430,
    expansion: 8.6,
    conductivity: 6.7,
    source: ASM,
  }),
  aluminium: metal({ young: 70, poisson: 0.33, density: 2700, expansion: 23.4, conductivity: 200 }),
  molybdenum: metal({
    young: 320,
    poisson: 0.31,
    density: 10200,
    expansion: 4.9,
    conductivity: 138,
  }),
  "spring steel": metal({
    young: 206,
    poisson: 0.29,
    density: 7850,
    expansion: 11.5,
    conductivity: 46,
  }),
  silver: metal({
    young: 76,
    poisson: 0.37,
    density: 10490,
    expansion: 19,
    conductivity: 420,
    youngU: 0.15,
  }),
  nickel: metal({ young: 200, poisson: 0.31, density: 8900, expansion: 13.3, conductivity: 88 }),
  gold: metal({ young: 78, poisson: 0.43, density: 19300, expansion: 14.2, conductivity: 315 }),
  "soft solder": metal({
    young: 40,
    poisson: 0.37,
    density: 8500,
    expansion: 24,
    conductivity: 50,
    youngU: 0.2,
  }),
  "carbon fibre": passive({
    kind: "fibre",
    young: 135,
    poisson: 0.3,
    density: 1600,
    expansion: -0.3,
    conductivity: 6,
    youngU: 0.1,
    source:
      "unidirectional carbon fibre in epoxy along the fibre, illustrative constants of a public materials page",
  }),
  "glass fibre epoxy": passive({
    kind: "fibre",
    young: 22,
    poisson: 0.2,
    density: 1850,
    expansion: 14,
    conductivity: 0.35,
    youngU: 0.15,
  }),
  epoxy: glue({
    young: 3,
    poisson: 0.37,
    density: 1200,
    expansion: 55,
    conductivity: 0.2,
    serviceMax: 100,
  }),
  "conductive epoxy": glue({
    young: 5,
    poisson: 0.37,
    density: 2800,
    expansion: 45,
    conductivity: 2,
    serviceMax: 120,
  }),
  cyanoacrylate: glue({
    young: 1.3,
    poisson: 0.38,
    density: 1100,
    expansion: 90,
    conductivity: 0.15,
    serviceMax: 80,
  }),
  acrylic: glue({
    young: 1,
    poisson: 0.38,
    density: 1150,
    expansion: 80,
    conductivity: 0.2,
    serviceMax: 100,
  }),
  "alumina 96 %": insulator({
    young: 310,
    poisson: 0.21,
    density: 3720,
    expansion: 7,
    conductivity: 24,
  }),
  "alumina 99.5 %": insulator({
    young: 380,
    poisson: 0.22,
    density: 3890,
    expansion: 7.2,
    conductivity: 30,
  }),
  glass: insulator({ young: 70, poisson: 0.22, density: 2500, expansion: 8.5, conductivity: 1 }),
  silicon: insulator({
    young: 169,
    poisson: 0.064,
    density: 2330,
    expansion: 2.6,
    conductivity: 148,
    youngU: 0.15,
  }),
  "polyimide film": insulator({
    young: 2.5,
    poisson: 0.34,
    density: 1420,
    expansion: 30,
    conductivity: 0.15,
    youngU: 0.15,
  }),
  "poly-para-xylylene": insulator({
    young: 2.8,
    poisson: 0.4,
    density: 1290,
    expansion: 35,
    conductivity: 0.08,
    youngU: 0.15,
  }),
};
