import { createHash } from "node:crypto";
import { readFileSync, statSync } from "node:fs";
import type { Design } from "../design/design.ts";
import type { SheetResult } from "../sheet/result.ts";
import { type DataProblem, readMeasured } from "../studies/calibrateDocument.ts";
import type { MeasuredSet } from "../studies/calibrateMeasured.ts";
import { isReduction, readReduction } from "../studies/calibrateReduction.ts";
import type { Told } from "../studies/diagnoseDocument.ts";
import { EXIT, Stop } from "./exit.ts";
import { type Trouble, trouble } from "./trouble.ts";

/** A file of measured data as read. */
export interface DataFile {
  name: string;
  bytes: number;
  sha256: string;
  text: string;
}

/** Largest file of values; traces are read by another way. */
const SIZE_MAX_BYTES = 64e6;

/**
 * The files of measured values.
 * @throws Stop with exit code 4 where one can't be read
 */
export function readDataFiles(paths: readonly string[]): DataFile[] {
  return paths.map((path) => {
    try {
      const { size } = statSync(path);
      if (size > SIZE_MAX_BYTES) throw unreadable(path, `${size} bytes`, "at most 64 MB of values");
      const bytes = readFileSync(path);
      const text = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
      const sha256 = createHash("sha256").update(bytes).digest("hex");
      return { name: path, bytes: bytes.length, sha256, text };
    } catch (error) {
      if (error instanceof Stop) throw error;
      const { code } = error as NodeJS.ErrnoException;
      if (code === "ENOENT") throw unreadable(path, "no such file", "a file of measured values");
      if (error instanceof TypeError)
        throw unreadable(path, "no UTF-8 text", "a text file: YAML or JSON");
      throw unreadable(path, code ?? "no reason known", "a file of measured values");
    }
  });
}

function unreadable(file: string, found: string, allowed: string): Stop {
  return new Stop(
    EXIT.unreadable,
    trouble("data-not-readable", "these data can't be read", { file, found, allowed }),
  );
}

/** Measured values of a file, and what else it tells. */
export interface DataRead {
  set: MeasuredSet;
  told: Told;
}

const NOTHING: Told = { symptoms: [], outcomes: {}, series: [] };

/** Reads every file; @throws Stop (invalid) with every problem of every file. */
export function understoodData(
  files: readonly DataFile[],
  design: Design,
  sheet: () => SheetResult,
): DataRead[] {
  const troubles: Trouble[] = [];
  const out: DataRead[] = [];
  for (const file of files) {
    const tree = asJson(file.text);
    if (isReduction(tree)) {
      const read = readReduction(tree, file.name);
      if ("set" in read) out.push({ set: read.set, told: NOTHING });
      else troubles.push(told(file, read));
      continue;
    }
    const read = readMeasured(file.text, file.name, design, sheet);
    if (read.ok) out.push(read);
    else troubles.push(...read.problems.map((problem) => told(file, problem)));
  }
  if (troubles.length > 0) throw new Stop(EXIT.invalid, ...troubles);
  return out;
}

const told = (file: DataFile, problem: DataProblem): Trouble =>
  trouble("measured-values", problem.message, { ...problem, file: file.name });

function asJson(text: string): unknown {
  if (!text.trimStart().startsWith("{")) return null;
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
