import type { Design } from "../design/design.ts";
import { formatQuantity, type QuantityKind } from "../units/index.ts";
import {
  type Conditions,
  independent,
  type Measured,
  type MeasuredSet,
  USUAL,
} from "./calibrateMeasured.ts";
import { observableNamed } from "./calibrateObservables.ts";

/** Relative standard uncertainty of a figure that the file gives without one, as the check sheet takes it. Unverified, from memory. */
const UNSTATED = 0.05;

/** The figures of the design's own `measured` section; null without one. */
export function ownMeasured(design: Design): MeasuredSet | null {
  const { measured } = design;
  if (measured === undefined) return null;
  const { freeLength, voltage, deflectionCounted: counted } = measured;
  const driven: Conditions = { ...USUAL, freeLength, voltage: Math.abs(voltage), counted };
  const values: Measured[] = [];
  const unstated: string[] = [];
  const add = (
    figure: string,
    given: { value: number; u: number } | null,
    conditions: Conditions,
  ) => {
    if (given === null) return;
    const { names, kind } = observableNamed(figure) as NonNullable<
      ReturnType<typeof observableNamed>
    >;
    const name = names[0] as string;
    if (!(given.u > 0)) unstated.push(name);
    const u = given.u > 0 ? given.u : UNSTATED * Math.abs(given.value);
    values.push({
      figure,
      name,
      value: given.value,
      u,
      kind: kind as QuantityKind | null,
      conditions,
      from: "measured of the design",
    });
  };
  add("first_resonance_Hz", measured.resonance, { ...USUAL, freeLength });
  add("swing_m", measured.deflection, driven);
  add("blocking_force_N", measured.blockingForce, driven);
  add("capacitance_F", measured.capacitance, { ...USUAL, freeLength });
  const notes =
    unstated.length === 0
      ? []
      : [
          `measured of the design gives no uncertainty of ${unstated.join(", ")}: ${formatQuantity(UNSTATED, 0, "%")} is taken.`,
        ];
  return values.length === 0 ? null : independent(values, notes);
}
