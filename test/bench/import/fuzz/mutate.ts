import type { Chance } from "./chance.ts";
import type { Made, MadeLine } from "./layout.ts";

const CELLS = [
  "",
  "NaN",
  "inf",
  "-",
  "x",
  "1e",
  "9.9E+37",
  "1,5",
  "1.5",
  "1.2.3",
  "--1",
  "0x10",
  "1e400",
].concat(["-1.#IND", "∞", "12:30:01", "1 000", "99999999999999999999999999999999999999999"]);
const BYTES = '0123456789.,;:\t "#eE+-()[]/xsmV\u0000\u00e9\u001a'.split("");

/** Changes some lines of a file; returns what was done. */
export function mutate(file: Made, chance: Chance): string[] {
  const done: string[] = [];
  for (let k = chance.of([0, 1, 1, 1, 2, 3, 6]); k > 0 && file.lines.length > 0; k--) {
    const name = chance.of(Object.keys(MUTATIONS));
    (MUTATIONS[name] as Mutation)(file, chance);
    done.push(name);
  }
  return done;
}

type Mutation = (file: Made, chance: Chance) => void;

/** A line, mostly of the data. */
function place(lines: readonly MadeLine[], chance: Chance): number {
  const from = chance.yes(0.8) ? lines.findIndex(({ kind }) => kind === "data") : 0;
  return Math.max(0, from) + chance.below(lines.length - Math.max(0, from));
}

const atLine =
  (change: (text: string, chance: Chance, file: Made) => string): Mutation =>
  (file, chance) => {
    const i = place(file.lines, chance);
    const line = file.lines[i] as MadeLine;
    const parts = change(line.text, chance, file).split("\n");
    file.lines.splice(i, 1, ...parts.map((text) => ({ kind: line.kind, text })));
  };

const atCell = (change: (cell: string, chance: Chance) => string[]): Mutation =>
  atLine((text, chance, { delimiter }) => {
    const mark = { comma: ",", semicolon: ";", tab: "\t", space: " ", none: "\u0001" }[delimiter];
    const cells = text.split(mark);
    const i = chance.below(cells.length);
    cells.splice(i, 1, ...change(cells[i] as string, chance));
    return cells.join(mark);
  });

const MUTATIONS: Record<string, Mutation> = {
  "byte replaced": atLine((text, chance) => {
    const i = chance.below(text.length);
    return text.slice(0, i) + chance.of(BYTES) + text.slice(i + 1);
  }),
  "byte inserted": atLine((text, chance) => {
    const i = chance.below(text.length + 1);
    return text.slice(0, i) + chance.of(BYTES) + text.slice(i);
  }),
  "bytes deleted": atLine((text, chance) => {
    const i = chance.below(text.length);
    return text.slice(0, i) + text.slice(i + 1 + chance.below(4));
  }),
  "line broken": atLine((text, chance) => {
    const i = chance.below(text.length + 1);
    return `${text.slice(0, i)}\n${text.slice(i)}`;
  }),
  "bytes of rubbish": atLine((text, chance) => {
    const rubbish = Array.from({ length: 1 + chance.below(20) }, () => chance.of(BYTES)).join("");
    const i = chance.below(text.length + 1);
    return text.slice(0, i) + rubbish + text.slice(i);
  }),
  "cell replaced": atCell((_, chance) => [chance.of(CELLS)]),
  "cell taken away": atCell(() => []),
  "cell added": atCell((cell, chance) => [cell, chance.of(["1", "2.5", "", "x"])]),
  "cell quoted": atCell((cell, chance) => [chance.of([`"${cell}"`, `"${cell}`, ` ${cell} `])]),
  "decimal mark changed": atLine((text) =>
    text.includes(".") ? text.replace(".", ",") : text.replace(",", "."),
  ),
  "delimiter changed": atLine((text, chance) =>
    text.replace(/[,;\t]/, chance.of([",", ";", "\t", " ", "|"])),
  ),
  "line deleted": ({ lines }, chance) => {
    lines.splice(place(lines, chance), 1);
  },
  "line repeated": ({ lines }, chance) => {
    const i = place(lines, chance);
    lines.splice(i, 0, { ...(lines[i] as MadeLine) });
  },
  "lines swapped": ({ lines }, chance) => {
    const i = place(lines, chance);
    const [a, b] = [lines[i], lines[i + 1]];
    if (a === undefined || b === undefined || a.kind !== b.kind) return;
    [lines[i], lines[i + 1]] = [b, a];
  },
  "words between": ({ lines }, chance) => {
    const from = lines.findIndex(({ kind }) => kind === "data");
    const text = chance.of(["stopped", "", "# note", "----", "time (s),signal (V)", "a;b;c"]);
    lines.splice(from + 1 + chance.below(lines.length - from), 0, { kind: "data", text });
  },
  "cut off": (file, chance) => {
    const i = place(file.lines, chance);
    const line = file.lines[i] as MadeLine;
    file.lines.splice(i + 1);
    line.text = line.text.slice(0, chance.below(line.text.length + 1));
    file.ended = false;
  },
  "heading lost": (file) => {
    file.lines = file.lines.filter(({ kind }) => kind === "data");
  },
};
