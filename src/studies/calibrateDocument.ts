import type { Design } from "../design/design.ts";
import { parseDocumentText } from "../design/document.ts";
import { plain } from "../design/edit.ts";
import { nearest } from "../design/nearest.ts";
import { worded } from "../design/problem.ts";
import { figurePlaces } from "../sheet/flatten.ts";
import type { SheetResult } from "../sheet/result.ts";
import { formatQuantity, parseQuantity, type Quantity, type QuantityKind } from "../units/index.ts";
import {
  type Conditions,
  independent,
  type Measured,
  type MeasuredSet,
  USUAL,
} from "./calibrateMeasured.ts";
import { OBSERVABLES, type Observable, observableNamed } from "./calibrateObservables.ts";
import { pathKind } from "./calibrateUnits.ts";
import { type Asking, type Told, toldOf } from "./diagnoseDocument.ts";

/*
 * A file of measured values, YAML or JSON; docs/calibrate.md describes it.
 *   reedlift_measured: 1
 *   conditions: {in: air}
 *   values:
 *     - {figure: first resonance, value: 1035(3) Hz}
 *     - {figure: swing, value: 160(3) µm, voltage: 180 V, counted: total travel, at: tip}
 *   correlations:
 *     - {between: [1, 2], r: 0.3}
 */

/** Something wrong with a file of measured values. */
export interface DataProblem {
  path: string;
  /** 1-based; 0 where there is no such place. */
  line: number;
  column: number;
  message: string;
  found: string;
  allowed: string;
  hint: string;
}

export type DataRead =
  | { ok: true; set: MeasuredSet; told: Told }
  | { ok: false; problems: readonly DataProblem[] };

type Tree = Record<string, unknown>;
type Path = readonly (string | number)[];
const isMap = (x: unknown): x is Tree => typeof x === "object" && x !== null && !Array.isArray(x);

const ROOT_KEYS = [
  "reedlift_measured",
  "piece",
  "notes",
  "conditions",
  "values",
  "correlations",
  "symptoms",
  "outcomes",
  "series",
];
const CONDITION_KEYS = [
  ...["in", "leads", "at", "counted", "voltage", "ceramic", "bare", "free_length", "with"],
] as const;
const CHOICES: Readonly<Record<string, readonly string[]>> = {
  in: ["vacuum", "air", "gas"],
  leads: ["held", "open"],
  at: ["pad", "tip"],
  counted: ["one side", "total travel"],
  ceramic: ["linear", "large signal"],
};

/** Reads a file of measured values for a design; every problem with its place. */
export function readMeasured(
  text: string,
  name: string,
  design: Design,
  sheet: () => SheetResult,
): DataRead {
  const reader = new Reader(name, design, sheet);
  if (text.trimStart().startsWith("{")) {
    try {
      return reader.root(JSON.parse(text) as unknown);
    } catch {
      // What is no JSON may be YAML in braces.
    }
  }
  const parsed = parseDocumentText(text);
  if (!parsed.ok)
    return {
      ok: false,
      problems: parsed.problems.map((problem) => {
        const { message, line, column, found, allowed, hint } = worded(problem);
        return { path: "", message, line, column, found, allowed, hint: hint ?? "" };
      }),
    };
  const { document, lines } = parsed.parsed;
  reader.placeOf = (path) => {
    for (let length = path.length; length > 0; length--) {
      const node = document.getIn(path.slice(0, length), true) as
        | { range?: readonly number[] | null }
        | undefined;
      const at = node?.range?.[0];
      if (at !== undefined) {
        const { line, col } = lines.linePos(at);
        return { line, column: col };
      }
    }
    return { line: 0, column: 0 };
  };
  return reader.root(plain(document));
}

class Reader implements Asking {
  placeOf: (path: Path) => { line: number; column: number } = () => ({ line: 0, column: 0 });
  /** Whether the conditions of all values say how travel is counted. */
  private counted = false;
  private readonly problems: DataProblem[] = [];
  readonly name: string;
  private readonly design: Design;
  private readonly sheet: () => SheetResult;

  constructor(name: string, design: Design, sheet: () => SheetResult) {
    this.name = name;
    this.design = design;
    this.sheet = sheet;
  }

  wrong(path: Path, message: string, found: unknown, allowed = "", hint = ""): void {
    this.problems.push({
      path: path.join("."),
      ...this.placeOf(path),
      message,
      found: found === undefined ? "" : typeof found === "string" ? found : JSON.stringify(found),
      allowed,
      hint,
    });
  }

  known(at: Tree, path: Path, keys: readonly string[]): void {
    for (const key of Object.keys(at))
      if (!keys.includes(key)) {
        const near = nearest(key, keys);
        this.wrong(
          [...path, key],
          "this key is not known here",
          key,
          keys.join(", "),
          near === null ? "" : `did you mean ${near}?`,
        );
      }
  }

  root(tree: unknown): DataRead {
    if (!isMap(tree) || tree.reedlift_measured !== 1) {
      this.wrong(
        [],
        "this is no file of measured values",
        isMap(tree) ? Object.keys(tree).slice(0, 4).join(", ") : "",
        "reedlift_measured: 1 at its top, or a result of reedlift reduce … --json",
        "docs/calibrate.md shows one",
      );
      return { ok: false, problems: this.problems };
    }
    this.known(tree, [], ROOT_KEYS);
    const usual = this.conditions(
      isMap(tree.conditions) ? tree.conditions : {},
      ["conditions"],
      USUAL,
    );
    if (isMap(tree.conditions)) this.known(tree.conditions, ["conditions"], CONDITION_KEYS);
    this.counted = isMap(tree.conditions) && tree.conditions.counted !== undefined;
    const told = toldOf(tree, this);
    const list = tree.values;
    const other = tree.symptoms ?? tree.outcomes ?? tree.series;
    if (!Array.isArray(list) && other === undefined)
      this.wrong(["values"], "the values are missing", list, "a list of {figure, value, …}");
    const values = (Array.isArray(list) ? list : []).map((item, i) =>
      this.value(item, ["values", i], usual),
    );
    const good = values.filter((value) => value !== null);
    const set = independent(good);
    if (this.problems.length === 0) this.correlations(tree.correlations, set);
    if (this.problems.length > 0) return { ok: false, problems: this.problems };
    return { ok: true, set, told };
  }

  private value(item: unknown, path: Path, usual: Conditions): Measured | null {
    if (!isMap(item)) {
      this.wrong(
        path,
        "an entry must be a map",
        item,
        "{figure: first resonance, value: 1035(3) Hz}",
      );
      return null;
    }
    this.known(item, path, ["figure", "value", "note", ...CONDITION_KEYS]);
    const { figure: word } = item;
    if (typeof word !== "string") {
      this.wrong([...path, "figure"], "the figure is missing", word, "its name or path");
      return null;
    }
    const observable = observableNamed(word);
    if (observable?.key === "force_per_volt_N_V") {
      this.wrong(
        [...path, "figure"],
        "give the force and its voltage",
        word,
        "figure: blocking force, voltage: …",
      );
      return null;
    }
    const kind = observable === null ? this.kindOfPath(word, path) : kindOf(observable);
    if (kind === null) return null;
    const read = this.quantity(item.value, [...path, "value"], kind);
    const conditions = this.conditions(item, path, usual);
    if (read === null) return null;
    if (!(read.u > 0)) {
      this.wrong(
        [...path, "value"],
        "a measured value needs its standard uncertainty",
        item.value,
        "such as 1035(3) Hz or 1035 ± 3 Hz",
        "a value without one would count as exact",
      );
      return null;
    }
    if (
      observable?.asks.includes("counted") === true &&
      item.counted === undefined &&
      !this.counted
    ) {
      this.wrong(
        path,
        "the travel has two readings",
        word,
        '"counted: one side" (from rest to one end) or "counted: total travel" (from end to end)',
        "the two differ by a factor of 2",
      );
      return null;
    }
    return {
      figure: observable?.key ?? word,
      name: nameOf(observable, word, conditions),
      value: read.value,
      u: read.u,
      kind: observable === null ? kind : observable.kind,
      conditions,
      from: this.name,
    };
  }

  private kindOfPath(path: string, at: Path): QuantityKind | null {
    const places = figurePlaces(this.sheet()).map((place) => place.path);
    if (places.includes(path)) return pathKind(path);
    const words = OBSERVABLES.map(({ names }) => names[0] as string);
    const near = nearest(path, [...words, ...OBSERVABLES.map(({ key }) => key), ...places]);
    this.wrong(
      [...at, "figure"],
      "no such figure",
      path,
      `${words.join(", ")}, or a path in the result of reedlift check --json`,
      near === null ? "" : `did you mean ${near}?`,
    );
    return null;
  }

  failed(): boolean {
    return this.problems.length > 0;
  }

  quantity(given: unknown, path: Path, kind: QuantityKind): Quantity | null {
    if (typeof given !== "string" && !(typeof given === "number" && kind === "ratio")) {
      this.wrong(
        path,
        "a quantity with its unit is needed",
        given,
        `a ${kind}, such as in quotes "…"`,
      );
      return null;
    }
    const read = parseQuantity(String(given), kind);
    if (read.ok) return read.quantity;
    const { message, allowed, hint } = read.problem;
    this.wrong(path, message, given, allowed, hint ?? "");
    return null;
  }

  private conditions(item: Tree, path: Path, usual: Conditions): Conditions {
    const out: { -readonly [K in keyof Conditions]: Conditions[K] } = { ...usual };
    for (const [key, allowed] of Object.entries(CHOICES)) {
      const word = item[key];
      if (word === undefined) continue;
      if (typeof word === "string" && allowed.includes(word))
        (out as unknown as Record<string, unknown>)[key] = word;
      else this.wrong([...path, key], "not one of the choices", word, allowed.join(", "));
    }
    if (item.bare !== undefined) {
      if (typeof item.bare === "boolean") out.bare = item.bare;
      else if (item.bare === "yes" || item.bare === "no") out.bare = item.bare === "yes";
      else this.wrong([...path, "bare"], "yes or no is needed", item.bare, "yes, no");
    }
    if (item.voltage !== undefined) {
      const read = this.quantity(item.voltage, [...path, "voltage"], "voltage");
      if (read !== null) out.voltage = Math.abs(read.value);
    }
    if (item.free_length !== undefined) {
      const read = this.quantity(item.free_length, [...path, "free_length"], "length");
      if (read !== null) out.freeLength = read.value;
    }
    if (item.with !== undefined)
      out.set = [...out.set, ...this.others(item.with, [...path, "with"])];
    return out;
  }

  /** Other numbers of the design at the time: {need.plenum_pressure: 3 bar}. */
  private others(given: unknown, path: Path): { key: string; value: number }[] {
    if (!isMap(given)) {
      this.wrong(
        path,
        "a map of keys of the design is needed",
        given,
        "{need.plenum_pressure: 3 bar}",
      );
      return [];
    }
    const keys = this.design.inputs.map((input) => input.key);
    return Object.entries(given).flatMap(([key, text]) => {
      const input = this.design.inputs.find((each) => each.key === key);
      if (input === undefined) {
        const near = nearest(key, keys);
        this.wrong(
          [...path, key],
          "the design has no number of this key",
          key,
          "a key of the design file, such as need.plenum_pressure",
          near === null ? "" : `did you mean ${near}?`,
        );
        return [];
      }
      const read = this.quantity(text, [...path, key], input.kind as QuantityKind);
      return read === null ? [] : [{ key, value: read.value }];
    });
  }

  private correlations(given: unknown, set: MeasuredSet): void {
    if (given === undefined) return;
    const n = set.values.length;
    if (!Array.isArray(given)) {
      this.wrong(["correlations"], "a list is needed", given, "{between: [1, 2], r: 0.3}");
      return;
    }
    given.forEach((item: unknown, k) => {
      const path = ["correlations", k];
      const between = isMap(item) ? item.between : undefined;
      const r = isMap(item) ? item.r : undefined;
      const [a, b] = Array.isArray(between) ? (between as unknown[]) : [];
      const place = (x: unknown) =>
        typeof x === "number" && Number.isInteger(x) && x >= 1 && x <= n;
      if (!place(a) || !place(b) || a === b || typeof r !== "number" || !(Math.abs(r) < 1)) {
        this.wrong(
          path,
          "not a correlation",
          item,
          `{between: [i, j], r: …}, i and j from 1 to ${n}, |r| < 1`,
        );
        return;
      }
      const [i, j] = [(a as number) - 1, (b as number) - 1];
      const c = r * set.values[i]!.u * set.values[j]!.u;
      set.covariance[i * n + j] = c;
      set.covariance[j * n + i] = c;
    });
  }
}

/** Deflection over voltage has no kind of its own: it is read as m/V. */
const kindOf = (observable: Observable): QuantityKind => observable.kind ?? "piezo";

/** "first resonance in vacuum, leads open, at 12 mm": what tells it from others of its name. */
export function nameOf(
  observable: Observable | null,
  word: string,
  conditions: Conditions,
): string {
  const parts = [observable?.names[0] ?? word];
  const asks = observable?.asks ?? [];
  if (asks.includes("in") && conditions.in !== "air")
    parts[0] += ` in ${conditions.in === "gas" ? "the gas" : "vacuum"}`;
  if (asks.includes("leads") && conditions.leads === "open") parts.push("leads open");
  if (asks.includes("at")) parts[0] += ` at the ${conditions.at}`;
  if (asks.includes("counted") && conditions.counted === "one side") parts.push("one side");
  if (conditions.bare) parts.push("bare");
  if (conditions.freeLength !== null)
    parts.push(`length ${formatQuantity(conditions.freeLength, 0, "length", { digits: 4 })}`);
  for (const { key, value } of conditions.set)
    parts.push(
      key === "need.plenum_pressure"
        ? `plenum ${formatQuantity(value, 0, "pressure", { digits: 3 })}`
        : `another ${key.slice(key.lastIndexOf(".") + 1).replaceAll("_", " ")}`,
    );
  return parts.join(", ");
}
