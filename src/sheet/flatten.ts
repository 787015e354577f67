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

const isFigure = (key: string) => !NOT_FIGURES.has(key) && !key.startsWith("u_");

/** What to read of a part: a number (no children), a list with fixed places, or its children. */
interface Plan {
  key: string | number;
  /** Name of a row, by which it is found where it stands at another place, and the key it is under. */
  label: string | null;
  labelKey: string;
  places: number;
  children: readonly Plan[] | null;
}

const PLANS = new WeakMap<SheetResult, readonly Plan[]>();

/**
 * Every figure of the sheet as one column of numbers, in the order of `template`'s figures: what
 * propagation of uncertainty works on. Rows of tables are matched by their name. A figure that is
 * null, or that `result` does not have, stands as NaN inside the column only.
 */
export function figureValues(result: SheetResult, template: SheetResult = result): number[] {
  let plan = PLANS.get(template);
  if (plan === undefined) {
    const root = template as unknown as Record<string, Node>;
    plan = FIGURE_PARTS.map((part) => planOf(part, root[part]));
    PLANS.set(template, plan);
  }
  const out: number[] = [];
  for (const part of plan) collect(part, result, out);
  return out;
}

function planOf(key: string | number, shape: Node): Plan {
  const label = labelOf(shape);
  const labelKey = labelKeyOf(shape) ?? "";
  const places = FIXED_LENGTH[key] ?? 0;
  if (places > 0) return { key, label, labelKey, places, children: [] };
  if (shape === undefined) return { key, label, labelKey, places, children: [] };
  if (typeof shape !== "object" || shape === null)
    return { key, label, labelKey, places, children: null };
  const children = Array.isArray(shape)
    ? shape.map((item, i) => planOf(i, item)).filter(readsSomething)
    : Object.entries(shape)
        .filter(([k, v]) => isFigure(k) && typeof v !== "string" && typeof v !== "boolean")
        .map(([k, v]) => planOf(k, v))
        .filter(readsSomething);
  return { key, label, labelKey, places, children };
}

const readsSomething = (plan: Plan) =>
  plan.children === null || plan.places > 0 || plan.children.length > 0;

function collect(plan: Plan, holder: Node, out: number[]): void {
  const node =
    typeof holder === "object" && holder !== null ? counterpart(plan, holder) : undefined;
  if (plan.places > 0) {
    const lifts = ((node ?? []) as number[]).filter((lift) => lift > 0);
    for (let i = 0; i < plan.places; i++) out.push(lifts[i] ?? Number.NaN);
  } else if (plan.children === null) out.push(typeof node === "number" ? node : Number.NaN);
  else for (const child of plan.children) collect(child, node, out);
}

/** The part that belongs to the plan: at the same place, or the row of the same name. */
function counterpart(plan: Plan, holder: object): Node {
  const same = (holder as Record<string | number, Node>)[plan.key];
  if (plan.label === null || !Array.isArray(holder)) return same;
  if ((same as Record<string, Node> | undefined)?.[plan.labelKey] === plan.label) return same;
  return holder.find((row) => labelOf(row) === plan.label);
}

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
function labelKeyOf(item: Node): string | null {
  if (typeof item !== "object" || item === null) return null;
  const record = item as Record<string, Node>;
  for (const key of ["id", "name", "gas_space", "figure", "what"])
    if (typeof record[key] === "string") return key;
  return null;
}

function labelOf(item: Node): string | null {
  const key = labelKeyOf(item);
  return key === null ? null : ((item as Record<string, Node>)[key] as string);
}
