import type { PulseModel } from "../physics/pulse/model.ts";
import { startState } from "../physics/pulse/start.ts";
import type { RatesPlan } from "./ratesPlan.ts";
import type { Harmonic, ResonanceFigures } from "./ratesResult.ts";

/*
 * Lines of a train at the rate f: its drive, M(t) repeated, has at n f the amplitude c_n = 2 f |M̂(n f)|/ΔM, and a
 * free strip answers it by A = 1/|1 − (n f/f1)² + 2iζ n f/f1| of what it does statically. c_n A is the ringing
 * that the train keeps up, over the static deflection; n f = f1 are the sub-harmonics.
 */

/** Sub-harmonics told. */
const MOST = 12;
/** Share of the open resonance that the quasi-static guard leaves. Common practice, no source. */
export const QUASI_STATIC = 1 / 3;

/** Ringing that the line nearest to `resonance` keeps up at a rate. */
export function lineAt(
  plan: RatesPlan,
  rate: number,
  resonance: number,
): { order: number; line_Hz: number; detuning: number; answer: number } {
  const order = Math.max(1, Math.round(resonance / rate));
  const line = order * rate;
  const x = line / resonance;
  const zeta = plan.made.model.strip.zeta[0] ?? 0.01;
  const amplitude = 2 * rate * plan.spectrum(line);
  return {
    order,
    line_Hz: line,
    detuning: x - 1,
    answer: amplitude / Math.hypot(1 - x * x, 2 * zeta * x),
  };
}

/** Resonances and the rates of which a multiple is the open one. */
export function resonanceFigures(plan: RatesPlan): ResonanceFigures {
  const { made } = plan;
  const open = made.firstResonance;
  const harmonics: Harmonic[] = [];
  for (let n = 1; harmonics.length < MOST && open / n >= plan.from; n++) {
    const rate = open / n;
    if (rate > plan.to) continue;
    harmonics.push({ order: n, rate_Hz: rate, answer: lineAt(plan, rate, open).answer });
  }
  return {
    open_Hz: open,
    closed_Hz: closedResonance(made.model, made.closed),
    ring_down_s: made.ringDown,
    quasi_static_Hz: QUASI_STATIC * open,
    harmonics,
  };
}

/**
 * First resonance with the pad on its seat: the root between the first two free ones of
 *   1 + k Σ φ_i²/(ω_i² − Ω²) = 0,   k the pad's slope at rest times its dynamic factor.
 * null where it does not touch.
 */
function closedResonance(model: PulseModel, closed: "high" | "low"): number | null {
  const { seat, strip } = model;
  if (seat === null) return null;
  const rest = startState(model, { output: closed });
  if (!rest.touching) return null;
  const depth = Math.max(1e-9, rest.surface - rest.y);
  const step = 1e-3 * depth;
  const k =
    (seat.dynamicFactor * (seat.pad.force(depth + step) - seat.pad.force(depth - step))) /
    (2 * step);
  const [first, second] = [strip.omega[0] as number, strip.omega[1] ?? Number.POSITIVE_INFINITY];
  if (!(k > 0) || !Number.isFinite(second)) return null;
  const value = (w: number) => {
    let sum = 0;
    for (let i = 0; i < strip.count; i++)
      sum += (strip.pad[i] as number) ** 2 / ((strip.omega[i] as number) ** 2 - w * w);
    return 1 + k * sum;
  };
  let [low, high] = [first, second];
  for (let i = 0; i < 80; i++) {
    const middle = 0.5 * (low + high);
    if (value(middle) < 0) low = middle;
    else high = middle;
  }
  return (0.5 * (low + high)) / (2 * Math.PI);
}
