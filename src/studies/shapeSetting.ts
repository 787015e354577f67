import type { Design } from "../design/design.ts";
import { brent } from "../numerics/roots.ts";
import type { PulseModel } from "../physics/pulse/model.ts";
import type { DesignPulse } from "../sheet/pulseModel.ts";
import type { Hertz, Ratio, Second } from "../units/aliases.ts";
import type { ShapedMode, ShapeSetting } from "./shapeDrives.ts";

/** Ringing that the extra-insensitive sequence tolerates, of a step's. */
const TOLERATED: Ratio = 0.05;

/**
 * What a design's drives are shaped for: its first resonance in the working gas, with the output held and
 * floating; RC with the capacitance of the pulse's ceramic (large signal, or linear); the slew rate that the switch's peak current, and the current
 * limit of a rail without storage, leave a waveform.
 */
export function shapeSetting(design: Design, pulse: DesignPulse, gate: Second): ShapeSetting {
  const { electrical, model, closed } = pulse;
  const sw = design.switch;
  if (sw === undefined) throw new RangeError("the design has no switch: give `switch`");
  const { held, free, firstModeShare } = outputCapacitance(design, pulse);
  const { outputHigh, outputLow } = electrical;
  const resistance = (state: "high" | "low") =>
    (state === "high" ? sw.seriesResistorHigh : sw.seriesResistorLow) ?? sw.seriesResistor;
  const open = closed === "high" ? "low" : "high";
  const current = currentMax(design);
  return {
    closed,
    closedVoltage: closed === "high" ? outputHigh : outputLow,
    openVoltage: closed === "high" ? outputLow : outputHigh,
    held: modeOf(model, (model.strip.omega[0] as number) ** 2),
    floating: modeOf(model, floatingSquare(model)),
    resistanceOpen: resistance(open) + sw.onResistance,
    resistanceClosed: resistance(closed) + sw.onResistance,
    capacitance: held,
    chargeRatio: free / held,
    firstModeShare,
    onTimeMin: sw.deadTime,
    slewMax: current === null ? null : current / free,
    gate,
    tolerated: TOLERATED,
  };
}

/**
 * Capacitance of the output with bending held, as a quick edge sees it, and with the strip free to follow. Their
 * difference is the charge of the strip's own motion, (b·Θ)² Σ s²/ω² at low field; the large-signal factor
 * stretches both alike (unless the pulse's ceramic is linear). Cable and switch add to both.
 */
function outputCapacitance(design: Design, { electrical, model }: DesignPulse) {
  const { ceramic, largeSignalCapacitanceFactor } = design.model;
  const factor = ceramic === "linear" ? 1 : largeSignalCapacitanceFactor;
  const own =
    (design.switch?.outputCapacitance ?? 0) +
    design.cable.length * design.cable.capacitancePerMetre;
  const { strip, electrics } = model;
  const b = outputIncidence(model);
  const coupling = b.reduce((sum, bk, k) => sum + bk * (electrics?.thetaSmall[k] ?? 0), 0);
  const parts = Array.from(strip.omega, (omega, i) => ((strip.jump[i] as number) / omega) ** 2);
  const flexibility = parts.reduce((sum, part) => sum + part, 0);
  const small = electrical.switchedCapacitance;
  const still = Math.max(0.5 * small, small - coupling * coupling * flexibility);
  return {
    held: factor * still + own,
    free: factor * small + own,
    firstModeShare: flexibility > 0 ? (parts[0] as number) / flexibility : 1,
  };
}

/** +1 where the output is a layer's upper face, −1 where its lower one, 0 elsewhere. */
function outputIncidence({ electrics, circuit }: PulseModel): number[] {
  if (electrics === null || circuit === null) return [];
  const on = (electrode: number) => (circuit.electrodeNode[electrode] === circuit.output ? 1 : 0);
  return Array.from(
    { length: electrics.layers },
    (_, k) => on(electrics.top[k] as number) - on(electrics.bottom[k] as number),
  );
}

/** The smallest of the switch's peak current and the limits of rails that have no storage. */
function currentMax({ switch: sw, rails }: Design): number | null {
  const limits = [sw?.high, sw?.low].flatMap((terminal) => {
    const rail = terminal === undefined ? undefined : rails[terminal];
    return rail === undefined || rail.storage !== null || rail.currentLimit === null
      ? []
      : [rail.currentLimit];
  });
  if (sw?.currentMax != null) limits.push(sw.currentMax);
  return limits.length === 0 ? null : Math.min(...limits);
}

/** Damped frequency and damping ratio of the first coordinate, at a square of its angular frequency. */
function modeOf({ strip }: PulseModel, square: number): ShapedMode {
  const damping = strip.zeta[0] as number;
  const frequency: Hertz = Math.sqrt(square * (1 - damping * damping)) / (2 * Math.PI);
  return { frequency, damping };
}

/**
 * Square of the first angular frequency with the output floating and every other electrode held. With the
 * incidence b of the output on the layers the node keeps its charge, v = −(b·Θ) σ/C, and answers with the moment
 * −g σ, g = (b·Θ)²/C; C is that of the node with bending held. The slope jump σ = Σ s_i q_i makes it one added
 * spring: 1 + g Σ s_i²/(ω_i² − λ) = 0, with one root between the first two squares. Electrodes left open count as
 * held, and hysteresis is left out.
 */
export function floatingSquare(model: PulseModel): number {
  const { strip, electrics, circuit } = model;
  const squares = Array.from(strip.omega, (omega) => omega * omega);
  const first = squares[0] as number;
  const second = squares[1];
  if (electrics === null || circuit === null || second === undefined) return first;
  const { output } = circuit;
  const b = outputIncidence(model);
  let coupling = 0;
  let capacitance = output < 0 ? 0 : (circuit.own[output] as number);
  for (let k = 0; k < electrics.layers; k++) {
    const bk = b[k] as number;
    coupling += bk * (electrics.theta[k] as number);
    capacitance += bk * bk * (electrics.parallel[k]?.capacitance ?? 0);
    for (let j = 0; j < electrics.layers; j++)
      capacitance +=
        bk * (b[j] as number) * (electrics.capacitance[k * electrics.layers + j] as number);
  }
  if (coupling === 0 || !(capacitance > 0)) return first;
  const g = (coupling * coupling) / capacitance;
  const secular = (square: number) =>
    squares.reduce((sum, own, i) => sum + (g * (strip.jump[i] as number) ** 2) / (own - square), 1);
  const root = brent(secular, first * (1 + 1e-9), second * (1 - 1e-9));
  return root.status === "converged" ? root.x : first;
}

/** What makes a resonance another one. */
export type FrequencyCause = "stiffness" | "mass";

/**
 * The same strip with every resonance `ratio` times as high. By its stiffness compliance and deflection per volt fall
 * with the square of the ratio, as with a stiffer clamp or a shorter length. By its mass statics and charges stay as
 * they are, so that a drive's answer to a wrong frequency shows alone. Damping ratios stay in both.
 */
export function withFrequency(model: PulseModel, ratio: Ratio, cause: FrequencyCause): PulseModel {
  if (!(ratio > 0 && Number.isFinite(ratio)))
    throw new RangeError(`the ratio of frequencies must be above 0 and finite: got ${ratio}`);
  const { strip } = model;
  const times = (column: Float64Array) => column.map((value) => ratio * value);
  const omega = times(strip.omega);
  if (cause === "stiffness") return { ...model, strip: { ...strip, omega } };
  const { pad, jump, at } = strip;
  return {
    ...model,
    strip: { ...strip, omega, pad: times(pad), jump: times(jump), at: times(at) },
  };
}
