import { displayUnit, type QuantityKind, unitNamed } from "../../units/index.ts";
import { toNumber } from "../../units/rational.ts";
import { el, line, rect, text } from "./svg.ts";
import { textWidth } from "./textSize.ts";
import { HAIR, INK, QUIET, SIZE } from "./theme.ts";

/** Maps values to px. */
export interface Scale {
  from: number;
  to: number;
  log: boolean;
  at: (value: number) => number;
  /** px of both ends. */
  range: readonly [number, number];
}

/** RangeError for an empty or not finite domain. */
export function linear(from: number, to: number, range: readonly [number, number]): Scale {
  if (!(Number.isFinite(from) && Number.isFinite(to)) || from === to)
    throw new RangeError(`an axis needs two different finite ends: got ${from} and ${to}`);
  const at = (v: number) => range[0] + ((v - from) / (to - from)) * (range[1] - range[0]);
  return { from, to, log: false, at, range };
}

/** RangeError unless 0 < from < to. */
export function logarithmic(from: number, to: number, range: readonly [number, number]): Scale {
  if (!(from > 0 && to > from && Number.isFinite(to)))
    throw new RangeError(`a log axis needs 0 < from < to: got ${from} and ${to}`);
  const [a, b] = [Math.log10(from), Math.log10(to)];
  const at = (v: number) => range[0] + ((Math.log10(v) - a) / (b - a)) * (range[1] - range[0]);
  return { from, to, log: true, at, range };
}

/** Round steps (1, 2, 5 times a power of ten), about `count` of them inside the ends. */
export function ticks(
  from: number,
  to: number,
  count: number,
): { values: number[]; decimals: number } {
  const raw = Math.abs(to - from) / Math.max(1, count);
  const power = Math.floor(Math.log10(raw) + 1e-9);
  const lead = raw / 10 ** power;
  const step = lead < 1.5 ? 1 : lead < 3.5 ? 2 : lead < 7.5 ? 5 : 10;
  const exponent = step === 10 ? power + 1 : power;
  const unit = (step === 10 ? 1 : step) * 10 ** exponent;
  const [low, high] = from < to ? [from, to] : [to, from];
  const values: number[] = [];
  for (let i = Math.ceil(low / unit - 1e-9); i <= Math.floor(high / unit + 1e-9); i++)
    values.push(Number((i * unit).toPrecision(12)));
  return { values, decimals: Math.max(0, -exponent) };
}

/** Whole powers of ten from `from` to `to`. */
export function decades(from: number, to: number): number[] {
  const out: number[] = [];
  for (let e = Math.ceil(Math.log10(from) - 1e-9); e <= Math.floor(Math.log10(to) + 1e-9); e++)
    out.push(10 ** e);
  return out;
}

/** A number with fixed decimals and a typeset minus. */
export function fixed(x: number, decimals: number): string {
  const t = x.toFixed(decimals);
  return Number(t) === 0 ? t.replace("-", "") : t.replace("-", "−");
}

/** Unit of an axis and what an SI number is divided by for it. */
export interface AxisUnit {
  unit: string;
  factor: number;
}

/** The unit in which the trade writes numbers as large as the larger end. */
export function axisUnit(kind: QuantityKind, from: number, to: number): AxisUnit {
  const unit = displayUnit(kind, Math.max(Math.abs(from), Math.abs(to)));
  return { unit, factor: toNumber(unitNamed(unit).factor) };
}

/** "deflection / mm", "field / (kV/mm)"; a pure number has its name only. */
export function axisTitle(name: string, unit: string): string {
  if (unit === "") return name;
  return /[/·]/.test(unit) ? `${name} / (${unit})` : `${name} / ${unit}`;
}

export interface AxisLook {
  name: string;
  unit: AxisUnit;
  /** About this many ticks, default 6. */
  count?: number;
  /** Where the grid lines end, px; none without. */
  grid?: number;
  /** Ticks without numbers and title, for a chart above another with the same axis; default no. */
  bare?: boolean;
}

/** The horizontal axis at height `y`, ticks and numbers below. The domain of `scale` is in SI. */
export function bottomAxis(scale: Scale, y: number, look: AxisLook): string[] {
  const marks = marksOf(scale, look);
  const out = [line(scale.range[0], y, scale.range[1], y)];
  for (const { at, label } of marks) {
    if (look.grid !== undefined)
      out.push(line(at, y, at, look.grid, { stroke: HAIR, "stroke-width": 0.6 }));
    out.push(line(at, y, at, y + 4));
    if (look.bare !== true)
      out.push(text(at, y + 16, label, { anchor: "middle", size: SIZE.small, fill: INK }));
  }
  if (look.bare === true) return out;
  const middle = (scale.range[0] + scale.range[1]) / 2;
  out.push(text(middle, y + 34, axisTitle(look.name, look.unit.unit), { anchor: "middle" }));
  return out;
}

/** The vertical axis at `x`, ticks and numbers on its left. */
export function leftAxis(scale: Scale, x: number, look: AxisLook): string[] {
  const marks = marksOf(scale, look);
  const out = [line(x, scale.range[0], x, scale.range[1])];
  let widest = 0;
  for (const { at, label } of marks) {
    if (look.grid !== undefined)
      out.push(line(x, at, look.grid, at, { stroke: HAIR, "stroke-width": 0.6 }));
    out.push(line(x - 4, at, x, at));
    out.push(text(x - 7, at + 3.6, label, { anchor: "end", size: SIZE.small }));
    widest = Math.max(widest, textWidth(label, SIZE.small));
  }
  const middle = (scale.range[0] + scale.range[1]) / 2;
  const title = axisTitle(look.name, look.unit.unit);
  out.push(text(x - widest - 17, middle, title, { anchor: "middle", turn: -90 }));
  return out;
}

function marksOf(scale: Scale, { unit, count = 6 }: AxisLook): { at: number; label: string }[] {
  const [from, to] = [scale.from / unit.factor, scale.to / unit.factor];
  if (scale.log) return decadeMarks(scale, from, to, unit.factor);
  const { values, decimals } = ticks(from, to, count);
  return values.map((v) => ({ at: scale.at(v * unit.factor), label: fixed(v, decimals) }));
}

/** Least distance of two labels of a log axis, px. */
const CLOSE = 30;

/**
 * Decades, as many as there is room for; where fewer than two are seen, 1, 2 and 5 of each; where fewer than
 * two of these, even steps. One spelling for all: 0.01, 1, 100 where all are short, else powers of ten.
 */
function decadeMarks(scale: Scale, from: number, to: number, factor: number) {
  const at = (v: number) => scale.at(v * factor);
  const all = decades(from, to);
  if (all.length < 2) {
    const parts = decades(from / 10, to).flatMap((d) => [d, 2 * d, 5 * d]);
    const seen = parts.filter((v) => v >= from * (1 - 1e-9) && v <= to * (1 + 1e-9));
    const { values, decimals } = ticks(from, to, 3);
    if (seen.length < 2) return values.map((v) => ({ at: at(v), label: fixed(v, decimals) }));
    return seen.map((v) => ({ at: at(v), label: roundLabel(v) }));
  }
  const apart = Math.abs(at(all[1]!) - at(all[0]!));
  const stride = Math.max(1, Math.ceil(CLOSE / apart));
  const short = all.every((v) => v >= 0.9e-3 && v <= 1.1e4);
  return all
    .filter((v) => Math.round(Math.log10(v)) % stride === 0)
    .map((v) => ({ at: at(v), label: decadeLabel(v, short) }));
}

/** "0.002", "50", "2·10⁻⁵". */
function roundLabel(v: number): string {
  if (v >= 0.9e-3 && v <= 1.1e4) return String(Number(v.toPrecision(1)));
  const power = Math.floor(Math.log10(v) + 1e-9);
  const lead = Math.round(v / 10 ** power);
  return lead === 1 ? decadeLabel(v, false) : `${lead}·${decadeLabel(10 ** power, false)}`;
}

function decadeLabel(v: number, short: boolean): string {
  const e = Math.round(Math.log10(v));
  if (e === 0) return "1";
  if (short) return e >= 0 ? String(10 ** e) : (10 ** e).toFixed(-e);
  const up = String(Math.abs(e)).replace(/\d/g, (d) => "⁰¹²³⁴⁵⁶⁷⁸⁹"[Number(d)]!);
  return `10${e < 0 ? "⁻" : ""}${up}`;
}

/** A quiet note under an axis or a picture. */
export function note(x: number, y: number, words: string): string {
  return text(x, y, words, { size: SIZE.small, fill: QUIET });
}

/** Clip path of a plot's rectangle, by which curves end at its frame. */
export function plotClip(
  id: string,
  plot: { left: number; right: number; top: number; bottom: number },
): string {
  const { left, right, top, bottom } = plot;
  return el("clipPath", { id }, rect(left, top, right - left, bottom - top));
}
