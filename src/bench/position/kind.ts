import type { Kind } from "../kind.ts";
import { DETECTORS } from "./curves.ts";
import { reducePosition } from "./reduce.ts";

/** Calibration of what reads the spot. */
export const POSITION: Kind = {
  name: "position",
  summary:
    "calibration of a position detector: sensitivity, linear range, saturation; then signal to place",
  roles: [
    {
      key: "position",
      kinds: ["length"],
      summary: "place of detector, edge or spot on its stage; not needed in the second file",
      required: false,
      words: ["position", "stage", "micrometer", "x", "displacement"],
    },
    {
      key: "signal",
      kinds: ["voltage", "current", "ratio"],
      summary: "detector signal",
      required: true,
      words: ["signal", "detector", "photodiode", "voltage", "diode", "v"],
    },
  ],
  settings: [
    {
      key: "detector",
      kind: null,
      summary:
        "what it is: photodiode behind an edge or a pinhole, split diode, position-sensitive detector",
      required: false,
      standard: "split diode",
      choices: [...DETECTORS],
    },
    {
      key: "linearity",
      kind: "ratio",
      summary: "loss of slope that ends the linear range",
      required: false,
      standard: "5 %",
    },
    {
      key: "position-scale",
      kind: "ratio",
      summary: "true travel over the stage's reading, with its uncertainty: 1.000(2)",
      required: false,
      standard: null,
    },
  ],
  files: { min: 1, max: 2, labels: ["calibration", "signal"] },
  reduce: reducePosition,
};
