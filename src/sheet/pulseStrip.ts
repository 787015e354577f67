import type { Design } from "../design/design.ts";
import { buildBeam, momentDeflection, staticCompliance } from "../physics/beam.ts";
import { loadedModes } from "../physics/gasload.ts";
import { modes } from "../physics/modes.ts";
import { transientBasis } from "../physics/pulse/basis.ts";
import type { TransientStrip } from "../physics/pulse/model.ts";
import { keeper } from "./kept.ts";
import { workingGasOf } from "./modeSheet.ts";
import { thermalMoment } from "./stripLoad.ts";
import { type StripModel, stripBeamSpec } from "./stripModel.ts";

/**
 * Damping ratio of the coordinates that stand for the static answer of all higher modes: they follow
 * their load and do not ring.
 */
const STATIC_DAMPING = 0.9;

/** Degree of the beam's elements for that many modes. */
const ORDER = 24;

/** Places along the strip at which its shape is drawn, clamp and tip included. */
export const SHAPE_PLACES = 41;

const keptTransient = keeper<TransientStrip>();

/** As {@link newTransient}, kept as long as nothing of it changes: a drive's input leaves it as it is. */
export function stripTransient(design: Design, strip: StripModel, wanted: number): TransientStrip {
  const gas = workingGasOf(design);
  const { surroundings, strip: own } = design;
  const parts = [
    strip,
    wanted,
    gas?.density,
    gas?.viscosity,
    surroundings.wallDistance,
    surroundings.ambientTemperature,
    own.structuralQ,
    own.referenceTemperature,
    design.seat?.side,
  ];
  return keptTransient(parts, () => newTransient(design, strip, wanted));
}

/** Coordinates with the width effect and the gas around the strip in them. */
function newTransient(design: Design, strip: StripModel, wanted: number): TransientStrip {
  const spec = { ...stripBeamSpec(design, strip.section), order: ORDER };
  const places = Array.from(
    { length: SHAPE_PLACES },
    (_, i) => (strip.tip * i) / (SHAPE_PLACES - 1),
  );
  const beam = buildBeam(spec);
  const raw = modes(beam, wanted);
  const basis = transientBasis(raw, strip.pad, wanted, places);
  const { width } = strip;
  // Frequencies × f, compliance × c, deflection per moment × d, the same coupling for charge and moment:
  // φ scales with f √c and s with d f/√c.
  const f = width.frequency;
  // The width effect is the strip's own: the clamp's give stands beside it, as in the statics.
  const compliance = 1 / (strip.padStiffness * staticCompliance(beam, strip.pad, strip.pad));
  const padScale = f * Math.sqrt(compliance);
  const deflection =
    strip.detail === null
      ? width.deflection
      : ratioOf(strip.padPerMoment, momentDeflection(beam, strip.pad));
  const jumpScale = (deflection * f) / Math.sqrt(compliance);
  const working = workingGasOf(design);
  const loaded =
    working === null
      ? null
      : loadedModes(raw, {
          density: working.density,
          viscosity: working.viscosity,
          width: strip.section.width,
          wallDistance: design.surroundings.wallDistance,
          structuralQ: design.strip.structuralQ,
        });
  const { count } = basis;
  const omega = new Float64Array(count);
  const zeta = new Float64Array(count);
  const gasShare = new Float64Array(count);
  const pad = new Float64Array(count);
  const jump = new Float64Array(count);
  const at = basis.at.slice();
  const side = design.seat?.side === "above" ? -1 : 1;
  for (let i = 0; i < count; i++) {
    const mode = Math.min(i, raw.count - 1);
    const vacuum = raw.omega[mode] as number;
    const slowed =
      loaded === null ? 1 : (2 * Math.PI * (loaded.frequencies[mode] as number)) / vacuum;
    const q = loaded === null ? design.strip.structuralQ : (loaded.q[mode] as number);
    omega[i] = (basis.omega[i] as number) * f * slowed;
    const plain = i < basis.modes;
    zeta[i] = plain ? 0.5 / q : STATIC_DAMPING;
    gasShare[i] = loaded === null || !plain ? 0 : 1 - q / design.strip.structuralQ;
    pad[i] = (basis.pad[i] as number) * padScale * slowed * side;
    jump[i] = (basis.jump[i] as number) * jumpScale * slowed;
    for (let p = 0; p < places.length; p++)
      at[p * count + i] = (at[p * count + i] as number) * padScale * slowed;
  }
  const above = design.surroundings.ambientTemperature - design.strip.referenceTemperature;
  return {
    count,
    modes: basis.modes,
    omega,
    zeta,
    gasShare,
    pad,
    jump,
    at,
    places,
    side,
    restMoment: thermalMoment(strip) * above,
  };
}

const ratioOf = (a: number, b: number): number => (b === 0 ? 0 : a / b);
