import type { QuantityKind } from "../../units/index.ts";
import type { Role, Setting } from "../kind.ts";
import { MEDIA } from "../resonances.ts";

/** What a trace may be of; the unit that keys of its levels end in. */
export const SIGNAL_UNITS = new Map<QuantityKind, string>([
  ["voltage", "_V"],
  ["length", "_m"],
  ["pressure", "_Pa"],
  ["current", "_A"],
  ["ratio", ""],
]);

const SIGNAL_WORDS = ["signal", "lift", "position", "photodiode", "detector", "diode", "light"];

export const TRACE_ROLES: readonly Role[] = [
  {
    key: "time",
    kinds: ["time"],
    summary: "time of each sample",
    required: true,
    words: ["time", "t", "seconds"],
  },
  {
    key: "signal",
    kinds: [...SIGNAL_UNITS.keys()],
    summary: "what moves: detector, lift, current or gauge",
    required: true,
    words: [...SIGNAL_WORDS, "current", "gauge", "voltage", "ch1", "channel 1"],
  },
  {
    key: "gate",
    kinds: ["voltage", "ratio", "current"],
    summary: "gate or drive that asks for the pulses",
    required: false,
    words: ["gate", "trigger", "drive", "command", "ch2", "channel 2"],
  },
];

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

export const TRACE_SETTINGS: readonly Setting[] = [
  setting("levels", null, "state levels from the histogram: its modes or its means", "mode", [
    "mode",
    "mean",
  ]),
  setting("low-level", "voltage", "low state level, when it is known better than the trace shows"),
  setting("high-level", "voltage", "high state level, likewise"),
  setting("settling-band", "ratio", "half width of the settling band, of the amplitude", "2 %"),
  setting("gate-edge", null, "edge of the gate that opens", "rising", ["rising", "falling"]),
  setting(
    "response-edge",
    null,
    "edge of the signal that is the opening; first: whichever follows the first gate edge",
    "first",
    ["first", "rising", "falling"],
  ),
  setting("longest-delay", "time", "a response later than this after its gate edge does not count"),
  setting(
    "sensitivity",
    "lift per voltage",
    "lift per volt of the signal, from a calibration: gives the lift",
  ),
  setting("drive-step", "voltage", "change of the drive between both states: gives lift per volt"),
  setting("ring-after", null, "which state the ring-down is taken from", "longest", [
    "longest",
    "rising",
    "falling",
    "none",
  ]),
  setting("ring-from", "time", "start of the ring-down after the 50 % instant"),
  setting("ring-to", "time", "end of the ring-down after the 50 % instant"),
  setting("modes", "count", "oscillations in the ring-down; without it as many as the trace shows"),
  setting("spectrum", null, "power spectral density of the signal as a table", "no", ["no", "yes"]),
  setting("segment", "time", "length of one segment of the spectrum"),
  setting("medium", null, "what is around the strip: which resonances it is compared with", "air", [
    ...MEDIA,
  ]),
  setting("detector-bandwidth", "frequency", "−3 dB bandwidth of detector and amplifier"),
  setting("mirror-mass", "mass", "mirror on the strip that the design does not have"),
  setting("mirror-position", "length", "its distance from the clamp edge"),
];
