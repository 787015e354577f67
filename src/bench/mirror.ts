import type { Design, LumpedMass } from "../design/design.ts";
import { buildStrip } from "../sheet/stripModel.ts";
import { formatQuantity } from "../units/index.ts";
import type { Given } from "./kind.ts";
import type { Warning } from "./reduction.ts";

/**
 * First resonance with a further mass at x, over that of the design as it stands; null where the strip cannot be
 * built with it (x beyond its tip).
 */
export function massShift(design: Design, mass: number, x: number): number | null {
  const plain = buildStrip(design);
  if (!(x > 0 && x <= plain.tip)) return null;
  const added: LumpedMass = { name: "mirror", mass, position: x, fromTip: null, rotaryInertia: 0 };
  const loaded = buildStrip({ ...design, masses: [...design.masses, added] });
  return (loaded.basis.omega[0] as number) / (plain.basis.omega[0] as number);
}

/** A mirror of the design's own list: by its name. */
export const mirrorOf = (design: Design | null): LumpedMass | null =>
  design?.masses.find(({ name }) => /mirror/i.test(name)) ?? null;

/**
 * What the mirror's mass does to the resonance, in words. With a design the shift is computed; the mirror of the
 * design counts there already.
 */
export function mirrorWarning(
  design: Design | null,
  mass: Given | null,
  position: Given | null,
): Warning | null {
  const own = mirrorOf(design);
  if (design !== null && own !== null && mass === null) {
    const without = { ...design, masses: design.masses.filter((m) => m !== own) };
    const shift = massShift(without, own.mass, own.position);
    if (shift === null || Math.abs(shift - 1) < 1e-4) return null;
    return {
      key: "mirror-mass",
      text: `The mirror (${formatQuantity(own.mass, 0, "mass", { digits: 2 })}) lowers the first resonance by ${percent(1 - shift)}; the design counts it. Without it the strip is that much faster.`,
    };
  }
  if (mass === null) return null;
  const what = `The mirror (${formatQuantity(mass.value, 0, "mass", { digits: 2 })}) adds mass`;
  if (design === null || position === null)
    return {
      key: "mirror-mass",
      text: `${what}: the strip alone has a higher first resonance. A design and the mirror's position would say by how much.`,
    };
  const shift = massShift(design, mass.value, position.value);
  if (shift === null) return null;
  const counted =
    own === null
      ? "the design does not count it"
      : `the design counts its own (${own.name}) besides`;
  return {
    key: "mirror-mass",
    text: `${what}: it lowers the first resonance by ${percent(1 - shift)}; ${counted}.`,
  };
}

/** "3.2 %". */
export const percent = (fraction: number, digits = 2): string =>
  `${formatQuantity(fraction * 100, 0, "ratio", { digits })} %`;
