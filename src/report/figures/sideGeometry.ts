import type { Design } from "../../design/design.ts";
import { momentDeflection, staticCompliance } from "../../physics/beam.ts";
import type { SheetResult } from "../../sheet/result.ts";
import { buildStrip } from "../../sheet/stripModel.ts";
import { hasDetails } from "../../sheet/stripPieces.ts";
import { faceAt } from "./sideLayers.ts";

/*
 * Shape of a uniform strip on a rigid clamp: the parabola of its voltage, scaled to the computed free
 * deflection at the pad, plus the cubic of a force at the pad, scaled to the computed place there:
 *   w(x) = w_f (x/x_p)² + (w_p − w_f) c(x),   c = x²(3x_p − x)/(2x_p³),  straight beyond the pad
 * For a compliant clamp the place at the pad is exact, the course between is this one. A strip that is
 * not alike along its length takes both courses from its own beam, looked up at PLACES points.
 */

export type StateName = "closed" | "open";

export interface SideShape {
  name: StateName;
  /** Switch output: "high", "low", or "" without a wiring. */
  output: string;
  /** Deflection along +z, m. */
  at: (x: number) => number;
  /** Whether it is known inside the clamp, too (x < 0). */
  inside?: boolean;
  /** Of the pad over the seat plane, along opening, m; 0 without a seat. */
  lift: number;
}

export interface SideGeometry {
  freeLength: number;
  /** End of everything, m. */
  tip: number;
  /** Pad centre, or the tip. */
  pad: number;
  thickness: number;
  /** From the mid-plane to the face that carries the pad. */
  faceAtPad: number;
  /** Towards the seat: −1 below, +1 above. */
  toSeat: 1 | -1;
  /** Seat plane along z at true scale from the strip's mid-plane, m; null without a seat. */
  seatPlane: number | null;
  /** Seat plane over the place of the pad face at 0 V, along opening, m. */
  standOff: number;
  /** Closed, then open; both at rest without a wiring. */
  shapes: [SideShape, SideShape];
  moves: boolean;
}

/** From metres to px; `z` is measured from the strip's mid-plane at rest, upwards. */
export interface SideScale {
  /** px per metre along x. */
  px: number;
  /** px per metre through the thickness. */
  pz: number;
  /** px per metre of displacement. */
  pd: number;
  x: (x: number) => number;
  /** Height of a point at rest position `z` that is displaced by `w`. */
  y: (z: number, w?: number) => number;
}

export function sideGeometry(design: Design, result: SheetResult): SideGeometry {
  const { strip, seat } = design;
  const freeLength = strip.freeLength;
  const tip = freeLength + (strip.extension?.length ?? 0);
  const pad = design.pad?.position ?? tip;
  const thickness = strip.layers.reduce((sum, layer) => sum + layer.thickness, 0);
  const toSeat = seat?.side === "above" ? 1 : -1;
  const bodyMoves =
    seat === undefined
      ? 0
      : seat.bodyDeflection * (design.need.plenumPressure - (design.chamber?.basePressure ?? 0));
  const standOff = seat === undefined ? 0 : seat.standOff - bodyMoves;
  const faceAtPad = faceAt(design, pad, toSeat);
  const seatPlane = seat === undefined ? null : toSeat * (faceAtPad + (design.pad?.thickness ?? 0));
  const detailed = detailedShapes(design, pad);
  const names = outputs(result);
  const shape = (name: StateName): SideShape => {
    const output = names[name];
    const free = result.strip.states.find((s) => s.name === output)?.free_deflection_m ?? 0;
    const lift = liftOf(result, name);
    const place = lift === null ? free : -toSeat * (standOff + lift);
    const byForce = (x: number) =>
      x <= pad ? (x * x * (3 * pad - x)) / (2 * pad ** 3) : 1 + (1.5 * (x - pad)) / pad;
    const byVoltage = (x: number) =>
      x <= freeLength
        ? (x / pad) ** 2
        : (freeLength / pad) ** 2 + (2 * freeLength * (x - freeLength)) / pad ** 2;
    const scale = byVoltage(pad);
    if (detailed !== null)
      return {
        name,
        output,
        lift: lift ?? 0,
        inside: true,
        at: (x) => free * detailed.byVoltage(x) + (place - free) * detailed.byForce(x),
      };
    return {
      name,
      output,
      lift: lift ?? 0,
      at: (x) => (free * byVoltage(x)) / scale + (place - free) * byForce(x),
    };
  };
  const shapes: [SideShape, SideShape] = [shape("closed"), shape("open")];
  return {
    freeLength,
    tip,
    pad,
    thickness,
    faceAtPad,
    toSeat,
    seatPlane,
    standOff,
    shapes,
    moves: result.strip.states.length > 0,
  };
}

/** Points of the looked-up courses. */
const PLACES = 129;

/** Courses of a moment and of a force at the pad, 1 at the pad; null for a strip alike along its length. */
function detailedShapes(
  design: Design,
  pad: number,
): { byVoltage: (x: number) => number; byForce: (x: number) => number } | null {
  if (!hasDetails(design)) return null;
  const { beam, tip } = buildStrip(design, 1);
  const from = -beam.origin;
  const at = (i: number) => from + ((tip - from) * i) / (PLACES - 1);
  const looked = (course: (x: number) => number) => {
    const values = Array.from({ length: PLACES }, (_, i) => course(at(i)));
    const straight = (x: number) => {
      if (x <= from) return 0;
      const place = ((PLACES - 1) * (Math.min(x, tip) - from)) / (tip - from);
      const i = Math.min(PLACES - 2, Math.floor(place));
      return (values[i] as number) * (i + 1 - place) + (values[i + 1] as number) * (place - i);
    };
    const size = straight(pad);
    return (x: number) => (size === 0 ? 0 : straight(x) / size);
  };
  return {
    byVoltage: looked((x) => momentDeflection(beam, x)),
    byForce: looked((x) => staticCompliance(beam, pad, x)),
  };
}

/** Which output closes and which opens; without a seat the lower state counts as the closed one. */
function outputs(result: SheetResult): Record<StateName, string> {
  if (result.strip.states.length === 0) return { closed: "", open: "" };
  const closed = result.wiring?.closed_state ?? "low";
  return { closed, open: closed === "low" ? "high" : "low" };
}

/** Lift of the pad at rest in a state; null without a seat. */
function liftOf(result: SheetResult, name: StateName): number | null {
  const { seat } = result;
  if (seat === null) return null;
  if (name === "open" && seat.lift_open_m !== null) return seat.lift_open_m;
  const stable = seat.equilibria.filter((e) => e.state === name && e.stable).map((e) => e.lift_m);
  if (stable.length > 0) return Math.min(...stable);
  return -seat.indentation_closed_m;
}

/** Largest of 1, 2, 5, 10… times `size` px that stays within `room` px. */
export function exaggeration(size: number, room: number): number {
  let best = 1;
  for (let power = 1; power <= 1e4; power *= 10)
    for (const lead of [1, 2, 5])
      if (size * lead * power <= room) best = Math.max(best, lead * power);
  return best;
}
