import { parse, stringify } from "yaml";
import { PARAMETERS } from "../../../src/design/parameters.ts";
import { type Base, type Draw, freeQuantities, type Mutation, splice } from "./base.ts";

/** Mutations that change the text and not its meaning: the echo must be the same to the byte. */

const same = (text: string | null) =>
  text === null ? null : { text, outcome: { kind: "same" as const } };
const mutation = (name: string, change: (base: Base, draw: Draw) => string | null): Mutation => ({
  name,
  apply: (base, draw) => same(change(base, draw)),
});

/** Offsets of line ends. */
const lineEnds = (text: string): number[] =>
  [...text.matchAll(/\n/g)].map((match) => match.index as number);

const COMMENTS = [" # a remark", " # 5 mm: [ { \" '", "  #", " # reedlift: 9"];

/** `0.180 mm` and a unit a thousand times smaller: `180 µm`, by moving the point in the text. */
function shifted(number: string): string {
  const sign = number.startsWith("-") ? "-" : "";
  const [whole = "0", decimals = ""] = number.replace(/^[-+]/, "").split(".");
  const padded = decimals.padEnd(3, "0");
  const rest = padded.slice(3);
  return `${sign}${BigInt(whole + padded.slice(0, 3))}${rest === "" ? "" : `.${rest}`}`;
}
const SMALLER: Readonly<Record<string, string>> = {
  m: "mm",
  mm: "µm",
  A: "mA",
  F: "mF",
  kHz: "Hz",
  kΩ: "Ω",
  MΩ: "kΩ",
  bar: "mbar",
  GPa: "MPa",
  µF: "nF",
  s: "ms",
  N: "mN",
};

export const SAME: readonly Mutation[] = [
  mutation("comment after a line", ({ text }, draw) => {
    const at = draw.of(lineEnds(text));
    return splice(text, at, at, draw.of(COMMENTS));
  }),
  mutation("comment line", ({ text }, draw) => {
    const at = draw.of(lineEnds(text)) + 1;
    return splice(text, at, at, `${" ".repeat(draw.below(9))}# between: the lines\n`);
  }),
  mutation("blank lines", ({ text }, draw) => {
    const at = draw.of(lineEnds(text)) + 1;
    return splice(text, at, at, draw.of(["\n", "\n\n", "   \n"]));
  }),
  mutation("trailing blanks", ({ text }, draw) => {
    const at = draw.of(lineEnds(text));
    return splice(text, at, at, " ".repeat(1 + draw.below(5)));
  }),
  mutation("quotes around a value", ({ text, leaves }, draw) => {
    const leaf = draw.of(leaves.filter((l) => l.parameter.kind !== "integer"));
    const quote = draw.of(['"', "'"]);
    return splice(text, leaf.start, leaf.end, `${quote}${leaf.source}${quote}`);
  }),
  mutation("quotes around a key", ({ text, entries }, draw) => {
    const entry = draw.of(entries);
    return splice(text, entry.keyStart, entry.keyEnd, `"${entry.key}"`);
  }),
  mutation("two keys of a group change places", ({ text, entries }, draw) => {
    const flows = entries.filter((entry) => entry.flow && entry.siblings.length > 1);
    if (flows.length === 0) return null;
    const { siblings } = draw.of(flows);
    const i = draw.below(siblings.length - 1);
    const [a, b] = [siblings[i]!, siblings[i + 1]!];
    const middle = text.slice(a.end, b.keyStart);
    const swapped = text.slice(b.keyStart, b.end) + middle + text.slice(a.keyStart, a.end);
    return splice(text, a.keyStart, b.end, swapped);
  }),
  mutation("two sections change places", ({ text, entries }, draw) => {
    const tops = entries.filter((entry) => entry.path.length === 1);
    const i = draw.below(tops.length - 1);
    const [a, b, c] = [tops[i]!, tops[i + 1]!, tops[i + 2]];
    const end = c?.keyStart ?? text.length;
    const one = text.slice(a.keyStart, b.keyStart);
    return text.slice(0, a.keyStart) + text.slice(b.keyStart, end) + one + text.slice(end);
  }),
  mutation("blanks between number and unit", (base, draw) => {
    const { leaf, parts } = draw.of(freeQuantities(base));
    if (parts.unit === "") return null;
    const at = leaf.end - parts.unit.length - 1;
    return splice(base.text, at, at + 1, draw.of(["", "  ", "   "]));
  }),
  mutation("a smaller unit", (base, draw) => {
    const { leaf, parts } = draw.of(freeQuantities(base));
    const unit = SMALLER[parts.unit];
    if (unit === undefined || parts.u !== null) return null;
    return splice(base.text, leaf.start, leaf.end, `${shifted(parts.number)} ${unit}`);
  }),
  mutation("the uncertainty written with ±", (base, draw) => {
    const { leaf, parts } = draw.of(freeQuantities(base));
    if (parts.u === null || parts.unit === "%") return null;
    const u = parts.decimals === 0 ? parts.u : `0.${parts.u.padStart(parts.decimals, "0")}`;
    if (parts.decimals > 0 && parts.u.length > parts.decimals) return null;
    const mark = draw.of(["±", "+/-", " ± ", " +/- "]);
    return splice(
      base.text,
      leaf.start,
      leaf.end,
      `${parts.number}${mark}${u} ${parts.unit}`.trim(),
    );
  }),
  mutation("zeros at the end of a number", (base, draw) => {
    const { leaf, parts } = draw.of(freeQuantities(base));
    if (parts.u !== null) return null;
    const zeros = (parts.decimals === 0 ? "." : "") + "0".repeat(1 + draw.below(4));
    return splice(base.text, leaf.start, leaf.end, `${parts.number}${zeros} ${parts.unit}`.trim());
  }),
  mutation("an exponent", (base, draw) => {
    const { leaf, parts } = draw.of(freeQuantities(base));
    if (parts.u !== null || parts.unit === "") return null;
    const shift = 1 + draw.below(3);
    const [whole = "", decimals = ""] = parts.number.split(".");
    const digits = decimals.padEnd(shift, "0");
    const moved = `${whole}${digits.slice(0, shift)}.${digits.slice(shift)}0`;
    return splice(base.text, leaf.start, leaf.end, `${moved}e-${shift} ${parts.unit}`);
  }),
  mutation("another letter for micro", (base, draw) => {
    const micros = base.leaves.filter(
      (l) => l.parameter.kind === "quantity" && l.source.includes("µ"),
    );
    if (micros.length === 0) return null;
    const leaf = draw.of(micros);
    return splice(
      base.text,
      leaf.start,
      leaf.end,
      leaf.source.replace("µ", draw.of(["u", "\u03bc", "\u00b5"])),
    );
  }),
  mutation("a default written out", ({ text, entries }, draw) => {
    const section = draw.of(["limits", "model", "surroundings", "cable"]);
    if (entries.some((entry) => entry.path.length === 1 && entry.key === section)) return null;
    const rows = PARAMETERS.filter(
      (p) => p.path.startsWith(`${section}.`) && p.default !== undefined,
    );
    const row = draw.of(rows);
    return `${text}${section}: {${row.path.split(".")[1]}: ${row.default}}\n`;
  }),
  mutation("carriage returns", ({ text }) => text.replaceAll("\n", "\r\n")),
  mutation("byte-order mark", ({ text }) => `\ufeff${text}`),
  mutation("document marks", ({ text }, draw) =>
    draw.of([`---\n${text}`, `%YAML 1.2\n---\n${text}`, `${text}...\n`]),
  ),
  mutation("no newline at the end", ({ text }) => text.trimEnd()),
  mutation("all of it as JSON", ({ text }, draw) =>
    JSON.stringify(parse(text), null, draw.of([0, 1, 4, "\t"])),
  ),
  mutation("all of it in blocks", ({ text }, draw) =>
    stringify(parse(text), { indent: draw.of([2, 3, 8]), lineWidth: 0 }),
  ),
  mutation("an anchor on a value", ({ text, leaves }, draw) => {
    const leaf = draw.of(leaves);
    return splice(text, leaf.start, leaf.start, `&here${draw.below(99)} `);
  }),
  mutation("an alias for an equal value", ({ text, leaves }, draw) => {
    const values = leaves.filter((l) => l.parameter.kind !== "integer");
    const pairs = values.flatMap((a) =>
      values.filter((b) => b.start > a.start && b.source === a.source).map((b) => [a, b] as const),
    );
    if (pairs.length === 0) return null;
    const [first, twin] = draw.of(pairs);
    const aliased = splice(text, twin.start, twin.end, "*one ");
    return splice(aliased, first.start, first.start, "&one ");
  }),
  mutation("true for yes", ({ text, leaves }, draw) => {
    const flags = leaves.filter((l) => l.parameter.kind === "flag");
    if (flags.length === 0) return null;
    const leaf = draw.of(flags);
    return splice(text, leaf.start, leaf.end, leaf.source === "yes" ? "true" : "false");
  }),
];
