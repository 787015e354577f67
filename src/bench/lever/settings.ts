import type { Role, Setting } from "../kind.ts";
import { optionalSetting } from "../settings.ts";
import { SHAPES } from "./shapes.ts";

export const LEVER_ROLES: readonly Role[] = [
  {
    key: "spot",
    kinds: ["length", "voltage"],
    summary: "place of the spot on the screen, or the detector's voltage",
    required: true,
    words: ["spot", "position", "screen", "detector", "lever", "psd"],
  },
  {
    key: "voltage",
    kinds: ["voltage"],
    summary: "drive voltage of a slow sweep, up and down",
    required: false,
    words: ["drive", "voltage", "v", "u", "hv"],
  },
  {
    key: "time",
    kinds: ["time"],
    summary: "time, for a trace between two states",
    required: false,
    words: ["time", "t"],
  },
];

export const LEVER_SETTINGS: readonly Setting[] = [
  optionalSetting("screen-distance", "length", "mirror to screen along the beam at rest", null, {
    required: true,
  }),
  optionalSetting(
    "mirror-position",
    "length",
    "middle of the mirror from the clamp edge; from the design where it has a mirror",
  ),
  optionalSetting("free-length", "length", "clamp edge to tip; from the design without it"),
  optionalSetting(
    "pad-position",
    "length",
    "where the lift is wanted, from the clamp edge; the design's pad or the tip without it",
  ),
  optionalSetting("shape", null, "how the strip is bent", "voltage", { choices: [...SHAPES] }),
  optionalSetting(
    "incidence",
    "angle",
    "angle of the beam to the mirror's normal at rest",
    "0 rad",
  ),
  optionalSetting(
    "plane-angle",
    "angle",
    "angle between the plane of incidence and the strip's length: 0 when the tilt axis is normal to that plane",
    "0 rad",
  ),
  optionalSetting(
    "screen-tilt",
    "angle",
    "tilt of the screen out of square to the beam at rest",
    "0 rad",
  ),
  optionalSetting(
    "detector-sensitivity",
    "voltage per length",
    "volts per length of spot travel, when the spot is read as a voltage",
  ),
  optionalSetting(
    "scale-to",
    "length",
    "free length to which lift per volt is scaled by the square law",
  ),
  optionalSetting("mirror-mass", "mass", "mirror on the strip that the design does not have"),
];
