import type { Design } from "../../design/design.ts";
import { fromSheet } from "../fromDesign.ts";
import type { Data, Kind, Prediction, Settings } from "../kind.ts";
import { eachFile } from "../settings.ts";
import { reduceLeak } from "./reduce.ts";

/** The permeation floor, where the record was taken with the design's gas at its pressure. */
function predict(design: Design, data: readonly Data[], settings: Settings): readonly Prediction[] {
  const gas = eachFile(settings, "gas", data.length)?.[0];
  const pressure = eachFile(settings, "plenum-pressure", data.length)?.[0];
  const other = typeof gas === "string" && gas !== design.gas?.name;
  const at = typeof pressure === "object" ? pressure.value : design.need.plenumPressure;
  if (other || Math.abs(at - design.need.plenumPressure) > 0.02 * design.need.plenumPressure)
    return [];
  return fromSheet(design, "leak_rate_Pa_m3_s", "seat.permeation_floor_Pa_m3_s");
}

/** Pressure rise in a closed chamber. */
export const LEAK: Kind = {
  name: "leak",
  summary:
    "pressure rise of a closed chamber: leak rate, outgassing told apart by two gases or pressures",
  roles: [
    {
      key: "time",
      kinds: ["time"],
      summary: "time since the valve to the pump was closed",
      required: true,
      words: ["time", "t"],
    },
    {
      key: "pressure",
      kinds: ["pressure"],
      summary: "absolute pressure in the chamber",
      required: true,
      words: ["pressure", "chamber", "p"],
    },
    {
      key: "temperature",
      kinds: ["temperature"],
      summary: "temperature of the chamber; its drift is taken out",
      required: false,
      words: ["temp", "temperature"],
    },
  ],
  settings: [
    {
      key: "volume",
      kind: "volume",
      summary: "volume closed off, pipes and gauges included",
      required: true,
      standard: null,
    },
    {
      key: "gas",
      kind: null,
      summary: "gas behind the seat, as the gas tables name it; from the design without it",
      required: false,
      standard: null,
      perFile: true,
    },
    {
      key: "plenum-pressure",
      kind: "pressure",
      summary:
        "absolute pressure behind the seat (0 Pa: pumped, outgassing alone); from the design without it",
      required: false,
      standard: null,
      perFile: true,
    },
    {
      key: "passage",
      kind: null,
      summary: "how gas gets through; without it the one that fits",
      required: false,
      standard: null,
      choices: ["viscous", "molecular"],
    },
    {
      key: "model",
      kind: null,
      summary: "shape of the rise: a line, or a line and a part that settles",
      required: false,
      standard: "line",
      choices: ["line", "settling"],
    },
    {
      key: "gas-temperature",
      kind: "temperature",
      summary: "temperature of the chamber without a column for it",
      required: false,
      standard: "22(2) °C",
    },
    {
      key: "temperature-drift",
      kind: "temperature difference",
      summary: "by how much the chamber warmed over the record without a column for it",
      required: false,
      standard: "0.0(2) K",
    },
    {
      key: "gauge-factor",
      kind: "ratio",
      summary: "what readings are to be multiplied by for this gas",
      required: false,
      standard: null,
      perFile: true,
    },
    {
      key: "pressure-reading",
      kind: "pressure",
      summary: "standard uncertainty of each reading; without it the scatter about the fit",
      required: false,
      standard: null,
    },
  ],
  files: { min: 1, max: 12 },
  reduce: reduceLeak,
  predict,
  mismatches: [
    {
      key: "leak_rate_Pa_m3_s",
      high: "gas passes between pad and land: a particle or scratch, too little preload, set or tilt of the pad; see how it follows the pressure behind",
      low: "less than the pad's rubber lets through: permeation is not yet steady, the gas is not the one named, or volume or gauge factor is wrong",
    },
  ],
};
