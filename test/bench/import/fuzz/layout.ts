import type { Delimiter } from "../../../../src/bench/import/types.ts";
import type { Chance } from "./chance.ts";

/** A column of a made-up table. */
export interface MadeColumn {
  role: "time" | "signal" | "gate" | null;
  name: string;
  /** As written; its power of ten to SI. */
  unit: string;
  power: number;
  /** Canonical decimal texts: dot, no groups. */
  cells: string[];
}

export type LineKind = "preamble" | "names" | "units" | "data";

export interface MadeLine {
  kind: LineKind;
  text: string;
}

/** A file of known numbers in a random layout. */
export interface Made {
  delimiter: Delimiter;
  decimal: "dot" | "comma";
  groups: "none" | "dot" | "comma";
  columns: MadeColumn[];
  /** Sample interval in s that stands in the preamble instead of a column of times. */
  interval: number | null;
  /** Rows end in a delimiter. */
  trailing: boolean;
  lines: MadeLine[];
  lineEnd: "\n" | "\r\n" | "\r";
  encoding: "utf8" | "bom" | "utf16le" | "latin1";
  ended: boolean;
}

const MARKS = { comma: ",", semicolon: ";", tab: "\t", space: " ", none: "" } as const;
const PREAMBLE = [
  "recorder",
  "Model: 12",
  "room, west",
  "[header]",
  "",
  "# run 3",
  "Points;40",
].concat(["date 2026-03-01 10:00", '"free words"', "%%%", "Label\tA"]);
const UNITS = {
  time: [
    ["s", 0],
    ["ms", -3],
    ["µs", -6],
    ["us", -6],
    ["ns", -9],
  ],
  signal: [
    ["V", 0],
    ["mV", -3],
    ["µm", -6],
  ],
  gate: [
    ["V", 0],
    ["kV", 3],
  ],
  extra: [
    ["K", 0],
    ["", 0],
    ["mA", -3],
  ],
} as const;

export function made(chance: Chance): Made {
  const delimiter = chance.of(["comma", "semicolon", "tab", "space", "none"] as const);
  const decimal = delimiter === "comma" || chance.yes(0.6) ? "dot" : "comma";
  const grouped = delimiter !== "comma" && chance.yes(0.12);
  const groups = !grouped ? "none" : decimal === "dot" ? "comma" : "dot";
  const rows = 2 + chance.below(chance.yes(0.1) ? 300 : 30);
  const timed = delimiter !== "none" && chance.yes(0.75);
  const columns: MadeColumn[] = [];
  if (timed) columns.push(column("time", chance, times(chance, rows, grouped)));
  columns.push(column("signal", chance, numbers(chance, rows, grouped)));
  if (delimiter !== "none") {
    if (chance.yes(0.4)) columns.push(column("gate", chance, gates(chance, rows)));
    for (let k = chance.below(3); k > 0; k--) {
      const extra = column("extra", chance, numbers(chance, rows, grouped));
      columns.splice(chance.below(columns.length + 1), 0, extra);
    }
  }
  const trailing =
    (delimiter === "comma" || delimiter === "semicolon") && columns.length > 1 && chance.yes(0.08);
  const interval = timed ? null : chance.of([1e-6, 2e-3, 0.5]);
  const file: Made = {
    ...{ delimiter, decimal, groups, columns, interval, trailing, lines: [] },
    lineEnd: chance.of(["\n", "\n", "\r\n", "\r"] as const),
    encoding: chance.of(["utf8", "utf8", "bom", "utf16le", "latin1"] as const),
    ended: chance.yes(0.9),
  };
  heading(file, chance);
  const mark = MARKS[delimiter];
  const quoted = chance.yes(0.08);
  const blanks = delimiter === "space" && chance.yes() ? "  " : "";
  for (let i = 0; i < rows; i++) {
    const cells = columns.map(({ cells: own }) => spelled(own[i] as string, file));
    const parts = quoted ? cells.map((cell) => `"${cell}"`) : cells;
    file.lines.push({
      kind: "data",
      text: blanks + parts.join(mark + blanks) + (trailing ? mark : ""),
    });
    if (chance.yes(0.01)) file.lines.push({ kind: "data", text: chance.of(["", "# pause"]) });
  }
  return file;
}

function column(kind: keyof typeof UNITS, chance: Chance, cells: string[]): MadeColumn {
  const [unit, power] = chance.of(UNITS[kind] as readonly (readonly [string, number])[]);
  const words = {
    time: ["time", "Time", "t"],
    signal: ["signal", "CH1", "U"],
    gate: ["gate"],
    extra: ["aux", "T2", "x"],
  };
  return { role: kind === "extra" ? null : kind, name: chance.of(words[kind]), unit, power, cells };
}

const digits = (chance: Chance, n: number) =>
  Array.from({ length: n }, () => chance.below(10)).join("");

function numbers(chance: Chance, rows: number, grouped: boolean): string[] {
  const form = chance.below(grouped ? 1 : 5);
  const decimals = chance.below(5);
  const lead = chance.yes(0.3);
  return Array.from({ length: rows }, () => {
    const sign = chance.yes(0.3) ? "-" : "";
    const whole =
      grouped || lead ? 1 + chance.below(chance.of([10, 1000, 1_000_000])) : chance.below(10);
    if (form === 0) return `${sign}${whole}${decimals > 0 ? `.${digits(chance, decimals)}` : ""}`;
    if (form === 1)
      return `${sign}${whole}.${digits(chance, 6)}e${chance.of(["-03", "+02", "0", "-12"])}`;
    if (form === 2) return `${sign}${whole}.${digits(chance, 18)}E-0${chance.below(9)}`;
    if (form === 3) return String((chance.below(2_000_001) - 1_000_000) / 7919);
    return `${sign}${whole}.${digits(chance, 1 + chance.below(25))}`;
  });
}

function times(chance: Chance, rows: number, grouped: boolean): string[] {
  const decimals = grouped ? chance.below(3) : chance.below(7);
  const step = chance.of([1, 2, 5, 25, 1250]);
  const from = chance.of([0, 0, -40, 12345]);
  const exponent = !grouped && chance.yes(0.2) ? chance.of(["e-03", "E+00"]) : "";
  return Array.from({ length: rows }, (_, i) => {
    const n = from + i * step;
    const size = String(Math.abs(n)).padStart(decimals + 1, "0");
    const cut = size.length - decimals;
    return `${n < 0 ? "-" : ""}${size.slice(0, cut)}${decimals > 0 ? `.${size.slice(cut)}` : ""}${exponent}`;
  });
}

const gates = (chance: Chance, rows: number): string[] => {
  const half = 1 + chance.below(40);
  return Array.from({ length: rows }, (_, i) => (Math.floor(i / half) % 2 === 0 ? "0" : "5"));
};

/** A canonical number as the layout writes it. */
function spelled(cell: string, { decimal, groups }: Made): string {
  const [mantissa = "", exponent] = cell.split(/(?=[eE])/);
  let [whole = "", part] = mantissa.split(".");
  if (groups !== "none")
    whole = whole.replace(/(\d)(?=(\d{3})+$)/g, `$1${groups === "dot" ? "." : ","}`);
  const mark = decimal === "dot" ? "." : ",";
  return `${whole}${part === undefined ? "" : mark + part}${exponent ?? ""}`;
}

function heading(file: Made, chance: Chance): void {
  const { columns, delimiter, trailing } = file;
  const mark = MARKS[delimiter];
  for (let k = chance.below(5); k > 0; k--)
    file.lines.push({ kind: "preamble", text: chance.of(PREAMBLE) });
  if (file.interval !== null) {
    const ms = file.interval * 1e3;
    file.lines.push({
      kind: "preamble",
      text: chance.of([
        `Sample interval: ${ms} ms`,
        `# dt = ${file.interval} s`,
        `Sample rate: ${1 / file.interval} Hz`,
      ]),
    });
  }
  const row = (cells: readonly string[]) =>
    cells.join(delimiter === "space" ? "   " : mark) + (trailing ? mark : "");
  const style = chance.below(4);
  if (style === 0 && columns.every(({ unit }) => unit !== "")) {
    file.lines.push({ kind: "names", text: row(columns.map(({ name }) => name)) });
    file.lines.push({ kind: "units", text: row(columns.map(({ unit }) => unit)) });
    return;
  }
  const forms = [
    (n: string, u: string) => `${n} (${u})`,
    (n: string, u: string) => `${n}/${u}`,
  ].concat([(n: string, u: string) => `${n} [${u}]`]);
  const form = chance.of(forms);
  const named = columns.map(({ name, unit }) => (unit === "" ? name : form(name, unit)));
  file.lines.push({ kind: "names", text: row(named) });
}
