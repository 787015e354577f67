import type { Kelvin, Metre, Pascal, PascalCubicMetrePerSecond } from "../units/aliases.ts";

/*
 * Gas that creeps through the rubber around the sealing line of a closed valve, Δp across it:
 *   Q = P Δp G,  G = 2R [ln(32 R/w) − 2],  R = D_s/2
 * P permeability, Pa m³/s of gas per metre and pascal (m²/s), at the standard state it is stated in.
 * G: conduction in a half space between a disc of radius R − w/2 and the plane outside R + w/2, the
 * ring between them tight. Near the ring the flux within x of its middle is (1/π) arcosh(2x/w) a
 * length of rim; farther off that of a disc in a plane, 4R(K − E); joined where both hold. Within
 * 1 % to w = 0.2 R, 4 % to 0.4 R, too large beyond and for a sheet that is thin against R.
 */

/** Temperature of the gas that a tabulated permeability counts, 0 °C. */
export const PERMEABILITY_GAS_TEMPERATURE: Kelvin = 273.15;

/** A valve that leaks far more than this leaks at the contact, not through the rubber. */
export function permeationFloor(input: {
  /** m²/s. */
  permeability: number;
  pressureDifference: Pascal;
  sealDiameter: Metre;
  landWidth: Metre;
}): PascalCubicMetrePerSecond {
  const { permeability, pressureDifference, sealDiameter, landWidth } = input;
  const conduction = sealDiameter * (Math.log((16 * sealDiameter) / landWidth) - 2);
  return permeability * Math.max(0, pressureDifference) * Math.max(0, conduction);
}
