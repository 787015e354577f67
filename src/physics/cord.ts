import type { Metre, NewtonPerMetre, Pascal, Ratio } from "../units/aliases.ts";

/*
 * Round cord of diameter d pressed on a rigid plane with the line force F′ (N/m), E* = E/(1 − ν²);
 * line contact of H. Hertz 1882 with R = d/2 (K. L. Johnson 1985, Contact Mechanics, sec. 4.2):
 *   half width a = √(4 F′ R/(π E*))
 *   mean stress σ = F′/(2a) = √(π E* F′/(8 d)),  peak stress 2F′/(π a) = 4σ/π
 */

/** A round cord of an elastomer. */
export interface RoundCord {
  diameter: Metre;
  youngModulus: Pascal;
  poissonRatio: Ratio;
}

const planeStrain = ({ youngModulus, poissonRatio }: RoundCord): Pascal =>
  youngModulus / (1 - poissonRatio * poissonRatio);

/** Whole width of the contact, 2a. */
export function cordContactWidth(cord: RoundCord, lineForce: NewtonPerMetre): Metre {
  return (
    2 * Math.sqrt((2 * Math.max(0, lineForce) * cord.diameter) / (Math.PI * planeStrain(cord)))
  );
}

/** Mean contact stress; the peak is 4/π of it. */
export function cordStress(cord: RoundCord, lineForce: NewtonPerMetre): Pascal {
  return Math.sqrt((Math.PI * planeStrain(cord) * Math.max(0, lineForce)) / (8 * cord.diameter));
}

/** Line force that gives a mean contact stress. */
export function cordLineForce(cord: RoundCord, stress: Pascal): NewtonPerMetre {
  return (8 * cord.diameter * stress * stress) / (Math.PI * planeStrain(cord));
}
