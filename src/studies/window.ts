import type { Design } from "../design/design.ts";
import { withFreeLength } from "../design/values.ts";
import { brent } from "../numerics/roots.ts";
import { evaluate } from "../sheet/evaluate.ts";
import { smallestMargin } from "../sheet/marginRow.ts";
import type { MarginRow, WindowFigures } from "../sheet/result.ts";
import type { Metre } from "../units/aliases.ts";

/** Relative accuracy of the ends of an interval. */
const END_ACCURACY = 1e-7;
/** Stands for a margin of exactly zero in the search of an end. */
const TOUCHES = 1e-12;
/** Lengths to begin with, and halvings at most. */
const COARSE = 9;
const DEPTH = 5;
/** Deviation from a straight line that counts, and the margin beyond which nobody looks. */
const STRAIGHT = 0.01;
const SHOWN = 1.6;
/** Golden-section steps about the best sample: 0.618¹² of two steps of the scan. */
const GOLDEN_STEPS = 12;

export interface WindowOptions {
  /** This many lengths, evenly spaced, at least 3; left out: as many as the curves need. */
  lengths?: number;
}

/**
 * The free-length window: every margin against the free length, the intervals in which all are
 * met, the requirement that binds at each end, and the length with the largest smallest margin.
 * Pad and lumped masses keep their distance from the tip, the stand-off stays as set. Every value
 * is computed; lengths are added where straight lines between them would miss a curve.
 */
export function lengthWindow(design: Design, options: WindowOptions = {}): WindowFigures {
  const { from, to } = windowRange(design);
  const count = options.lengths ?? COARSE;
  if (count < 3) throw new RangeError(`lengths must be at least 3: got ${count}`);
  const even = Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1));
  const samples = even.map((length) => sampleAt(design, length));
  if (options.lengths === undefined) refineSamples(design, samples);
  const lengths = samples.map((s) => s.length);
  const smallest = samples.map((s) => smallestMargin(s.rows));
  const margins: Record<string, (number | null)[]> = {};
  (samples[0] as Sample).rows.forEach(({ id }, k) => {
    margins[id] = samples.map(({ rows }) => {
      const row = rows[k]?.id === id ? rows[k] : rows.find((other) => other.id === id);
      return row?.margin ?? null;
    });
  });

  const figures: WindowFigures = {
    lengths_m: lengths,
    margins,
    intervals: intervals(design, lengths, smallest),
    best_m: null,
    best_margin: null,
    best_binding: null,
  };
  const best = bestLength(design, lengths, smallest);
  figures.best_m = best.length;
  figures.best_margin = best.margin;
  figures.best_binding = best.id;
  if (figures.intervals.length === 0)
    figures.note = `no free length from ${mm(from)} to ${mm(to)} meets every requirement; ${best.id} binds at the best length`;
  return figures;
}

interface Sample {
  length: Metre;
  rows: MarginRow[];
}

const sampleAt = (design: Design, length: Metre): Sample => ({
  length,
  rows: marginsAt(design, length),
});

/** Halves the intervals in which a straight line misses a margin at their middle, in place. */
function refineSamples(design: Design, samples: Sample[]): void {
  const open = new Set(samples.slice(0, -1));
  for (let depth = 0; depth < DEPTH && open.size > 0; depth++)
    for (let i = samples.length - 2; i >= 0; i--) {
      const [a, b] = [samples[i] as Sample, samples[i + 1] as Sample];
      if (!open.delete(a)) continue;
      const middle = sampleAt(design, 0.5 * (a.length + b.length));
      samples.splice(i + 1, 0, middle);
      if (bends(a, middle, b)) open.add(a).add(middle);
    }
}

/** Whether the middle of some margin is off the straight line more than a picture can show. */
function bends(a: Sample, middle: Sample, b: Sample): boolean {
  return a.rows.some((row, k) => {
    const ends = [row.margin, b.rows[k]?.margin ?? null];
    const at = middle.rows[k]?.margin ?? null;
    const [ya, yb] = ends;
    if (ya === null || ya === undefined || yb === null || yb === undefined || at === null)
      return new Set([ya === null, yb === null, at === null]).size > 1;
    if (Math.min(Math.abs(ya), Math.abs(at), Math.abs(yb)) > SHOWN) return false;
    return Math.abs(at - 0.5 * (ya + yb)) > STRAIGHT;
  });
}

const mm = (x: Metre) => `${Number((x * 1e3).toPrecision(4))} mm`;

/** Range of the window: the file's own, or half to 1.8 times the free length, within the strip. */
export function windowRange(design: Design): { from: Metre; to: Metre } {
  if (design.freeLengthRange !== null) return design.freeLengthRange;
  const { freeLength, totalLength } = design.strip;
  const reach = totalLength === null ? Number.POSITIVE_INFINITY : totalLength - design.clamp.length;
  const nearest = Math.min(
    design.pad?.position ?? freeLength,
    ...design.masses.map((m) => m.position),
  );
  const shortest = freeLength - nearest + 0.2 * freeLength;
  return {
    from: Math.max(0.5 * freeLength, Math.min(shortest, freeLength)),
    to: Math.max(Math.min(1.8 * freeLength, reach), freeLength),
  };
}

function marginsAt(design: Design, length: Metre): MarginRow[] {
  return evaluate(withFreeLength(design, length), { detail: false, marginsOnly: true }).margins;
}

type Smallest = { id: string | null; margin: number };

function intervals(
  design: Design,
  lengths: readonly Metre[],
  smallest: readonly Smallest[],
): WindowFigures["intervals"] {
  const out: WindowFigures["intervals"] = [];
  const at = (i: number): Known => ({
    length: lengths[i] as number,
    ...(smallest[i] as Smallest),
  });
  let open: { from_m: number; bound_from: string } | null = null;
  for (let i = 0; i < lengths.length; i++) {
    const met = (smallest[i] as Smallest).margin >= 0;
    if (met && open === null)
      open =
        i === 0
          ? { from_m: lengths[0] as number, bound_from: "range" }
          : from(edge(design, at(i), at(i - 1)));
    if (!met && open !== null) {
      const end = edge(design, at(i - 1), at(i));
      out.push({ ...open, to_m: end.length, bound_to: end.id });
      open = null;
    }
  }
  if (open !== null)
    out.push({ ...open, to_m: lengths[lengths.length - 1] as number, bound_to: "range" });
  return out;
}

const from = (end: { length: Metre; id: string }) => ({
  from_m: end.length,
  bound_from: end.id,
});

/** A length whose smallest margin is known. */
type Known = Smallest & { length: Metre };

/** Where the smallest margin crosses zero between a met and an unmet length, and what binds beyond. */
function edge(design: Design, met: Known, unmet: Known): { length: Metre; id: string } {
  let beyond = { length: unmet.length, id: unmet.id ?? "" };
  const marginAt = (length: Metre): number => {
    if (length === met.length) return met.margin;
    if (length === unmet.length) return unmet.margin;
    const s = smallestMargin(marginsAt(design, length));
    if (s.margin < 0 && Math.abs(length - met.length) < Math.abs(beyond.length - met.length))
      beyond = { length, id: s.id ?? "" };
    return s.margin;
  };
  const root = brent(
    // A margin of exactly zero is met: a stretch of it must not end the search inside.
    (length) => marginAt(length) || TOUCHES,
    met.length,
    unmet.length,
    END_ACCURACY * met.length,
  );
  return { length: root.x, id: beyond.id };
}

/** Golden section on the smallest margin about the best sample. */
function bestLength(design: Design, lengths: readonly Metre[], smallest: readonly Smallest[]) {
  let k = 0;
  smallest.forEach((s, i) => {
    if (s.margin > (smallest[k] as Smallest).margin) k = i;
  });
  let a = lengths[Math.max(0, k - 1)] as number;
  let b = lengths[Math.min(lengths.length - 1, k + 1)] as number;
  let best = { length: lengths[k] as number, ...(smallest[k] as Smallest) };
  const golden = (Math.sqrt(5) - 1) / 2;
  const at = (length: Metre) => {
    const s = { length, ...smallestMargin(marginsAt(design, length)) };
    if (s.margin > best.margin) best = s;
    return s;
  };
  let c = at(b - golden * (b - a));
  let d = at(a + golden * (b - a));
  for (let i = 0; i < GOLDEN_STEPS; i++) {
    if (c.margin > d.margin) {
      b = d.length;
      d = c;
      c = at(b - golden * (b - a));
    } else {
      a = c.length;
      c = d;
      d = at(a + golden * (b - a));
    }
  }
  return best;
}
