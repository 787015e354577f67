import { brent } from "../numerics/roots.ts";
import type { Metre, Pascal, Ratio } from "../units/aliases.ts";
import type { GasMixture } from "./gases.ts";
import type { JetState } from "./jetFreezing.ts";
import { meanFreePath } from "./jetGas.ts";

/*
 * A skimmer takes the middle of the jet. It shall stand beyond the freezing surface and before the Mach disk,
 * where the jet is so thin that molecules thrown back from its lip do not stop those that follow: mean free
 * path in the jet at least the mouth's diameter, Kn ≥ 1; below 0.1 a shock stands in the mouth. Common
 * practice, no source. What lies between the hole and the mouth is lost to the background gas as
 * exp(−n σ x).
 */

/** Knudsen number of the mouth from which on it disturbs little, and below which it blocks. */
export const SKIMMER_KNUDSEN: { readonly blocked: Ratio; readonly free: Ratio } = {
  blocked: 0.1,
  free: 1,
};
/** Factor of {@link brightestSkimmer}. */
const CAMPARGUE = 0.125;
/** Diameters between which a distance is looked for. */
const NEAREST = 1e-3;
const FARTHEST = 1e9;

/** Kn = λ/b of a mouth with diameter b in a jet of that state. */
export function skimmerKnudsen(gas: GasMixture, state: JetState, mouth: Metre): Ratio {
  if (!(mouth > 0)) throw new RangeError(`mouth of a skimmer must be above 0: got ${mouth}`);
  return meanFreePath(gas, state.density, state.temperature) / mouth;
}

/**
 * Distance from which on the mouth's Knudsen number is at least `knudsen`; `state` is the jet by distance,
 * d its hole. 0 where it is so from the hole on.
 */
export function distanceOfKnudsen(
  gas: GasMixture,
  state: (x: Metre) => JetState,
  diameter: Metre,
  mouth: Metre,
  knudsen: Ratio,
): Metre {
  const excess = (ln: number) =>
    Math.log(skimmerKnudsen(gas, state(diameter * Math.exp(ln)), mouth) / knudsen);
  if (excess(Math.log(NEAREST)) >= 0) return 0;
  return diameter * Math.exp(brent(excess, Math.log(NEAREST), Math.log(FARTHEST)).x);
}

/**
 * Distance at which the beam behind the skimmer is brightest in a steady jet that the background gas eats
 * into, x = 0.125 d (d/λ0 · p0/p_b)^{1/3}, λ0 in the source. R. Campargue 1984, J. Phys. Chem. 88, 4466;
 * unverified, from memory.
 */
export function brightestSkimmer(
  diameter: Metre,
  sourcePath: Metre,
  p0: Pascal,
  background: Pascal,
): Metre {
  for (const value of [diameter, sourcePath, p0, background])
    if (!(value > 0)) throw new RangeError(`what places a skimmer must be above 0: got ${value}`);
  return CAMPARGUE * diameter * Math.cbrt((diameter / sourcePath) * (p0 / background));
}
