import { changed, VALVE } from "./texts.ts";

/** The valve with segments. */
export const withSegments = (...segments: string[]) =>
  changed(
    VALVE,
    "clamp:\n",
    `  segments:\n${segments.map((s) => `    - ${s}\n`).join("")}clamp:\n`,
  );

/** The valve with a strip that is not alike along its length, each in its own way. */
export const CUT_STRIPS = [
  ["taper", changed(VALVE, "free_length", "width_at_tip: 2 mm\n  free_length")],
  [
    "bare end",
    withSegments("{measured_from: tip, from: 0 mm, to: 2 mm, bare: [lower face, upper face]}"),
  ],
  ["one face bare", withSegments("{from: 3 mm, to: 9 mm, bare: [upper face]}")],
  ["ceramic cut", withSegments("{measured_from: tip, from: 0 mm, to: 3 mm, removed: [3]}")],
  [
    "foundation",
    changed(
      VALVE,
      "clamp:\n  length: 5 mm",
      "clamp:\n  length: 5 mm\n  electrode_length: 2 mm\n  foundation_modulus: 400 MPa",
    ),
  ],
  [
    "all of it",
    changed(
      changed(
        withSegments(
          "{measured_from: tip, from: 0 mm, to: 2 mm, removed: [3]}",
          "{from: 0 mm, to: 0.5 mm, bare: [lower face]}",
        ),
        "free_length",
        "width_at_tip: 3 mm\n  free_length",
      ),
      "  length: 5 mm",
      "  length: 5 mm\n  foundation_modulus: 900 MPa",
    ),
  ],
] as const;
