import { parseQuantity, type Quantity } from "../../units/index.ts";
import type { Candidate, HeadLine } from "./candidates.ts";

/** A sample interval as it stands in a line above the data. */
export interface FoundInterval {
  row: number;
  line: string;
  /** Seconds; null when no unit stands there. */
  seconds: number | null;
  /** The number without unit, and whether it is a rate. */
  bare: string;
  rate: boolean;
}

const INTERVAL =
  /\b(?:sampl\w*|scan|record\w*|time|x|horizontal|acquisition)[\s_-]*(?:interval|increment|step|spacing)\b|\bsampl\w*[\s_-]*(?:period|time)\b|\b(?:interval|increment)\b|\b(?:delta|d)[\s_-]*t\b|Δt/iu;
const RATE = /\b(?:sampl\w*|scan|record\w*|acquisition|data)[\s_-]*(?:rate|frequency)\b|\bf_?s\b/iu;
/** Words beside an interval that make it another one. */
const OTHER = /trigger|pulse|repetition|integration|exposure|gate|averag|average|update|refresh/iu;

const DOTTED = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?/;
const COMMAED = /^[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?/;

/** A line without marks of comment, quotes and names of channels, whose digits are no values. */
const labelOf = (text: string) => text.replace(/^[\s#%!"/*]+/, "").replace(/\bCH?\d+\b/gi, "");
const keyOf = (label: string) => /^[^0-9]*/.exec(label)?.[0] ?? "";
const isStated = (key: string) => (RATE.test(key) || INTERVAL.test(key)) && !OTHER.test(key);

/** Whether a line speaks of a sample interval or rate. */
export const statesInterval = (text: string): boolean => isStated(keyOf(labelOf(text)));

/** Intervals and rates stated above the data, in the order of the lines. */
export function intervalsIn(
  lines: readonly HeadLine[],
  before: number,
  { delimiter, numbers }: Pick<Candidate, "delimiter" | "numbers">,
): FoundInterval[] {
  const found: FoundInterval[] = [];
  for (let i = 0; i < before; i++) {
    const { text, row } = lines[i] as HeadLine;
    const label = labelOf(text);
    const key = keyOf(label);
    const rate = RATE.test(key);
    if (!isStated(key)) continue;
    const rest = label.slice(key.length);
    const written = (delimiter === "comma" ? DOTTED : COMMAED).exec(rest)?.[0];
    if (written === undefined) continue;
    const after = rest.slice(written.length);
    const behind = after.replace(/^[\s,;:"]+/, "");
    const bracketed = /[[(]([^\])]*)[\])]/.exec(key)?.[1];
    const unit = (/^[^\s,;:"#]+/.exec(behind)?.[0] ?? bracketed ?? "").replace(/[[\]()"]/g, "");
    const decimal = numbers.decimal === "comma" ? written.replace(",", ".") : written;
    // "1,000" where numbers have a decimal dot, or more digits behind the mark: not one number for certain.
    const doubtful = decimal.includes(",") || (/^[.,]\d/.test(after) && delimiter !== "comma");
    const seconds = doubtful ? null : secondsOf(decimal, unit, rate);
    found.push({ row, line: text.trim(), seconds, bare: written.replace(",", "."), rate });
  }
  return found;
}

const PER_SECOND = /^([kMG]?)(?:(?:Sa|S|samples?|Samples?|points?)\/(?:s|sec|second)|[Ss]ps|SPS)$/;

/** Seconds between samples; null for a unit that is none of time or of rate. */
export function secondsOf(number: string, unit: string, rate: boolean): number | null {
  if (unit === "") return null;
  const read = rate
    ? quantity(`${number} ${unit.replace(PER_SECOND, "$1Hz")}`, "frequency")
    : quantity(`${number} ${unit}`, "time");
  if (read === null || !(read.value > 0)) return null;
  return rate ? 1 / read.value : read.value;
}

function quantity(text: string, kind: "time" | "frequency"): Quantity | null {
  const read = parseQuantity(text.replace(/\bsec(?:onds?)?$/i, "s"), kind);
  return read.ok ? read.quantity : null;
}

/** An interval or a rate as a recipe gives it: "1 us", "500 kHz". */
export function saidInterval(text: string): number | null {
  const time = quantity(text, "time");
  if (time !== null) return time.value > 0 ? time.value : null;
  const rate = quantity(text, "frequency");
  return rate !== null && rate.value > 0 ? 1 / rate.value : null;
}
