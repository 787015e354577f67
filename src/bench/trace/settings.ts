import type { QuantityKind } from "../../units/index.ts";
import type { Role, Setting } from "../kind.ts";
import { MEDIA } from "../resonances.ts";
import { optionalSetting } from "../settings.ts";

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

export const TRACE_SETTINGS: readonly Setting[] = [
  optionalSetting(
    "levels",
    null,
    "state levels from the histogram: its modes or its means",
    "mode",
    { choices: ["mode", "mean"] },
  ),
  optionalSetting(
    "low-level",
    "voltage",
    "low state level, when it is known better than the trace shows",
  ),
  optionalSetting("high-level", "voltage", "high state level, likewise"),
  optionalSetting(
    "settling-band",
    "ratio",
    "half width of the settling band, of the amplitude",
    "2 %",
  ),
  optionalSetting("gate-edge", null, "edge of the gate that opens", "rising", {
    choices: ["rising", "falling"],
  }),
  optionalSetting(
    "response-edge",
    null,
    "edge of the signal that is the opening; first: whichever follows the first gate edge",
    "first",
    { choices: ["first", "rising", "falling"] },
  ),
  optionalSetting(
    "longest-delay",
    "time",
    "a response later than this after its gate edge does not count",
  ),
  optionalSetting(
    "sensitivity",
    "lift per voltage",
    "lift per volt of the signal, from a calibration: gives the lift",
  ),
  optionalSetting(
    "drive-step",
    "voltage",
    "change of the drive between both states: gives lift per volt",
  ),
  optionalSetting("ring-after", null, "which state the ring-down is taken from", "longest", {
    choices: ["longest", "rising", "falling", "none"],
  }),
  optionalSetting("ring-from", "time", "start of the ring-down after the 50 % instant"),
  optionalSetting("ring-to", "time", "end of the ring-down after the 50 % instant"),
  optionalSetting(
    "modes",
    "count",
    "oscillations in the ring-down; without it as many as the trace shows",
  ),
  optionalSetting("spectrum", null, "power spectral density of the signal as a table", "no", {
    choices: ["no", "yes"],
  }),
  optionalSetting("segment", "time", "length of one segment of the spectrum"),
  optionalSetting(
    "medium",
    null,
    "what is around the strip: which resonances it is compared with",
    "air",
    { choices: [...MEDIA] },
  ),
  optionalSetting("detector-bandwidth", "frequency", "−3 dB bandwidth of detector and amplifier"),
  optionalSetting("mirror-mass", "mass", "mirror on the strip that the design does not have"),
  optionalSetting("mirror-position", "length", "its distance from the clamp edge"),
];
