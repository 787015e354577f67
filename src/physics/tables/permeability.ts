import { type Sourced, sourced, UNVERIFIED } from "../sourced.ts";

/** 1 cm³ at 0 °C and 101325 Pa, through 1 cm over 1 cm², each second and bar, in m²/s. */
const STANDARD_CM2_S_BAR = (101325e-6 * 1e-2) / (1e-4 * 1e5);

/** Permeabilities at room temperature, Pa m³/s of gas at 0 °C per metre and pascal (m²/s), by rubber and gas. */
export const PERMEABILITY: Readonly<Record<string, Readonly<Record<string, Sourced>>>> = {
  FKM: { He: sourced(1e-7 * STANDARD_CM2_S_BAR, 0.5, UNVERIFIED) },
};
