import type { ProblemData } from "./problem.ts";

/** Words of every problem of a design file: what is wrong, what is allowed, what to do. */

type Words = (problem: ProblemData) => string;

const text = (problem: ProblemData, key: string): string => {
  const value = problem.data?.[key];
  return value === undefined ? "" : Array.isArray(value) ? listed(value) : String(value);
};
/** Names that hold commas themselves are parted by semicolons. */
const listed = (names: readonly string[]): string =>
  names.join(names.some((name) => name.includes(",")) ? "; " : ", ");
const last = (problem: ProblemData): string => String(problem.path[problem.path.length - 1] ?? "");
const near = (problem: ProblemData): string => {
  const nearest = text(problem, "nearest");
  return nearest === "" ? "" : `did you mean "${nearest}"?`;
};

const MESSAGES: Readonly<Record<ProblemData["code"], Words>> = {
  "too-large": (p) =>
    `the file has ${text(p, "size")} bytes; a design file has at most ${text(p, "limit")}`,
  syntax: (p) => `not readable as YAML or JSON: ${text(p, "reason")}`,
  "duplicate-key": () => "this key stands twice",
  "too-deep": (p) => `nested deeper than ${text(p, "limit")} levels`,
  "too-long": (p) => `more than ${text(p, "limit")} words and marks`,
  "too-many-entries": (p) => `a map or list with more than ${text(p, "limit")} entries`,
  "too-many-aliases": (p) => `more than ${text(p, "limit")} aliases`,
  tag: (p) => `the tag ${p.found} has no meaning here`,
  "several-documents": () => "the file holds more than one document",
  empty: () => "the file holds no design",
  "version-missing": () => "the schema version is missing",
  "version-newer": (p) =>
    `the file was written for schema version ${p.found}; this program reads up to ${text(p, "current")}`,
  "version-invalid": (p) => `${p.found} is no schema version`,
  "unknown-key": (p) => `there is no key "${last(p)}" in ${text(p, "group")}`,
  "missing-key": (p) => `${text(p, "label")} is missing`,
  "wrong-type": (p) => `${text(p, "expected")} is due here`,
  "bare-number": (p) => `a number without unit where ${text(p, "kind")} is due`,
  quantity: (p) => text(p, "reason"),
  "out-of-range": (p) => `${text(p, "label")} is out of range`,
  "not-a-choice": (p) => `"${p.found}" is none of the choices`,
  "name-not-allowed": (p) => `"${last(p)}" cannot be a name here`,
  "range-order": () => "the range ends before it begins",
  "unknown-material": (p) => `there is no material "${p.found}"`,
  "wrong-material": (p) => `"${p.found}" is ${text(p, "is")}, ${text(p, "due")} is due here`,
  "material-incomplete": (p) => `the material lacks ${text(p, "keys")}`,
  hardness: (p) => `a hardness of ${text(p, "hardness")} Shore A is out of range`,
  "unknown-gas": (p) => `there is no gas "${p.found}"`,
  fractions: (p) => `the mole fractions add up to ${text(p, "sum")}`,
  coupling: (p) =>
    `d31, modulus and permittivity give a coupling k31² of ${text(p, "k31")}: no real material reaches 1`,
  "strip-too-short": (p) =>
    `the strip is ${text(p, "total")} long, but free length and clamp take ${text(p, "taken")}`,
  "beyond-tip": (p) =>
    `${text(p, "what")} lies beyond the strip, which ends ${text(p, "tip")} from the clamp edge`,
  "position-missing": (p) => `the place of ${text(p, "what")} is missing`,
  "position-twice": (p) => `the place of ${text(p, "what")} is given twice`,
  "position-with-range": (p) =>
    `with a range of free lengths ${text(p, "what")} must be placed from the tip`,
  "segment-order": () => "the segment ends before it begins",
  "segment-empty": () => "the segment neither bares an electrode nor removes a layer",
  "segment-layers": (p) => `layer ${p.found} cannot be removed here`,
  "segment-conductor": (p) =>
    `"${last(p)}" is a metal layer: it cannot be bared while the layer stays`,
  "segment-parts-electrode": (p) =>
    `the segment parts the electrode "${last(p)}" in two; both parts are taken as joined by a lead`,
  "foundation-with-springs": () =>
    "the clamp has both an elastic foundation and a stiffness of its own",
  "poling-missing": () => "the poling of this ceramic layer is not said",
  "poling-not-ceramic": (p) => `${text(p, "material")} has no poling`,
  "electrode-one-face": (p) => `only the ${text(p, "face")} face of this layer has an electrode`,
  "electrode-both-faces": (p) =>
    `both faces carry the electrode "${p.found}": the layer would be short-circuited`,
  "electrodes-contradict": (p) =>
    `"${text(p, "one")}" and "${text(p, "other")}" touch each other: one piece of metal, two names`,
  "electrode-not-ceramic": (p) => `${text(p, "material")} takes no face electrodes`,
  "conductor-not-metal": (p) => `${text(p, "material")} is no conductor`,
  "unknown-electrode": (p) => `no layer has an electrode "${last(p)}"`,
  "electrode-not-wired": (p) => `the wiring does not say where "${text(p, "electrode")}" goes`,
  "too-many-electrodes": (p) => `${text(p, "count")} electrodes are wired`,
  "unknown-node": (p) => `"${p.found}" is no node`,
  "switch-missing": () => "an electrode is switched, but there is no switch",
  "seat-without-pad": () => "there is a seat, but no pad closes on it",
  "needed-with": (p) => `${text(p, "label")} is needed with ${text(p, "with")}`,
  "gap-order": () => "the smallest conductor gap is larger than the largest",
  "seat-inside-orifice": (p) =>
    `the sealing line is not larger than the orifice of ${text(p, "orifice")}`,
  "more-problems": (p) => `${text(p, "count")} more problems are not listed`,
  reading: (p) => `${p.found} is read as ${text(p, "reading")}`,
  "not-driven": () => "this ceramic layer has no electrodes and is not driven",
  "not-propagated": (p) => `the uncertainty of the ${text(p, "label")} is not carried on`,
  "middle-of-range": (p) => `the figures stand at the middle of the range, ${text(p, "middle")}`,
};

const ALLOWED: Partial<Record<ProblemData["code"], Words>> = {
  "too-large": (p) => `at most ${text(p, "limit")} bytes`,
  syntax: () => "YAML 1.2 or JSON",
  "duplicate-key": () => "each key once",
  "too-deep": (p) => `at most ${text(p, "limit")} levels`,
  "too-long": (p) => `at most ${text(p, "limit")} words and marks`,
  "too-many-entries": (p) => `at most ${text(p, "limit")} entries`,
  "too-many-aliases": (p) => `at most ${text(p, "limit")} aliases`,
  tag: () => "plain keys, texts and numbers",
  "several-documents": () => "one design in a file",
  empty: () => "a map of keys that begins with reedlift: 1",
  "version-missing": (p) => `reedlift: ${text(p, "current")}`,
  "version-newer": (p) => `reedlift: ${text(p, "current")} or lower`,
  "version-invalid": (p) => `the whole number ${text(p, "current")}`,
  "unknown-key": (p) => text(p, "keys"),
  "missing-key": (p) => text(p, "allowed"),
  "wrong-type": (p) => text(p, "allowed"),
  "bare-number": (p) => text(p, "allowed"),
  quantity: (p) => text(p, "allowed"),
  "out-of-range": (p) => text(p, "allowed"),
  "not-a-choice": (p) => text(p, "choices"),
  "name-not-allowed": (p) => text(p, "allowed"),
  "range-order": () => "from smaller than to",
  "unknown-material": (p) => text(p, "known"),
  "wrong-material": (p) => text(p, "due"),
  "material-incomplete": (p) => `all of ${text(p, "all")}, or like: NAME`,
  hardness: (p) => text(p, "allowed"),
  "unknown-gas": (p) => text(p, "known"),
  fractions: () => "a sum of 1 (100 %)",
  coupling: () => "k31² below 1",
  "strip-too-short": (p) => `total_length at least ${text(p, "taken")}`,
  "beyond-tip": (p) => `0 to ${text(p, "tip")} from the clamp edge`,
  "position-missing": () => "position or from_tip",
  "position-twice": () => "position or from_tip, not both",
  "position-with-range": () => "from_tip",
  "segment-order": () => "from smaller than to",
  "segment-empty": () => "bare: [electrode] or removed: [layer number]",
  "segment-layers": (p) =>
    `1 (lowest) to ${text(p, "count")}, from the outside inwards; at least one layer stays`,
  "segment-conductor": () => "the layer's number in removed, too",
  "foundation-with-springs": () =>
    "foundation_modulus, or rotational_stiffness and translational_stiffness",
  "poling-missing": () => "poling: up, down or none",
  "poling-not-ceramic": () => "no poling, or poling: none",
  "electrode-one-face": () => "electrodes on both faces, or on none",
  "electrode-both-faces": () => "two different electrode names",
  "electrodes-contradict": () => "one name for all faces that touch",
  "electrode-not-ceramic": () => "conductor: NAME for a metal layer",
  "conductor-not-metal": () => "conductor on a layer of metal, carbon fibre or conductive glue",
  "unknown-electrode": (p) => text(p, "known"),
  "electrode-not-wired": () => "ground, switched, open or the name of a rail for every electrode",
  "too-many-electrodes": (p) => `at most ${text(p, "limit")}`,
  "unknown-node": (p) => text(p, "known"),
  "switch-missing": () => "a switch with high, low and series_resistor",
  "seat-without-pad": () => "a pad with material, thickness, place and mass",
  "needed-with": (p) => text(p, "allowed"),
  "seat-inside-orifice": (p) => `a seat diameter above ${text(p, "orifice")}`,
  "gap-order": () => "conductor_gap_min at most conductor_gap_max",
};

const HINTS: Partial<Record<ProblemData["code"], Words>> = {
  "too-large": () => "a design is a short text; measurements belong beside it",
  "too-long": () => "a design is a short text; measurements belong beside it",
  "version-missing": (p) => `put "reedlift: ${text(p, "current")}" on the first line`,
  "version-newer": () => "use a newer version of the program; the file is left as it is",
  "unknown-key": near,
  "not-a-choice": near,
  "unknown-material": near,
  "unknown-gas": near,
  "unknown-electrode": near,
  "unknown-node": near,
  "missing-key": (p) => text(p, "hint"),
  "wrong-type": (p) => text(p, "hint"),
  "bare-number": (p) => text(p, "hint"),
  quantity: (p) => text(p, "hint"),
  "needed-with": (p) => text(p, "hint"),
  "out-of-range": (p) => text(p, "hint"),
  "poling-missing": () =>
    "if the strip has no mark, write the poling you think it has and strip.polarity_mark: unmarked",
  "strip-too-short": () =>
    "shorten free_length, or leave total_length out if the strip is still to be cut",
  "electrode-not-wired": (p) => `write "${text(p, "electrode")}: open" when it is left open`,
};

export const messageWords: Words = (problem) => MESSAGES[problem.code](problem);
export const allowedWords: Words = (problem) => ALLOWED[problem.code]?.(problem) ?? "";
export const hintWords: Words = (problem) => HINTS[problem.code]?.(problem) ?? "";
