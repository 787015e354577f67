import { curvatureUnder, shapeOf } from "../physics/beamMoments.ts";
import { largestSurfaceTension } from "../physics/section.ts";
import type { DriveState } from "../physics/wiring.ts";
import type { Metre, Newton, Pascal, PerMetre } from "../units/aliases.ts";
import type { ElectricalModel } from "./electrical.ts";
import { activeOf, type StripDetail } from "./stripDetail.ts";
import type { StripModel } from "./stripModel.ts";
import type { StripPiece } from "./stripPieces.ts";

/*
 * Tension in the ceramics of a strip that is not alike along its length. Outside the clamp the moment
 * of a force at the pad is F (x_p − x), whatever the strip: with the pieces' own sections
 *   κ(x) = [F (x_p − x)/r + Σ Θ_k ΔV_k]/EI
 * and in a piece it runs monotonously, so that its ends are the largest. On a foundation the largest
 * moment of a force lies inside the clamp: there κ comes from the beam itself, at POINTS depths.
 */

/** Depths inside the clamp that are looked at, closer together near the edge. */
const POINTS = 24;

/** A switch state that lasts, and the force of the seat on the pad, +z. */
export interface LastingState {
  index: number;
  state: DriveState;
  force: Newton;
}

export interface Tension {
  stress: Pascal;
  /** From the clamp edge; below 0 inside the clamp. */
  x: Metre;
}

/** Share of its small-signal Θ that each layer of the wired load has (`model.d31_basis`). */
function shares(detail: StripDetail, { model }: ElectricalModel): number[] {
  return model.layers.map((layer, k) => {
    const theta = detail.theta[k] as number;
    return theta === 0 ? 1 : layer.theta / theta;
  });
}

function pieceTension(
  strip: StripModel,
  detail: StripDetail,
  electrical: ElectricalModel,
  { state, force }: LastingState,
  piece: StripPiece,
  x: Metre,
): Pascal {
  const { section } = piece;
  const share = shares(detail, electrical);
  const own = activeOf(piece, strip.section);
  const deltaV = own.map((k) => state.deltaV[k] as number);
  let moment = 0;
  own.forEach((k, i) => {
    moment += (section.theta[i] as number) * (share[k] as number) * (deltaV[i] as number);
  });
  const width = x === piece.from ? piece.start : piece.end;
  const bending = (force * Math.max(0, strip.pad - x)) / width;
  return largestSurfaceTension(section, deltaV, (bending + moment) / section.bendingStiffness);
}

/** Largest tension at the clamp edge, ≥ 0. */
export function clampLineTension(
  strip: StripModel,
  detail: StripDetail,
  electrical: ElectricalModel,
  state: LastingState,
): Pascal {
  const piece = detail.pieces[0] as StripPiece;
  return Math.max(0, pieceTension(strip, detail, electrical, state, piece, piece.from));
}

/** Largest tension along the strip and where it is; 0 at the edge where no ceramic is in tension. */
export function largestTension(
  strip: StripModel,
  detail: StripDetail,
  electrical: ElectricalModel,
  state: LastingState,
): Tension {
  const worst: Tension = { stress: 0, x: 0 };
  const look = (stress: Pascal, x: Metre) => {
    if (!(stress > worst.stress)) return;
    worst.stress = stress;
    worst.x = x;
  };
  for (const piece of detail.pieces)
    for (const x of [piece.from, piece.to])
      look(pieceTension(strip, detail, electrical, state, piece, x), x);
  const { origin } = strip.beam;
  if (origin === 0) return worst;
  const share = shares(detail, electrical);
  const none = new Array<number>(share.length).fill(0);
  for (let i = 0; i <= POINTS; i++) {
    const x = 0 - origin * (i / POINTS) ** 2;
    const driven = x >= -detail.drivenInside;
    const deltaV = driven ? share.map((_, k) => state.state.deltaV[k] as number) : none;
    const curvature = curvatureAt(strip, detail, share, state, x);
    look(largestSurfaceTension(strip.section, deltaV, curvature), x);
  }
  return worst;
}

/** From the beam itself, of the element that ends at x. */
function curvatureAt(
  { beam, pad }: StripModel,
  detail: StripDetail,
  share: readonly number[],
  { state, force }: LastingState,
  x: Metre,
): PerMetre {
  let curvature = force * curvatureUnder(beam, shapeOf(beam, pad), x, true);
  detail.work.forEach((work, k) => {
    curvature +=
      (share[k] as number) * (state.deltaV[k] as number) * curvatureUnder(beam, work, x, true);
  });
  return curvature;
}
