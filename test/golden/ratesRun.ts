import { latticeOf } from "../../src/studies/maps.ts";
import { CELL_STATES, mapOrder, putCell, type RatesMap } from "../../src/studies/ratesMap.ts";
import type { GuardBand, RateFigures, RatesResult } from "../../src/studies/ratesResult.ts";

/*
 * A scan written by hand, so that the pictures do not hang on a computation: a ringing strip whose gas answers at
 * f1/3, f1/2 and f1, alternates about f1/2 and misses every other pulse above 2.4 kHz.
 */

const F1 = 2700;
const CHANGE = 0.05;
const COUNT = 90;

const resonant = (f: number, order: number, width: number) =>
  1 / (1 + ((order * f - F1) / (width * F1)) ** 2);

function written(rate: number): RateFigures {
  const late = 1 / (1 + (700 / rate) ** 6);
  const pull = late * (0.16 * resonant(rate, 3, 0.03) - 0.3 * resonant(rate, 2, 0.05) + 0.5 * resonant(rate, 1, 0.08));
  const gas = 1 + pull;
  const alternates = rate > 1260 && rate < 1440;
  const misses = rate > 2450 && rate < 2600;
  const each = alternates ? [gas - 0.12, gas + 0.12] : misses ? [0, gas + 0.1] : [gas];
  const least = Math.min(...each);
  const most = Math.max(...each);
  const carry = Math.max(Math.abs(least - 1), Math.abs(most - 1));
  const state = misses
    ? "misses"
    : alternates
      ? "alternates"
      : carry > CHANGE
        ? "differs"
        : "as single";
  const mean = each.reduce((a, b) => a + b, 0) / each.length;
  return {
    rate_Hz: rate,
    state,
    met: state === "as single",
    binding: "rate change",
    smallest_margin: 1 - carry / CHANGE,
    period: each.length,
    pulses_run: 12,
    gas_over_single: mean,
    gas_least_over_single: least,
    gas_most_over_single: most,
    gas_each_over_single: each,
    gas_mol: 4.4e-8 * mean,
    spread: (most - least) / mean,
    missed: misses ? 1 : 0,
    peak_lift_m: 80e-6 * mean,
    peak_lift_over_single: mean,
    delay_change_s: null,
    carry_over: carry,
    motion_left: 0.5 * late,
    stays_open: false,
    open_share: 0,
    rail_sag: 0.008,
    rail_lift: 0,
    chamber_mean_Pa: 1.8e-4 * rate,
    chamber_peak_Pa: 2e-4 * rate,
    plenum_least_Pa: 2e5,
    supply_current_A: 2.2e-4 + 4e-6 * rate,
    supply_power_W: 150 * (2.2e-4 + 4e-6 * rate),
    strip_heat_W: 1e-4 * rate,
    strip_temperature_K: 295.15 + 0.008 * rate,
    impact_speed_m_s: 1.2,
    residual: 1e-6,
    slow: [{ name: "chamber", residual: 2e-5, time_constant_s: 0.067, moves: 1 }],
    reason: null,
  };
}

function bandsOf(rates: readonly RateFigures[]): GuardBand[] {
  const out: GuardBand[] = [];
  rates.forEach((r, i) => {
    if (r.state === "as single") return;
    const open = out.at(-1);
    if (open !== undefined && rates[i - 1]?.state !== "as single") open.to_Hz = r.rate_Hz;
    else
      out.push({
        from_Hz: r.rate_Hz,
        to_Hz: r.rate_Hz,
        worst_Hz: r.rate_Hz,
        gas_over_single: r.gas_over_single,
        period: r.period,
        missed: r.missed > 0,
        harmonic: null,
        cause: "written",
      });
    const band = out.at(-1) as GuardBand;
    const now = rates.find((other) => other.rate_Hz === band.worst_Hz) as RateFigures;
    if (r.carry_over < now.carry_over) return;
    const order = Math.round(F1 / r.rate_Hz);
    band.worst_Hz = r.rate_Hz;
    band.gas_over_single =
      Math.abs(r.gas_most_over_single - 1) > Math.abs(r.gas_least_over_single - 1)
        ? r.gas_most_over_single
        : r.gas_least_over_single;
    band.harmonic = {
      order,
      line_Hz: order * r.rate_Hz,
      detuning: (order * r.rate_Hz) / F1 - 1,
      answer: 10 / order,
    };
  });
  return out;
}

/** A scan from 10 Hz to 4 kHz. */
export function writtenRates(): RatesResult {
  const rates = Array.from({ length: COUNT }, (_, i) =>
    written(Number((10 * 400 ** (i / (COUNT - 1))).toPrecision(4))),
  );
  rates.push(written(1000));
  rates.sort((a, b) => a.rate_Hz - b.rate_Hz);
  return {
    verdict: { met: false, binding: "rate change", text: "written" },
    margins: [],
    setting: {
      gate_s: 160e-6,
      from_Hz: 10,
      to_Hz: 4000,
      highest_Hz: 5000,
      count: rates.length,
      step_s: 2e-6,
      change: CHANGE,
      measure: "gas",
      ceramic: "large signal",
      closed_state: "low",
      wanted_rate_Hz: 1000,
    },
    single: {
      gas_mol: 4.4e-8,
      peak_lift_m: 80e-6,
      open_delay_s: 1e-4,
      first_over_single: 1.004,
      rests_after_s: 9e-4,
    },
    resonance: {
      open_Hz: F1,
      closed_Hz: 3400,
      ring_down_s: 3.4e-3,
      quasi_static_Hz: F1 / 3,
      harmonics: Array.from({ length: 12 }, (_, i) => ({
        order: i + 1,
        rate_Hz: F1 / (i + 1),
        answer: 20 / (i + 1),
      })),
    },
    rates,
    guard_bands: bandsOf(rates),
    recommended: {
      intervals: [{ from_Hz: 10, to_Hz: 820, bound: "gas per pulse, change from a single pulse" }],
      highest_Hz: 820,
      binding: "gas per pulse, change from a single pulse",
      text: "up to 820 Hz; beyond, gas per pulse, change from a single pulse binds",
    },
    reasons: {},
  };
}

/** A map of the same strip; `cells` of it, coarse ones first, default all. */
export function writtenRatesMap(cells?: number): RatesMap {
  const [columns, rows] = [33, 17];
  const total = columns * rows;
  const map: RatesMap = {
    rates: Array.from({ length: columns }, (_, i) => 30 * 200 ** (i / (columns - 1))),
    gates: Array.from({ length: rows }, (_, j) => 80e-6 + (320e-6 * j) / (rows - 1)),
    gas: new Float64Array(total).fill(Number.NaN),
    change: new Float64Array(total).fill(Number.NaN),
    state: new Int8Array(total).fill(-1),
    allowed: CHANGE,
    measure: "gas",
    present: { gate: 160e-6, rate: 500 },
    done: 0,
    total,
  };
  for (const cell of mapOrder(map).slice(0, cells ?? total)) {
    const rate = map.rates[cell % columns] as number;
    const gate = map.gates[Math.floor(cell / columns)] as number;
    const state = (name: (typeof CELL_STATES)[number]) => CELL_STATES.indexOf(name);
    if (rate * gate > 0.95)
      putCell(map, cell, { gas: Number.NaN, change: Number.NaN, state: state("no room") });
    else {
      // Time left between gate and next edge against the ring-down.
      const change = 0.9 * Math.exp(-(1 / rate - gate) / 450e-6);
      const alternates = rate > 1500 && change > 0.35;
      putCell(map, cell, {
        gas: 1 - change,
        change,
        state: state(alternates ? "alternates" : change > CHANGE ? "differs" : "as single"),
      });
    }
  }
  return map;
}

/** Cells of the coarsest lattice of that map. */
export const COARSE_CELLS = latticeOf(33, 8).length * latticeOf(17, 8).length;
