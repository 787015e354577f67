/*
 * One drawing language for all pictures. Always light and opaque: pictures go on paper. Curve hues
 * are from the set of Okabe and Ito (2002) that the colour-blind tell apart (values as listed by
 * Wong, Nature Methods 2011, via secondary pages), the last three darkened until a line stands 3 : 1
 * off the met region; never the only signal.
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
export const NOT_MET = "#A63D00";
export const FIELD = "#8A1F1F";

/** Hues of curves with the darker tone that their labels are written in, and a line style each. */
export const CURVES = [
  { line: "#0072B2", text: "#005A8C", dash: "" },
  { line: "#D55E00", text: "#9C4500", dash: "9 3" },
  { line: "#00946C", text: "#006E50", dash: "2.5 2.5" },
  { line: "#BC6494", text: "#8E3F6B", dash: "12 3 2 3" },
  { line: "#2A8CC4", text: "#1F6A95", dash: "5 2" },
] as const;

/** Ground of a chart; a part of it that is out of the question. */
export const PLOT_GROUND = "#FFFFFF";
export const SHADE = "#ECEAE4";
/** Hatching of bodies; of what is not met; of where the high voltage must be off, and its ground. */
export const HATCHING = "#84888E";
export const NOT_MET_HATCH = "#E3B79B";
export const OFF_HATCH = "#DDA27C";
export const OFF_GROUND = "#FBF0E8";
/** Dots of rubber and what lies under them. */
export const RUBBER_DOTS = "#4E4B47";
export const RUBBER_GROUND = "#C9C5BE";

/** Gas, over the ground of the picture. */
export const GAS = "#9CC6DF";

/** Absolute pressures without and with all of the hue, Pa: vacuum, a hundred bar. */
const TINTED = [0.1, 1e7] as const;

/** Fill of a gas: one hue, thicker with each decade of the absolute pressure; nothing in vacuum. */
export function gasTint(pressure: number): { fill: string; "fill-opacity": number } {
  const [none, all] = TINTED.map(Math.log10) as [number, number];
  const share = (Math.log10(Math.max(pressure, TINTED[0])) - none) / (all - none);
  return { fill: GAS, "fill-opacity": Math.round(100 * Math.min(1, share)) / 100 };
}
