import type { Design } from "../design/design.ts";
import { AVOGADRO, GAS_CONSTANT } from "../physics/gases.ts";
import { flowMetrics, liftMetrics, type Opening } from "../physics/pulse/metrics.ts";
import type { Column, Series } from "../physics/pulse/series.ts";
import { fullOpeningLift } from "../physics/seat.ts";
import { THROUGHPUT_TEMPERATURE } from "../sheet/gasSheet.ts";
import type { DesignPulse } from "../sheet/pulseModel.ts";
import type {
  GasPulseFigures,
  OpeningFigures,
  PulseElectricFigures,
  PulseFigures,
  RailPulseFigures,
} from "./pulseResult.ts";

/** Figures of one pulse from its series. */
export function pulseFigures(
  design: Design,
  made: DesignPulse,
  series: Series,
  number: number,
  gate: number,
  peakCurrent: number,
): PulseFigures {
  const { model } = made;
  const travel = model.seat === null ? travelBetween(made) : made.staticLift;
  const lift = liftMetrics(series, { gate, staticLift: travel });
  const molar = design.gas?.molarMass ?? 0;
  const opening = (o: Opening): OpeningFigures => ({
    from_s: o.from,
    to_s: o.to,
    lift_m: o.lift,
    gas_mol: molar > 0 ? o.mass / molar : 0,
  });
  const gas = model.plenum === null ? null : gasFigures(design, made, series);
  const satellites = model.seat === null ? [] : lift.satellites.map(opening);
  const amount = gas?.amount_mol ?? 0;
  const full = model.seat === null ? null : fullOpeningLift(model.seat.model);
  return {
    number,
    peak_lift_m: lift.peak,
    peak_lift_time_s: lift.peakTime,
    static_lift_m: travel,
    overshoot: lift.overshoot,
    peak_over_full_opening: full === null ? null : lift.peak / full,
    first_open_s: lift.firstOpen,
    open_delay_s: lift.openDelay,
    open_rise_s: lift.rise,
    open_delay_static_s: lift.staticDelay,
    close_delay_s: lift.closeDelay,
    close_fall_s: lift.fall,
    lift_width_s: lift.width,
    first_contact_s: model.seat === null ? null : lift.firstContact,
    stays_open: model.seat !== null && lift.staysOpen,
    reclosures: model.seat === null ? [] : lift.reclosures.map(opening),
    satellites,
    satellite_gas_share:
      amount > 0 ? satellites.reduce((sum, s) => sum + s.gas_mol, 0) / amount : null,
    impact_speed_m_s: lift.impactSpeed,
    contact_force_max_N: lift.contactMax,
    indentation_max_m: model.seat === null ? 0 : lift.indentationMax,
    gas,
    electric: electricFigures(made, series, gate, peakCurrent),
  };
}

/** Static travel of a strip without seat between its two states. */
function travelBetween({ electrical, strip, model, closed }: DesignPulse): number {
  const [high = 0, low = 0] = electrical.moments;
  const change = (closed === "low" ? high - low : low - high) * model.strip.side;
  return strip.padPerMoment * change;
}

function gasFigures(design: Design, made: DesignPulse, series: Series): GasPulseFigures | null {
  const flow = flowMetrics(series);
  const { gas } = design;
  if (flow === null || gas === undefined) return null;
  const amount = flow.mass / gas.molarMass;
  const plenum = series.plenum.values;
  const chamber = made.model.chamber === null ? null : series.chamber.values;
  return {
    amount_mol: amount,
    molecules: amount * AVOGADRO,
    mass_kg: flow.mass,
    throughput_Pa_m3: amount * GAS_CONSTANT * THROUGHPUT_TEMPERATURE,
    peak_flow_mol_s: flow.peak / gas.molarMass,
    peak_flow_time_s: flow.peakTime,
    open_delay_s: flow.openDelay,
    rise_s: flow.rise,
    main_width_s: flow.mainWidth,
    outer_width_s: flow.outerWidth,
    equivalent_time_s: flow.equivalentTime,
    centre_s: flow.centre,
    chamber_peak_Pa: chamber === null ? null : largest(chamber),
    chamber_mean_Pa: chamber === null ? null : meanOf(chamber),
    chamber_end_Pa: chamber === null ? null : (chamber[chamber.length - 1] as number),
    plenum_droop: 1 - smallest(plenum) / design.need.plenumPressure,
  };
}

const largest = (values: Float64Array) => {
  let out = Number.NEGATIVE_INFINITY;
  for (const v of values) if (v > out) out = v;
  return out;
};
const smallest = (values: Float64Array) => {
  let out = Number.POSITIVE_INFINITY;
  for (const v of values) if (v < out) out = v;
  return out;
};
/** Trapezoid mean. */
const meanOf = (values: Float64Array) => {
  let sum = 0;
  for (const v of values) sum += v;
  const ends = 0.5 * ((values[0] as number) + (values[values.length - 1] as number));
  return (sum - ends) / (values.length - 1);
};

/** Share of the largest field below which there is none. */
const NO_FIELD = 1e-9;

function electricFigures(
  made: DesignPulse,
  series: Series,
  gate: number,
  peakCurrent: number,
): PulseElectricFigures {
  const { model } = made;
  const { circuit, electrics } = model;
  const end = Math.min(series.count - 1, Math.floor(gate / series.step));
  let along = 0;
  let against = 0;
  series.layers.forEach((column, k) => {
    const perVolt = -(electrics?.poling[k] as number) / (electrics?.thickness[k] as number);
    for (const v of column.values) {
      const field = perVolt * v;
      if (field > along) along = field;
      if (-field > against) against = -field;
    }
  });
  // A layer at rest shows the rounding of its neighbours' potentials.
  const none = NO_FIELD * Math.max(along, against);
  return {
    edge_open_s: edge(series.output, series.step, 0, end),
    edge_close_s: edge(series.output, series.step, end, series.count - 1),
    peak_current_A: peakCurrent,
    rails: (circuit?.spec.rails ?? []).map((rail, r): RailPulseFigures => {
      const { values } = series.rails[r] as Column;
      const sign = rail.voltage < 0 ? -1 : 1;
      let low = Number.POSITIVE_INFINITY;
      let high = Number.NEGATIVE_INFINITY;
      for (const v of values) {
        low = Math.min(low, sign * v);
        high = Math.max(high, sign * v);
      }
      return {
        name: rail.name,
        set_V: rail.voltage,
        sagged_V: sign * low,
        lifted_V: sign * high,
        end_V: values[values.length - 1] as number,
      };
    }),
    field_along_V_m: along < none ? 0 : along,
    field_against_V_m: against < none ? 0 : against,
  };
}

/** 10 to 90 % of the change of the output between two grid points; null where it does not change. */
function edge({ values }: Column, step: number, from: number, to: number): number | null {
  const start = values[from] as number;
  let far = start;
  for (let i = from; i <= to; i++)
    if (Math.abs((values[i] as number) - start) > Math.abs(far - start)) far = values[i] as number;
  const change = far - start;
  if (Math.abs(change) < 1e-3) return null;
  const at = (share: number): number | null => {
    const level = share * Math.abs(change);
    for (let i = from; i < to; i++) {
      const a = Math.abs((values[i] as number) - start);
      const b = Math.abs((values[i + 1] as number) - start);
      if (a < level && b >= level) return step * (i + (level - a) / (b - a));
    }
    return null;
  };
  const ten = at(0.1);
  const ninety = at(0.9);
  return ten === null || ninety === null ? null : ninety - ten;
}
