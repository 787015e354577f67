import { existsSync, readdirSync, statSync } from "node:fs";
import { basename, dirname } from "node:path";
import type { Comparison } from "../bench/compare.ts";
import type { Data, Kind } from "../bench/kind.ts";
import type { Reduction, ResultTable } from "../bench/reduction.ts";
import { csvText, identifier } from "../report/figures/csv.ts";
import type { Figure } from "../report/figures/figure.ts";
import { unitOfFigure } from "../report/figureUnits.ts";
import { interval95 } from "../report/text/reduceLines.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import { counted } from "./outcome.ts";
import { trouble } from "./trouble.ts";
import { checkFolder, writeFiles } from "./writeFile.ts";

/** Everything that files are made from. */
export interface Reduced {
  kind: Kind;
  data: readonly Data[];
  reduction: Reduction;
  comparisons: readonly Comparison[];
  /** One line: program, files with hashes, command. */
  origin: string;
}

/** Names of what this kind writes, whatever comes out: used before anything is computed. */
const OURS = (kind: Kind) => new RegExp(`^${kind.name}-[a-z0-9-]+\\.(csv|svg)$`);

/**
 * Stops with 2 where something can't be written or is there already. Called before anything is computed, so that a long
 * run is not lost.
 */
export function checkReduceFiles(kind: Kind, flags: Flags): void {
  const force = flags.force === true;
  for (const folder of [flags.csv, flags.svg]) {
    if (folder === undefined) continue;
    const there =
      existsSync(folder) && statSync(folder).isDirectory()
        ? readdirSync(folder).filter((name) => OURS(kind).test(name))
        : [];
    checkFolder(folder, there, force);
  }
  if (flags.saveRecipe === undefined) return;
  if (existsSync(flags.saveRecipe) && statSync(flags.saveRecipe).isDirectory())
    throw new Stop(
      EXIT.invalid,
      trouble("not-a-file", "this is a folder", {
        file: flags.saveRecipe,
        allowed: "the name of a file",
      }),
    );
  checkFolder(dirname(flags.saveRecipe), [basename(flags.saveRecipe)], force);
}

/** Writes tables and pictures that were asked for; what it wrote, as sentences. */
export async function writeReduceFiles(reduced: Reduced, flags: Flags): Promise<string[]> {
  const notes: string[] = [];
  const { name } = reduced.kind;
  if (flags.csv !== undefined) {
    const files = await tablesOf(reduced);
    writeFiles(
      flags.csv,
      files.map(({ name: file, text }) => ({ name: `${name}-${file}.csv`, text })),
    );
    notes.push(
      `${counted(files.length, "table")} (CSV with units) in ${flags.csv}: ${files.map((file) => `${name}-${file.name}`).join(", ")}`,
    );
  }
  if (flags.svg !== undefined) {
    const figures = await picturesOf(reduced);
    writeFiles(
      flags.svg,
      figures.flatMap((figure) => [
        { name: `${name}-${figure.name}.svg`, text: figure.svg },
        { name: `${name}-${figure.name}.csv`, text: figure.csv },
      ]),
    );
    notes.push(
      `${counted(figures.length, "picture")} (SVG, with the numbers as CSV) in ${flags.svg}: ${figures.map((figure) => `${name}-${figure.name}`).join(", ")}`,
    );
  }
  return notes;
}

async function picturesOf(reduced: Reduced): Promise<Figure[]> {
  const { reduceTrace } = await import("../report/figures/reduceTrace.ts");
  const { reduceFit } = await import("../report/figures/reduceFit.ts");
  const { reduceComparison } = await import("../report/figures/reduceComparison.ts");
  const { kind, data, reduction, comparisons, origin } = reduced;
  const of = { name: data.map((each) => each.name).join(", ") };
  const options = { origin };
  const one = data.length === 1;
  return [
    ...data.map((each, k) =>
      reduceTrace(
        kind,
        each,
        reduction.marks.filter(({ file = 0 }) => file === k),
        one ? "trace" : `trace-${k + 1}`,
        options,
      ),
    ),
    ...reduction.fits.map((fit, k) => reduceFit(of, fit, `fit-${k + 1}`, options)),
    reduceComparison(of, comparisons, options),
  ].filter((figure) => figure !== null);
}

async function tablesOf(reduced: Reduced): Promise<{ name: string; text: string }[]> {
  const { reduceFit } = await import("../report/figures/reduceFit.ts");
  const { comparisonTable } = await import("../report/figures/reduceComparison.ts");
  const { data, reduction, comparisons, origin } = reduced;
  const of = { name: data.map((each) => each.name).join(", ") };
  return [
    { name: "values", text: valuesTable(reduction, origin) },
    { name: "budgets", text: budgetsTable(reduction, origin) },
    ...(comparisons.length === 0
      ? []
      : [{ name: "comparison", text: comparisonTable(of, comparisons, { origin }) }]),
    ...reduction.fits.map((fit, k) => ({
      name: `fit-${k + 1}`,
      text: reduceFit(of, fit, `fit-${k + 1}`, { origin }).csv,
    })),
    ...reduction.tables.map((table) => ({
      name: `table-${identifier(table.key).toLowerCase().replaceAll("_", "-")}`,
      text: resultTable(table, origin),
    })),
  ];
}

function valuesTable({ kind, values }: Reduction, origin: string): string {
  const ends = values.map(interval95);
  const finite = (x: number | null | undefined) =>
    x !== null && x !== undefined && Number.isFinite(x) ? x : null;
  return csvText({ table: `values of ${kind}`, origin }, [
    { name: "value", unit: "", values: values.map(({ key }) => key) },
    { name: "unit", unit: "", values: values.map(({ key }) => unitOfFigure(key).machine) },
    { name: "measured", unit: "", values: values.map(({ value }) => finite(value)) },
    { name: "u_measured", unit: "", values: values.map(({ u }) => finite(u)) },
    {
      name: "degrees_of_freedom",
      unit: "1",
      values: values.map(({ degreesOfFreedom }) => finite(degreesOfFreedom)),
    },
    { name: "low_95", unit: "", values: ends.map((each) => finite(each?.[0])) },
    { name: "high_95", unit: "", values: ends.map((each) => finite(each?.[1])) },
    { name: "name", unit: "", values: values.map(({ name }) => name) },
    { name: "reason", unit: "", values: values.map(({ reason = "" }) => reason) },
  ]);
}

function budgetsTable({ kind, values }: Reduction, origin: string): string {
  const rows = values.flatMap(({ key, budget }) => budget.map((line) => ({ key, ...line })));
  return csvText({ table: `parts of the standard uncertainties of ${kind}`, origin }, [
    { name: "value", unit: "", values: rows.map(({ key }) => key) },
    { name: "unit", unit: "", values: rows.map(({ key }) => unitOfFigure(key).machine) },
    { name: "u", unit: "", values: rows.map(({ u }) => u) },
    { name: "source", unit: "", values: rows.map(({ source }) => source) },
  ]);
}

function resultTable({ title, columns, rows }: ResultTable, origin: string): string {
  return csvText(
    { table: title, origin },
    columns.map(({ key }, c) => {
      const values = rows.map((row) => {
        const cell = row[c] ?? null;
        return typeof cell === "number" && !Number.isFinite(cell) ? null : cell;
      });
      const words = values.some((cell) => typeof cell === "string");
      return { name: identifier(key), unit: words ? "" : unitOfFigure(key).machine, values };
    }),
  );
}
