import type { Design } from "../../design/design.ts";
import { pulseModel } from "../../sheet/pulseModel.ts";
import { pulse, pulseSteps } from "../../studies/pulse.ts";
import type { PulseResult } from "../../studies/pulseResult.ts";
import type { Second } from "../../units/aliases.ts";

/** Which gates meet everything that is asked of the pulse, as far as they are tried. */
export interface GateWindow {
  from: Second;
  to: Second;
  /** Rising. */
  tried: { gate: Second; met: boolean }[];
}

/** Gates that are tried. */
const COUNT = 33;
/** Shortest and longest gate looked at, over the period of the first resonance. */
const ENDS = [0.05, 5] as const;

/** Range of gates that a strip can follow, from its first resonance: it does not change with the gate. */
export function gateRange(firstResonance: number): [Second, Second] {
  return [ENDS[0] / firstResonance, ENDS[1] / firstResonance];
}

/** The whole result of `reedlift pulse --halve-step`: with what mends surprises and the run at half the step. */
export function* wholePulseSteps(
  design: Design,
): Generator<PulseResult | undefined, PulseResult, undefined> {
  const steps = pulseSteps(design, { halveStep: true });
  for (;;) {
    const next = steps.next();
    if (next.done === true) return next.value.result;
    yield undefined;
  }
}

/** Tries gates evenly by their ratio, the ends and the middle first. RangeError where there is no pulse. */
export function* gateSteps(design: Design): Generator<GateWindow, GateWindow, undefined> {
  const made = pulseModel(design);
  if ("reason" in made) throw new RangeError(made.reason);
  const [from, to] = gateRange(made.firstResonance);
  const window: GateWindow = { from, to, tried: [] };
  for (const i of coarseFirst(COUNT)) {
    const gate = from * (to / from) ** (i / (COUNT - 1));
    const { result } = pulse(design, { gate, surprises: false });
    const opens = (result.pulses.at(-1)?.peak_lift_m ?? 0) > 0;
    const tried = [...window.tried, { gate, met: result.verdict.met && opens }];
    window.tried = tried.sort((a, b) => a.gate - b.gate);
    yield { ...window };
  }
  return { ...window };
}

/** 0…n−1 so that each next one halves a gap; n is one more than a power of two. */
export function coarseFirst(n: number): number[] {
  const order = [0, n - 1];
  for (let gap = (n - 1) / 2; gap >= 1; gap /= 2)
    for (let i = gap; i < n; i += 2 * gap) order.push(i);
  return order;
}
