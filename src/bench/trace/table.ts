import type { ResultTable } from "../reduction.ts";
import type { Pairing } from "./pairing.ts";
import type { Edge, GateEdges } from "./states.ts";

const COLUMNS = [
  { key: "gate_s", name: "gate edge" },
  { key: "opening_s", name: "opening, 50 %" },
  { key: "delay_s", name: "delay" },
  { key: "rise_10_90_s", name: "10 to 90 %" },
  { key: "overshoot", name: "overshoot" },
  { key: "settling_s", name: "settling" },
  { key: "pulse_duration_s", name: "duration at 50 %" },
  { key: "droop", name: "droop" },
  { key: "note", name: "note" },
] as const;

/** One row for every gate edge and every opening, in order of time: pairs, misses and extras. */
export function pulseTable(
  opening: readonly Edge[],
  edges: readonly Edge[],
  gates: GateEdges | null,
  pairing: Pairing | null,
): ResultTable {
  const closes = new Map<Edge, number>();
  edges.forEach((edge, k) => {
    const next = edges[k + 1];
    if (edge.opening && next !== undefined && !next.opening)
      closes.set(edge, next.middle.time - edge.middle.time);
  });
  const row = (gate: number | null, edge: Edge | null, note: string) => [
    gate,
    edge === null ? null : edge.middle.time,
    gate === null || edge === null ? null : edge.middle.time - gate,
    edge === null ? null : edge.duration.time,
    edge === null ? null : edge.after.overshoot,
    edge === null ? null : edge.settling,
    edge === null ? null : (closes.get(edge) ?? null),
    edge === null ? null : edge.after.droop,
    note,
  ];
  const rows =
    pairing === null || gates === null
      ? opening.map((edge) => row(null, edge, ""))
      : [
          ...pairing.pairs.map(({ gate, response }) =>
            row(gates.opening[gate]!.time, opening[response]!, ""),
          ),
          ...pairing.missed.map((gate) => row(gates.opening[gate]!.time, null, "missed")),
          ...pairing.extra.map((response) => row(null, opening[response]!, "extra")),
        ].sort((a, b) => Number(a[0] ?? a[1]) - Number(b[0] ?? b[1]));
  return { key: "pulses", title: "every pulse", columns: COLUMNS, rows };
}
