import { type EditValue, yamlFlow, yamlWord } from "../design/yamlText.ts";
import type { Farad, Metre, Ohm, Pascal, Volt } from "../units/aliases.ts";
import type { StockStrip } from "./proposalsStock.ts";

type Section = Readonly<Record<string, EditValue>>;

/** What a new design has to do, as the file spells it: `need` and the parts that are there already. */
export interface ProposalNeed {
  /** Name of the design, default "new design". */
  name?: string;
  /** Section `need`: {gas: "Ar", plenum_pressure: "4 bar", …}; without gas a bare strip is proposed. */
  need: Section;
  chamber?: Section;
  plenum?: Section;
}

/** Numbers of the parts around a strip, SI. */
export interface ProposalParts {
  strip: StockStrip;
  freeLength: Metre;
  /** Size of the bias, V. */
  voltage: Volt;
  storage: Farad;
  bleeder: Ohm;
  /** A; null: not limited. */
  currentLimit: number | null;
  /** null: no seat. */
  valve: { seatDiameter: Metre; standOff: Metre; pad: PadChoice } | null;
}

export interface PadChoice {
  material: string;
  thickness: Metre;
}

/** Width of the land, m: narrow, so that little force seals. Common practice, no source. */
export const LAND = 0.03e-3;
/** Smallest seat worth turning, m. Common practice, no source. */
const SMALLEST_SEAT = 0.25e-3;

/** Seat for an orifice: twice its diameter and the land, rounded up to 0.01 mm, not below 0.25 mm. */
export function seatFor(orifice: Metre): Metre {
  const wanted = Math.max(SMALLEST_SEAT, 2 * orifice + LAND);
  return Math.ceil(wanted * 1e5 - 1e-6) * 1e-5;
}

/** Harder and thinner against higher pressure. Common practice, no source. */
export function padFor(pressure: Pascal): PadChoice {
  if (pressure <= 10e5) return { material: "FKM 75 Shore A", thickness: 0.5e-3 };
  if (pressure <= 30e5) return { material: "FKM 85 Shore A", thickness: 0.5e-3 };
  return { material: "FKM 90 Shore A", thickness: 0.3e-3 };
}

const plain = (x: number, digits = 6): string => String(Number(x.toPrecision(digits)));
const mm = (x: Metre) => `${plain(x * 1e3)} mm`;
const um = (x: Metre) => `${plain(x * 1e6)} µm`;

/** Plain words: "2 × 0.2 mm soft ceramic on 0.1 mm brass, 5 mm wide". */
export function stripWords({ vane, ceramic, vaneThickness, width }: StockStrip): string {
  return `2 × ${mm(ceramic)} soft ceramic on ${mm(vaneThickness)} ${vane}, ${mm(width)} wide`;
}

/** The complete design file; three wires, every layer sees only a field along its poling. */
export function proposalText(given: ProposalNeed, parts: ProposalParts, share: number): string {
  const { strip, freeLength, voltage } = parts;
  const layer = (bottom: string, top: string) =>
    `    - {material: soft ceramic, thickness: ${mm(strip.ceramic)}, poling: up, bottom: ${bottom}, top: ${top}}`;
  const lines = [
    `# Proposed: ${stripWords(strip)}.`,
    "# A plain stock size; strip, clamp, pad, seat and supply are first values (common practice, no source).",
    "# Free length and stand-off are where the smallest margin is largest. Change what you know better.",
    "reedlift: 1",
    `name: ${yamlWord(given.name ?? "new design")}`,
    ...section("need", given.need),
    "",
    "strip:",
    `  width: ${mm(strip.width)}`,
    `  free_length: ${mm(freeLength)}`,
    "  layers:                          # bottom to top",
    layer("lower face", "vane"),
    `    - {material: ${strip.vane}, thickness: ${mm(strip.vaneThickness)}, conductor: vane}`,
    layer("vane", "upper face"),
    "",
    "clamp:",
    "  length: 6 mm",
    ...(parts.valve === null ? [] : valveLines(parts.valve)),
    ...section("plenum", given.plenum),
    ...section("chamber", given.chamber),
    "",
    "# Three wires: each layer only ever sees a field along its poling.",
    "wiring:",
    "  lower face: ground",
    "  vane: switched",
    "  upper face: bias",
    "",
    "rails:",
    "  bias:",
    padded(
      `    voltage: ${plain(-voltage)} V`,
      `${Math.round(100 * share)} % of the largest field`,
    ),
    ...(parts.currentLimit === null
      ? []
      : [`    current_limit: ${plain(parts.currentLimit * 1e3)} mA`]),
    "    sinks: no",
    `    storage: ${plain(parts.storage * 1e6)} µF`,
    padded(`    bleeder: ${plain(parts.bleeder / 1e3)} kΩ`, "across the storage capacitor"),
    "",
    "switch:",
    padded("  high: ground", `upper layer contracts: ${parts.valve === null ? "up" : "opens"}`),
    padded("  low: bias", `lower layer contracts: ${parts.valve === null ? "down" : "closes"}`),
    ...(parts.valve === null ? ["  idle: off"] : ["  idle: low"]),
    "  series_resistor: 470 Ω",
    "",
    "surroundings:",
    padded(`  conductor_gap_min: ${mm(strip.ceramic)}`, "over the edge of one layer"),
  ];
  return `${lines.join("\n")}\n`;
}

function section(name: string, values: Section | undefined): string[] {
  const entries = Object.entries(values ?? {});
  if (entries.length === 0) return [];
  return [
    "",
    `${name}:`,
    ...entries.map(([key, value]) => `  ${yamlWord(key)}: ${yamlFlow(value)}`),
  ];
}

function valveLines({ seatDiameter, standOff, pad }: NonNullable<ProposalParts["valve"]>) {
  return [
    "",
    "pad:",
    `  material: ${pad.material}`,
    `  thickness: ${mm(pad.thickness)}`,
    padded("  from_tip: 0.5 mm", "centre of the pad from the tip"),
    padded("  mass: 4 mg", "with its glue: weigh yours"),
    "",
    "seat:",
    "  form: land",
    padded(`  diameter: ${mm(seatDiameter)}`, "of the sealing line"),
    `  land: ${um(LAND)}`,
    padded("  arrangement: pressure closes", "the strip is in the plenum gas"),
    padded("  side: below", "upward motion opens"),
    padded(`  stand_off: ${um(standOff)}`, "seat plane against the strip at rest"),
    "  thread_pitch: 0.25 mm",
  ];
}

const padded = (line: string, comment: string) => `${line.padEnd(34)} # ${comment}`;
