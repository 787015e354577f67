import type { QuantityKind } from "../../units/index.ts";
import type { Kind } from "../kind.ts";
import { MEDIA, RESONANCE_MISMATCHES, resonancePredictions } from "../resonances.ts";
import { optionalSetting, word } from "../settings.ts";
import { reduceResponse } from "./reduce.ts";

const AMPLITUDES: readonly QuantityKind[] = [
  "ratio",
  "voltage",
  "length",
  "lift per voltage",
  "speed",
];

/** Frequency response of the moving strip. */
export const RESPONSE: Kind = {
  name: "response",
  summary:
    "frequency response: resonances, Q and damping by least squares, from a sweep or two channels",
  roles: [
    {
      key: "frequency",
      kinds: ["frequency"],
      summary: "frequency of each point",
      required: false,
      words: ["frequency", "freq", "f"],
    },
    {
      key: "amplitude",
      kinds: AMPLITUDES,
      summary: "amplitude of the motion at constant drive, or over the drive",
      required: false,
      words: ["amplitude", "magnitude", "gain", "response"],
    },
    {
      key: "phase",
      kinds: ["angle"],
      summary: "phase of the motion against the drive",
      required: false,
      words: ["phase", "arg"],
    },
    {
      key: "time",
      kinds: ["time"],
      summary: "time, for two channels",
      required: false,
      words: ["time", "t"],
    },
    {
      key: "drive",
      kinds: ["voltage", "length", "ratio"],
      summary: "channel of the drive",
      required: false,
      words: ["drive", "input", "excitation", "ch1"],
    },
    {
      key: "response",
      kinds: ["voltage", "length", "ratio"],
      summary: "channel of the motion",
      required: false,
      words: ["response", "output", "signal", "motion", "ch2"],
    },
  ],
  settings: [
    optionalSetting("modes", "count", "resonances in the fit", "1"),
    optionalSetting(
      "fit-from",
      "frequency",
      "lower end of the fit; without it eight widths below the peak",
    ),
    optionalSetting(
      "fit-to",
      "frequency",
      "upper end of the fit; without it eight widths above the peak",
    ),
    optionalSetting(
      "excitation",
      null,
      "what drives: voltage on the strip, or motion of its base",
      "drive",
      { choices: ["drive", "base"] },
    ),
    optionalSetting("segment", "time", "length of one segment of two channels"),
    optionalSetting("sweep-time", "time", "how long the sweep took"),
    optionalSetting(
      "sweep-from",
      "frequency",
      "where the sweep began, when not at the first point",
    ),
    optionalSetting("sweep-to", "frequency", "where it ended, when not at the last point"),
    optionalSetting(
      "medium",
      null,
      "what is around the strip: which resonances it is compared with",
      "air",
      { choices: [...MEDIA] },
    ),
    optionalSetting("mirror-mass", "mass", "mirror on the strip that the design does not have"),
    optionalSetting("mirror-position", "length", "its distance from the clamp edge"),
  ],
  files: { min: 1, max: 1 },
  reduce: reduceResponse,
  predict: (design, _data, settings) =>
    resonancePredictions(design, word(settings, "medium") ?? "air"),
  mismatches: RESONANCE_MISMATCHES,
};
