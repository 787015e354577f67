import type { Design } from "../design/design.ts";
import { piecePlaces } from "../sheet/stripPieces.ts";
import { formatQuantity } from "../units/index.ts";

/** What the strip lacks along its length, and how it narrows, as a person would say it. */
export function stripWords(design: Design): string[] {
  const { strip, clamp } = design;
  const mm = (x: number) => formatQuantity(x, 0, "length", { digits: 4 });
  const out: string[] = [];
  if (strip.widthAtTip !== null && strip.widthAtTip !== strip.width)
    out.push(`${mm(strip.widthAtTip)} wide at the end of the free length`);
  for (const { from, to, missing } of piecePlaces(design)) {
    const names = [...missing.bare];
    const numbers = [...missing.removed].map((i) => i + 1).sort((a, b) => a - b);
    const parts = [
      ...(names.length > 0 ? [`${names.join(" and ")} bare`] : []),
      ...(numbers.length > 0
        ? [`layer${numbers.length > 1 ? "s" : ""} ${numbers.join(" and ")} removed`]
        : []),
    ];
    if (parts.length > 0) out.push(`${parts.join(", ")} from ${mm(from)} to ${mm(to)}`);
  }
  if (clamp.foundationModulus !== null)
    out.push(
      `on an elastic foundation of ${formatQuantity(clamp.foundationModulus, 0, "modulus", { digits: 3 })} in the clamp`,
    );
  return out;
}
