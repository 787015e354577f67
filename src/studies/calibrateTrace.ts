import type { Design } from "../design/design.ts";
import { type LeastSquaresResult, leastSquares } from "../numerics/leastSquares.ts";
import type { TraceFigures } from "./calibrateResult.ts";
import { pulse } from "./pulse.ts";

/*
 * A recorded step of the pad against the pulse model:
 *   y(t) = b + a · lift(t − τ; φ, Q) + noise
 * with delay τ, scale a and zero b of the recording, all resonances × φ, structural Q. τ, a, b follow from one run; φ
 * and Q need runs of their own. What is left is no white noise but what the model lacks: the standard uncertainties are
 * widened by the effective number of independent points, N (1 − r)/(1 + r), r the correlation of neighbouring residuals
 * (G. V. Bayley, J. M. Hammersley, J. R. Stat. Soc. Suppl. 8 (1946) 184, first-order process).
 */

export interface StepTrace {
  /** From the gate's opening edge, s, rising. */
  time: Float64Array;
  /** m, positive the way the valve opens. */
  lift: Float64Array;
  /** Length of the gate, s. */
  gate: number;
}

export interface TraceOverlay {
  figures: TraceFigures;
  time: Float64Array;
  measured: Float64Array;
  /** Model of the design as it was, and of the calibrated one with what was fitted; on `time`. */
  before: Float64Array;
  after: Float64Array;
}

/** Points that are fitted; a longer recording is averaged in groups. */
const POINTS = 1500;
/** Fewest points. */
const FEWEST = 20;
/** Steps of φ and of ln Q for slopes. */
const STEP_PHI = 2e-3;
const STEP_Q = 2e-2;
const NAMES = [
  { key: "delay_s", name: "delay of the recording", kind: "time" },
  { key: "scale", name: "scale of the recording", kind: "ratio" },
  { key: "zero_m", name: "zero of the recording", kind: "length" },
  { key: "resonance_factor", name: "all resonances, times", kind: "ratio" },
  { key: "structural_q", name: "structural Q", kind: "ratio" },
] as const;

/**
 * Fits a recorded step with the pulse of the calibrated design; `before` is the design as it was.
 * @throws RangeError where the design has no pulse or the recording is too short
 */
export function fitTrace(before: Design, calibrated: Design, given: StepTrace): TraceOverlay {
  const trace = averaged(given);
  const { time, lift, gate } = trace;
  const count = time.length;
  if (count < FEWEST) throw new RangeError(`a trace needs ${FEWEST} points: got ${count}`);
  const end = time[count - 1]!;
  if (!(end > 0)) throw new RangeError("the trace ends before the gate opens");
  const duration = Math.max(end + 20e-6, gate + 20e-6);
  const q0 = calibrated.strip.structuralQ;
  const run = (design: Design, phi: number, q: number): Curve => {
    const at = { ...design, strip: { ...design.strip, structuralQ: q } };
    const { series } = pulse(at, { gate, duration, frequencyFactor: phi, surprises: false });
    return { step: series.step, values: series.lift.values };
  };
  const plain = run(before, 1, before.strip.structuralQ);
  const zero = mean(time.map((t, i) => lift[i]! - valueAt(plain, t)));
  const first = time.map((t) => zero + valueAt(plain, t));

  const kept = new Map<string, Curve>();
  const curve = (phi: number, lnQ: number): Curve => {
    const key = `${phi} ${lnQ}`;
    let found = kept.get(key);
    if (found === undefined) {
      found = run(calibrated, phi, q0 * Math.exp(lnQ));
      kept.set(key, found);
    }
    return found;
  };
  // Lengths in the size of the motion, times in the sampling, so that all slopes are of one order.
  const size = Math.max(...lift) - Math.min(...lift) || 1e-6;
  const unit = Math.max(1e-6, end / 200);
  const model = (p: ArrayLike<number>) => {
    const c = curve(1 + p[3]!, p[4]!);
    return time.map((t) => p[2]! * size + p[1]! * valueAt(c, t - p[0]! * unit));
  };
  const residuals = (p: Float64Array) => model(p).map((m, i) => (lift[i]! - m) / size);
  const jacobian = (p: Float64Array) => {
    const c = curve(1 + p[3]!, p[4]!);
    const around = (k: 3 | 4, step: number) => {
      const [up, down] = [step, -step].map((d) => {
        const at = p.slice();
        at[k] = p[k]! + d;
        return model(at);
      });
      return up!.map((x, i) => (x - down![i]!) / (2 * step));
    };
    const slopes = [around(3, STEP_PHI), around(4, STEP_Q)];
    const J = new Float64Array(count * 5);
    for (let i = 0; i < count; i++) {
      const t = time[i]! - p[0]! * unit;
      const speed = (valueAt(c, t + c.step) - valueAt(c, t - c.step)) / (2 * c.step);
      J[i * 5] = (p[1]! * speed * unit) / size;
      J[i * 5 + 1] = -valueAt(c, t) / size;
      J[i * 5 + 2] = -1;
      J[i * 5 + 3] = -slopes[0]![i]! / size;
      J[i * 5 + 4] = -slopes[1]![i]! / size;
    }
    return J;
  };
  const start = [0, 1, zero / size, 0, 0];
  const fit = leastSquares(residuals, start, {
    lower: [-100, 0.1, -10, -0.4, Math.log(0.1)],
    upper: [100, 10, 10, 0.4, Math.log(10)],
    jacobian,
    maxIterations: 30,
    tolerance: 1e-6,
  });
  const after = model(fit.parameters);
  return {
    figures: figuresOf({ fit, size, unit, q0, zero, time, lift, first, after }),
    time,
    measured: lift,
    before: first,
    after,
  };
}

interface Curve {
  step: number;
  values: Float64Array;
}

/** Linear between the points of a run; its ends beyond them. */
function valueAt({ step, values }: Curve, t: number): number {
  const x = t / step;
  if (x <= 0) return values[0]!;
  const i = Math.floor(x);
  if (i >= values.length - 1) return values[values.length - 1]!;
  return values[i]! + (x - i) * (values[i + 1]! - values[i]!);
}

const mean = (x: Float64Array) => x.reduce((a, b) => a + b, 0) / x.length;
const rms = (x: Float64Array) => Math.sqrt(x.reduce((a, b) => a + b * b, 0) / x.length);

/** Means over equal groups of points. */
function averaged({ time, lift, gate }: StepTrace): StepTrace {
  const group = Math.ceil(time.length / POINTS);
  if (group <= 1) return { time, lift, gate };
  const count = Math.floor(time.length / group);
  const take = (x: Float64Array) =>
    Float64Array.from({ length: count }, (_, i) => mean(x.subarray(i * group, (i + 1) * group)));
  return { time: take(time), lift: take(lift), gate };
}

interface Ended {
  fit: LeastSquaresResult;
  size: number;
  unit: number;
  q0: number;
  zero: number;
  time: Float64Array;
  lift: Float64Array;
  first: Float64Array;
  after: Float64Array;
}

function figuresOf(ended: Ended): TraceFigures {
  const { fit, size, unit, q0, zero, time, lift, first, after } = ended;
  const [delay, scale, offset, phi, lnQ] = fit.parameters as unknown as number[];
  const left = lift.map((y, i) => y - after[i]!);
  const r = Math.min(0.999, Math.max(0, neighbours(left)));
  const free = Math.max(1, (time.length * (1 - r)) / (1 + r) - 5);
  const variance = (fit.chiSquared / time.length) * (time.length / free);
  const u = (k: number): number | null => {
    const c = fit.covariance?.[k * 5 + k];
    return c === undefined || fit.status !== "converged" || fit.atBound.includes(k)
      ? null
      : Math.sqrt(c * variance);
  };
  const q = q0 * Math.exp(lnQ!);
  const times = (x: number | null, factor: number) => (x === null ? null : x * factor);
  const values = [delay! * unit, scale!, offset! * size, 1 + phi!, q];
  const us = [times(u(0), unit), u(1), times(u(2), size), u(3), times(u(4), q)];
  const starts = [0, 1, zero, 1, q0];
  const correlations: TraceFigures["correlations"] = [];
  const c = fit.covariance;
  if (c !== null)
    for (let a = 0; a < 5; a++)
      for (let b = a + 1; b < 5; b++) {
        const both = c[a * 5 + b]! / Math.sqrt(c[a * 5 + a]! * c[b * 5 + b]!);
        if (Math.abs(both) > 0.3)
          correlations.push({ a: NAMES[a]!.key, b: NAMES[b]!.key, r: both });
      }
  const noise = rms(
    lift.subarray(2).map((y, i) => (y - 2 * lift[i + 1]! + lift[i]!) / Math.sqrt(6)),
  );
  const beforeRms = rms(lift.map((y, i) => y - first[i]!));
  const notes: string[] = [];
  if (rms(left) > 3 * noise)
    notes.push(
      "What is left is more than the noise of the recording: the model lacks something, or the trace is not that of the pad.",
    );
  if (us[3] !== null && Math.abs(phi!) > 2 * (us[3] ?? 0) && Math.abs(phi!) > 0.01)
    notes.push(
      `The resonances of the trace are ${(100 * phi!).toFixed(1)} % from the calibrated ones.`,
    );
  return {
    points: time.length,
    rms_before_m: beforeRms,
    rms_after_m: rms(left),
    noise_m: noise,
    status: fit.status,
    ended: fit.reason,
    fitted: NAMES.map(({ key, name, kind }, k) => ({
      key,
      name,
      kind,
      value: values[k]!,
      u: us[k] ?? null,
      start: starts[k]!,
    })),
    correlations,
    notes,
  };
}

/** Correlation of neighbouring residuals. */
function neighbours(x: Float64Array): number {
  let [sum, own] = [0, 0];
  for (let i = 0; i < x.length; i++) {
    own += x[i]! ** 2;
    if (i > 0) sum += x[i]! * x[i - 1]!;
  }
  return own > 0 ? sum / own : 0;
}
