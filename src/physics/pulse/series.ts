import type { Second } from "../../units/aliases.ts";
import { outputCurrent } from "./electricOutput.ts";
import type { PulseModel } from "./model.ts";
import type { PulseState, Recorder } from "./state.ts";

/** One recorded quantity on the run's grid. */
export interface Column {
  /** Name with its unit, as files and JSON spell it. */
  name: string;
  /** What it is, for a person. */
  label: string;
  values: Float64Array;
}

/** Recorded quantities from the start of a run or period, at equal times. */
export interface Series {
  step: Second;
  /** Points, the start included. */
  count: number;
  lift: Column;
  speed: Column;
  contact: Column;
  gasForce: Column;
  flow: Column;
  moment: Column;
  output: Column;
  current: Column;
  plenum: Column;
  chamber: Column;
  /** Node potentials of the rails. */
  rails: Column[];
  /** Voltage of each driven layer, top minus bottom. */
  layers: Column[];
}

/** Every column in the order of files. */
export const seriesColumns = (s: Series): Column[] => [
  s.lift,
  s.speed,
  s.contact,
  s.gasForce,
  s.flow,
  s.moment,
  s.output,
  s.current,
  ...s.rails,
  ...s.layers,
  s.plenum,
  s.chamber,
];

/** Room for `steps` grid steps. */
export function newSeries(model: PulseModel, step: Second, steps: number): Series {
  const column = (name: string, label: string): Column => ({
    name,
    label,
    values: new Float64Array(steps + 1),
  });
  const rails = model.circuit?.spec.rails ?? [];
  const layers = model.electrics?.layers ?? 0;
  return {
    step,
    count: steps + 1,
    lift: model.seat === null ? column("travel_m", "travel") : column("lift_m", "lift"),
    speed: column("speed_m_s", "speed of the pad"),
    contact: column("contact_force_N", "force on the seat"),
    gasForce: column("gas_force_N", "gas force"),
    flow: column("mass_flow_kg_s", "mass flow"),
    moment: column("moment_N_m", "piezo moment"),
    output: column("output_V", "switched output"),
    current: column("output_current_A", "current into the output"),
    plenum: column("plenum_pressure_Pa", "plenum pressure"),
    chamber: column("chamber_pressure_Pa", "chamber pressure"),
    rails: rails.map((rail) =>
      column(`rail_${rail.name.replaceAll(" ", "_")}_V`, `rail ${rail.name}`),
    ),
    layers: Array.from({ length: layers }, (_, k) =>
      column(`layer_${k + 1}_V`, `driven layer ${k + 1}`),
    ),
  };
}

/** Writes the state at a grid point. @param rest position that travel counts from without a seat */
export function recordInto(series: Series, model: PulseModel, rest: number): Recorder {
  const { circuit, electrics } = model;
  const zero = model.seat === null ? rest : null;
  return (state, index) => {
    series.lift.values[index] = state.y - (zero ?? state.surface);
    series.speed.values[index] = state.speed;
    series.contact.values[index] = state.contact;
    series.gasForce.values[index] = state.gasForce;
    series.flow.values[index] = state.flow;
    series.moment.values[index] = state.moment;
    series.plenum.values[index] = state.plenum;
    series.chamber.values[index] = state.chamber;
    const { electric } = state;
    if (electric === null || circuit === null || electrics === null) return;
    const { v } = electric;
    if (circuit.output >= 0) series.output.values[index] = v[circuit.output]!;
    series.current.values[index] = outputCurrent(electric);
    for (let r = 0; r < series.rails.length; r++)
      series.rails[r]!.values[index] = v[circuit.railNode[r]!]!;
    for (let k = 0; k < series.layers.length; k++) {
      const top = circuit.electrodeNode[electrics.top[k]!]!;
      const bottom = circuit.electrodeNode[electrics.bottom[k]!]!;
      series.layers[k]!.values[index] = (top < 0 ? 0 : v[top]!) - (bottom < 0 ? 0 : v[bottom]!);
    }
  };
}

/** Shapes of the strip at chosen grid points, for a drawing that moves. */
export interface Frames {
  /** Grid indices. */
  index: number[];
  /** Deflection along +z at the model's places, one row a frame, frames × places. */
  shape: Float64Array;
  places: readonly number[];
}

/** Deflection (+z) along the strip now, into `out` from `at` on. */
export function shapeInto(
  model: PulseModel,
  state: PulseState,
  out: Float64Array,
  at: number,
): void {
  const { strip } = model;
  const { count, places } = strip;
  for (let p = 0; p < places.length; p++) {
    let sum = 0;
    for (let i = 0; i < count; i++) sum += strip.at[p * count + i]! * state.q[i]!;
    out[at + p] = sum;
  }
}
