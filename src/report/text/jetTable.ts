import type { JetFigures, JetPlaceFigures } from "../../sheet/jetResult.ts";
import { formatQuantity } from "../../units/index.ts";
import { printFigure } from "../figureUnits.ts";
import { inTwoColumns, padEnd, table, wrap, wrapAfter } from "./lines.ts";
import type { TextStyle } from "./style.ts";

const LABEL = 26;
const DIGITS = 3;

/** A figure, or the text that stands for it, with the path of its reason. */
export interface JetRow {
  label: string;
  path: string;
  text: string | null;
}

const CONDENSATION = {
  none: "no clusters",
  onset: "clusters set in",
  clusters: "large clusters",
} as const;

/**
 * The jet for a terminal: figures in two columns, then the jet at skimmer and interaction point, advice and
 * cautions. No line is wider than the style's columns; a figure that is missing says why.
 */
export function jetTable(jet: JetFigures, style: TextStyle): string[] {
  const column = Math.floor((style.columns - 3) / 2);
  const rows = jetRows(jet, style);
  const given = rows.filter((row) => row.text !== null);
  const figures = inTwoColumns(
    given.map((row) => rowLines(row, column, style)),
    style.columns,
  );
  return [
    ...figures,
    ...missingLines(rows, jet, style),
    ...placeLines(jet, style),
    ...jet.advice.flatMap((text) => wrapAfter("- ", style.words(text), style.columns)),
    ...jet.cautions.flatMap(({ text, action }) => [
      ...wrapAfter("! ", style.words(text), style.columns).map(style.palette.caution),
      ...wrap(style.words(action), style.columns - 4).map((line) => `    ${line}`),
    ]),
  ].map((line) => line.trimEnd());
}

/** A figure by its name, or null. */
function shown(name: string, value: number | null, { ascii, words }: TextStyle): string | null {
  return value === null ? null : words(printFigure(name, value, null, { ascii, digits: DIGITS }));
}

/** Molecules per cubic centimetre, as the trade counts them. */
function perCubicCentimetre(value: number | null, { ascii, words }: TextStyle): string | null {
  if (value === null) return null;
  return words(`${formatQuantity(value * 1e-6, 0, "ratio", { ascii, digits: DIGITS })} /cm³`);
}

export function jetRows(jet: JetFigures, style: TextStyle): JetRow[] {
  const figure = (label: string, path: keyof JetFigures): JetRow => ({
    label,
    path,
    text: shown(path, jet[path] as number | null, style),
  });
  const advice = (label: string, key: keyof JetFigures["skimmer_advice"]): JetRow => ({
    label,
    path: `skimmer_advice.${key}`,
    text: shown(key, jet.skimmer_advice[key], style),
  });
  const { condensation: band } = jet;
  return [
    figure("terminal speed", "terminal_speed_m_s"),
    figure("width of speeds (FWHM)", "speed_spread_m_s"),
    figure("terminal speed ratio", "speed_ratio"),
    figure("freezing surface", "freezing_distance_m"),
    figure("Mach number of freezing", "freezing_mach"),
    figure("frozen temperature", "frozen_temperature_K"),
    {
      label: "density in the source",
      path: "source_density_per_m3",
      text: perCubicCentimetre(jet.source_density_per_m3, style),
    },
    figure("mean free path in source", "source_mean_free_path_m"),
    figure("equivalent sonic hole", "equivalent_diameter_m"),
    figure("Mach disk", "mach_disk_m"),
    figure("Mach disk by formula", "mach_disk_formula_m"),
    figure("background mean free path", "background_mean_free_path_m"),
    figure("Hagena's parameter", "condensation_parameter"),
    {
      label: "condensation",
      path: "condensation",
      text: band === null ? null : CONDENSATION[band],
    },
    figure("atoms in a cluster", "cluster_size"),
    figure("shortest pulse at least", "developed_pulse_least_s"),
    figure("shortest pulse usually", "developed_pulse_usual_s"),
    advice("skimmer from", "from_m"),
    advice("skimmer up to", "to_m"),
    advice("brightest in a steady jet", "brightest_m"),
    advice("mouth free from", "free_m"),
    advice("Knudsen number of mouth", "knudsen"),
  ];
}

function rowLines(row: JetRow, width: number, style: TextStyle): string[] {
  const label = padEnd(style.words(row.label), LABEL);
  return wrap(row.text ?? "", width - LABEL - 1).map(
    (line, i) => `${i === 0 ? label : " ".repeat(LABEL)} ${line}`,
  );
}

/** What is missing, gathered by its reason. */
function missingLines(rows: readonly JetRow[], jet: JetFigures, style: TextStyle): string[] {
  const groups = new Map<string, string[]>();
  for (const { label, path, text } of rows) {
    if (text !== null) continue;
    const why = jet.reasons[path] ?? "not computed";
    groups.set(why, [...(groups.get(why) ?? []), label]);
  }
  return [...groups].flatMap(([why, labels]) =>
    wrapAfter("None: ", style.words(`${labels.join(", ")}: ${why}.`), style.columns),
  );
}

/** The jet at skimmer and interaction point, side by side; a place without a jet says why. */
function placeLines(jet: JetFigures, style: TextStyle): string[] {
  const columns: { head: string; align: "right"; place: JetPlaceFigures }[] = [];
  const lines: string[] = [];
  for (const [name, head] of PLACES) {
    const place = jet[name];
    const why = jet.reasons[name] ?? jet.reasons[`${name}.mach`];
    if (place === null || place.mach === null)
      lines.push(...wrap(style.words(`None ${head}: ${why ?? "not computed"}.`), style.columns));
    else columns.push({ head, align: "right", place });
  }
  if (columns.length === 0) return lines;
  const rows = PLACE_ROWS.map(([label, key]) => [
    style.words(label),
    ...columns.map(({ place }) => placeText(place, key, style) ?? "none"),
  ]);
  const parts = table([{ head: "", align: "left" }, ...columns], rows, style.columns);
  return [...parts.flatMap((part) => [style.palette.quiet(part.head), ...part.body]), ...lines];
}

const PLACES = [
  ["skimmer", "at the skimmer"],
  ["interaction", "at the interaction point"],
] as const;
const PLACE_ROWS: readonly (readonly [string, keyof JetPlaceFigures])[] = [
  ["distance", "distance_m"],
  ["Mach number", "mach"],
  ["temperature", "temperature_K"],
  ["density", "density_per_m3"],
  ["speed", "speed_m_s"],
  ["arrives after", "arrival_time_s"],
  ["spread by the flight", "spread_s"],
  ["pulse there, FWHM", "pulse_s"],
  ["lost to the background", "background_loss"],
];

function placeText(
  place: JetPlaceFigures,
  key: keyof JetPlaceFigures,
  style: TextStyle,
): string | null {
  const value = place[key];
  if (value === null) return null;
  if (key === "density_per_m3") return perCubicCentimetre(value, style);
  if (key === "background_loss") return `${Number((100 * value).toPrecision(2))} %`;
  return shown(key, value, style);
}
