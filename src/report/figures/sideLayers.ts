import type { Design } from "../../design/design.ts";
import { piecePlaces } from "../../sheet/stripPieces.ts";

/** A stretch of the strip along which the same layers lie, m from the clamp edge. */
export interface Stretch {
  from: number;
  to: number;
  /** Faces of what lies there, from the mid-plane of the whole strip, upwards. */
  low: number;
  high: number;
  removed: ReadonlySet<number>;
  bare: ReadonlySet<string>;
}

/** Stretches from `clamp` inside the clamp to the end of the free length. */
export function stretchesOf(design: Design, clamp: number): Stretch[] {
  const { layers, freeLength, segments } = design.strip;
  const thickness = layers.reduce((sum, layer) => sum + layer.thickness, 0);
  const whole: Stretch = {
    from: -clamp,
    to: freeLength,
    low: -thickness / 2,
    high: thickness / 2,
    removed: new Set(),
    bare: new Set(),
  };
  if (segments.length === 0) return [whole];
  const out: Stretch[] = [{ ...whole, to: 0 }];
  for (const { from, to, missing } of piecePlaces(design)) {
    let z = -thickness / 2;
    const kept = layers.flatMap((layer, i) => {
      const low = z;
      z += layer.thickness;
      return missing.removed.has(i) ? [] : [[low, z] as const];
    });
    const [low, high] = [kept[0]?.[0] ?? whole.low, kept[kept.length - 1]?.[1] ?? whole.high];
    out.push({ from, to, low, high, ...missing });
  }
  return out;
}

/** Distance of the face at x from the mid-plane of the whole strip: +1 the upper one, −1 the lower. */
export function faceAt(design: Design, x: number, side: 1 | -1): number {
  const stretches = stretchesOf(design, 0);
  const at =
    stretches.find(({ from, to }) => from < x && x <= to) ?? stretches[stretches.length - 1];
  return at === undefined ? 0 : side === 1 ? at.high : -at.low;
}

/** Runs of a layer, joined where it goes on, parted where its electrodes begin or end. */
export function runsOf(
  design: Design,
  index: number,
  stretches: readonly Stretch[],
): { from: number; to: number; bare: boolean }[] {
  const layer = design.strip.layers[index];
  const off = (name: string | null | undefined, { bare }: Stretch) =>
    name !== null && name !== undefined && bare.has(name);
  const runs: { from: number; to: number; bare: boolean }[] = [];
  for (const stretch of stretches) {
    if (stretch.removed.has(index)) continue;
    const bare = off(layer?.bottom, stretch) || off(layer?.top, stretch);
    const before = runs[runs.length - 1];
    if (before !== undefined && before.to === stretch.from && before.bare === bare)
      before.to = stretch.to;
    else runs.push({ from: stretch.from, to: stretch.to, bare });
  }
  return runs;
}
