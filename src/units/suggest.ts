import { sameDimension } from "./dimension.ts";
import { dimensionOf, kindSpec, type QuantityKind } from "./kinds.ts";
import { normaliseUnitText, UNIT_SYMBOLS } from "./unitTable.ts";
import { readUnit, type Unit } from "./unitText.ts";

/** Spellings that are not symbols, lower case → the symbol. */
const WORDS: Readonly<Record<string, string>> = {
  micron: "μm",
  microns: "μm",
  millimeter: "mm",
  millimetre: "mm",
  meter: "m",
  metre: "m",
  c: "°C",
  celsius: "°C",
  degc: "°C",
  kelvin: "K",
  volt: "V",
  volts: "V",
  sec: "s",
  second: "s",
  seconds: "s",
  msec: "ms",
  usec: "μs",
  minute: "min",
  minutes: "min",
  hr: "h",
  hrs: "h",
  hour: "h",
  hours: "h",
  day: "d",
  days: "d",
  hertz: "Hz",
  cps: "Hz",
  barg: "bar(g)",
  bara: "bar(a)",
  mbarg: "mbar(g)",
  mbara: "mbar(a)",
  psig: "psi(g)",
  psia: "psi(a)",
  mmhg: "Torr",
  cc: "ml",
  liter: "l",
  litre: "l",
  liters: "l",
  litres: "l",
  slpm: "slm",
  percent: "%",
  degree: "°",
  degrees: "°",
  ohms: "Ω",
};

const MOST_SUGGESTIONS = 3;

/**
 * Units near `text` that a quantity of `kind` can have, at most three: symbols of other case
 * ("mpa" → "MPa"), words ("micron"), one wrong letter. Never used to guess, only to ask.
 */
export function suggestUnits(text: string, kind: QuantityKind): string[] {
  let texts = [""];
  for (const part of normaliseUnitText(text).split(/(°?\p{L}+(?:\([ga]\))?|°|%)/u)) {
    const choices = /[\p{L}°%]/u.test(part) ? nearSymbols(part) : [part];
    texts = texts.flatMap((start) => choices.map((choice) => start + choice)).slice(0, 200);
  }
  const found: string[] = [];
  for (const candidate of texts) {
    const read = readUnit(candidate);
    if (!read.ok || !suits(read.unit, kind) || found.includes(read.unit.text)) continue;
    if (read.unit.text !== text) found.push(read.unit.text);
  }
  return found.slice(0, MOST_SUGGESTIONS);
}

function suits(unit: Unit, kind: QuantityKind): boolean {
  if (unit.standardFlow) return kind === "throughput" || kind === "molar flow";
  if (unit.offset !== null && kind !== "temperature" && kind !== "pressure") return false;
  if (kindSpec(kind).without?.some((base) => unit.bases.includes(base))) return false;
  return sameDimension(unit.dimension, dimensionOf(kind));
}

/** Nearest first: itself, other case, a word, one letter away. */
function nearSymbols(symbol: string): string[] {
  const folded = symbol.toLowerCase();
  const near = UNIT_SYMBOLS.has(symbol) ? [symbol] : [];
  const word = WORDS[folded];
  if (word !== undefined) near.push(word);
  for (const other of UNIT_SYMBOLS.keys()) if (other.toLowerCase() === folded) near.push(other);
  if (near.length === 0 && symbol.length > 1) {
    for (const other of UNIT_SYMBOLS.keys())
      if (oneLetterApart(folded, other.toLowerCase())) near.push(other);
  }
  return near.slice(0, 12);
}

/** True where one letter replaced, left out or put in turns `a` into `b`. */
function oneLetterApart(a: string, b: string): boolean {
  if (Math.abs(a.length - b.length) > 1) return false;
  let start = 0;
  while (start < a.length && a[start] === b[start]) start += 1;
  let end = 0;
  const room = Math.min(a.length, b.length) - start;
  while (end < room && a.at(-1 - end) === b.at(-1 - end)) end += 1;
  return Math.max(a.length, b.length) - start - end <= 1;
}
