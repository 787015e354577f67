import type { Design } from "../../design/design.ts";
import { fromModel, fromSheet } from "../fromDesign.ts";
import type { Data, Kind, Prediction, Settings } from "../kind.ts";
import { reduceClosed } from "./closed.ts";
import { reducePumped } from "./pumped.ts";

const counted = (data: Data | undefined): data is Data => data?.columns.has("count") === true;

function predict(
  design: Design,
  data: readonly Data[],
  _settings: Settings,
): readonly Prediction[] {
  const chamber = design.chamber;
  return [
    ...fromSheet(design, "gas_per_pulse_mol", "gas.gas_per_pulse_mol"),
    ...fromSheet(design, "pressure_per_pulse_Pa", "gas.pressure_step_Pa"),
    ...(counted(data[0]) || chamber === undefined
      ? []
      : [
          ...fromSheet(design, "pump_time_constant_s", "gas.pump_time_constant_s"),
          ...fromModel(design, ["pumping_speed_m3_s"], "design: chamber.pumping_speed", (d) =>
            d.chamber === undefined ? null : [d.chamber.pumpingSpeed],
          ),
        ]),
  ];
}

/** Gas per pulse from the pressure of the chamber. */
export const FILL: Kind = {
  name: "fill",
  summary:
    "gas per pulse from the pressure of a closed chamber after pulses, or of a pumped one after a pulse",
  roles: [
    {
      key: "pressure",
      kinds: ["pressure"],
      summary: "absolute pressure in the chamber",
      required: true,
      words: ["pressure", "chamber", "p"],
    },
    {
      key: "count",
      kinds: ["count"],
      summary: "pulses given so far, chamber closed; without it one pulse into a pumped chamber",
      required: false,
      words: ["pulses", "count", "number", "n"],
    },
    {
      key: "time",
      kinds: ["time"],
      summary: "time; with a count it tells a steady rise from the pulses",
      required: false,
      words: ["time", "t"],
    },
    {
      key: "temperature",
      kinds: ["temperature"],
      summary: "temperature of the chamber",
      required: false,
      words: ["temp", "temperature"],
    },
  ],
  settings: [
    {
      key: "volume",
      kind: "volume",
      summary: "volume that the gas fills, pipes and gauges included",
      required: true,
      standard: null,
    },
    {
      key: "gas-temperature",
      kind: "temperature",
      summary: "temperature of the gas once it has settled",
      required: false,
      standard: "22(2) °C",
    },
    {
      key: "gauge-factor",
      kind: "ratio",
      summary: "what readings are to be multiplied by for this gas",
      required: false,
      standard: "1",
    },
    {
      key: "pressure-rise",
      kind: "pressure rate",
      summary: "rise of the closed chamber without pulses, to be taken off",
      required: false,
      standard: null,
    },
    {
      key: "scatter",
      kind: null,
      summary:
        "whether pulses scatter: found from the readings, or none (a line through them; smaller u)",
      required: false,
      standard: "fitted",
      choices: ["fitted", "none"],
    },
    {
      key: "pulse-time",
      kind: "time",
      summary: "time of the pulse in a pumped record",
      required: false,
      standard: null,
    },
    {
      key: "fit-from",
      kind: "time",
      summary: "start of the fitted decay; the highest reading without it",
      required: false,
      standard: null,
    },
  ],
  files: { min: 1, max: 1 },
  reduce: ([data], settings) =>
    counted(data) ? reduceClosed(data, settings) : reducePumped(data!, settings),
  predict,
  mismatches: [
    {
      key: "gas_per_pulse_mol",
      high: "the valve stays open longer or bounces open again, the orifice is larger or its discharge coefficient higher than taken, or a leak counts as pulses",
      low: "the pad lifts too little or too briefly, the orifice is smaller or partly blocked, the plenum's pressure sags, or the gauge reads another gas",
    },
    {
      key: "pressure_per_pulse_Pa",
      high: "more gas per pulse than estimated, or a smaller volume than stated",
      low: "less gas per pulse than estimated, or a larger volume than stated (dead-end pipes)",
    },
    {
      key: "pump_time_constant_s",
      high: "the pump is throttled (valve, long pipe), its speed for this gas is lower, or walls give gas back",
      low: "the volume is smaller, or the pump faster, than stated",
    },
    {
      key: "pumping_speed_m3_s",
      high: "the volume stated is too large, or cold walls pump too",
      low: "conductance to the pump is small, or the stated speed is for another gas",
    },
  ],
};
