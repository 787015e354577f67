import { scanNumber } from "./numberText.ts";
import { type QuantityParts, splitQuantity } from "./quantityText.ts";
import { Refusal } from "./refusal.ts";
import { readUnit } from "./unitText.ts";

/**
 * The text of a quantity with its number moved by `steps` units of its last written digit:
 * "0.30 mm" by 1 is "0.31 mm", "4 bar" is "5 bar", "9.9" is "10.0", "1e-3 mbar" is "2e-3 mbar". Exact in
 * decimals. Everything else stays as written: sign, exponent, uncertainty, blanks, the unit's spelling.
 * Two limits ("0.40..0.44 mm") move together where their last digits are the same place. null when the
 * text is no quantity. What the number may be is left to `parseQuantity`.
 * @param steps a whole number
 */
export function stepLastDigit(text: string, steps: number): string | null {
  if (!Number.isSafeInteger(steps)) throw new RangeError(`steps must be whole: got ${steps}`);
  const plain = text.replaceAll("\u00a0", " ");
  const start = /^\s*(?:\p{L}[\p{L}\p{N}_ ]*=\s*)?/u.exec(plain)?.[0].length ?? 0;
  const parts = partsOf(plain.slice(start).trim());
  if (parts === null) return null;
  const at = start + (/^\(\s*/.exec(plain.slice(start))?.[0].length ?? 0);
  if (parts.spread.form !== "limits") return stepAt(text, at, steps);

  const first = scanNumber(plain.slice(at));
  if (typeof first === "string") return null;
  const mark = /(?:\.\.\.?|…)\s*/u.exec(plain.slice(at + first.length));
  const upperAt = at + first.length + (mark === null ? 0 : mark.index + mark[0].length);
  const upper = scanNumber(plain.slice(upperAt));
  const { unitText } = parts.spread;
  const sameUnit = unitText === null || unitText === parts.unitText;
  if (typeof upper === "string" || !sameUnit || first.value.e !== upper.value.e) return null;
  // The upper one first: its place is not moved by it.
  const moved = stepAt(text, upperAt, steps);
  return moved === null ? null : stepAt(moved, at, steps);
}

/** The parts of a quantity of any kind; null for a text that is none. */
function partsOf(text: string): QuantityParts | null {
  try {
    // The kind serves the words of a refusal only, which no one reads here.
    const parts = splitQuantity(text, "ratio");
    const { spread, unitText } = parts;
    const other = spread.form === "own unit" || spread.form === "limits" ? spread.unitText : null;
    return readUnit(unitText).ok && readUnit(other ?? "").ok ? parts : null;
  } catch (error) {
    if (error instanceof Refusal) return null;
    throw error;
  }
}

const MARK = "_\u2009\u202f";
const NUMBER = new RegExp(`^([+\\-\u2212]?)([\\d${MARK}]*)(\\.?)([\\d${MARK}]*)`, "u");

/** Moves the number that begins at `at`; null where it gets too long to be read. */
function stepAt(text: string, at: number, steps: number): string | null {
  const [whole, sign = "", integer = "", point = "", decimals = ""] = NUMBER.exec(
    text.slice(at),
  ) as RegExpExecArray;
  const bare = (part: string) => part.replace(/\D/g, "");
  const places = bare(decimals).length;
  const negative = sign === "-" || sign === "\u2212";
  const before = BigInt(bare(integer) + bare(decimals)) * (negative ? -1n : 1n);
  const after = before + BigInt(steps);
  const digits = (after < 0n ? -after : after).toString().padStart(places + 1, "0");
  const minus = negative ? sign : "-";
  const signAfter = after < 0n ? minus : after > 0n && sign === "+" ? sign : "";
  const integerAfter = wholePart(digits.slice(0, digits.length - places), integer);
  const decimalsAfter = grouped(digits.slice(digits.length - places), decimals);
  const number = `${signAfter}${integerAfter}${point}${decimalsAfter}`;
  const moved = text.slice(0, at) + number + text.slice(at + whole.length);
  return typeof scanNumber(moved.slice(at)) === "string" ? null : moved;
}

/** Digits before the point in the manner of `like`: its leading zeros, none for ".5", its groups. */
function wholePart(digits: string, like: string): string {
  const before = like.replace(/\D/g, "");
  if (before === "" && digits === "0") return "";
  const padded = before.startsWith("0") ? digits.padStart(before.length, "0") : digits;
  const backwards = (part: string) => [...part].reverse().join("");
  return backwards(grouped(backwards(padded), backwards(like)));
}

/** Marks between digits where `like` has them; a number that grows goes on by threes. */
function grouped(digits: string, like: string): string {
  const marks = new Map<number, string>();
  let count = 0;
  for (const char of like) {
    if (/\d/.test(char)) count += 1;
    else marks.set(count, char);
  }
  const last = Math.max(...marks.keys(), 0);
  const threes = last > 0 && [...marks.keys()].every((place) => place % 3 === 0);
  return [...digits]
    .map((digit, i) => {
      const goesOn = threes && i > last && i % 3 === 0 && i >= count;
      return `${marks.get(i) ?? (goesOn ? marks.get(last) : "")}${digit}`;
    })
    .join("");
}
