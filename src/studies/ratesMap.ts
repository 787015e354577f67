import type { Design } from "../design/design.ts";
import { cellOrder, latticeOf } from "./maps.ts";
import { NoPulseError } from "./pulseOptions.ts";
import { pulsePlan } from "./pulsePlan.ts";
import { rateCase } from "./ratesCase.ts";
import { type RatesOptions, type RatesPlan, ratesPlan } from "./ratesPlan.ts";
import type { RateState } from "./ratesResult.ts";

/** What a cell of a map says; "no room": the gate is longer than the period; "no gas": a single pulse opens nothing. */
export type CellState = RateState | "no room" | "no gas";

/** Order of the states in `RatesMap.state`. */
export const CELL_STATES: readonly CellState[] = [
  "as single",
  "differs",
  "alternates",
  "misses",
  "stays open",
  "no repeat",
  "failed",
  "no room",
  "no gas",
];

/** Gas per pulse over that of a single pulse of the same gate. Cell (rate i, gate j) stands at j·rates + i. */
export interface RatesMap {
  /** Rising, SI. */
  rates: number[];
  gates: number[];
  /** Mean over a period; NaN where nothing is computed or can be. */
  gas: Float64Array;
  /** Largest change of any pulse of a period from a single one. */
  change: Float64Array;
  /** Index in {@link CELL_STATES}; −1: not computed yet. */
  state: Int8Array;
  /** Change that counts. */
  allowed: number;
  measure: "gas" | "travel";
  present: { gate: number; rate: number | null };
  done: number;
  total: number;
}

export interface RatesMapOptions extends RatesOptions {
  /** Shortest and longest gate, s. */
  lengths: readonly [number, number];
  /** Rates and gates, at least 2 each; default 25 × 13. */
  columns?: number;
  rows?: number;
}

export interface MapCell {
  gas: number;
  change: number;
  state: number;
}

const COLUMNS = 25;
const ROWS = 13;
/** Ring-downs in the period of the lowest rate of a map: below, every pulse finds the strip at rest. */
const LOWEST_RING_DOWNS = 12;
const ROOM = 1.05;

/**
 * Axes and empty cells.
 * @throws NoPulseError where the design can't have a pulse, RangeError for lengths or rates that do not fit
 */
export function newRatesMap(design: Design, options: RatesMapOptions): RatesMap {
  const [short, long] = options.lengths;
  const { columns = COLUMNS, rows = ROWS } = options;
  if (!(short > 0 && long > short))
    throw new RangeError(`gate lengths must rise from above 0 s: got ${short} to ${long}`);
  if (!(columns >= 2 && rows >= 2))
    throw new RangeError(`a map needs at least 2 rates and 2 lengths: got ${columns} and ${rows}`);
  const pulse = pulsePlan(design, { ...chosen(options), gate: options.gate ?? short });
  const { made } = pulse;
  const from = options.from ?? 1 / (LOWEST_RING_DOWNS * made.ringDown);
  const to = options.to ?? 1 / (ROOM * short);
  if (!(from > 0 && to > from))
    throw new RangeError(`rates must rise from above 0 Hz: got ${from} to ${to}`);
  const total = columns * rows;
  return {
    rates: Array.from({ length: columns }, (_, i) =>
      digits(from * (to / from) ** (i / (columns - 1))),
    ),
    gates: Array.from({ length: rows }, (_, j) =>
      digits(short + ((long - short) * j) / (rows - 1)),
    ),
    gas: new Float64Array(total).fill(Number.NaN),
    change: new Float64Array(total).fill(Number.NaN),
    state: new Int8Array(total).fill(-1),
    allowed: options.change ?? 0.05,
    measure: made.model.plenum === null ? "travel" : "gas",
    present: { gate: pulse.gate as number, rate: design.need.rate },
    done: 0,
    total,
  };
}

const digits = (x: number) => Number(x.toPrecision(5));
const chosen = ({ modes, ceramic, step }: RatesOptions) => ({
  ...(modes === undefined ? {} : { modes }),
  ...(ceramic === undefined ? {} : { ceramic }),
  ...(step === undefined ? {} : { step }),
});

/** Computes cells of one map; what a row shares is made once. */
export function mapCells(
  design: Design,
  options: RatesMapOptions,
  map: Pick<RatesMap, "rates" | "gates">,
): (cell: number) => MapCell {
  const plans = new Map<number, RatesPlan | "no gas" | "no room">();
  const stateOf = (state: CellState) => CELL_STATES.indexOf(state);
  const none = (state: CellState): MapCell => ({
    gas: Number.NaN,
    change: Number.NaN,
    state: stateOf(state),
  });
  const planOf = (j: number) => {
    let plan = plans.get(j);
    if (plan === undefined) {
      try {
        const { change } = options;
        plan = ratesPlan(design, {
          ...chosen(options),
          gate: map.gates[j] as number,
          count: 2,
          ...(change === undefined ? {} : { change }),
        });
      } catch (error) {
        if (!(error instanceof RangeError)) throw error;
        plan = error instanceof NoPulseError ? "no gas" : "no room";
      }
      plans.set(j, plan);
    }
    return plan;
  };
  return (cell) => {
    const columns = map.rates.length;
    const rate = map.rates[cell % columns] as number;
    const plan = planOf(Math.floor(cell / columns));
    if (typeof plan === "string") return none(plan);
    if (rate > plan.highest) return none("no room");
    const figures = rateCase(design, plan, rate);
    if (figures.state === "failed") return none("failed");
    return {
      gas: figures.gas_over_single,
      change: figures.carry_over,
      state: stateOf(figures.state),
    };
  };
}

/** Puts a cell into the map. */
export function putCell(map: RatesMap, cell: number, found: MapCell): void {
  map.gas[cell] = found.gas;
  map.change[cell] = found.change;
  map.state[cell] = found.state;
  map.done += 1;
}

/** Every cell once, every 8th of both directions first. */
export function mapOrder(map: RatesMap): number[] {
  const columns = map.rates.length;
  return [...cellOrder(columns, map.gates.length)].map(({ column, row }) => row * columns + column);
}

/** Runs to the end; see {@link ratesMapSteps}. */
export function ratesMap(design: Design, options: RatesMapOptions): RatesMap {
  const steps = ratesMapSteps(design, options);
  for (;;) {
    const next = steps.next();
    if (next.done === true) return next.value;
  }
}

/** The map cell by cell, coarse ones first; every step yields the same record, grown. */
export function* ratesMapSteps(
  design: Design,
  options: RatesMapOptions,
): Generator<RatesMap, RatesMap> {
  const map = newRatesMap(design, options);
  const compute = mapCells(design, options, map);
  for (const cell of mapOrder(map)) {
    putCell(map, cell, compute(cell));
    yield map;
  }
  return map;
}

/** Spacing of the finest lattice all of whose cells are computed; null before the coarsest is. */
export function completeRatesStep(map: RatesMap): number | null {
  const columns = map.rates.length;
  let finest: number | null = null;
  for (let step = 8; step >= 1; step /= 2) {
    const whole = latticeOf(map.gates.length, step).every((row) =>
      latticeOf(columns, step).every((column) => (map.state[row * columns + column] ?? -1) >= 0),
    );
    if (!whole) break;
    finest = step;
  }
  return finest;
}
