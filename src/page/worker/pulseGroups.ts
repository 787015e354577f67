import { jetRows } from "../../report/text/jetTable.ts";
import { pulseRows } from "../../report/text/pulseTextFigures.ts";
import { textStyle } from "../../report/text/style.ts";
import type { PulseResult } from "../../studies/pulseResult.ts";
import { formatQuantity, type QuantityKind } from "../../units/index.ts";
import type { PulseGroup, PulseRow } from "./pulseRequests.ts";

/** Figures of the last pulse in the words of the terminal, in the order of the job. */
export function pulseGroups(result: PulseResult): PulseGroup[] {
  const style = textStyle({});
  const last = result.pulses.at(-1);
  if (last === undefined) return [];
  const { motion, gas, command } = pulseRows(result, last, style);
  return [
    { id: "motion", title: "Motion", rows: motion },
    { id: "gas", title: "Gas", rows: gas },
    { id: "again", title: "Satellites and re-closures", rows: openingRows(result) },
    { id: "drive", title: "Drive", rows: electricRows(result) },
    { id: "jet", title: "Jet", rows: jetGroup(result) },
    { id: "command", title: "Commanded", rows: command },
  ].filter(({ rows }) => rows.length > 0);
}

const say = (value: number, kind: QuantityKind, digits = 4) =>
  formatQuantity(value, 0, kind, { digits });

function openingRows({ pulses, drive }: PulseResult): PulseRow[] {
  const last = pulses.at(-1);
  if (last === undefined || last.gas === null) return [];
  const start = drive.gate_s === null ? "the start of the drive" : "the gate edge";
  const rows = (["satellites", "reclosures"] as const).flatMap((list) =>
    last[list].map((opening, i) => ({
      label: `${list === "satellites" ? "satellite" : "re-closure"} ${i + 1}`,
      value: say(opening.lift_m, "length", 3),
      from: `${say(opening.from_s, "time")} to ${opening.to_s === null ? "the end" : say(opening.to_s, "time")} after ${start}, ${say(opening.gas_mol, "amount", 3)}`,
    })),
  );
  if (rows.length > 0) return rows;
  return [
    {
      label: "none",
      value: null,
      from: "the pad neither opens again nor touches the seat while commanded open",
    },
  ];
}

function electricRows({ pulses }: PulseResult): PulseRow[] {
  const electric = pulses.at(-1)?.electric;
  if (electric === undefined) return [];
  const edge = (label: string, time: number | null): PulseRow => ({
    label,
    value: time === null ? null : say(time, "time", 3),
    from: "output, from 10 to 90 %",
  });
  return [
    ...electric.rails.map(({ name, set_V, sagged_V, lifted_V, end_V }) => ({
      label: `rail ${name} sags to`,
      value: say(sagged_V, "voltage"),
      from: `of ${say(set_V, "voltage")}; lifted to ${say(lifted_V, "voltage")}, at the end ${say(end_V, "voltage")}`,
    })),
    {
      label: "peak current",
      value: say(electric.peak_current_A, "current", 3),
      from: "into the output",
    },
    edge("opening edge", electric.edge_open_s),
    edge("closing edge", electric.edge_close_s),
    {
      label: "field along the poling",
      value: say(electric.field_along_V_m, "field", 3),
      from: "largest of any driven layer in the run",
    },
    {
      label: "field against the poling",
      value: say(electric.field_against_V_m, "field", 3),
      from: "largest of any driven layer in the run",
    },
  ];
}

function jetGroup({ jet }: PulseResult): PulseRow[] {
  if (jet === null) return [];
  return jetRows(jet, textStyle({})).map(({ label, path, text }) => ({
    label,
    value: text,
    from: text === null ? (jet.reasons[path] ?? "not computed") : "",
  }));
}
