import type { Metre, Newton, Second } from "../../units/aliases.ts";
import type { Series } from "./series.ts";

/*
 * Figures of one pulse from its series, t = 0 at the gate's opening edge. Delays run from the gate edge to 50 %
 * of this pulse's peak lift, rise and fall between 10 and 90 % of it. Crossings are interpolated straight
 * between grid points.
 *   re-closure  contact while commanded open, after an opening above 1 % of the peak
 *   satellite   opening above 1 % of the peak after the first contact that follows the gate's end
 */

/** Share of the peak lift that an opening must pass to count. */
export const COUNTS = 0.01;

export interface Opening {
  from: Second;
  /** null: still open at the end. */
  to: Second | null;
  lift: Metre;
  /** Gas let through, kg. */
  mass: number;
}

export interface LiftMetrics {
  peak: Metre;
  peakTime: Second;
  /** First lift above 1 % of the peak. */
  firstOpen: Second | null;
  openDelay: Second | null;
  rise: Second | null;
  /** From the gate's end to 50 % of the peak, the last crossing before contact. */
  closeDelay: Second | null;
  fall: Second | null;
  /** Width of the lift at half of its peak. */
  width: Second | null;
  /** From the gate edge to 50 % of the static lift, where reached. */
  staticDelay: Second | null;
  /** First contact after the gate's end. */
  firstContact: Second | null;
  /** Main opening still open at the end of the series. */
  staysOpen: boolean;
  reclosures: Opening[];
  satellites: Opening[];
  /** Largest speed towards the seat within the step before a contact after the gate's end. */
  impactSpeed: number;
  contactMax: Newton;
  indentationMax: Metre;
  /** Lift between gate end minus a tenth of the gate, over the static lift. */
  overshoot: number | null;
}

export interface FlowMetrics {
  /** Gas of the whole series, kg. */
  mass: number;
  peak: number;
  peakTime: Second;
  openDelay: Second | null;
  rise: Second | null;
  /** Width of the main peak at half its height, and from the first to the last such crossing. */
  mainWidth: Second | null;
  outerWidth: Second | null;
  /** mass/peak. */
  equivalentTime: Second | null;
  /** Mean time weighted with the flow. */
  centre: Second | null;
}

type Values = Float64Array;

/** Time at which values pass `level` between grid points i and i + 1. */
function crossing(values: Values, step: Second, i: number, level: number): Second {
  const a = values[i]!;
  const b = values[i + 1]!;
  return step * (i + (b === a ? 0 : (level - a) / (b - a)));
}

function firstUp(values: Values, step: Second, level: number, from: number, to: number) {
  for (let i = from; i < to; i++)
    if (values[i]! < level && values[i + 1]! >= level) return crossing(values, step, i, level);
  return null;
}

function lastDown(values: Values, step: Second, level: number, from: number, to: number) {
  for (let i = to - 1; i >= from; i--)
    if (values[i]! >= level && values[i + 1]! < level) return crossing(values, step, i, level);
  return null;
}

function indexOfPeak(values: Values, from: number, to: number): number {
  let best = from;
  for (let i = from; i <= to; i++) if (values[i]! > values[best]!) best = i;
  return best;
}

export interface PulseTiming {
  /** When the gate ends. */
  gate: Second;
  /** Static lift in the open state; null: none. */
  staticLift: Metre | null;
}

/** Figures of the motion. Without any opening all times are null. */
export function liftMetrics(series: Series, timing: PulseTiming): LiftMetrics {
  const { step, count } = series;
  const lift = series.lift.values;
  const last = count - 1;
  const end = Math.min(last, Math.max(0, Math.floor(timing.gate / step)));
  const contactAt = firstContactAfter(lift, end, last);
  const at = indexOfPeak(lift, 0, contactAt === null ? last : contactAt);
  const peak = Math.max(0, lift[at]!);
  const level = (share: number) => share * peak;
  const started = peak > 0 && at > 0;
  const stop = contactAt === null ? last : Math.min(last, contactAt + 1);
  const ten = started ? firstUp(lift, step, level(0.1), 0, at) : null;
  const ninety = started ? firstUp(lift, step, level(0.9), 0, at) : null;
  const halfUp = started ? firstUp(lift, step, level(0.5), 0, at) : null;
  const halfDown = started ? lastDown(lift, step, level(0.5), at, stop) : null;
  const ninetyDown = started ? lastDown(lift, step, level(0.9), at, stop) : null;
  const tenDown = started ? lastDown(lift, step, level(0.1), at, stop) : null;
  const first = started ? firstUp(lift, step, level(COUNTS), 0, at) : null;
  const { staticLift } = timing;
  let contactMax = 0;
  let indentationMax = 0;
  for (let i = 0; i <= last; i++) {
    contactMax = Math.max(contactMax, series.contact.values[i]!);
    indentationMax = Math.max(indentationMax, -lift[i]!);
  }
  let impactSpeed = 0;
  for (let i = end; i < last; i++)
    if (lift[i]! > 0 && lift[i + 1]! <= 0)
      impactSpeed = Math.max(impactSpeed, (lift[i]! - lift[i + 1]!) / step);
  return {
    peak,
    peakTime: at * step,
    firstOpen: first,
    openDelay: halfUp,
    rise: ten === null || ninety === null ? null : ninety - ten,
    closeDelay: halfDown === null ? null : halfDown - timing.gate,
    fall: ninetyDown === null || tenDown === null ? null : tenDown - ninetyDown,
    width: halfUp === null || halfDown === null ? null : halfDown - halfUp,
    staticDelay:
      staticLift === null || staticLift <= 0
        ? null
        : firstUp(lift, step, 0.5 * staticLift, 0, last),
    firstContact: contactAt === null ? null : crossing(lift, step, contactAt - 1, 0),
    staysOpen: started && contactAt === null && lift[last]! > level(COUNTS),
    reclosures: openings(series, 0, end, peak, false),
    satellites: contactAt === null ? [] : openings(series, contactAt, last, peak, true),
    impactSpeed,
    contactMax,
    indentationMax,
    overshoot: staticLift === null || staticLift <= 0 ? null : peak / staticLift - 1,
  };
}

/** First grid point at or after `from` that is in contact and follows an open one. */
function firstContactAfter(lift: Values, from: number, last: number): number | null {
  for (let i = Math.max(1, from); i <= last; i++) if (lift[i]! <= 0 && lift[i - 1]! > 0) return i;
  return null;
}

/**
 * Openings above 1 % of the peak between two grid points: those that start in there, or, for closures
 * while commanded open (`starts` false), those that end by contact before the last point.
 */
function openings(
  series: Series,
  from: number,
  to: number,
  peak: Metre,
  starts: boolean,
): Opening[] {
  const { step } = series;
  const lift = series.lift.values;
  const flow = series.flow.values;
  const out: Opening[] = [];
  let open: { at: number; from: Second; lift: Metre; mass: number } | null = null;
  for (let i = from; i < to; i++) {
    const a = lift[i]!;
    const b = lift[i + 1]!;
    if (open === null && a <= 0 && b > 0)
      open = { at: i, from: crossing(lift, step, i, 0), lift: 0, mass: 0 };
    if (open === null) continue;
    open.lift = Math.max(open.lift, b);
    open.mass += 0.5 * step * (flow[i]! + flow[i + 1]!);
    if (b > 0) continue;
    if (open.lift > COUNTS * peak)
      out.push({
        from: open.from,
        to: crossing(lift, step, i, 0),
        lift: open.lift,
        mass: open.mass,
      });
    open = null;
  }
  if (starts && open !== null && open.lift > COUNTS * peak)
    out.push({ from: open.from, to: null, lift: open.lift, mass: open.mass });
  return out;
}

/** Figures of the gas; null where the valve let none through. */
export function flowMetrics(series: Series): FlowMetrics | null {
  const { step, count } = series;
  const flow = series.flow.values;
  const last = count - 1;
  const at = indexOfPeak(flow, 0, last);
  const peak = flow[at]!;
  let mass = 0;
  let moment = 0;
  for (let i = 0; i < last; i++) {
    const part = 0.5 * step * (flow[i]! + flow[i + 1]!);
    mass += part;
    moment += part * step * (i + 0.5);
  }
  if (!(peak > 0)) return null;
  const half = 0.5 * peak;
  const up = lastUp(flow, step, half, at);
  const down = firstDown(flow, step, half, at, last);
  const first = firstUp(flow, step, half, 0, at);
  const lastHalf = lastDown(flow, step, half, at, last);
  const ten = firstUp(flow, step, 0.1 * peak, 0, at);
  const ninety = firstUp(flow, step, 0.9 * peak, 0, at);
  return {
    mass,
    peak,
    peakTime: at * step,
    openDelay: first,
    rise: ten === null || ninety === null ? null : ninety - ten,
    mainWidth: up === null || down === null ? null : down - up,
    outerWidth: first === null || lastHalf === null ? null : lastHalf - first,
    equivalentTime: mass / peak,
    centre: mass > 0 ? moment / mass : null,
  };
}

function lastUp(values: Values, step: Second, level: number, to: number): Second | null {
  for (let i = to - 1; i >= 0; i--)
    if (values[i]! < level && values[i + 1]! >= level) return crossing(values, step, i, level);
  return null;
}

function firstDown(values: Values, step: Second, level: number, from: number, last: number) {
  for (let i = from; i < last; i++)
    if (values[i]! >= level && values[i + 1]! < level) return crossing(values, step, i, level);
  return null;
}
