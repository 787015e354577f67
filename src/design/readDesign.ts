import type { Document } from "yaml";
import { formatQuantity } from "../units/index.ts";
import { buildDesign } from "./build.ts";
import { canonicalText } from "./canonical.ts";
import { checkConsistency } from "./consistency.ts";
import type { Design } from "./design.ts";
import { capped, parseDocumentText } from "./document.ts";
import { checkGas } from "./gasOf.ts";
import { migrateDocument } from "./migrate.ts";
import { inFileOrder, type Problem, type ProblemData, worded } from "./problem.ts";
import { readTree } from "./read.ts";
import type { GroupValue } from "./tree.ts";
import { putUnder, type UserTables } from "./userTables.ts";

export interface ReadOptions {
  /** Name of the design where the file gives none; default "design". */
  name?: string;
  /** Materials and gases of the user's own; what the design itself says of one holds over them. */
  tables?: UserTables;
}

export type ReadResult =
  | {
      ok: true;
      design: Design;
      /** Comments, blanks and order of the file are kept in it. */
      document: Document;
      /** The whole design in coherent SI, defaults included, as YAML. */
      canonical: string;
      /** The file as read, before it became a design. */
      values: GroupValue;
      /** What was read in a way that needs saying. */
      warnings: Problem[];
      /** Schema version that the file was written for. */
      version: number;
    }
  | { ok: false; problems: Problem[] };

/** Problems listed at most. */
const LISTED = 60;

/**
 * Reads the text of a design file. Never throws for a bad text: every problem found is returned with
 * its place, what stands there, what is allowed and, where one is near, what was probably meant.
 */
export function readDesign(text: string, options: ReadOptions = {}): ReadResult {
  const parsed = parseDocumentText(text);
  if (!parsed.ok) return refused(parsed.problems);
  const migrated = migrateDocument(parsed.parsed);
  if (!migrated.ok && migrated.problems[0]?.code !== "version-missing")
    return refused(migrated.problems);
  // Without a version nothing is computed, but the other problems are told all the same.
  const tree = readTree(migrated.ok ? migrated.parsed : parsed.parsed);
  if (options.tables !== undefined) putUnder(tree.root, options.tables);
  const found = [...tree.problems, ...checkConsistency(tree.root), ...checkGas(tree.root)];
  const problems = inFileOrder(found.filter((problem) => problem.severity === "error"));
  if (problems.length > 0 || !migrated.ok) return refused(problems);
  const design = buildDesign(tree.root, options.name ?? "design");
  const warnings = inFileOrder([...found, ...rangeWarning(tree.root, design)]).map(worded);
  return {
    ok: true,
    design,
    document: migrated.parsed.document,
    canonical: canonicalText(tree.root),
    values: tree.root,
    warnings,
    version: migrated.version,
  };
}

function refused(problems: ProblemData[]): ReadResult {
  return { ok: false, problems: capped(problems, LISTED).map(worded) };
}

function rangeWarning(root: GroupValue, design: Design): ProblemData[] {
  if (design.freeLengthRange === null) return [];
  const strip = root.keys.get("strip");
  const place = strip?.type === "group" ? strip.keys.get("free_length")?.place : undefined;
  if (place === undefined) return [];
  const length = Number(design.strip.freeLength.toPrecision(9));
  const middle = formatQuantity(length, 0, "length", { unit: "mm" });
  const { path, line, column, found } = place;
  return [
    { code: "middle-of-range", path, line, column, found, severity: "warning", data: { middle } },
  ];
}
