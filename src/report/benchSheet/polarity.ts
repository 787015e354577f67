import type { Design } from "../../design/design.ts";
import { piezoMoment } from "../../physics/wiring.ts";
import { buildElectrical } from "../../sheet/electrical.ts";
import type { SheetResult } from "../../sheet/result.ts";
import { buildStrip } from "../../sheet/stripModel.ts";
import { type Lever, spotAt } from "./lever.ts";

/** One low-voltage test: one electrode at +U, all others on ground. */
export interface PolarityTest {
  electrode: string;
  others: string[];
  /** Layer numbers that see the voltage, bottom = 1, each with whether the field goes along its poling as drawn. */
  layers: { number: number; along: boolean }[];
  voltage: number;
  /** Field on the thinnest of these layers, V/m. */
  field: number;
  /** Deflection at the pad, +z up, and spot, up positive, when the poling is as drawn, m. */
  deflection: number;
  spot: number;
}

/** Low enough for no layer to lose poling, whichever way it is poled: common practice, no source. */
export const TEST_VOLTAGE = 10;

/** A test for every electrode that touches a driven layer; none without wiring. */
export function polarityTests(design: Design, result: SheetResult, lever: Lever): PolarityTest[] {
  const electrical = buildElectrical(design, buildStrip(design));
  if (electrical === null) return [];
  const { model, states, moments } = electrical;
  // Deflection per moment as the sheet has it, from the state that bends most.
  const best = states.reduce(
    (a, _, i) => (Math.abs(moments[i] ?? 0) > Math.abs(moments[a] ?? 0) ? i : a),
    0,
  );
  const figures = result.strip.states.find(({ name }) => name === states[best]?.name);
  if (figures === undefined || !moments[best]) return [];
  const perMoment = figures.free_deflection_m / (moments[best] as number);
  return model.electrodes.flatMap((electrode, e): PolarityTest[] => {
    const touching = model.layers.filter(({ top, bottom }) => (top === e) !== (bottom === e));
    if (touching.length === 0) return [];
    const deltaV = model.layers.map(
      ({ top, bottom }) => ((top === e ? 1 : 0) - (bottom === e ? 1 : 0)) * TEST_VOLTAGE,
    );
    const deflection = perMoment * piezoMoment(model, deltaV);
    return [
      {
        electrode,
        others: model.electrodes.filter((_, k) => k !== e),
        layers: touching.map(({ index, top, poling }) => ({
          number: index + 1,
          // Field Ez = −ΔV/t: + on top makes a field downwards.
          along: (top === e ? -1 : 1) * poling > 0,
        })),
        voltage: TEST_VOLTAGE,
        field: TEST_VOLTAGE / Math.min(...touching.map(({ thickness }) => thickness)),
        deflection,
        spot: spotAt(lever.slopePerLift * deflection, lever.distance),
      },
    ];
  });
}
