/*
 * One drawing language for all pictures. Always light and opaque: pictures go on paper. Curve hues
 * are from the set of Okabe and Ito (2002) that the colour-blind tell apart (values as listed by
 * Wong, Nature Methods 2011, via secondary pages); never the only signal.
 */

export const FONT = "'DejaVu Sans', Verdana, sans-serif";

/** Three sizes, px. */
export const SIZE = { small: 10, text: 11.5, title: 15 } as const;

export const INK = "#22262B";
export const QUIET = "#5A6068";
/** Outline of the state that is not current. */
export const OTHER = "#3F4650";
export const HAIR = "#C6C3BA";
export const PAPER = "#FCFBF7";

export const SAND = "#EBD8B2";
export const SAND_EDGE = "#7C6434";
export const METAL = "#C2C5C9";
export const GRAPHITE = "#454A50";
export const GLUE = "#D9D3C4";
export const RUBBER = "#8E8A84";
export const BODY = "#F4F2EC";
export const MET_FILL = "#DCEBDD";
export const NOT_MET = "#C24E00";
export const FIELD = "#8A1F1F";

/** Hues of curves with the darker tone that their labels are written in, and a line style each. */
export const CURVES = [
  { line: "#0072B2", text: "#005A8C", dash: "" },
  { line: "#D55E00", text: "#9C4500", dash: "9 3" },
  { line: "#009E73", text: "#006E50", dash: "2.5 2.5" },
  { line: "#CC79A7", text: "#8E3F6B", dash: "12 3 2 3" },
  { line: "#56B4E9", text: "#226F9B", dash: "5 2" },
] as const;

/** Ground of a chart; a part of it that is out of the question. */
export const PLOT_GROUND = "#FFFFFF";
export const SHADE = "#ECEAE4";
/** Hatching of bodies; of what is not met; of where the high voltage must be off, and its ground. */
export const HATCHING = "#8B8F94";
export const NOT_MET_HATCH = "#E3B79B";
export const OFF_HATCH = "#DDA27C";
export const OFF_GROUND = "#FBF0E8";
/** Dots of rubber and what lies under them. */
export const RUBBER_DOTS = "#4E4B47";
export const RUBBER_GROUND = "#C9C5BE";

/** Vacuum, and a gas at a hundred bar. */
export const GAS_FROM = "#FCFDFD";
export const GAS_TO = "#98C2DC";

const channels = (hex: string) =>
  [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16)) as [number, number, number];

/** Tint of a gas by the decade of its absolute pressure: white in vacuum, cool above. */
export function gasTint(pressure: number): string {
  const [from, to] = [channels(GAS_FROM), channels(GAS_TO)];
  const share = Math.min(1, Math.max(0, (Math.log10(Math.max(pressure, 1e-12)) + 1) / 8));
  const mixed = from.map((c, i) => Math.round(c + (to[i]! - c) * share));
  return `#${mixed.map((c) => c.toString(16).padStart(2, "0").toUpperCase()).join("")}`;
}

/** How much gas a tint shows, in whole percent; null for a colour that is no tint of it. */
export function gasShare(hex: string): number | null {
  const [from, to, seen] = [channels(GAS_FROM), channels(GAS_TO), channels(hex)];
  const shares = seen.map((c, i) => (c - from[i]!) / (to[i]! - from[i]!));
  const [first] = shares as [number, number, number];
  const alike = shares.every((share) => Math.abs(share - first) < 0.05);
  return alike && first > -0.05 && first < 1.05 ? Math.max(0, Math.round(100 * first)) : null;
}
