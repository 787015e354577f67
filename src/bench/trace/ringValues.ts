import { factor95 } from "../../numerics/student.ts";
import { fitReport } from "../fitReport.ts";
import type { Fit, Value, Warning } from "../reduction.ts";
import { MOST_RESONANCES, qualityKey, resonanceKey, resonanceName } from "../resonances.ts";
import { missing } from "../together.ts";
import { type RingDown, type RingMode, ringDown } from "./ringDown.ts";
import type { Clock, Edge } from "./states.ts";

/*
 * Ring-down values from the states of one kind: each is fitted, the values are their weighted means.
 */

/** States fitted at most. */
const MOST_STATES = 8;
/** Points of the picture. */
const CURVE = 2000;

export interface RingValues {
  values: Value[];
  fits: Fit[];
  warnings: Warning[];
  /** Window of the fit shown, s; null without one. */
  window: { from: number; to: number } | null;
}

export interface RingRequest {
  after: string;
  from: number | null;
  to: number | null;
  modes: number | null;
}

const NAMES = [resonanceKey(0), qualityKey(0), "log_decrement", "damping_ratio"] as const;

function nothing(reason: string): RingValues {
  return {
    values: [
      missing(NAMES[0], resonanceName(0), reason),
      missing(NAMES[1], "quality factor", reason),
      missing(NAMES[2], "logarithmic decrement", reason),
    ],
    fits: [],
    warnings: [],
    window: null,
  };
}

export function ringValues(
  y: Float64Array,
  noise: number,
  edges: readonly Edge[],
  clock: Clock,
  request: RingRequest,
  unit: string,
): RingValues {
  if (request.after === "none") return nothing("not asked for");
  const dt = clock.interval;
  if (dt === null) return nothing("the samples are not evenly spaced in time");
  const length = ({ after }: Edge) => after.until - after.from;
  const wanted = edges
    .filter(
      ({ transition }) =>
        request.after === "longest" ||
        (transition.direction === 1) === (request.after === "rising"),
    )
    .sort((a, b) => length(b) - length(a));
  const longest = wanted[0];
  if (longest === undefined) return nothing("no transition to ring after");
  const same = wanted
    .filter(({ transition }) => transition.direction === longest.transition.direction)
    .slice(0, MOST_STATES);
  const fitted: { ring: RingDown; from: number }[] = [];
  for (const edge of same) {
    const [from, to] = windowOf(edge, dt, request);
    if (to - from < 32) continue;
    const first = fitted[0]?.ring;
    const ring = ringDown(y.subarray(from, to), dt, request.modes ?? first?.modes.length ?? null);
    if (ring !== null && (first === undefined || ring.modes.length === first.modes.length))
      fitted.push({ ring, from });
    else if (first === undefined) break;
  }
  const shown = fitted[0];
  if (shown === undefined)
    return nothing(
      "no oscillation of three cycles or more stands out of the noise after the transition",
    );
  const rings = fitted.map(({ ring }) => ring);
  const from = clock.at(shown.from);
  const to = from + shown.ring.points * shown.ring.dt;
  return {
    values: valuesOf(rings),
    fits: [reportOf(shown.ring, from, unit)],
    warnings: warningsOf(shown.ring, noise),
    window: { from, to },
  };
}

/** From half a transition duration after the 90 % instant to where the next transition begins. */
function windowOf(
  { transition, after }: Edge,
  dt: number,
  { from, to }: RingRequest,
): [number, number] {
  const { start, middle, end } = transition;
  const first =
    from === null ? end.index + 0.5 * (end.index - start.index) : middle.index + from / dt;
  const last = to === null ? after.until : Math.min(after.until, middle.index + to / dt);
  return [Math.max(0, Math.ceil(first)), Math.floor(last)];
}

function valuesOf(rings: readonly RingDown[]): Value[] {
  const out: Value[] = [];
  const modes = Math.min(MOST_RESONANCES, rings[0]!.modes.length);
  for (let m = 0; m < modes; m++) {
    const of = (key: string, name: string, value: keyof RingMode, u: keyof RingMode) =>
      combined(
        key,
        name,
        rings.map((r) => ({
          value: r.modes[m]![value],
          u: r.modes[m]![u],
          nu: r.degreesOfFreedom,
        })),
      );
    out.push(of(resonanceKey(m), resonanceName(m), "frequency", "uFrequency"));
    out.push(
      qualityValue(
        qualityKey(m),
        m === 0 ? "quality factor" : `quality factor of the ${resonanceName(m)}`,
        of(`damping_${m}`, "", "damping", "uDamping"),
      ),
    );
    if (m > 0) continue;
    out.push(of(NAMES[2], "logarithmic decrement", "logDecrement", "uLogDecrement"));
    out.push(of(NAMES[3], "damping ratio", "damping", "uDamping"));
  }
  return out;
}

interface Single {
  value: number;
  u: number;
  nu: number;
}

/** Weighted mean; u the larger of what the fits say and of what their scatter says (R. T. Birge 1932). */
function combined(key: string, name: string, list: readonly Single[]): Value {
  const weights = list.map(({ u }) => 1 / (u * u));
  const sum = weights.reduce((a, b) => a + b, 0);
  const exact = !Number.isFinite(sum);
  const n = list.length;
  const value = exact
    ? list.reduce((a, { value: v }) => a + v, 0) / n
    : list.reduce((a, { value: v }, i) => a + v * weights[i]!, 0) / sum;
  const internal = exact ? 0 : Math.sqrt(1 / sum);
  const chi = exact
    ? 0
    : list.reduce((a, { value: v }, i) => a + weights[i]! * (v - value) ** 2, 0);
  const scatter = n > 1 && chi > n - 1;
  const u = scatter ? internal * Math.sqrt(chi / (n - 1)) : internal;
  const source = scatter
    ? `scatter of ${n} ring-downs`
    : `residuals of ${n === 1 ? "the ring-down" : `${n} ring-downs`}`;
  return {
    key,
    name,
    value,
    u,
    degreesOfFreedom: scatter ? n - 1 : list.reduce((a, { nu }) => a + nu, 0),
    budget: u > 0 ? [{ source, u }] : [],
  };
}

/** Q = 1/(2ζ), its interval from that of ζ: Q itself is skew. */
function qualityValue(key: string, name: string, damping: Value): Value {
  const zeta = damping.value!;
  const u = damping.u!;
  const t = factor95(damping.degreesOfFreedom) * u;
  const value = 1 / (2 * zeta);
  const uQ = u / (2 * zeta * zeta);
  const interval = {
    interval95: [1 / (2 * (zeta + t)), zeta > t ? 1 / (2 * (zeta - t)) : Number.MAX_VALUE] as const,
  };
  return {
    ...damping,
    key,
    name,
    value,
    u: uQ,
    budget: damping.budget.map((line) => ({ ...line, u: uQ })),
    ...(t > 0 ? interval : {}),
  };
}

function reportOf(ring: RingDown, from: number, unit: string): Fit {
  const { fit, y, dt } = ring;
  const count = ring.modes.length;
  const plan = [
    { key: "offset", name: "level it settles at", start: fit.start[0]! },
    ...ring.modes.flatMap((_, m) => [
      { key: `alpha_${m + 1}`, name: `decay rate ${m + 1}, 1/s`, start: fit.start[1 + 4 * m]! },
      {
        key: `omega_${m + 1}`,
        name: `angular frequency ${m + 1}, rad/s`,
        start: fit.start[2 + 4 * m]!,
      },
      { key: `cosine_${m + 1}`, name: `cosine part ${m + 1}`, start: fit.start[3 + 4 * m]! },
      { key: `sine_${m + 1}`, name: `sine part ${m + 1}`, start: fit.start[4 + 4 * m]! },
    ]),
  ];
  const step = Math.max(1, Math.ceil(y.length / CURVE));
  const points = Math.ceil(y.length / step);
  const pick = (f: (i: number) => number) =>
    Float64Array.from({ length: points }, (_, k) => f(k * step));
  return fitReport(
    `damped oscillation, ${count} mode${count === 1 ? "" : "s"}${ring.block > 1 ? `, means of ${ring.block} samples` : ""}`,
    plan,
    fit.result,
    false,
    {
      x: pick((i) => from + i * dt),
      y: pick((i) => y[i]!),
      model: pick((i) => fit.model[i]!),
      xName: "time",
      xUnit: "s",
      yName: "signal",
      yUnit: unit,
    },
  );
}

function warningsOf(ring: RingDown, noise: number): Warning[] {
  const out: Warning[] = [];
  const mode = ring.modes[0]!;
  const cycles = ring.points * ring.dt * mode.frequency;
  if (cycles < 5)
    out.push({
      key: "ring-window-short",
      text: `The ring-down is fitted over ${cycles.toFixed(1)} cycles only: frequency and damping hang on its first samples. Record longer, or keep the state longer.`,
    });
  const above = ring.residual / (noise / Math.sqrt(ring.block));
  if (ring.raised > 1 && above > 1.5)
    out.push({
      key: "ring-residual",
      text: `The residuals of the ring-down are ${above.toFixed(1)} times the noise and hang together (correlation ${ring.correlation.toFixed(2)} from point to point): something moves that the fit does not have (another mode, drift, contact). The uncertainties are raised by ${ring.raised.toFixed(1)}.`,
    });
  return out;
}
