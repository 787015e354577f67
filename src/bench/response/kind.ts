import type { QuantityKind } from "../../units/index.ts";
import type { Kind, Setting } from "../kind.ts";
import { MEDIA, RESONANCE_MISMATCHES, resonancePredictions } from "../resonances.ts";
import { word } from "../settings.ts";
import { reduceResponse } from "./reduce.ts";

const setting = (
  key: string,
  kind: QuantityKind | null,
  summary: string,
  standard: string | null = null,
  choices?: readonly string[],
): Setting => ({
  key,
  kind,
  summary,
  required: false,
  standard,
  ...(choices === undefined ? {} : { choices }),
});

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
    setting("modes", "count", "resonances in the fit", "1"),
    setting(
      "fit-from",
      "frequency",
      "lower end of the fit; without it eight widths below the peak",
    ),
    setting("fit-to", "frequency", "upper end of the fit; without it eight widths above the peak"),
    setting(
      "excitation",
      null,
      "what drives: voltage on the strip, or motion of its base",
      "drive",
      ["drive", "base"],
    ),
    setting("segment", "time", "length of one segment of two channels"),
    setting("sweep-time", "time", "how long the sweep took"),
    setting("sweep-from", "frequency", "where the sweep began, when not at the first point"),
    setting("sweep-to", "frequency", "where it ended, when not at the last point"),
    setting(
      "medium",
      null,
      "what is around the strip: which resonances it is compared with",
      "air",
      [...MEDIA],
    ),
    setting("mirror-mass", "mass", "mirror on the strip that the design does not have"),
    setting("mirror-position", "length", "its distance from the clamp edge"),
  ],
  files: { min: 1, max: 1 },
  reduce: reduceResponse,
  predict: (design, _data, settings) =>
    resonancePredictions(design, word(settings, "medium") ?? "air"),
  mismatches: RESONANCE_MISMATCHES,
};
