import { type Base, type Draw, type Entry, freeQuantities, type Mutation, splice } from "./base.ts";

/** Mutations that make the text wrong: it must be refused, with the code that says how. */

type Change = (base: Base, draw: Draw) => string | null;
const mutation = (name: string, codes: readonly string[], change: Change): Mutation => ({
  name,
  apply(base, draw) {
    const text = change(base, draw);
    return text === null ? null : { text, outcome: { kind: "refused", codes } };
  },
});

/** A unit and the kinds that it would be right for. */
const FOREIGN: readonly [unit: string, kinds: readonly string[]][] = [
  ["kg", ["mass"]],
  ["V", ["voltage"]],
  ["mm", ["length"]],
  ["s", ["time"]],
  ["K", ["temperature", "temperature difference"]],
  ["MPa", ["pressure", "stress", "modulus"]],
  ["Ω", ["resistance"]],
];

const lineOf = (text: string, at: number): [number, number] => {
  const end = text.indexOf("\n", at);
  return [text.lastIndexOf("\n", at - 1) + 1, end < 0 ? text.length : end + 1];
};

/** The text without one entry, where it can be cut out cleanly; null otherwise. */
function without(text: string, entry: Entry): string | null {
  const i = entry.siblings.indexOf(entry);
  if (entry.siblings.length === 1) return null;
  if (entry.flow) {
    const next = entry.siblings[i + 1];
    if (next !== undefined) return splice(text, entry.keyStart, next.keyStart, "");
    return splice(text, (entry.siblings[i - 1] as Entry).end, entry.end, "");
  }
  const [from] = lineOf(text, entry.keyStart);
  const [, to] = lineOf(text, entry.end);
  return text.slice(from, entry.keyStart).trim() === "" ? splice(text, from, to, "") : null;
}

const number = (
  name: string,
  codes: readonly string[],
  write: (number: string, unit: string, draw: Draw) => string | null,
): Mutation =>
  mutation(name, codes, (base, draw) => {
    const { leaf, parts } = draw.of(freeQuantities(base));
    const piece = write(parts.number, parts.unit, draw);
    return piece === null ? null : splice(base.text, leaf.start, leaf.end, piece);
  });

export const REFUSED: readonly Mutation[] = [
  mutation("a unit of another dimension", ["quantity"], (base, draw) => {
    const { leaf, parts } = draw.of(freeQuantities(base));
    const [unit, kinds] = draw.of(FOREIGN);
    if (kinds.includes(leaf.parameter.quantity as string)) return null;
    return splice(base.text, leaf.start, leaf.end, `${parts.number} ${unit}`);
  }),
  number(
    "a unit that does not exist",
    ["quantity"],
    (n, unit, draw) => `${n} ${unit}${draw.of(["x", "zz", "?"])}`,
  ),
  number("no unit", ["bare-number", "quantity"], (n, unit) =>
    unit === "" || unit === "%" ? null : n,
  ),
  number("a decimal comma", ["quantity"], (n, unit) =>
    n.includes(".") ? `"${n.replace(".", ",")} ${unit}"` : null,
  ),
  number("not a number", ["quantity"], (_, unit, draw) =>
    draw.of([".nan", "nan", "NaN", `nan ${unit}`]),
  ),
  number("an infinite number", ["quantity"], (_, unit, draw) =>
    draw.of([".inf", "-.inf", "inf", `inf ${unit}`, `1e999 ${unit}`]),
  ),
  number("no number", ["quantity", "wrong-type"], (_, unit, draw) =>
    draw.of([`'${unit}'`, "about five", "'-'", "''", "x5"]),
  ),
  number("two numbers", ["quantity"], (n, unit) => `${n} ${n} ${unit}`),
  number("two uncertainties", ["quantity"], (n, unit) => `${n}(1) ± 1 ${unit}`),
  number("a list", ["wrong-type"], (n, unit) => `[${n} ${unit}]`),
  number("a flag", ["wrong-type"], (_, __, draw) => draw.of(["true", "false"])),
  number(
    "a tag",
    ["tag"],
    (n, unit, draw) => `${draw.of(["!!float", "!x", "!!int", "!!binary"])} ${n} ${unit}`,
  ),
  mutation("far too large", ["out-of-range"], (base, draw) => {
    const { leaf, parts } = draw.of(freeQuantities(base));
    if (leaf.parameter.max === undefined && leaf.parameter.below === undefined) return null;
    return splice(base.text, leaf.start, leaf.end, `9e40 ${parts.unit}`.trim());
  }),
  mutation("negative", ["out-of-range", "quantity"], (base, draw) => {
    const { leaf, parts } = draw.of(freeQuantities(base));
    const { above, min } = leaf.parameter;
    if (above !== 0 && min !== 0) return null;
    return splice(base.text, leaf.start, leaf.end, `-${parts.number} ${parts.unit}`.trim());
  }),
  mutation("zero", ["out-of-range"], (base, draw) => {
    const { leaf, parts } = draw.of(freeQuantities(base));
    if (leaf.parameter.above !== 0) return null;
    return splice(base.text, leaf.start, leaf.end, `0 ${parts.unit}`.trim());
  }),
  mutation("an uncertainty larger than the value", ["out-of-range"], (base, draw) => {
    const { leaf, parts } = draw.of(freeQuantities(base));
    if (leaf.parameter.above !== 0 || parts.unit === "%") return null;
    return splice(
      base.text,
      leaf.start,
      leaf.end,
      `${parts.number} ± ${Number(parts.number) * 2} ${parts.unit}`.trim(),
    );
  }),
  mutation("nothing where a value is due", ["wrong-type"], ({ text, leaves }, draw) => {
    const leaf = draw.of(
      leaves.filter((l) => l.path.length > 1 && typeof l.path[l.path.length - 1] === "string"),
    );
    return splice(text, leaf.start, leaf.end, draw.of(["~", "null", leaf.flow ? "~" : ""]));
  }),
  mutation(
    "a map where a value is due",
    ["wrong-type", "unknown-key", "fractions", "quantity", "missing-key", "unknown-gas"],
    ({ text, leaves }, draw) => {
      const leaf = draw.of(leaves.filter((l) => l.parameter.kind !== "words" && l.path.length > 1));
      return splice(text, leaf.start, leaf.end, "{zz: 1}");
    },
  ),
  mutation(
    "a required key missing",
    ["missing-key", "version-missing", "needed-with", "material-incomplete"],
    ({ text, entries }, draw) => {
      const required = entries.filter((entry) => entry.required);
      return without(text, draw.of(required));
    },
  ),
  mutation("a slip in a key", ["unknown-key"], ({ text, entries }, draw) => {
    const entry = draw.of(entries.filter((e) => e.inTable && e.key.length > 3));
    const known = new Set(entry.siblings.map((e) => e.key));
    const i = 1 + draw.below(entry.key.length - 2);
    const { key } = entry;
    const wrong = draw.of([
      key.slice(0, i) + key.slice(i + 1),
      key.slice(0, i) + draw.of(["q", "_", "x"]) + key.slice(i),
      key.slice(0, i) + key[i + 1] + key[i] + key.slice(i + 2),
    ]);
    return known.has(wrong) || wrong === key
      ? null
      : splice(text, entry.keyStart, entry.keyEnd, wrong);
  }),
  mutation("a key from nowhere", ["unknown-key"], ({ text, entries }, draw) => {
    const entry = draw.of(entries.filter((e) => e.inTable));
    const key = draw.of(["zz", "colour", "Width", "__proto__", "constructor", "x.y", "<<"]);
    const gap = entry.flow
      ? ", "
      : `\n${" ".repeat(entry.keyStart - lineOf(text, entry.keyStart)[0])}`;
    return splice(text, entry.keyStart, entry.keyStart, `${key}: 5 mm${gap}`);
  }),
  mutation("a key twice", ["duplicate-key"], ({ text, entries }, draw) => {
    const entry = draw.of(entries);
    const pair = text.slice(entry.keyStart, entry.end);
    if (pair.includes("\n")) return null;
    const gap = entry.flow
      ? ", "
      : `\n${" ".repeat(entry.keyStart - lineOf(text, entry.keyStart)[0])}`;
    return splice(text, entry.keyStart, entry.keyStart, `${pair}${gap}`);
  }),
  mutation("a slip in a choice", ["not-a-choice"], ({ text, leaves }, draw) => {
    const choices = leaves.filter((l) => l.parameter.kind === "choice");
    const leaf = draw.of(choices);
    return splice(text, leaf.start, leaf.end, `${leaf.source}${draw.of(["s", "x", " "])}q`);
  }),
  mutation("a flag that is none", ["wrong-type"], ({ text, leaves }, draw) => {
    const flags = leaves.filter((l) => l.parameter.kind === "flag");
    return flags.length === 0
      ? null
      : ((leaf) => splice(text, leaf.start, leaf.end, draw.of(["No", "1", "maybe", "on"])))(
          draw.of(flags),
        );
  }),
  mutation(
    "a material that no table has",
    ["unknown-material", "hardness"],
    ({ text, leaves }, draw) => {
      const leaf = draw.of(leaves.filter((l) => /\.material$/.test(l.parameter.path)));
      return splice(
        text,
        leaf.start,
        leaf.end,
        `${leaf.source.replace(/\d+/, "99")}${/\d/.test(leaf.source) ? "" : draw.of(["x", "s", " 2"])}`,
      );
    },
  ),
  mutation("a node that does not exist", ["unknown-node"], ({ text, leaves }, draw) => {
    const nodes = leaves.filter((l) =>
      ["wiring.*", "switch.high", "switch.low"].includes(l.parameter.path),
    );
    const leaf = draw.of(nodes);
    return splice(text, leaf.start, leaf.end, draw.of(["Ground", "earth", "bias2", "switch"]));
  }),
  mutation(
    "an electrode that is wired but not there",
    ["unknown-electrode", "electrode-not-wired"],
    ({ text, entries }, draw) => {
      const entry = draw.of(entries.filter((e) => e.path[0] === "wiring" && e.path.length === 2));
      return splice(text, entry.keyStart, entry.keyEnd, `${entry.key} b`);
    },
  ),
  mutation(
    "electrodes that contradict",
    ["electrodes-contradict", "electrode-both-faces", "electrode-one-face", "poling-missing"],
    ({ text, entries }, draw) => {
      const layer = entries.filter(
        (e) => e.path[1] === "layers" && ["top", "bottom", "poling"].includes(e.key),
      );
      const entry = draw.of(layer);
      if (draw.below(2) === 0) return without(text, entry);
      const other = entry.siblings.find((e) => e.key === (entry.key === "top" ? "bottom" : "top"));
      if (entry.key === "poling" || other === undefined) return null;
      const name = text.slice(other.keyEnd, other.end).replace(/^:\s*/, "");
      return splice(text, entry.keyStart, entry.end, `${entry.key}: ${name}`);
    },
  ),
  mutation("a pad beyond the tip", ["beyond-tip", "position-twice"], ({ text, entries }, draw) => {
    const entry = entries.find((e) => e.path[0] === "pad" && e.key === "from_tip");
    if (entry === undefined) return null;
    return splice(
      text,
      entry.keyStart,
      entry.end,
      draw.of(["position: 900 mm", "from_tip: 900 mm"]),
    );
  }),
  mutation("a strip too short", ["strip-too-short", "duplicate-key"], ({ text, entries }, draw) => {
    const entry = entries.find((e) => e.path.join() === "strip,width");
    if (entry === undefined) return null;
    const gap = entry.flow
      ? ", "
      : `\n${" ".repeat(entry.keyStart - lineOf(text, entry.keyStart)[0])}`;
    return splice(
      text,
      entry.keyStart,
      entry.keyStart,
      `total_length: ${1 + draw.below(12)} mm${gap}`,
    );
  }),
  mutation(
    "a section missing that another needs",
    ["seat-without-pad", "needed-with", "switch-missing"],
    ({ text, entries }, draw) => {
      const wanted = draw.of([["pad"], ["switch"], ["need", "gas"], ["need", "orifice_diameter"]]);
      const entry = entries.find((e) => e.path.join() === wanted.join());
      if (entry === undefined || !entries.some((e) => e.path.join() === "seat")) return null;
      return without(text, entry);
    },
  ),
  mutation(
    "broken syntax",
    ["syntax"],
    ({ text }, draw) =>
      `${text}${draw.of(['zz: "open', "zz: [1, 2", "zz: {a: 1", "\tzz: 1", "zz: 'open", "zz: a: b", "@zz: 1", "zz"])}\n`,
  ),
  mutation("another document", ["several-documents"], ({ text }) => `${text}---\nreedlift: 1\n`),
  mutation("another version", ["version-newer", "version-invalid"], ({ text }, draw) =>
    text.replace(
      "reedlift: 1",
      `reedlift: ${draw.of(["2", "99", "0", "-1", "1.5", '"1"', "one", "~", "[1]"])}`,
    ),
  ),
  mutation(
    "nested far too deep",
    ["too-deep", "too-many-entries", "syntax"],
    ({ text }, draw) =>
      `${text}zz: ${draw.of(["[", "{a: ", "- "]).repeat(200 + draw.below(2000))}\n`,
  ),
  mutation(
    "far too many entries",
    ["too-many-entries", "too-long"],
    ({ text }, draw) => `${text}zz: [${"1,".repeat(600 + draw.below(3000))}]\n`,
  ),
];
