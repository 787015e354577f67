/*
 * What cutting does to a strip when it goes wrong, as the signs it leaves in what is measured. From common practice
 * (no source): the accept tests of a cut strip and the usual faults.
 */

/** Departures: +1 above, −1 below what a good cut gives, 0 as it should be; absent: not measured. */
export interface Signs {
  /** Capacitance over area. */
  capacitance?: number;
  loss?: number;
  /** Resonance after length correction. */
  resonance?: number;
  coupling?: number;
  /** Deflection after length correction. */
  deflection?: number;
  insulation?: number;
}

interface CauseRow {
  id: string;
  text: string;
  next: string;
  /** Expected signs; what is left out may be anything. */
  signs: Signs;
  /** Only when capacitance over area lies in this range. */
  capacitance?: readonly [number, number];
}

const CAUSES: readonly CauseRow[] = [
  {
    id: "lead lost",
    text: "the lead or joint of one layer is open",
    next: "measure each layer against the vane by itself: the lost one has next to no capacitance",
    signs: { capacitance: -1, loss: 0, resonance: 0, coupling: -1, deflection: -1 },
    capacitance: [0, 0.7],
  },
  {
    id: "cracked layer",
    text: "a ceramic layer is cracked through, and the electrode with it",
    next: "look at the faces near the clamp line at ×20–50 in slanting light; the second resonance and Q fall too",
    signs: { capacitance: -1, resonance: -1, coupling: -1, deflection: -1 },
  },
  {
    id: "electrode lost",
    text: "electrode is missing: scraped off, chipped at the edge, or undercut",
    next: "look at the edges at ×20–50; measure the bare rim, the area without electrode must account for the loss",
    signs: { capacitance: -1, loss: 0, resonance: 0, insulation: 0 },
    capacitance: [0.7, 1],
  },
  {
    id: "smeared electrode",
    text: "metal is smeared over the edge, or a burr of the vane bridges a layer",
    next: "look at the edge at ×20–50, deburr, wipe wet (lead dust), repeat tan δ and insulation",
    signs: { capacitance: 0, loss: 1, insulation: -1, resonance: 0, coupling: 0, deflection: 0 },
  },
  {
    id: "damp edge",
    text: "coolant or damp sits in the cut edge",
    next: "rinse in alcohol, dry an hour at 60–80 °C, measure again: what goes away was damp",
    signs: { loss: 1, insulation: -1, resonance: 0, coupling: 0, deflection: 0 },
  },
  {
    id: "depoled",
    text: "the ceramic has lost poling by heat of the cut",
    next: "compare coupling with that of an uncut strip; re-pole and measure again",
    signs: { coupling: -1, deflection: -1, loss: 0, insulation: 0, resonance: 0 },
  },
  {
    id: "bond has let go",
    text: "a layer has come off the vane over some length",
    next: "tap along the strip and listen, look at the edge at ×20–50; Q falls and the second resonance moves by another part than the first",
    signs: { resonance: -1, capacitance: 0, coupling: -1 },
  },
  {
    id: "longer than stated",
    text: "nothing broke: the piece is longer (or clamped longer) than stated",
    next: "measure the free length at both edges of the clamp",
    signs: { resonance: -1, deflection: 1, coupling: 0, loss: 0, insulation: 0 },
  },
  {
    id: "shorter than stated",
    text: "nothing broke: the piece is shorter (or clamped shorter) than stated",
    next: "measure the free length at both edges of the clamp",
    signs: { resonance: 1, deflection: -1, coupling: 0, loss: 0, insulation: 0 },
  },
];

export interface Cause {
  id: string;
  text: string;
  next: string;
  /** Share of the departures and non-departures that fit, −1 to 1. */
  fits: number;
}

/** Causes that fit what departs, best first; none when nothing departs. */
export function causesOf(signs: Signs, capacitance: number | null): Cause[] {
  const measured = Object.entries(signs) as [keyof Signs, number][];
  if (measured.every(([, sign]) => sign === 0)) return [];
  return CAUSES.flatMap(({ signs: expected, capacitance: range, id, text, next }) => {
    if (range !== undefined && capacitance !== null)
      if (capacitance < range[0] || capacitance > range[1]) return [];
    let fits = 0;
    let weight = 0;
    for (const [key, sign] of measured) {
      const wanted = expected[key];
      if (wanted === undefined) continue;
      // A departure that is there, or one that ought to be, says more than one that is not.
      const w = sign !== 0 || wanted !== 0 ? 1 : 0.3;
      weight += w;
      fits += sign === wanted ? w : -w;
    }
    // A departure that this cause does not speak of speaks a little against it.
    for (const [key, sign] of measured)
      if (sign !== 0 && expected[key] === undefined) weight += 0.5;
    return fits > 0 ? [{ id, text, next, fits: fits / weight }] : [];
  }).sort((a, b) => b.fits - a.fits);
}
