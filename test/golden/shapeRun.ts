import type { DrawnShape, ShapeDrawing } from "../../src/studies/shapeDrawing.ts";

/*
 * A comparison whose curves are written down as functions of time, so that a picture of it changes with the picture
 * alone: the lift is a half cosine while the gate is on, and a decaying cosine after it that shaping makes smaller.
 */

const STEP = 1e-6;
const GATE = 200e-6;
const END = 1.4e-3;
const PERIOD = 360e-6;
const RC = 10e-6;
const ERRORS = [-0.1, -0.075, -0.05, -0.025, 0, 0.025, 0.05, 0.075, 0.1];

const times = Array.from({ length: Math.round(END / STEP) + 1 }, (_, i) => i * STEP);

interface Written {
  id: string;
  shape: string;
  made_by: "switch" | "waveform";
  /** Voltage after the gate, as a share of the way to closed. */
  closing: (s: number) => number;
  /** What is left of a step's ringing, and the largest lift. */
  left: number;
  peak: number;
  satellites: number;
}

function written(drive: Written, taken: boolean): DrawnShape {
  const { id, shape, made_by, closing, left, peak, satellites } = drive;
  const open = (t: number) => 0.5 * (peak + 4e-6) * (1 - Math.cos((Math.PI * t) / GATE));
  const free = (s: number) =>
    -6e-6 + (peak + 6e-6) * Math.exp(-s / 90e-6) + left * 40e-6 * Math.exp(-s / 400e-6) * ring(s);
  const ring = (s: number) => Math.sin((2 * Math.PI * s) / PERIOD);
  return {
    id,
    shape,
    made_by,
    taken,
    output: times.map((t) =>
      t < GATE ? -150 * Math.exp(-t / RC) : -150 * closing(t - GATE),
    ),
    lift: times.map((t) => Math.max(-4e-6, t < GATE ? open(t) - 4e-6 : free(t - GATE))),
    landings: ERRORS.map((e) => 1.7 * Math.hypot(left, 3 * e * (1 - 0.5 * left))),
    satellites,
  };
}

const step = (s: number) => 1 - Math.exp(-s / RC);

/** Five drives of the first valve; a switch that holds half of the way for half a period makes ZV. */
export function writtenShapes(): ShapeDrawing {
  const zv = (s: number) => (s < PERIOD / 2 ? 0.5 * step(s / 0.7) : 0.5 + 0.5 * step(s - PERIOD / 2));
  const ramp = (s: number) => Math.min(1, s / PERIOD);
  const cosine = (s: number) => 0.5 * (1 - Math.cos(Math.PI * Math.min(1, s / (1.5 * PERIOD))));
  const kick = (s: number) =>
    s < 100e-6 ? 0.16 * step(s) : s < 150e-6 ? 0.05 : 0.05 + 0.95 * step(s - 150e-6);
  return {
    gate: GATE,
    error: 0.05,
    errors: ERRORS,
    measure: "speed",
    end: END,
    step: STEP,
    drives: [
      written(
        {
          id: "soft-landing",
          shape: "soft landing",
          made_by: "switch",
          closing: kick,
          left: 0.1,
          peak: 82e-6,
          satellites: 0,
        },
        true,
      ),
      written(
        { id: "step", shape: "step", made_by: "switch", closing: step, left: 1, peak: 90e-6, satellites: 2 },
        false,
      ),
      written(
        { id: "zv-switch", shape: "ZV", made_by: "switch", closing: zv, left: 0.4, peak: 86e-6, satellites: 1 },
        false,
      ),
      written(
        { id: "ramp", shape: "ramp", made_by: "waveform", closing: ramp, left: 0.3, peak: 84e-6, satellites: 1 },
        false,
      ),
      written(
        {
          id: "raised-cosine",
          shape: "raised cosine",
          made_by: "waveform",
          closing: cosine,
          left: 0.2,
          peak: 80e-6,
          satellites: 1,
        },
        false,
      ),
    ],
  };
}
