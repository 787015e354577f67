import { nearest } from "../design/nearest.ts";
import type { Quantity, QuantityKind } from "../units/index.ts";
import { SERIES, seriesNamed } from "./diagnoseSeries.ts";
import { nearSymptom, SYMPTOMS, symptomNamed } from "./diagnoseSymptoms.ts";
import { TESTS, testNamed } from "./diagnoseTests.ts";
import type { Series, Symptom } from "./diagnoseTypes.ts";

/** What a file tells the symptom finder beside values. */
export interface Told {
  symptoms: readonly Symptom[];
  outcomes: Readonly<Record<string, string>>;
  series: readonly Series[];
}

type Tree = Record<string, unknown>;
type Path = readonly (string | number)[];
const isMap = (x: unknown): x is Tree => typeof x === "object" && x !== null && !Array.isArray(x);

/** The reader of the file: it keeps what is wrong, with its place. */
export interface Asking {
  /** Of the file. */
  readonly name: string;
  wrong(path: Path, message: string, found: unknown, allowed?: string, hint?: string): void;
  known(at: Tree, path: Path, keys: readonly string[]): void;
  quantity(given: unknown, path: Path, kind: QuantityKind): Quantity | null;
  failed(): boolean;
}

/** Symptoms, outcomes of tests and series of a file. */
export function toldOf(tree: Tree, read: Asking): Told {
  const symptoms = listOf(tree.symptoms, "symptoms", read).flatMap((word, i) => {
    const found = symptomNamed(String(word));
    if (found !== null) return [found];
    const near = nearSymptom(String(word));
    read.wrong(
      ["symptoms", i],
      "no such symptom",
      word,
      SYMPTOMS.map(({ id }) => id).join(", "),
      near === null ? "" : `did you mean ${near}?`,
    );
    return [];
  });
  const outcomes: Record<string, string> = {};
  if (tree.outcomes !== undefined && !isMap(tree.outcomes))
    read.wrong(["outcomes"], "a map is needed", tree.outcomes, "{test: outcome}");
  for (const [word, outcome] of Object.entries(isMap(tree.outcomes) ? tree.outcomes : {})) {
    const test = testNamed(word);
    if (test === null) {
      const near = nearest(
        word,
        TESTS.map(({ id }) => id),
      );
      read.wrong(
        ["outcomes", word],
        "no such test",
        word,
        TESTS.map(({ id }) => id).join(", "),
        near === null ? "" : `did you mean ${near}?`,
      );
    } else if (typeof outcome !== "string" || !test.outcomes.includes(outcome))
      read.wrong(["outcomes", word], "not one of its outcomes", outcome, test.outcomes.join("; "));
    else outcomes[test.id] = outcome;
  }
  const series = listOf(tree.series, "series", read).flatMap((item, i) =>
    seriesOf(item, ["series", i], read),
  );
  return { symptoms, outcomes, series };
}

function listOf(given: unknown, key: string, read: Asking): readonly unknown[] {
  if (given === undefined) return [];
  if (Array.isArray(given)) return given as unknown[];
  read.wrong([key], "a list is needed", given, "[…]");
  return [];
}

function seriesOf(item: unknown, path: Path, read: Asking): Series[] {
  const figure = isMap(item) && typeof item.figure === "string" ? seriesNamed(item.figure) : null;
  if (!isMap(item) || figure === null) {
    read.wrong(
      [...path, "figure"],
      "no such series",
      isMap(item) ? item.figure : item,
      SERIES.map(({ name }) => name).join(", "),
    );
    return [];
  }
  read.known(item, path, ["figure", "rows", "note"]);
  const rows = listOf(item.rows, [...path, "rows"].join("."), read).flatMap((row, i) => {
    const place = [...path, "rows", i];
    if (!isMap(row)) {
      read.wrong(place, "a map is needed", row, "{value: …, and its columns}");
      return [];
    }
    read.known(row, place, ["value", ...figure.columns.map(({ name }) => name)]);
    const value = read.quantity(row.value, [...place, "value"], figure.kind);
    const at: Record<string, number> = {};
    for (const { name, kind, required } of figure.columns) {
      if (row[name] === undefined) {
        if (required) read.wrong([...place, name], "this column is needed", undefined, `a ${kind}`);
        continue;
      }
      const column = read.quantity(row[name], [...place, name], kind);
      if (column !== null) at[name] = column.value;
    }
    if (value === null) return [];
    if (!(value.u > 0)) {
      read.wrong([...place, "value"], "a measured value needs its standard uncertainty", row.value);
      return [];
    }
    return [{ value: value.value, u: value.u, at }];
  });
  if (rows.length < 3 && !read.failed())
    read.wrong(
      [...path, "rows"],
      "too few rows to tell anything",
      String(rows.length),
      "at least 3",
    );
  return [{ figure: figure.name, rows, from: read.name }];
}
