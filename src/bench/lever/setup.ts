import type { Design } from "../../design/design.ts";
import { positive } from "../columns.ts";
import type { Data, Given, Settings } from "../kind.ts";
import { mirrorOf } from "../mirror.ts";
import type { Entry } from "../propagate.ts";
import { BenchProblem } from "../reduction.ts";
import { given, optional, word } from "../settings.ts";
import { type LeverGeometry, tiltOf } from "./geometry.ts";
import { designShape, idealShape, type Shape, type ShapeFactors } from "./shapes.ts";

/** Entries of the set-up, in the order in which `liftOf` takes them. */
const SETUP = [
  ["screen-distance", "screen distance"],
  ["mirror-position", "mirror position"],
  ["free-length", "free length"],
  ["pad-position", "pad position"],
  ["incidence", "angle of incidence"],
  ["plane-angle", "angle of the plane of incidence"],
  ["screen-tilt", "screen tilt"],
] as const;

export interface Setup {
  entries: Entry[];
  shape: Shape;
  design: Design | null;
  /** Volts per metre of spot; null: the spot is a length. */
  sensitivity: Given | null;
}

export function setupOf(data: Data, settings: Settings, design: Design | null): Setup {
  const ofDesign: Record<string, Given | null> = {
    "mirror-position": known(mirrorOf(design)?.position),
    "free-length": known(
      design?.strip.freeLength,
      design?.inputs.find(({ path }) => path.join(".") === "strip.freeLength")?.u,
    ),
    "pad-position": known(design?.pad?.position),
    incidence: known(0),
    "plane-angle": known(0),
    "screen-tilt": known(0),
  };
  const read = (key: string): Given =>
    optional(settings, key) ?? ofDesign[key] ?? given(settings, key);
  const length = positive(read("free-length"), "free-length");
  const entries = SETUP.map(([key, source]) => {
    // Without a pad: the tip, which is the free length itself.
    const none =
      key === "pad-position" && optional(settings, key) === null && ofDesign[key] === null;
    const { value, u } = none ? { value: 0, u: 0 } : key === "free-length" ? length : read(key);
    return { source, value, u };
  });
  positive(read("screen-distance"), "screen-distance");
  positive(read("mirror-position"), "mirror-position");
  const sensitivity =
    data.kinds.get("spot") === "voltage" ? given(settings, "detector-sensitivity") : null;
  if (sensitivity !== null && sensitivity.value === 0)
    throw new BenchProblem("setting detector-sensitivity", "0", "a number that is not zero");
  return { entries, shape: (word(settings, "shape") ?? "voltage") as Shape, design, sensitivity };
}

const known = (value: number | undefined, u = 0): Given | null =>
  value === undefined ? null : { value, u };

export function factorsOf(setup: Setup, x: ArrayLike<number>): ShapeFactors {
  const mirror = x[1]!;
  const length = x[2]!;
  const pad = x[3]! > 0 ? x[3]! : length;
  const own = setup.design !== null && setup.design.strip.freeLength === setup.entries[2]!.value;
  const nominal =
    x[1] === setup.entries[1]!.value &&
    x[2] === setup.entries[2]!.value &&
    x[3] === setup.entries[3]!.value;
  const ideal = idealShape(setup.shape, length, Math.min(mirror, length), Math.min(pad, length));
  if (!own) return ideal;
  const nominalMirror = setup.entries[1]!.value;
  const nominalLength = setup.entries[2]!.value;
  const nominalPad = setup.entries[3]!.value > 0 ? setup.entries[3]!.value : nominalLength;
  const exact = designShape(setup.design as Design, setup.shape, nominalMirror, nominalPad);
  if (exact === null || nominal) return exact ?? ideal;
  // Away from the design's own lengths: its factors, carried along as those of the uniform strip go.
  const base = idealShape(
    setup.shape,
    nominalLength,
    Math.min(nominalMirror, nominalLength),
    Math.min(nominalPad, nominalLength),
  );
  return {
    slopeOverLift: (exact.slopeOverLift * ideal.slopeOverLift) / base.slopeOverLift,
    liftOverSlope: (exact.liftOverSlope * ideal.liftOverSlope) / base.liftOverSlope,
  };
}

export const geometryOf = (x: ArrayLike<number>): LeverGeometry => ({
  distance: x[0]!,
  incidence: x[4]!,
  azimuth: x[5]!,
  screenTilt: x[6]!,
});

/** Where the lift is wanted: the pad, or the tip. */
export const padOf = (x: ArrayLike<number>): number => (x[3]! > 0 ? x[3]! : x[2]!);

/** Slope at the mirror for a spot shift; x as the entries of the set-up. */
export function slopeOf(x: ArrayLike<number>, factors: ShapeFactors, shift: number): number {
  const lift = (theta: number) => factors.liftOverSlope * Math.tan(theta);
  return Math.tan(tiltOf(geometryOf(x), shift, lift));
}
