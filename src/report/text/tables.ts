import type { Design } from "../../design/design.ts";
import type { ReconciliationFigures, SheetResult, StateFigures } from "../../sheet/result.ts";
import { formatQuantity } from "../../units/index.ts";
import { kindOfUnit, printFigure, printQuantity } from "../figureUnits.ts";
import { forceFloor } from "../states.ts";
import { type Column, table, wrap } from "./lines.ts";
import type { TextStyle } from "./style.ts";

/** Driven layers that get a column of their own; with more of them only the extremes are shown. */
const MOST_LAYERS = 3;

type Unsure = Record<string, unknown>;

const uOf = (holder: object, name: string): number | null => {
  const u = (holder as Unsure)[`u_${name}`];
  return typeof u === "number" ? u : null;
};

function shown(made: ReturnType<typeof table>, style: TextStyle): string[] {
  return made.flatMap((part) => [style.palette.quiet(part.head), ...part.body]);
}

/**
 * Fields of every driven layer in every state, with free deflection and the force that holds
 * the pad at zero; states with
 * the same fields share a row.
 */
export function fieldTable(result: SheetResult, style: TextStyle): string[] {
  const states = result.strip.states;
  const first = states[0];
  if (first === undefined)
    return wrap(
      style.words(result.reasons.wiring ?? "no state is known without a wiring"),
      style.columns,
    );
  const { words, ascii } = style;
  const field = (x: number) => words(formatQuantity(x, 0, "kV/mm", { ascii, digits: 3 }));
  const few = first.layers.length <= MOST_LAYERS;
  const heads = few
    ? first.layers.map((layer) => `layer ${layer.layer + 1}`)
    : ["most along", "most against"];
  const cells = (state: StateFigures): string[] => {
    const along = state.layers.map((layer) => layer.field_along_poling_V_m);
    const values = few ? along : [Math.max(0, ...along), Math.min(0, ...along)];
    return values.map((x) => `${x < 0 ? "! " : ""}${field(x)}`);
  };
  const columns: Column[] = [
    { head: "state", align: "left" },
    ...heads.map((head): Column => ({ head, align: "right" })),
    { head: "free deflection", align: "right" },
    { head: "held at zero by", align: "right" },
  ];
  const floor = forceFloor(states);
  const figure = (state: StateFigures, name: "free_deflection_m" | "blocking_force_N") =>
    words(
      printFigure(
        name,
        name === "blocking_force_N" && Math.abs(state[name]) <= floor ? 0 : state[name],
        uOf(state, name),
        { ascii, digits: 3 },
      ),
    );
  const rows = alike(states, cells).map((group) => {
    const state = group[0]!;
    return [
      words(group.map((s) => s.name).join("; ")),
      ...cells(state),
      figure(state, "free_deflection_m"),
      figure(state, "blocking_force_N"),
    ];
  });
  return shown(table(columns, rows, style.columns), style);
}

/** States that print the same fields share a row, in the order of their first one. */
function alike(
  states: readonly StateFigures[],
  cells: (state: StateFigures) => string[],
): StateFigures[][] {
  const groups = new Map<string, StateFigures[]>();
  for (const state of states) {
    const key = cells(state).join(" ");
    groups.set(key, [...(groups.get(key) ?? []), state]);
  }
  return [...groups.values()];
}

/** Resonances and quality factors, one column a mode. */
export function modeTable(design: Design, result: SheetResult, style: TextStyle): string[] {
  const { modes } = result;
  const { words, ascii } = style;
  const count = Math.min(4, modes.open_vacuum_Hz.length);
  const inGas = design.gas !== undefined && design.seat?.arrangement !== "pressure opens";
  const surrounding = inGas
    ? `${design.gas?.name} ${formatQuantity(design.need.plenumPressure, 0, "pressure", { ascii, digits: 3 })}`
    : design.gas === undefined
      ? "air"
      : "vacuum";
  const line = (label: string, name: keyof typeof modes) => {
    const values = modes[name] as number[];
    const us = (modes as unknown as Record<string, (number | null)[] | undefined>)[`u_${name}`];
    if (values.length === 0) return null;
    const print = (x: number, u: number | null) =>
      name.startsWith("q_")
        ? printFigure("q", x, u, { ascii, digits: 3 })
        : printFigure("f_Hz", x, u, { ascii });
    return [
      words(label),
      ...values.slice(0, count).map((x, i) => words(print(x, us?.[i] ?? null))),
    ];
  };
  const rows = [
    line("open, vacuum", "open_vacuum_Hz"),
    line("open, vacuum, leads open", "open_circuit_vacuum_Hz"),
    line("open, air 1 bar", "open_air_Hz"),
    line(`open, working: ${surrounding}`, "open_gas_Hz"),
    line("closed, on the seat", "closed_Hz"),
    line("Q in air", "q_air"),
    line("Q working", "q_gas"),
  ].filter((row) => row !== null);
  const columns: Column[] = [
    { head: "resonance", align: "left" },
    ...Array.from({ length: count }, (_, i): Column => ({ head: `mode ${i + 1}`, align: "right" })),
  ];
  const ring = printFigure(
    "ring_down_gas_s",
    modes.ring_down_gas_s,
    uOf(modes, "ring_down_gas_s"),
    {
      ascii,
    },
  );
  const out = shown(table(columns, rows, style.columns), style);
  out.push(words(`Ring-down to 1/e, mode 1: ${ring}.`));
  return out;
}

/** Rails, and the rate that each limit allows. */
export function driveTables(result: SheetResult, style: TextStyle): string[] {
  const drive = result.drive;
  if (drive === null) return [];
  const { words, ascii } = style;
  const print = (name: string, value: number | null, u?: number | null) =>
    value === null ? "-" : words(printFigure(name, value, u ?? null, { ascii, digits: 3 }));
  const out: string[] = [];
  if (drive.rails.length > 0) {
    const columns: Column[] = [
      "rail",
      "voltage",
      "charge",
      "energy",
      "to low V",
      "lifted by",
      "current",
      "droop",
    ].map((head, i) => ({ head, align: i === 0 ? "left" : "right" }));
    const rows = drive.rails.map((rail) => [
      words(rail.name),
      print("voltage_V", rail.voltage_V),
      print("stored_charge_C", rail.stored_charge_C),
      print("stored_energy_J", rail.stored_energy_J),
      print("bleed_time_s", rail.bleed_time_s),
      print("lift_V", rail.lift_V),
      print("supply_current_A", rail.supply_current_A),
      print("droop_V", rail.droop_V),
    ]);
    out.push(...shown(table(columns, rows, style.columns), style));
  }
  if (drive.rate_limits.length > 0) {
    const limits = [...drive.rate_limits]
      .sort((a, b) => a.rate_Hz - b.rate_Hz)
      .map((limit) => `${limit.what} ${print("rate_Hz", limit.rate_Hz)}`);
    out.push(...wrap(words(`Rate by limit: ${limits.join("; ")}.`), style.columns));
  }
  return out;
}

/** One line a gas space. */
export function lockoutLines(result: SheetResult, style: TextStyle): string[] {
  const { words, ascii, columns } = style;
  const say = (name: string, x: number) => printFigure(name, x, null, { ascii, digits: 3 });
  if (result.lockout.length === 0) {
    const reason = result.reasons.lockout;
    return reason === undefined ? [] : wrap(words(`No band: ${reason}.`), columns);
  }
  return result.lockout.flatMap((band) => {
    const measured =
      band.minimum_measured_V === null
        ? "no measured minimum"
        : `minimum measured ${say("x_V", band.minimum_measured_V)}`;
    const text = `${band.gas_space} (${band.gas}): ${say("x_V", band.voltage_V)} off from ${say("from_Pa", band.from_Pa)} to ${say("to_Pa", band.to_Pa)}; gaps ${say("gap_m", band.gap_min_m)} to ${say("gap_m", band.gap_max_m)}; ${measured}, computed ${say("x_V", band.minimum_computed_V)}.${band.note === "" ? "" : ` ${band.note}.`}`;
    return wrap(words(text), columns - 2).map((line, i) => (i === 0 ? line : `  ${line}`));
  });
}

/** Linear and large-signal figures side by side. */
export function largeSignalTable(result: SheetResult, style: TextStyle): string[] {
  const large = result.large_signal;
  if (large === null) return [];
  const { words, ascii } = style;
  const rows = large.rows.map((row) => {
    const kind = kindOfUnit(row.unit, row.figure);
    const print = (x: number) =>
      words(printQuantity(x, null, kind, row.unit, { ascii, digits: 3 }));
    const change =
      row.linear === 0 ? "-" : `${signed(100 * (row.large_signal / row.linear - 1), ascii)} %`;
    return [words(row.figure), print(row.linear), print(row.large_signal), change];
  });
  const columns: Column[] = [
    { head: "figure", align: "left" },
    { head: "linear", align: "right" },
    { head: "large signal", align: "right" },
    { head: "change", align: "right" },
  ];
  const out = shown(table(columns, rows, style.columns), style);
  out.push(`Loop width over swing: ${(100 * large.loop_width_over_swing).toFixed(1)} %.`);
  return out;
}

function signed(x: number, ascii: boolean): string {
  const text = Math.abs(x).toFixed(1);
  return `${x < 0 ? (ascii ? "-" : "−") : "+"}${text}`;
}

/** Supplier's or bench figures against the model. */
export function reconciliation(figures: ReconciliationFigures, style: TextStyle): string[] {
  const { words, ascii, columns } = style;
  const rows = figures.rows.map((row) => {
    const kind = kindOfUnit(row.unit, row.figure);
    const print = (x: number) => words(printQuantity(x, null, kind, row.unit, { ascii }));
    return [
      words(row.figure),
      print(row.given),
      print(row.predicted),
      print(row.fitted),
      signed(row.residual_over_u, ascii),
    ];
  });
  const heads: Column[] = [
    "figure",
    "given",
    "model as it stands",
    "fitted",
    "(given - fitted)/u",
  ].map((head, i) => ({ head, align: i === 0 ? "left" : "right" }));
  const scale = (name: "d31_scale" | "stiffness_scale") =>
    words(printQuantity(figures[name], figures[`u_${name}`], "ratio", "1", { ascii }));
  const parts = [
    `free length ${printFigure("x_m", figures.free_length_m, null, { ascii })}`,
    ...(figures.effective_length_m === null
      ? []
      : [
          `effective length ${printFigure("x_m", figures.effective_length_m, figures.u_effective_length_m, { ascii })}`,
        ]),
    `d31 × ${scale("d31_scale")}`,
    `stiffness × ${scale("stiffness_scale")}`,
    `χ² ${figures.chi_squared.toFixed(2)} with ${figures.degrees_of_freedom} degrees of freedom`,
  ];
  return [
    ...wrap(words(`${parts.join("; ")}.`), columns),
    ...shown(table(heads, rows, columns), style),
    ...wrap(words(figures.text), columns),
    ...(figures.not_to_blame.length === 0 || figures.text.includes("Not to blame")
      ? []
      : wrap(words(`Not to blame: ${figures.not_to_blame.join(", ")}.`), columns)),
  ];
}
