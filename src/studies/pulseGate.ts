import { advanceRecorded } from "../physics/pulse/fast.ts";
import { newRun } from "../physics/pulse/kernel.ts";
import { flowMetrics } from "../physics/pulse/metrics.ts";
import { commandsOf } from "../physics/pulse/program.ts";
import { newSeries } from "../physics/pulse/series.ts";
import { startState } from "../physics/pulse/start.ts";
import type { DesignPulse } from "../sheet/pulseModel.ts";
import type { Second } from "../units/aliases.ts";

/** Gates tried first, over the period of the first resonance. */
const FIRST = [0.05, 0.1, 0.15, 0.2, 0.3, 0.45, 0.7, 1, 1.5] as const;
/** Width to which the gate is found, relative. */
const CLOSE = 1e-3;
const ROUNDS = 24;

/**
 * The gate length whose gas pulse from rest has the wanted width at half its height (main peak), not above it: the
 * shortest one found. null where even the longest tried gate does not open, or none comes near.
 */
export function gateForWidth(made: DesignPulse, wanted: Second, step: Second): Second | null {
  const period = 1 / made.firstResonance;
  const width = (gate: Second) => widthAt(made, gate, step);
  let below = 0;
  let widthBelow = 0;
  let above = Number.POSITIVE_INFINITY;
  const tried = [...FIRST.map((share) => share * period), wanted, 2 * wanted, 4 * wanted];
  for (const gate of tried.sort((a, b) => a - b)) {
    const w = width(gate);
    if (w > wanted) {
      above = gate;
      break;
    }
    below = gate;
    widthBelow = w;
  }
  if (above === Number.POSITIVE_INFINITY) return null;
  for (let round = 0; round < ROUNDS && widthBelow < (1 - CLOSE) * wanted; round++) {
    const middle: Second = 0.5 * (below + above);
    const w = width(middle);
    if (w > wanted) above = middle;
    else {
      below = middle;
      widthBelow = w;
    }
  }
  // Where the width jumps past the wanted one, the shortest gate beyond the jump.
  return widthBelow >= (1 - CLOSE) * wanted ? below : above;
}

/** Width of the gas pulse at a gate, 0 where it does not open. */
function widthAt(made: DesignPulse, gate: Second, step: Second): Second {
  const { model } = made;
  const sw = model.circuit?.spec.switch;
  if (sw == null) return 0;
  const length = gate + sw.delay + sw.deadTime + 1.5 / made.firstResonance;
  const steps = Math.ceil(length / step);
  const series = newSeries(model, step, steps);
  const state = startState(model, { output: made.closed });
  const commands = commandsOf(
    [
      { time: 0, state: made.open },
      { time: gate, state: made.closed },
    ],
    sw,
  );
  advanceRecorded(newRun(model, step), state, commands, steps, { series, rest: state.y });
  return flowMetrics(series)?.mainWidth ?? 0;
}
