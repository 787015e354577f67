import type { SheetResult } from "./result.ts";

/** Parts of the result whose numbers are figures: they carry an uncertainty. */
const FIGURE_PARTS = [
  "margins",
  "strip",
  "modes",
  "seat",
  "gas",
  "stuck_open",
  "drive",
  "lockout",
  "large_signal",
] as const;

/** Keys whose numbers are inputs, pictures or labels rather than figures. */
const NOT_FIGURES = new Set([
  "limit",
  "layer",
  "load_line",
  "f1_against_stand_off",
  "equilibria",
  "potentials_V",
  "pressure_Pa",
  "acts",
  "pulse_used_s",
]);

/** Lists whose length may change with the inputs stand with this many places: the open lifts, the rest empty. */
const FIXED_LENGTH: Readonly<Record<string, number>> = { stable_lifts_m: 3 };

type Node = unknown;

/**
 * Every figure of the sheet as one column of numbers, in the order of `template`'s figures: what
 * propagation of uncertainty works on. Rows of tables are matched by their name. A figure that is
 * null, or that `result` does not have, stands as NaN inside the column only.
 */
export function figureValues(result: SheetResult, template: SheetResult = result): number[] {
  const out: number[] = [];
  for (const part of FIGURE_PARTS) pushValues(template[part], result[part], out);
  return out;
}

function pushValues(shape: Node, node: Node, out: number[]): void {
  if (typeof shape === "number" || shape === null)
    out.push(typeof node === "number" ? node : Number.NaN);
  else if (Array.isArray(shape)) {
    const list = Array.isArray(node) ? node : [];
    shape.forEach((item, i) => {
      pushValues(item, counterpart(item, list, i), out);
    });
  } else if (typeof shape === "object") {
    const record = shape as Record<string, Node>;
    const other = (typeof node === "object" && node !== null ? node : {}) as Record<string, Node>;
    for (const key in record) {
      const places = FIXED_LENGTH[key];
      if (places !== undefined) {
        const list = ((other[key] ?? []) as number[]).filter((lift) => lift > 0);
        for (let i = 0; i < places; i++) out.push(list[i] ?? Number.NaN);
      } else if (isFigure(key)) pushValues(record[key], other[key], out);
    }
  }
}

/** The row that belongs to `item`: at the same place, or the one of the same name. */
function counterpart(item: Node, list: readonly Node[], i: number): Node {
  const label = labelOf(item);
  const same = list[i];
  if (label === null || labelOf(same) === label) return same;
  return list.find((row) => labelOf(row) === label);
}

const isFigure = (key: string) => !NOT_FIGURES.has(key) && !key.startsWith("u_");

/** Where each number of {@link figureValues} stands: its holder, its key and its dotted path. */
export interface FigurePlace {
  path: string;
  holder: Record<string, Node> | Node[];
  key: string | number;
  /** For a number inside an array: the object that holds the array, and the array's key. */
  arrayHolder: Record<string, Node> | null;
  arrayKey: string | null;
}

/** The places of every figure, in the order of {@link figureValues}. */
export function figurePlaces(result: SheetResult): FigurePlace[] {
  const out: FigurePlace[] = [];
  const root = result as unknown as Record<string, Node>;
  for (const part of FIGURE_PARTS) pushPlaces(root, part, part, null, null, out);
  return out;
}

function pushPlaces(
  holder: Record<string, Node> | Node[],
  key: string | number,
  path: string,
  arrayHolder: Record<string, Node> | null,
  arrayKey: string | null,
  out: FigurePlace[],
): void {
  const node = (holder as Record<string | number, Node>)[key];
  if (typeof node === "number" || node === null) {
    out.push({ path, holder, key, arrayHolder, arrayKey });
  } else if (Array.isArray(node)) {
    const owner = Array.isArray(holder) ? null : holder;
    const places = FIXED_LENGTH[String(key)];
    if (places !== undefined) {
      for (let i = 0; i < places; i++)
        out.push({
          path: `${path}.${i}`,
          holder: node,
          key: i,
          arrayHolder: owner,
          arrayKey: String(key),
        });
      return;
    }
    node.forEach((item, i) => {
      const name = labelOf(item) ?? String(i);
      pushPlaces(node, i, `${path}.${name}`, owner, owner ? String(key) : null, out);
    });
  } else if (typeof node === "object") {
    const record = node as Record<string, Node>;
    for (const k in record) if (isFigure(k)) pushPlaces(record, k, `${path}.${k}`, null, null, out);
  }
}

/** Rows of a table are named by their own id or name, so that a path reads as words. */
function labelOf(item: Node): string | null {
  if (typeof item !== "object" || item === null) return null;
  const record = item as Record<string, Node>;
  for (const key of ["id", "name", "gas_space", "figure", "what"]) {
    const label = record[key];
    if (typeof label === "string") return label;
  }
  return null;
}
