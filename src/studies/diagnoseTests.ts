import type { BenchTest } from "./diagnoseTypes.ts";

/*
 * Tests that tell causes apart, with how likely each outcome is under each of them. The probabilities are judgement
 * (common practice, no source): a clear outcome counts nine to one, a usual one two to one.
 */
export const TESTS: readonly BenchTest[] = [
  {
    id: "opening voltage",
    name: "opening voltage against pressure, drawn on to zero pressure",
    outcomes: ["high at zero pressure", "slope and intercept high alike", "only the slope high"],
    given: { preload: [0.9, 0.06, 0.04], rail: [0.08, 0.84, 0.08], pressure: [0.04, 0.08, 0.88] },
  },
  {
    id: "lift on the lever",
    name: "swing on the lever without gas, away from the seat",
    outcomes: ["as designed", "low"],
    given: { preload: [0.92, 0.08], pressure: [0.92, 0.08], rail: [0.1, 0.9] },
  },
  {
    id: "leak against pressure",
    name: "leak against pressure",
    outcomes: ["grows faster than the pressure", "grows as the pressure", "falls with pressure"],
    given: { particle: [0.7, 0.25, 0.05], "stand-off": [0.05, 0.15, 0.8], pad: [0.15, 0.3, 0.55] },
  },
  {
    id: "touching resonance",
    name: "first resonance on the seat against free",
    outcomes: [
      "the same: the pad does not touch",
      "higher, as designed",
      "higher, but less than designed",
    ],
    given: { particle: [0.03, 0.9, 0.07], "stand-off": [0.9, 0.03, 0.07], pad: [0.08, 0.2, 0.72] },
  },
  {
    id: "closed spot",
    name: "spot of the closed strip over 3 h, with temperature",
    outcomes: [
      "moves as the logarithm of time",
      "moves one way and settles",
      "follows temperature",
    ],
    given: { creep: [0.85, 0.1, 0.05], set: [0.12, 0.83, 0.05], temperature: [0.05, 0.07, 0.88] },
  },
  {
    id: "full cycles",
    name: "a hundred full cycles after hours of standing closed",
    outcomes: ["tight again", "still leaks"],
    given: { creep: [0.85, 0.15], set: [0.12, 0.88], temperature: [0.15, 0.85] },
  },
  {
    id: "capacitance",
    name: "capacitance and coupling",
    outcomes: [
      "capacitance halved",
      "coupling down, capacitance nearly the same",
      "both as before, f1 down",
    ],
    given: { layer: [0.95, 0.03, 0.02], depoled: [0.03, 0.9, 0.07], glue: [0.02, 0.13, 0.85] },
  },
  {
    id: "retorque",
    name: "tighten the clamp to its torque and measure f1 again",
    outcomes: ["f1 comes back", "f1 stays low"],
    given: { clamp: [0.9, 0.1], crack: [0.05, 0.95], mass: [0.03, 0.97], length: [0.1, 0.9] },
  },
  {
    id: "microscope",
    name: "clamp line and edges under a microscope, 50 times",
    outcomes: ["a line or chip", "clean"],
    given: {
      crack: [0.85, 0.15],
      clamp: [0.08, 0.92],
      mass: [0.08, 0.92],
      length: [0.08, 0.92],
      glue: [0.6, 0.4],
      depoled: [0.05, 0.95],
    },
  },
  {
    id: "edge",
    name: "the strip's edge under a microscope, 50 times",
    outcomes: ["a gap along a glue line", "a line across the ceramic"],
    given: { glue: [0.9, 0.1], crack: [0.1, 0.9] },
  },
  {
    id: "pulse length",
    name: "gate longer by half a period of f1",
    outcomes: [
      "second pulse moves with the closing edge",
      "second pulse stays after the opening edge",
      "second pulse stays behind the first, the same size",
    ],
    given: {
      bounce: [0.85, 0.05, 0.1],
      overshoot: [0.05, 0.9, 0.05],
      reflection: [0.15, 0.05, 0.8],
    },
  },
  {
    id: "move the gauge",
    name: "move the gauge",
    outcomes: ["the two pulses change their distance", "the two pulses keep their distance"],
    given: { reflection: [0.92, 0.08], bounce: [0.06, 0.94], overshoot: [0.06, 0.94] },
  },
  {
    id: "two distances",
    name: "width at two distances",
    outcomes: ["wider further away", "the same"],
    given: { flight: [0.95, 0.05], gauge: [0.06, 0.94], "dead volume": [0.06, 0.94] },
  },
  {
    id: "two gases",
    name: "width with two gases",
    outcomes: ["longer with the heavier gas", "the same"],
    given: { flight: [0.93, 0.07], gauge: [0.06, 0.94], "dead volume": [0.93, 0.07] },
  },
  {
    id: "delay log",
    name: "log of delay, pressure, temperature and pauses",
    outcomes: ["follows pressure", "follows temperature", "jumps after pauses or other voltages"],
    given: {
      "drift by pressure": [0.9, 0.06, 0.04],
      "drift by temperature": [0.06, 0.9, 0.04],
      history: [0.04, 0.06, 0.9],
    },
  },
  {
    id: "warm-up burst",
    name: "a fixed burst before each series",
    outcomes: ["steady", "drifts as before"],
    given: {
      history: [0.9, 0.1],
      "drift by pressure": [0.05, 0.95],
      "drift by temperature": [0.2, 0.8],
    },
  },
  {
    id: "100 V",
    name: "the same pump-down at 100 V",
    outcomes: ["no trip", "trips as well"],
    given: { discharge: [0.93, 0.07], insulation: [0.4, 0.6] },
  },
  {
    id: "dark",
    name: "look in the dark through the window, from a distance",
    outcomes: ["a glow", "nothing"],
    given: { discharge: [0.8, 0.2], insulation: [0.15, 0.85] },
  },
  {
    id: "trip pressure",
    name: "pressure at which it trips, against the lock-out band",
    outcomes: ["inside the band", "at any pressure"],
    given: { discharge: [0.95, 0.05], insulation: [0.15, 0.85] },
  },
  {
    id: "rate",
    name: "rate changed by 7 % up and down",
    outcomes: [
      "better on one side, worse on the other",
      "a little worse up, a little better down",
      "the same at first, falls along the burst",
    ],
    given: { ringing: [0.9, 0.07, 0.03], droop: [0.06, 0.84, 0.1], regulator: [0.03, 0.17, 0.8] },
  },
  {
    id: "rail probe",
    name: "rail voltage at the switch during a burst, with a divider",
    outcomes: ["sags", "steady"],
    given: { droop: [0.93, 0.07], ringing: [0.07, 0.93], regulator: [0.07, 0.93] },
  },
  {
    id: "plenum gauge",
    name: "plenum pressure during a burst",
    outcomes: ["falls", "steady"],
    given: { regulator: [0.93, 0.07], droop: [0.07, 0.93], ringing: [0.07, 0.93] },
  },
];

export const testNamed = (text: string): BenchTest | null => {
  const plain = text.trim().toLowerCase();
  return (
    TESTS.find(({ id, name }) => id.toLowerCase() === plain || name.toLowerCase() === plain) ?? null
  );
};
