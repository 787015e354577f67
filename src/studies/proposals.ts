import type { Design } from "../design/design.ts";
import type { Problem } from "../design/problem.ts";
import { readDesign } from "../design/readDesign.ts";
import { withFreeLength, withValues } from "../design/values.ts";
import { evaluate } from "../sheet/evaluate.ts";
import { smallestMargin } from "../sheet/marginRow.ts";
import type { SheetResult } from "../sheet/result.ts";
import type { Metre, Volt } from "../units/aliases.ts";
import { STOCK_STRIPS, type StockStrip } from "./proposalsStock.ts";
import {
  type ProposalNeed,
  type ProposalParts,
  padFor,
  proposalText,
  seatFor,
  stripWords,
} from "./proposalsText.ts";

export type { ProposalNeed } from "./proposalsText.ts";

/**
 * Share of the largest field along the poling that a proposal uses: with the default limits just the field
 * above which the sheet advises care. Common practice, no source.
 */
export const FIELD_SHARE = 2 / 3;
/** Free lengths looked at, m, and how many to begin with. */
const SHORTEST = 4e-3;
const LONGEST = 40e-3;
const LENGTHS = 14;
/** Golden-section steps on the length, and on the stand-off of each length. */
const LENGTH_STEPS = 8;
const STAND_OFF_STEPS = 8;
/** Steps to which the numbers of a proposal are rounded. */
const LENGTH_STEP = 0.1e-3;
const STAND_OFF_STEP = 1e-6;
const VOLTAGE_STEP = 5;
/** Sharpness of the smooth smallest margin: 1/20 of a margin blurs it. */
const SHARPNESS = 20;
/** Values of a decade in which capacitors and resistors are sold. */
const SERIES = [1, 1.5, 2.2, 3.3, 4.7, 6.8];
/** Storage over what the droop limit needs; share of the bleeding time used; supply over mean current. */
const STORAGE_RESERVE = 2;
const BLEED_SHARE = 0.5;
const SUPPLY_RESERVE = 3;
const SUPPLIES = [2e-3, 5e-3, 10e-3, 20e-3, 50e-3, 100e-3];

export interface StripProposal {
  /** The strip in plain words. */
  name: string;
  /** A complete design file. */
  text: string;
  /** Smallest margin of that file's design, and the requirement that has it. */
  margin: number;
  binding: string | null;
  meets_all: boolean;
  free_length_m: number;
  stand_off_m: number | null;
  voltage_V: number;
  width_m: number;
  thickness_m: number;
}

export type Proposals =
  | {
      ok: true;
      /** Largest smallest margin first. */
      proposals: StripProposal[];
      /** Stock strips looked at, of so many. */
      done: number;
      total: number;
    }
  /** What is wrong with the need, as the reader of design files says it. */
  | { ok: false; problems: Problem[] };

/**
 * A first design for a need from each plain stock strip: free length and stand-off with the largest
 * smallest margin at a cautious field, the rest at stated defaults; ranked by that margin. Where nothing
 * meets all, the nearest comes first and names what binds. A need that can't be read is a result with its
 * problems (their lines are those of a proposal's text).
 * @param strips strips to choose from, default the plain stock sizes
 */
export function stripProposals(
  given: ProposalNeed,
  strips: readonly StockStrip[] = STOCK_STRIPS,
): Proposals {
  const steps = stripProposalsSteps(given, strips);
  for (;;) {
    const next = steps.next();
    if (next.done === true) return next.value;
  }
}

/** The same in steps of a few milliseconds: yields the ranking so far. */
export function* stripProposalsSteps(
  given: ProposalNeed,
  strips: readonly StockStrip[] = STOCK_STRIPS,
): Generator<Proposals, Proposals> {
  const found: Ranked[] = [];
  const total = strips.length;
  for (let done = 0; done < total; done++) {
    const strip = strips[done] as StockStrip;
    const start = startOf(given, strip);
    if (!start.ok) return start;
    const soFar = (): Proposals => ({
      ok: true,
      proposals: found.map((each) => each.proposal),
      done,
      total,
    });
    let best: Placed | null = null;
    for (const placed of lengthSearch(start.design)) {
      if (best === null || placed.score > best.score) best = placed;
      yield soFar();
    }
    if (best !== null) found.push(finished(given, start, best));
    found.sort(
      (a, b) =>
        b.proposal.margin - a.proposal.margin ||
        b.score - a.score ||
        (a.proposal.name < b.proposal.name ? -1 : 1),
    );
  }
  return { ok: true, proposals: found.map((each) => each.proposal), done: total, total };
}

interface Start {
  ok: true;
  design: Design;
  parts: ProposalParts;
}

interface Placed {
  length: Metre;
  standOff: Metre | null;
  score: number;
}

interface Ranked {
  proposal: StripProposal;
  score: number;
}

/** The design to begin with: parts generous enough that the drive does not bind. */
function startOf(
  given: ProposalNeed,
  strip: StockStrip,
): Start | { ok: false; problems: Problem[] } {
  const bare: ProposalParts = {
    strip,
    freeLength: 10e-3,
    voltage: VOLTAGE_STEP,
    storage: 10e-6,
    bleeder: 100e3,
    currentLimit: null,
    valve: null,
  };
  const first = readDesign(proposalText(given, bare, FIELD_SHARE));
  if (!first.ok) return first;
  const { need, limits, gas } = first.design;
  const voltage = cautiousVoltage(limits.fieldWithPolingMax, strip.ceramic);
  const valve =
    gas === undefined
      ? null
      : {
          seatDiameter: seatFor(need.orificeDiameter),
          standOff: 0,
          pad: padFor(need.plenumPressure),
        };
  const parts = { ...bare, voltage, valve };
  const read = readDesign(proposalText(given, parts, FIELD_SHARE));
  return read.ok ? { ok: true, design: read.design, parts } : read;
}

/** The largest round voltage within the field share. */
function cautiousVoltage(largestField: number, thickness: Metre): Volt {
  const most = FIELD_SHARE * largestField * thickness;
  return Math.max(1, Math.floor(most / VOLTAGE_STEP + 1e-9)) * VOLTAGE_STEP;
}

/** −ln Σ exp(−k m)/k: the smallest margin where one is far below the rest, a little less where several are near. */
function smooth(sheet: SheetResult): number {
  const margins = sheet.margins.map((row) => row.margin ?? -1);
  if (margins.length === 0) return 0;
  const least = Math.min(...margins);
  const sum = margins.reduce((s, m) => s + Math.exp(-SHARPNESS * (m - least)), 0);
  return least - Math.log(sum) / SHARPNESS;
}

const sheetOf = (design: Design) => evaluate(design, { detail: false, marginsOnly: true });

/** Lengths by equal ratios, then golden section about the best; one yield a length. */
function* lengthSearch(design: Design): Generator<Placed> {
  const ratio = (LONGEST / SHORTEST) ** (1 / (LENGTHS - 1));
  const tried: Placed[] = [];
  for (let i = 0; i < LENGTHS; i++) {
    const placed = placedAt(design, SHORTEST * ratio ** i);
    tried.push(placed);
    yield placed;
  }
  let k = 0;
  tried.forEach((placed, i) => {
    if (placed.score > (tried[k] as Placed).score) k = i;
  });
  const from = (tried[Math.max(0, k - 1)] as Placed).length;
  const to = (tried[Math.min(LENGTHS - 1, k + 1)] as Placed).length;
  yield* golden(from, to, LENGTH_STEPS, (length) => placedAt(design, length));
}

/** A length with the stand-off that suits it best. */
function placedAt(design: Design, length: Metre): Placed {
  const there = withFreeLength(design, length);
  const sheet = sheetOf(there);
  if (design.seat === undefined) return { length, standOff: null, score: smooth(sheet) };
  const [low, high] = sheet.seat?.stand_off_range_m ?? restShapes(sheet);
  let best: Placed = { length, standOff: 0, score: Number.NEGATIVE_INFINITY };
  const at = (standOff: Metre): Placed => {
    const moved = withValues(there, [{ path: ["seat", "standOff"], value: standOff }]);
    return { length, standOff, score: smooth(sheetOf(moved)) };
  };
  for (const placed of golden(low, high, STAND_OFF_STEPS, at))
    if (placed.score > best.score) best = placed;
  return best;
}

/** Lowest and highest rest shape of the two switch states at the pad, along opening (up). */
function restShapes(sheet: SheetResult): [Metre, Metre] {
  const rest = sheet.strip.states
    .filter((state) => state.kind === "switch")
    .map((state) => state.free_deflection_m);
  return [Math.min(...rest), Math.max(...rest)];
}

/** Golden section for the largest score; every value looked at is given back. */
function* golden(
  from: number,
  to: number,
  steps: number,
  look: (value: number) => Placed,
): Generator<Placed> {
  const share = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [from, to];
  let [u, v] = [b - share * (b - a), a + share * (b - a)];
  let [c, d] = [look(u), look(v)];
  yield c;
  yield d;
  for (let i = 0; i < steps; i++) {
    const left = c.score > d.score;
    if (left) [b, v, d] = [v, u, c];
    else [a, u, c] = [u, v, d];
    if (left) u = b - share * (b - a);
    else v = a + share * (b - a);
    const next = look(left ? u : v);
    if (left) c = next;
    else d = next;
    yield next;
  }
}

const rounded = (x: number, step: number) => Math.round(x / step) * step;

/** The best place in round numbers, with a drive that fits, as text, judged by reading it back. */
function finished(given: ProposalNeed, start: Start, best: Placed): Ranked {
  const length = rounded(best.length, LENGTH_STEP);
  const again = placedAt(start.design, length);
  const valve = start.parts.valve;
  const parts: ProposalParts = {
    ...start.parts,
    freeLength: length,
    valve:
      valve === null ? null : { ...valve, standOff: rounded(again.standOff ?? 0, STAND_OFF_STEP) },
  };
  const sized = withDrive(parts, withFreeLength(start.design, length));
  const text = proposalText(given, sized, FIELD_SHARE);
  const read = readDesign(text);
  if (!read.ok) throw new RangeError(read.problems.map((problem) => problem.message).join("; "));
  const sheet = sheetOf(read.design);
  const { id, margin } = smallestMargin(sheet.margins);
  const { strip } = parts;
  return {
    score: smooth(sheet),
    proposal: {
      name: stripWords(strip),
      text,
      margin: Number.isFinite(margin) ? margin : 0,
      binding: id,
      meets_all: sheet.margins.every((row) => row.met),
      free_length_m: read.design.strip.freeLength,
      stand_off_m: read.design.seat?.standOff ?? null,
      voltage_V: -parts.voltage,
      width_m: strip.width,
      thickness_m: 2 * strip.ceramic + strip.vaneThickness,
    },
  };
}

/** Storage for half the droop, a bleeder for half the time, a supply for three times the mean current. */
function withDrive(parts: ProposalParts, design: Design): ProposalParts {
  const needed = sheetOf(design).drive?.storage_capacitance_F ?? 0;
  const storage = fromSeries(Math.max(STORAGE_RESERVE * needed, 0.1e-6), "up");
  const { bleedTimeMax, storedVoltageTouch } = design.limits;
  const decades = Math.log(Math.max(parts.voltage / storedVoltageTouch, Math.E));
  const bleeder = fromSeries((BLEED_SHARE * bleedTimeMax) / (storage * decades), "down");
  const changed = withValues(design, [
    { path: ["rails", "bias", "storage"], value: storage },
    { path: ["rails", "bias", "bleeder"], value: Math.min(bleeder, 1e6) },
  ]);
  const current = SUPPLY_RESERVE * (sheetOf(changed).drive?.supply_current_A ?? 0);
  const currentLimit = SUPPLIES.find((each) => each >= current) ?? null;
  return { ...parts, storage, bleeder: Math.min(bleeder, 1e6), currentLimit };
}

/** Next value of the series above or below. */
function fromSeries(value: number, way: "up" | "down"): number {
  const decade = 10 ** Math.floor(Math.log10(value));
  const steps = [...SERIES.map((s) => s * decade), 10 * decade];
  const near = 1e-9 * value;
  if (way === "up") return steps.find((s) => s >= value - near) as number;
  return steps.filter((s) => s <= value + near).pop() as number;
}
