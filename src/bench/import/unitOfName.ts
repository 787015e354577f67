import { readUnit } from "../../units/index.ts";

/** Words that people write for a unit, lower case. */
const WORDS: Readonly<Record<string, string>> = {
  sec: "s",
  secs: "s",
  second: "s",
  seconds: "s",
  msec: "ms",
  usec: "us",
  minutes: "min",
  hours: "h",
  volt: "V",
  volts: "V",
  amp: "A",
  amps: "A",
  ampere: "A",
  amperes: "A",
  ohm: "ohm",
  ohms: "ohm",
  hertz: "Hz",
  pascal: "Pa",
  pascals: "Pa",
  newton: "N",
  newtons: "N",
  deg: "°",
  degree: "°",
  degrees: "°",
  percent: "%",
  metre: "m",
  meters: "m",
  metres: "m",
};

/** The unit as `units` reads it, "" for a pure number; null when the text is none. */
export function unitText(given: string): string | null {
  const text = given.trim();
  if (text === "1") return "";
  if (text === "" || text === "-") return null;
  const word = WORDS[text.toLowerCase()];
  if (word !== undefined) return word;
  // "kOhm", "MOhm": the prefix as it stands, the word in lower case.
  const plain = text.replace(/ohms?$/i, "ohm");
  return readUnit(plain).ok ? plain : null;
}

/** A heading split in name and unit: "Time (s)", "CH1 [mV]", "t/ms", "U in V", "p, mbar", "time_s". */
export function nameAndUnit(heading: string): { name: string; unit: string | null } {
  const text = heading.trim().replace(/^#\s*/, "");
  const bracket = /^(.*?)\s*(?:\[([^\]]*)\]|\(((?:[^()]|\([^()]*\))*)\))$/u.exec(text);
  if (bracket !== null) {
    const inside = (bracket[2] ?? bracket[3] ?? "").trim();
    const unit = unitText(inside);
    // "CH1 (gate)" keeps its words.
    if (unit !== null) return { name: (bracket[1] as string).trim(), unit };
    if (inside === "" || inside === "-") return { name: (bracket[1] as string).trim(), unit: null };
    return { name: text, unit: null };
  }
  for (const [pattern, least] of SEPARATED) {
    const match = pattern.exec(text);
    if (match === null) continue;
    const unit = unitText((match[2] as string).replace(/^\((.*)\)$/, "$1"));
    // A single capital behind an underscore is as likely a channel: "CH_A".
    if (unit !== null && (unit.length >= least || /^[a-z]$/.test(unit)))
      return { name: (match[1] as string).trim(), unit };
  }
  return { name: text, unit: null };
}

const SEPARATED: readonly (readonly [RegExp, number])[] = [
  [/^([^/]+?)\s*\/\s*(.+)$/u, 1],
  [/^(.+?)\s+in\s+(\S+)$/u, 1],
  [/^(.+?)\s*,\s*(\S+)$/u, 1],
  [/^(.+)_([A-Za-zμµΩ%]+)$/u, 2],
];

/** Whether every cell is a unit, a dash or nothing, and at least one is a unit. */
export function isUnitsRow(cells: readonly string[]): boolean {
  let some = false;
  for (const cell of cells) {
    const bare = cell.replace(/^[[(](.*)[\])]$/, "$1").trim();
    if (bare === "" || bare === "-") continue;
    if (unitText(bare) === null) return false;
    some ||= bare !== "1";
  }
  return some;
}

/** A cell of a units row; null where it states none. */
export const unitCell = (cell: string): string | null =>
  unitText(cell.trim().replace(/^[[(](.*)[\])]$/, "$1"));
