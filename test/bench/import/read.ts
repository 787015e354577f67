import {
  type ImportResult,
  type Recipe,
  readRecipe,
  startImport,
} from "../../../src/bench/import/index.ts";
import type { Role } from "../../../src/bench/kind.ts";

/** Columns as a trace asks for them. */
export const ROLES: readonly Role[] = [
  { key: "time", kinds: ["time"], summary: "instants", required: true, words: ["time", "t"] },
  {
    key: "signal",
    kinds: ["voltage", "length"],
    summary: "what the detector gives",
    required: true,
    words: ["signal", "ch1", "u"],
  },
  { key: "gate", kinds: ["voltage"], summary: "the command", required: false, words: ["gate"] },
];

export interface Said {
  roles?: readonly Role[];
  recipe?: Recipe;
  /** Bytes a chunk. */
  chunk?: number;
}

/** Imports a text or its bytes, with answers as lines of a recipe. */
export function imported(text: string | Uint8Array, lines = "", said: Said = {}): ImportResult {
  const answers = readRecipe(lines);
  if (!answers.ok) throw new Error(JSON.stringify(answers.problems));
  const reading = startImport({
    name: "file.csv",
    roles: said.roles ?? ROLES,
    choices: answers.recipe,
    ...(said.recipe === undefined ? {} : { recipe: said.recipe }),
  });
  const bytes = typeof text === "string" ? new TextEncoder().encode(text) : text;
  const step = said.chunk ?? 1 << 16;
  for (let i = 0; i < bytes.length; i += step)
    if (reading.push(bytes.subarray(i, i + step)) === "enough") break;
  return reading.finish();
}

/** The columns, or what stands in the way as a readable error. */
export function columnsOf(result: ImportResult): Record<string, number[]> {
  if (result.outcome !== "data") throw new Error(JSON.stringify(result, null, 1));
  return Object.fromEntries([...result.data.columns].map(([key, values]) => [key, [...values]]));
}

/** Fault, row and column of the first place of each problem. */
export const faultsOf = (result: ImportResult): (readonly [string, number, number])[] =>
  result.outcome === "refused"
    ? result.problems.map(
        ({ fault, places }) => [fault, places[0]?.row ?? 0, places[0]?.column ?? 0] as const,
      )
    : [];

/** Lines of the readings of each question. */
export const asked = (result: ImportResult): Record<string, string[]> =>
  result.outcome === "ask"
    ? Object.fromEntries(result.questions.map((q) => [q.key, q.readings.map(({ line }) => line)]))
    : {};
