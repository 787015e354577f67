import { cholesky, forward } from "../numerics/linear.ts";
import type { QuantityKind } from "../units/index.ts";
import type { Series, SeriesRow } from "./diagnoseTypes.ts";

/*
 * A series is explained by a cause through shapes: y = offset + base(row) + Σ a_k shape_k(row) + noise, a_k ~ N(0, s_k²)
 * with s_k the scatter of the series over that of the shape, offset ~ N(0, wide). All of it is normal, so that the
 * likelihood of the series under a cause is that of one normal distribution,
 *   ln N(y − base; 0, diag(u²) + wide² 1 1ᵀ + Σ s_k² shape_k shape_kᵀ).
 * A cause without shapes for a figure leaves the series unexplained: offset and noise alone.
 */

/** What the design adds to the shapes. */
export interface SeriesScene {
  /** First resonance in the working gas, Hz, and its quality factor. */
  resonance: number;
  quality: number;
}

type Shape = (at: SeriesRow["at"], scene: SeriesScene) => number;

interface Explanation {
  base?(at: SeriesRow["at"]): number;
  shapes: readonly Shape[];
  /** Sets of shapes of which one holds, each as likely as the others before; in place of `shapes`. */
  oneOf?: readonly (readonly Shape[])[];
}

export interface SeriesFigure {
  name: string;
  kind: QuantityKind;
  columns: readonly { name: string; kind: QuantityKind; required: boolean }[];
  /** The number that adds up, and its slope: widths add as squares. */
  adds?(value: number, at: SeriesRow["at"]): { value: number; slope: number };
  /** Without a free offset: what is left is all there is. */
  absolute?: boolean;
  given: Readonly<Record<string, Explanation>>;
}

const column = (name: string, kind: QuantityKind, required = true) => ({ name, kind, required });
const of = (name: string) => (at: SeriesRow["at"]) => at[name] ?? 0;
/** Creep and memory count from a tenth of a second (decades of time after a step; IEEE-like usage, unverified). */
const decades = (name: string) => (at: SeriesRow["at"]) => Math.log10(1 + (at[name] ?? 0) / 0.1);
const settling = (name: string, time: number) => (at: SeriesRow["at"]) =>
  1 - Math.exp(-(at[name] ?? 0) / time);

export const SERIES: readonly SeriesFigure[] = [
  {
    name: "gas pulse width",
    kind: "time",
    columns: [
      column("distance", "length"),
      column("molar_mass", "molar mass"),
      column("open_time", "time"),
    ],
    adds: (value, at) => ({ value: value ** 2 - of("open_time")(at) ** 2, slope: 2 * value }),
    absolute: true,
    given: {
      // Emptying time ∝ V/(area × speed of sound); flight time ∝ distance/√(T/M).
      "dead volume": { shapes: [of("molar_mass")] },
      gauge: { shapes: [() => 1] },
      flight: { shapes: [(at) => of("molar_mass")(at) * of("distance")(at) ** 2] },
    },
  },
  {
    name: "closed spot",
    kind: "length",
    columns: [column("time", "time"), column("temperature", "temperature", false)],
    given: {
      creep: { shapes: [decades("time")] },
      set: {
        shapes: [],
        oneOf: [600, 1800, 5400, 16_200].map((time) => [settling("time", time)]),
      },
      temperature: { shapes: [of("temperature")] },
    },
  },
  {
    name: "delay",
    kind: "time",
    columns: [
      column("pressure", "pressure", false),
      column("temperature", "temperature", false),
      column("pause", "time", false),
    ],
    given: {
      "drift by pressure": { shapes: [of("pressure")] },
      "drift by temperature": { shapes: [of("temperature")] },
      history: { shapes: [decades("pause")] },
    },
  },
  {
    name: "leak",
    kind: "throughput",
    columns: [column("pressure", "pressure")],
    absolute: true,
    given: {
      // Laminar flow through a scratch ∝ p² against vacuum, molecular ∝ p; a gap that the pressure closes falls with it.
      particle: { shapes: [(at) => of("pressure")(at) ** 2, of("pressure")] },
      "stand-off": { shapes: [(at) => 1 / Math.max(1, of("pressure")(at))] },
      pad: { shapes: [() => 1] },
    },
  },
  {
    name: "second pulse",
    kind: "time",
    columns: [column("gate", "time"), column("distance", "length", false)],
    given: {
      bounce: { base: of("gate"), shapes: [] },
      overshoot: { shapes: [] },
      reflection: { base: of("gate"), shapes: [of("distance")] },
    },
  },
  {
    name: "amplitude",
    kind: "ratio",
    columns: [column("rate", "frequency"), column("number", "ratio", false)],
    given: {
      droop: { shapes: [of("rate")] },
      ringing: { shapes: [ringing(Math.cos), ringing(Math.sin)] },
      regulator: {
        shapes: [],
        oneOf: [5, 15, 45, 135].map((pulses) => [settling("number", pulses)]),
      },
    },
  },
];

/** Ringing left by the pulse before: e^(−π f1/(Q f)) at the phase 2π f1/f. */
function ringing(wave: (x: number) => number) {
  return (at: SeriesRow["at"], { resonance, quality }: SeriesScene) => {
    const periods = resonance / Math.max(1e-9, of("rate")(at));
    return Math.exp((-Math.PI * periods) / quality) * wave(2 * Math.PI * periods);
  };
}

export const seriesNamed = (word: string): SeriesFigure | null =>
  SERIES.find(({ name }) => name === word.trim().toLowerCase()) ?? null;

/** ln of the likelihood of a series under a cause; null: under none. */
export function seriesLikelihood(series: Series, cause: string | null, scene: SeriesScene): number {
  const figure = seriesNamed(series.figure);
  if (figure === null) throw new RangeError(`there is no series ${series.figure}`);
  const explanation: Explanation = (cause === null ? undefined : figure.given[cause]) ?? {
    shapes: [],
  };
  const found = (explanation.oneOf ?? [explanation.shapes]).map((shapes) =>
    likelihoodWith(series, figure, { ...explanation, shapes }, scene),
  );
  const top = Math.max(...found);
  if (top === Number.NEGATIVE_INFINITY) return top;
  return top + Math.log(found.reduce((sum, l) => sum + Math.exp(l - top), 0) / found.length);
}

function likelihoodWith(
  series: Series,
  figure: SeriesFigure,
  explanation: Explanation,
  scene: SeriesScene,
): number {
  const n = series.rows.length;
  const plain = series.rows.map(({ value, at }) => figure.adds?.(value, at) ?? { value, slope: 1 });
  const scatter = spread(
    plain.map(({ value }) => value),
    figure.absolute === true,
  );
  const y = Float64Array.from(
    series.rows,
    ({ at }, i) => plain[i]!.value - (explanation.base?.(at) ?? 0),
  );
  const C = new Float64Array(n * n);
  series.rows.forEach(({ u }, i) => {
    C[i * n + i] = (u * plain[i]!.slope) ** 2;
  });
  const add = (shape: readonly number[], s: number) => {
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++) C[i * n + j]! += s * s * shape[i]! * shape[j]!;
  };
  if (figure.absolute !== true) {
    // Wide against everything that the rows hold, the same for every cause.
    const most = Math.max(...series.rows.map(({ value }) => Math.abs(value)), 1e-30);
    add(new Array<number>(n).fill(1), 10 * most);
  }
  for (const shape of explanation.shapes) {
    const values = series.rows.map(({ at }) => shape(at, scene));
    const own = spread(values, figure.absolute === true);
    if (own > 0) add(values, scatter / own);
  }
  return logNormal(y, C);
}

/** Root mean square, about the mean where there is an offset. */
function spread(values: readonly number[], absolute: boolean): number {
  const mean = absolute ? 0 : values.reduce((a, b) => a + b, 0) / values.length;
  return Math.sqrt(values.reduce((a, b) => a + (b - mean) ** 2, 0) / values.length);
}

/** ln N(y; 0, C) in units in which the largest variance is 1; −∞ when C is singular. */
function logNormal(y: Float64Array, C: Float64Array): number {
  const n = y.length;
  let scale = 0;
  for (let i = 0; i < n; i++) scale = Math.max(scale, C[i * n + i]!);
  const L = cholesky(
    C.map((c) => c / scale),
    n,
  );
  if (L === null) return Number.NEGATIVE_INFINITY;
  const r = y.map((x) => x / Math.sqrt(scale));
  forward(L, n, r, 0, 1);
  let sum = -0.5 * n * Math.log(2 * Math.PI * scale);
  for (let i = 0; i < n; i++) sum -= 0.5 * r[i]! * r[i]! + Math.log(L[i * n + i]!);
  return sum;
}
