import type { Design } from "../design/design.ts";
import { dampingKnown, fromSheet } from "./fromDesign.ts";
import type { Given, Mismatch, Prediction } from "./kind.ts";

/*
 * What a design and its catalogue say of resonances and travel, for every kind of measurement that finds them.
 */

/** Where the strip is while it is measured. */
export const MEDIA = ["air", "vacuum", "working gas"] as const;

/** Resonance and Q of the first modes as a design has them, seat open. Keys as `resonanceKey` and `qualityKey`. */
export function resonancePredictions(design: Design, medium: string, modes = 3): Prediction[] {
  const short = medium === "working gas" ? "gas" : medium;
  const out: Prediction[] = [];
  for (let m = 0; m < modes; m++)
    out.push(...fromSheet(design, resonanceKey(m), `modes.open_${short}_Hz.${m}`));
  const quality = fromSheet(design, qualityKey(0), `modes.q_${short}.0`);
  out.push(...(dampingKnown(design) ? quality : quality.map((each) => ({ ...each, u: 0 }))));
  return [...out, ...catalogueResonance(design)];
}

const ORDINALS = ["first", "second", "third", "fourth"] as const;
export const resonanceKey = (mode: number): string => `${ORDINALS[mode]}_resonance_Hz`;
export const resonanceName = (mode: number): string => `${ORDINALS[mode]} resonance`;
export const qualityKey = (mode: number): string =>
  mode === 0 ? "quality_factor" : `${ORDINALS[mode]}_quality_factor`;
export const MOST_RESONANCES = ORDINALS.length;

/** Relative uncertainty of (L/L_catalogue)², both lengths independent. */
function squareLaw(design: Design): { ratio: number; relative: number } | null {
  const { catalogue, strip, inputs } = design;
  if (catalogue === undefined) return null;
  const own = inputs.find(({ path }) => path.join(".") === "strip.freeLength")?.u ?? 0;
  return {
    ratio: strip.freeLength / catalogue.freeLength,
    relative: 2 * Math.hypot(own / strip.freeLength, catalogue.freeLengthU / catalogue.freeLength),
  };
}

function catalogueResonance(design: Design): Prediction[] {
  const resonance = design.catalogue?.resonance ?? null;
  const scale = squareLaw(design);
  if (resonance === null || scale === null) return [];
  const value = resonance.value / scale.ratio ** 2;
  const u = value * Math.hypot(resonance.u / resonance.value, scale.relative);
  const from = "catalogue, scaled to the free length by the square law";
  return [{ key: resonanceKey(0), value, u, from, of: "catalogue" }];
}

/** Travel at the tip per volt as the catalogue has it, at the design's length by the square law; null without one. */
export function catalogueTravelPerVolt(design: Design): Given | null {
  const { catalogue } = design;
  const scale = squareLaw(design);
  if (catalogue === undefined || catalogue.deflection === null || scale === null) return null;
  const { deflection, voltage, deflectionCounted } = catalogue;
  const total = deflection.value * (deflectionCounted === "one side" ? 2 : 1);
  const value = (total / Math.abs(voltage)) * scale.ratio ** 2;
  return { value, u: value * Math.hypot(deflection.u / deflection.value, scale.relative) };
}

/** What resonance and Q mean when they miss. */
export const RESONANCE_MISMATCHES: readonly Mismatch[] = [
  {
    key: resonanceKey(0),
    high: "the free length is shorter than entered, the pad or mirror lighter, or the pad touches its seat",
    low: "the free length is longer than entered, the clamp soft, or the tip heavier (glue, mirror, wire); length shows in swing too, the clamp does not; a crack lowers Q as well",
  },
  {
    key: resonanceKey(1),
    high: "with the first resonance right: less mass at the tip than entered",
    low: "with the first resonance right: rotary inertia or mass at the tip, or a soft clamp",
  },
  {
    key: qualityKey(0),
    high: "less damping than assumed: vacuum instead of gas, or a stiffer clamp",
    low: "losses that the design does not have: a clamp that slips, a glue line, a wire on the moving part, a crack, or gas around the strip",
  },
];
