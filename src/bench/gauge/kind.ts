import type { Design } from "../../design/design.ts";
import { gasNamed } from "../../physics/gases.ts";
import { terminalSpeed } from "../../physics/jetGas.ts";
import { fromModel, fromSheet } from "../fromDesign.ts";
import type { Data, Kind, Prediction, Settings } from "../kind.ts";
import { eachFile } from "../settings.ts";
import { reduceGauge } from "./reduce.ts";

function predict(design: Design, data: readonly Data[], settings: Settings): readonly Prediction[] {
  const name = eachFile(settings, "gas", Math.max(1, data.length))?.[0];
  const other =
    typeof name === "string" && design.gas !== undefined && gasNamed(name).name !== design.gas.name;
  return [
    ...fromSheet(design, "fwhm_at_nozzle_s", "gas.pulse_used_s"),
    ...(other
      ? []
      : fromModel(design, ["flight_speed_m_s"], "terminal speed of the design's gas", (d) =>
          d.gas === undefined ? null : [terminalSpeed(d.gas, d.need.plenumTemperature)],
        )),
  ];
}

/** Fast gauge in the gas pulse, its own response removed. */
export const GAUGE: Kind = {
  name: "gauge",
  summary:
    "fast gauge in the gas pulse with its own response removed: width, delay, area, flight told apart",
  roles: [
    {
      key: "time",
      kinds: ["time"],
      summary: "time, evenly sampled",
      required: true,
      words: ["time", "t"],
    },
    {
      key: "signal",
      kinds: ["pressure", "voltage", "current", "ratio"],
      summary: "the gauge's signal, pulse upwards",
      required: true,
      words: ["gauge", "signal", "pressure", "ion", "collector"],
    },
    {
      key: "gate",
      kinds: ["voltage", "ratio"],
      summary: "gate or trigger; its first rising edge is time zero",
      required: false,
      words: ["gate", "trigger", "sync"],
    },
    {
      key: "response",
      kinds: ["ratio", "voltage", "current", "pressure"],
      summary: "the gauge's answer to a very short pulse, on the same time steps, from time zero",
      required: false,
      words: ["response", "impulse"],
    },
  ],
  settings: [
    {
      key: "response-time",
      kind: "time",
      summary: "time constant of gauge and amplifier (one exponential)",
      required: false,
      standard: null,
    },
    {
      key: "baseline-until",
      kind: "time",
      summary: "end of the quiet part before the pulse; the first tenth without it",
      required: false,
      standard: null,
    },
    {
      key: "gate-time",
      kind: "time",
      summary: "time of the gate where there is no column for it",
      required: false,
      standard: "0 s",
    },
    {
      key: "distance",
      kind: "length",
      summary: "from orifice to gauge, one for each file",
      required: false,
      standard: null,
      perFile: true,
    },
    {
      key: "gas",
      kind: null,
      summary: "gas of each file, where they differ",
      required: false,
      standard: null,
      perFile: true,
    },
    {
      key: "source-temperature",
      kind: "temperature",
      summary: "temperature of the gas before it expands; the design's without it",
      required: false,
      standard: null,
    },
  ],
  files: { min: 1, max: 2, labels: ["record", "record at another distance or with another gas"] },
  reduce: reduceGauge,
  predict,
  mismatches: [
    {
      key: "fwhm_at_nozzle_s",
      high: "dead volume behind the orifice, a bounce in the pulse, or flight and gauge not fully removed",
      low: "the pad lifts only in a short hop: less voltage or time than a full opening needs",
    },
    {
      key: "flight_speed_m_s",
      high: "the distances or the gas are not those stated",
      low: "the expansion is not complete, background gas slows the pulse, or light gas is mixed with heavy",
    },
  ],
};
