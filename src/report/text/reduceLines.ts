import { factor95 } from "../../numerics/student.ts";
import { displayUnit, unitNamed } from "../../units/index.ts";
import { toNumber } from "../../units/rational.ts";
import { fixed } from "../figures/axis.ts";
import { printFigure, unitOfFigure } from "../figureUnits.ts";
import { wrap } from "./lines.ts";
import { pulseHeading } from "./pulseTextLines.ts";
import { type TextStyle, toAscii } from "./style.ts";

/** A titled block, empty without lines. */
export function block(title: string, lines: readonly string[], style: TextStyle): string[] {
  if (lines.length === 0) return [];
  const head = wrap(style.words(title), style.columns - 2);
  const last = head.pop() as string;
  return [...head.map(style.palette.strong), pulseHeading(last, style), ...lines];
}

/** "2711.3(4) Hz" for a key that ends in its unit. */
export const figure = (
  key: string,
  value: number,
  u: number | null,
  style: TextStyle,
  digits?: number,
): string =>
  style.words(
    printFigure(key, value, u, { ascii: style.ascii, ...(digits === undefined ? {} : { digits }) }),
  );

/** What an interval needs of a value. */
export interface Spread {
  key: string;
  value: number | null;
  u: number | null;
  degreesOfFreedom: number;
  interval95?: readonly [number, number];
}

/** Ends of the interval that holds 95 %; null where none can be stated. */
export function interval95(of: Spread): readonly [number, number] | null {
  if (of.interval95 !== undefined) return of.interval95;
  const { value, u, degreesOfFreedom } = of;
  if (value === null || u === null || !(u > 0) || !(degreesOfFreedom > 0)) return null;
  const half = factor95(degreesOfFreedom) * u;
  return Number.isFinite(half) ? [value - half, value + half] : null;
}

/** Decimals of an interval's ends are those of two digits of its half width. */
const DIGITS = 2;

/** "2710.5 … 2712.1 Hz", both ends in one unit. */
export function intervalText(key: string, ends: readonly [number, number], ascii: boolean): string {
  const [low, high] = ends;
  const { unit, factor, zero } = unitFor(key, Math.max(Math.abs(low), Math.abs(high)));
  const [a, b] = [(low - zero) / factor, (high - zero) / factor];
  const largest = Math.max(Math.abs(a), Math.abs(b));
  const place = Math.floor(Math.log10((b - a) / 2 || largest || 1)) - (DIGITS - 1);
  const plain = largest >= 1e-3 && largest < 1e6 && place > -9;
  const number = (x: number) => {
    if (plain) return fixed(Number(x.toFixed(Math.max(0, -place))), Math.max(0, -place));
    const digits = Math.max(1, Math.floor(Math.log10(Math.abs(x) || 1)) - place + 1);
    return x
      .toExponential(digits - 1)
      .replace("e+", "e")
      .replaceAll("-", "−");
  };
  const numbers = `${number(a)} … ${number(b)}`;
  const text = unit === "" || unit === "1" ? numbers : `${numbers} ${unit}`;
  return ascii ? toAscii(text) : text;
}

/** The unit that numbers of a size are written in, the SI size of one, and the SI value of its zero. */
function unitFor(key: string, largest: number): { unit: string; factor: number; zero: number } {
  const { kind, machine, print } = unitOfFigure(key);
  if (kind === null) return { unit: print?.unit ?? machine, factor: print?.factor ?? 1, zero: 0 };
  const { factor, offset } = unitNamed(displayUnit(kind, largest));
  return {
    unit: displayUnit(kind, largest),
    factor: toNumber(factor),
    zero: offset === null ? 0 : toNumber(offset),
  };
}

/** From here on they change nothing that could be seen. */
const MANY = 1000;

/** Degrees of freedom as the bench writes them: whole where they are many, none where they do not matter. */
export function freedom(nu: number): string {
  if (!(nu < MANY)) return "";
  return nu >= 10 ? nu.toFixed(0) : nu.toFixed(1).replace(/\.0$/, "");
}

/** "−2.3 %" of a ratio, with its sign. */
export function percent(ratio: number, style: TextStyle): string {
  const size = Math.abs(100 * ratio);
  const digits = size >= 100 ? size.toFixed(0) : size.toPrecision(2);
  return style.words(`${ratio < 0 ? "−" : "+"}${digits} %`);
}
