import * as theme from "./theme.ts";

/*
 * The colours of the pictures by name, with the tone that each has in the dark. A picture for paper
 * holds the light ones; `toned` puts variables of a style sheet in their place for a page.
 */

export interface Tone {
  name: string;
  light: string;
  dark: string;
}

const tone = (name: string, light: string, dark: string): Tone => ({ name, light, dark });

/** Okabe and Ito's hues as they read on a dark ground. */
const DARK_CURVES = ["#4FB3E8", "#FF8A4C", "#3CC7A0", "#E39BC4", "#8CCBF0"];

/** Every colour that a picture may use. */
export const TONES: readonly Tone[] = [
  tone("ink", theme.INK, "#E7E5DF"),
  tone("quiet", theme.QUIET, "#A3A9B0"),
  tone("other", theme.OTHER, "#C3C8CE"),
  tone("hair", theme.HAIR, "#3A4047"),
  tone("paper", theme.PAPER, "#14171A"),
  tone("plot", theme.PLOT_GROUND, "#191D21"),
  tone("sand", theme.SAND, "#5E4D2C"),
  tone("sand-edge", theme.SAND_EDGE, "#D9BC7F"),
  tone("metal", theme.METAL, "#5C6268"),
  tone("graphite", theme.GRAPHITE, "#C9CED4"),
  tone("glue", theme.GLUE, "#4A463C"),
  tone("rubber", theme.RUBBER, "#8E8A84"),
  tone("rubber-ground", theme.RUBBER_GROUND, "#3B3835"),
  tone("rubber-dots", theme.RUBBER_DOTS, "#A8A39B"),
  tone("body", theme.BODY, "#22272C"),
  tone("gas", theme.GAS, "#2B5168"),
  tone("hatching", theme.HATCHING, "#6B737B"),
  tone("met", theme.MET_FILL, "#1D3327"),
  tone("shade", theme.SHADE, "#23272B"),
  tone("not-met", theme.NOT_MET, "#FF9A62"),
  tone("not-met-hatch", theme.NOT_MET_HATCH, "#6B452F"),
  tone("off-hatch", theme.OFF_HATCH, "#8A5638"),
  tone("off-ground", theme.OFF_GROUND, "#2E2019"),
  tone("field", theme.FIELD, "#FF8D8D"),
  ...theme.CURVES.flatMap(({ line, text }, i) => [
    tone(`curve-${i + 1}`, line, DARK_CURVES[i] as string),
    tone(`curve-${i + 1}-text`, text, DARK_CURVES[i] as string),
  ]),
];

const BY_LIGHT = new Map(TONES.map(({ name, light }) => [light, name]));

/**
 * The picture with variables (`var(--fig-ink)`) in place of its colours. Words stay as they are, even
 * where they look like a colour.
 * @throws RangeError naming a colour that has no tone
 */
export function toned(svg: string): string {
  return svg.replace(/<[^>]*>/g, (tag) =>
    tag.replace(/="(#[0-9A-Fa-f]{3,8})"/g, (_, hex: string) => {
      const name = BY_LIGHT.get(hex.toUpperCase());
      if (name === undefined) throw new RangeError(`the colour ${hex} has no tone`);
      return `="var(--fig-${name})"`;
    }),
  );
}

/** The variables as a style sheet: light, dark by system or by choice, light on paper. */
export function toneStyles(): string {
  const list = (which: "light" | "dark") =>
    TONES.map((each) => `--fig-${each.name}:${each[which]}`).join(";");
  return [
    `:root{${list("light")}}`,
    `@media (prefers-color-scheme:dark){:root:not([data-theme="light"]){${list("dark")}}}`,
    `:root[data-theme="dark"]{${list("dark")}}`,
    `@media print{:root,:root[data-theme="dark"],:root:not([data-theme="light"]){${list("light")}}}`,
    "",
  ].join("\n");
}
