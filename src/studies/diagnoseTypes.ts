import type { Design } from "../design/design.ts";

/** What may be wrong. */
export interface Cause {
  id: string;
  /** "stand-off too far in". */
  name: string;
  /** What to do once it is known, one sentence. */
  mend: string;
  /**
   * Sizes of what is wrong, each with a normal prior of mean 0 and this u, within its bounds; none: it is wrong or it
   * is not. `change` makes the design so.
   */
  sizes?: readonly {
    name: string;
    unit: "m" | "kg" | "share" | "number";
    u: number;
    lower: number;
    upper: number;
  }[];
  /** Null where the design has no such part. */
  change?(design: Design, sizes: readonly number[]): Design | null;
  /** How much longer it bends, m; the electrodes stay as cut. In place of `change`. */
  stretch?(design: Design, sizes: readonly number[]): number;
}

/** What a person notices first. */
export interface Symptom {
  id: string;
  name: string;
  /** Other words for it. */
  words: readonly string[];
  /** Ids of causes, likeliest first. */
  causes: readonly string[];
}

/** A test whose outcome is told in words. */
export interface BenchTest {
  id: string;
  /** "repeat at 100 V". */
  name: string;
  outcomes: readonly string[];
  /** Probability of each outcome under a cause; causes that are not named make every outcome alike. */
  given: Readonly<Record<string, readonly number[]>>;
}

/** Something measured several times while something else changed. */
export interface Series {
  /** Name of a `SeriesFigure`. */
  figure: string;
  rows: readonly SeriesRow[];
  from: string;
}

export interface SeriesRow {
  /** SI. */
  value: number;
  u: number;
  /** SI, by name of a column of the figure. */
  at: Readonly<Record<string, number>>;
}
