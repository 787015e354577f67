import { type Frames, shapeInto } from "../physics/pulse/series.ts";
import type { PulseState } from "../physics/pulse/state.ts";
import type { DesignPulse } from "../sheet/pulseModel.ts";
import type { PulsePlan } from "./pulsePlan.ts";

/** Frames of a drawing. */
const FRAMES = 360;

/** Of the frames these many fall on the opening and what follows it within a few periods. */
const FRAMES_OF_OPENING = 260;

/** Periods of the first resonance after the gate that are drawn densely. */
const DENSE_PERIODS = 5;

/** Grid steps at which shapes are taken: dense over gate and first bounces, then spread to the end. */
function frameSteps({ steps, step, gate, made }: PulsePlan): number[] {
  const opening = (gate ?? 0) + DENSE_PERIODS / made.firstResonance;
  const dense = Math.min(steps, Math.ceil(opening / step));
  const out: number[] = [];
  const spread = (from: number, to: number, count: number) => {
    const every = Math.max(1, Math.ceil((to - from) / count));
    for (let i = from + every; i <= to; i += every) out.push(i);
  };
  spread(0, dense, FRAMES_OF_OPENING);
  spread(out.at(-1) ?? 0, steps, FRAMES - FRAMES_OF_OPENING);
  return out;
}

/** Shapes of the strip at chosen grid points of one period. */
export function newFrameStore(plan: PulsePlan) {
  const stops = frameSteps(plan);
  const index: number[] = [];
  const { places } = plan.made.model.strip;
  const shape = new Float64Array((stops.length + 1) * places.length);
  return {
    stops,
    take(made: DesignPulse, state: PulseState, i: number) {
      shapeInto(made.model, state, shape, index.length * places.length);
      index.push(i);
    },
    done: (): Frames => ({ index, shape, places }),
  };
}
