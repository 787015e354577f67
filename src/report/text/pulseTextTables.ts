import type {
  AuditFigures,
  ConvergenceRow,
  OpeningFigures,
  PulseFigures,
  PulseResult,
} from "../../studies/pulseResult.ts";
import type { QuantityKind } from "../../units/index.ts";
import { kindOfUnit } from "../figureUnits.ts";
import { type Column, table, wrap } from "./lines.ts";
import { maybe, share, shown } from "./pulseTextLines.ts";
import type { TextStyle } from "./style.ts";

const right = (head: string): Column => ({ head, align: "right" });
const left = (head: string): Column => ({ head, align: "left" });

function printed(
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
  style: TextStyle,
): string[] {
  return table(columns, rows, style.columns).flatMap((part) => [
    style.palette.quiet(part.head),
    ...part.body,
  ]);
}

/** Pulses of a train that get a line each; of a longer one so many from either end. */
const ALL = 8;
const ENDS = 4;

/** A line a pulse. */
export function trainLines({ pulses, drive, reasons }: PulseResult, style: TextStyle): string[] {
  const valve = !("gas" in reasons);
  const some = pulses.length <= ALL ? pulses : [...pulses.slice(0, ENDS), ...pulses.slice(-ENDS)];
  const columns = [
    right("pulse"),
    right(valve ? "peak lift" : "peak travel"),
    right("opens after"),
    right("closes after"),
    ...(valve ? [right("gas"), right("width"), right("at the seat"), right("after closing")] : []),
  ];
  const cell = (value: number | null, kind: QuantityKind) => maybe(value, kind, style) ?? "-";
  const row = (p: PulseFigures) => [
    String(p.number),
    cell(p.peak_lift_m, "length"),
    cell(p.open_delay_s, "time"),
    cell(p.close_delay_s, "time"),
    ...(valve
      ? [
          cell(p.gas?.amount_mol ?? null, "amount"),
          cell(p.gas?.main_width_s ?? null, "time"),
          cell(p.first_contact_s === null ? null : p.impact_speed_m_s, "speed"),
          p.satellite_gas_share === null ? "-" : share(p.satellite_gas_share, style),
        ]
      : []),
  ];
  const rows = some.map(row);
  if (some.length === drive.pulses) return printed(columns, rows, style);
  const [a, b] = [some[ENDS - 1]?.number ?? 0, some[ENDS]?.number ?? 0];
  const gap = Array.from(columns, () => "");
  const out = printed(
    columns,
    [...rows.slice(0, ENDS), ["...", ...gap], ...rows.slice(ENDS)],
    style,
  );
  const where = pulses.length === drive.pulses ? "all" : "the first and last twenty";
  out.push(`Pulses ${a + 1} to ${b - 1} were computed too; ${where} stand in --json.`);
  return out;
}

/**
 * Satellites and re-closures with their times; nothing where there is none.
 * @param drawn whether the drive was drawn: without a gate's end every opening is one of a list
 */
export function openingLines(
  pulse: PulseFigures,
  start: string,
  drawn: boolean,
  style: TextStyle,
): string[] {
  const kinds: [readonly OpeningFigures[], string, string][] = [
    [pulse.satellites, "satellite", "Satellites: openings after the pulse has closed"],
    drawn
      ? [pulse.reclosures, "opening", "Openings: each ends with the pad on the seat"]
      : [
          pulse.reclosures,
          "re-closure",
          "Re-closures: the pad touches the seat while commanded open",
        ],
  ];
  const rows = kinds.flatMap(([openings, name]) =>
    openings.map((opening, i) => [
      `${name} ${i + 1}`,
      shown(opening.from_s, "time", style),
      opening.to_s === null ? "end" : shown(opening.to_s, "time", style),
      shown(opening.lift_m, "length", style),
      shown(opening.gas_mol, "amount", style),
    ]),
  );
  if (rows.length === 0) return [];
  const what = kinds.flatMap(([openings, , words]) => (openings.length > 0 ? [words] : []));
  return [
    ...printed(
      [left(""), right("opens"), right("shuts"), right("peak lift"), right("gas")],
      rows,
      style,
    ),
    ...wrap(
      style.words(`Times from ${start}; each above 1 % of the peak lift. ${what.join(". ")}.`),
      style.columns,
    ),
  ];
}

/** Rails, then currents, edges and fields. */
export function electricLines(
  result: PulseResult,
  pulse: PulseFigures,
  style: TextStyle,
): string[] {
  const { electric } = pulse;
  const volts = (x: number) => shown(x, "voltage", style);
  const out =
    electric.rails.length === 0
      ? []
      : printed(
          [left("rail"), ...["set", "sags to", "lifted to", "at the end"].map(right)],
          electric.rails.map((rail) => [
            style.words(rail.name),
            volts(rail.set_V),
            volts(rail.sagged_V),
            volts(rail.lifted_V),
            volts(rail.end_V),
          ]),
          style,
        );
  const field = (x: number) => shown(x, "field", style, 3);
  const edges = [electric.edge_open_s, electric.edge_close_s].map((t) =>
    t === null ? "none" : shown(t, "time", style, 3),
  );
  const text = [
    `Peak current ${shown(electric.peak_current_A, "current", style, 3)}`,
    `edges of the output ${edges[0]} and ${edges[1]} (10 to 90 %)`,
    `largest field of any driven layer ${field(electric.field_along_V_m)} along its poling, ${field(electric.field_against_V_m)} against it`,
  ];
  const surprises = result.surprises.flatMap(({ text: words, mend }) => [
    ...wrap(style.words(`! ${words}`), style.columns).map(style.palette.caution),
    ...wrap(
      style.words(mend ?? "no change of one component was found that mends it"),
      style.columns - 4,
    ).map((line) => `    ${line}`),
  ]);
  return [...out, ...wrap(style.words(`${text.join("; ")}.`), style.columns), ...surprises];
}

/** Share of all energies below which a row is only named. */
const SMALL = 1e-6;

/** Where the energy came from, where it went, what the numbers leave open. */
export function auditLines(audit: AuditFigures, style: TextStyle): string[] {
  const scale = Math.abs(audit.lost_J) + Math.abs(audit.stored_change_J) + Math.abs(audit.in_J);
  const counts = audit.rows.filter((row) => Math.abs(row.energy_J) > SMALL * scale);
  const rest = audit.rows.filter((row) => !counts.includes(row)).map((row) => row.what);
  const energy = (x: number) => shown(x, "energy", style, 3);
  const order = ["in", "lost", "stored"] as const;
  const cells = (kind: (typeof order)[number], x: string) =>
    order.map((k) => (k === kind ? x : ""));
  const rows = order.flatMap((kind) =>
    counts
      .filter((row) => row.kind === kind)
      .sort((a, b) => Math.abs(b.energy_J) - Math.abs(a.energy_J))
      .map((row) => [style.words(row.what), ...cells(kind, energy(row.energy_J))]),
  );
  rows.push(["together", energy(audit.in_J), energy(audit.lost_J), energy(audit.stored_change_J)]);
  const open = `Left open by the computation: ${energy(audit.residual_J)}, ${share(audit.relative, style)} of losses and change of stores.`;
  const small = rest.length === 0 ? "" : ` Below a millionth: ${rest.join(", ")}.`;
  return [
    ...printed([left("energy"), right("in"), right("lost"), right("change of store")], rows, style),
    ...wrap(style.words(open + small), style.columns),
  ];
}

/** Figures at both steps. */
export function convergenceLines(
  rows: readonly ConvergenceRow[],
  step: number,
  style: TextStyle,
): string[] {
  const present = rows.filter((row) => row.value !== null || row.at_half_step !== null);
  const size = (x: number | null, row: ConvergenceRow, digits = 4) => {
    if (x === null) return "-";
    if (row.unit === "mol/s") return shown(x, "molar flow", style, digits);
    const kind = kindOfUnit(row.unit);
    return kind === null ? String(x) : shown(x, kind, style, digits);
  };
  return printed(
    [
      left("figure"),
      right(`step ${shown(step, "time", style)}`),
      right(`step ${shown(step / 2, "time", style)}`),
      right("difference"),
      right("relative"),
    ],
    present.map((row) => {
      const { value, difference } = row;
      return [
        style.words(row.figure),
        size(value, row),
        size(row.at_half_step, row),
        size(difference, row, 2),
        value === null || difference === null || value === 0
          ? "-"
          : share(difference / value, style),
      ];
    }),
    style,
  );
}
