import { type Dimension, unitNamed } from "../../src/units/index.ts";
import { toNumber } from "../../src/units/rational.ts";

/*
 * Dimensional homogeneity. A physical law keeps its form when the base units change: with factors
 * s_kg, s_m, s_s, s_A, s_K, s_mol a quantity of dimension kg^a m^b … is multiplied by s_kg^a s_m^b …
 * Feed a function inputs that are rescaled so, and every output must rescale by its own dimension.
 * A stray unit constant, a forgotten factor or a wrong exponent breaks this.
 *
 * Where a function holds a dimensional constant (R, eps0, a reference state) the factors are drawn
 * so that the constant's own dimension keeps the factor 1: `holds` names its unit.
 */

/** What a number of the outputs is: its unit, one unit for all numbers of an array, or members. */
export type Outputs =
  | string
  | null
  | { readonly [member: string]: Outputs }
  | { readonly each: Outputs };

export interface Declaration {
  /** Functions that this case exercises; the first names it. */
  readonly of: readonly ((...args: never[]) => unknown)[];
  /** Set where one function has several cases. */
  readonly name?: string;
  /** Calls the function with scaled inputs; q and column of the argument give them. */
  readonly call: (input: InputMaker) => unknown;
  /** Unit by output member; "text" for words that may print numbers; null for a member to leave out. */
  readonly outputs: Outputs;
  /** Units whose factor stays 1, because the function holds a constant of that unit. */
  readonly holds?: readonly string[];
  /** Which constant, and why it may stand there. Needed with `holds`. */
  readonly because?: string;
  /** Relative; default 1e-9, which leaves room for rounding only. */
  readonly tolerance?: number;
}

export interface InputMaker {
  /** A scaled input: q(0.2, "mm"). */
  q(value: number, unit: string): number;
  /** The same for a column of numbers. */
  column(values: readonly number[], unit: string): Float64Array;
}

const BASES = 6; // kg m s A K mol; rad and cycle are pure numbers

/** The declaration, checked for shape. */
export function declare(declaration: Declaration): Declaration {
  if (declaration.holds && !declaration.because)
    throw new Error(`${nameOf(declaration)}: no reason`);
  return declaration;
}

export function nameOf({ name, of }: Declaration): string {
  return name === undefined ? of[0]!.name : `${of[0]!.name}, ${name}`;
}

/** Logarithms of the six factors for one draw. */
export type Factors = readonly number[];

/**
 * Six factors between 1/3 and 3 from a seed, then made to leave the held units alone (projection of
 * the logarithms onto the space where every held dimension has exponent sum 0).
 */
export function drawFactors(seed: number, holds: readonly string[] = []): Factors {
  let state = seed;
  const logs = Array.from({ length: BASES }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state / 2 ** 31 - 1) * Math.log(3);
  });
  const axes: number[][] = [];
  for (const unit of holds) {
    const axis = unitNamed(unit).dimension.slice(0, BASES);
    for (const known of axes) subtract(axis, known, dot(axis, known));
    const length = Math.sqrt(dot(axis, axis));
    if (length < 1e-9) continue;
    axes.push(axis.map((x) => x / length));
  }
  for (const axis of axes) subtract(logs, axis, dot(logs, axis));
  return logs;
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, x, i) => sum + x * b[i]!, 0);
}

function subtract(a: number[], b: readonly number[], factor: number): void {
  for (let i = 0; i < a.length; i++) a[i]! -= factor * b[i]!;
}

function scaleOf(dimension: Dimension, factors: Factors): number {
  return Math.exp(dot(factors, dimension.slice(0, BASES)));
}

function maker(factors: Factors): InputMaker {
  const q = (value: number, unit: string) => {
    const { factor, dimension } = unitNamed(unit);
    return value * toNumber(factor) * scaleOf(dimension, factors);
  };
  return { q, column: (values, unit) => Float64Array.from(values, (value) => q(value, unit)) };
}

/** What is not homogeneous in a declaration, as sentences; empty when all is well. */
export function faults(declaration: Declaration, seeds: readonly number[]): string[] {
  const plain = declaration.call(maker(new Array<number>(BASES).fill(0)));
  const found = new Set<string>();
  for (const seed of seeds) {
    const factors = drawFactors(seed, declaration.holds);
    const scaled = declaration.call(maker(factors));
    const tolerance = declaration.tolerance ?? 1e-9;
    const context: Context = { factors, tolerance, found, compared: 0 };
    compare(plain, scaled, declaration.outputs, "result", context);
    if (context.compared === 0 && namesUnits(declaration.outputs)) found.add("result: only zeros");
  }
  return [...found];
}

interface Context {
  factors: Factors;
  tolerance: number;
  found: Set<string>;
  /** Numbers compared that are not zero. */
  compared: number;
}

function namesUnits(outputs: Outputs): boolean {
  if (typeof outputs === "string") return outputs !== "text";
  return outputs !== null && Object.values(outputs).some(namesUnits);
}

function compare(a: unknown, b: unknown, outputs: Outputs, path: string, context: Context): void {
  if (outputs === null) return;
  if (a === null || a === undefined || typeof a === "string" || typeof a === "boolean") {
    if (outputs !== "text" && a !== b) context.found.add(`${path}: "${a}" becomes "${b}"`);
    return;
  }
  if (typeof a === "number") {
    if (typeof outputs !== "string") context.found.add(`${path}: no unit declared`);
    else compareNumbers([a], [b as number], outputs, path, context);
    return;
  }
  if (typeof a !== "object") {
    context.found.add(`${path}: a ${typeof a} can't be compared`);
    return;
  }
  if (isNumbers(a)) {
    if (typeof outputs !== "string") context.found.add(`${path}: no unit declared`);
    else compareNumbers(a, b as ArrayLike<number>, outputs, path, context);
    return;
  }
  if (Array.isArray(a)) {
    const others = b as unknown[];
    if (a.length !== others.length) {
      context.found.add(`${path}: ${a.length} entries become ${others.length}`);
      return;
    }
    const each = typeof outputs === "object" && "each" in outputs ? outputs.each : outputs;
    a.forEach((member, i) => {
      compare(member, others[i], each as Outputs, `${path}[${i}]`, context);
    });
    return;
  }
  for (const [key, member] of Object.entries(a)) {
    const declared =
      typeof outputs === "object" ? (outputs as Record<string, Outputs>)[key] : outputs;
    const other = (b as Record<string, unknown>)[key];
    if (declared !== undefined) compare(member, other, declared, `${path}.${key}`, context);
    else if (typeof member === "number" || isNumbers(member)) {
      context.found.add(`${path}.${key}: no unit declared`);
    } else compare(member, other, {}, `${path}.${key}`, context);
  }
}

function isNumbers(value: unknown): value is ArrayLike<number> {
  if (ArrayBuffer.isView(value)) return true;
  return Array.isArray(value) && value.length > 0 && value.every((x) => typeof x === "number");
}

/** Column against column, relative to its largest entry: a small entry may be a difference. */
function compareNumbers(
  a: ArrayLike<number>,
  b: ArrayLike<number>,
  unit: string,
  path: string,
  context: Context,
): void {
  const { factors, tolerance, found } = context;
  const scale = scaleOf(unitNamed(unit).dimension, factors);
  if (a.length !== b?.length) {
    found.add(`${path}: ${a.length} numbers become ${b?.length}`);
    return;
  }
  let largest = 0;
  for (let i = 0; i < a.length; i++)
    if (Number.isFinite(a[i])) largest = Math.max(largest, Math.abs(a[i]!));
  for (let i = 0; i < a.length; i++) {
    if (a[i] !== 0) context.compared += 1;
    const expected = a[i]! * scale;
    const off = Math.abs(b[i]! - expected);
    if (b[i] === expected || off <= tolerance * largest * scale) continue;
    found.add(`${path}: does not scale as ${unit || "a pure number"}`);
    return;
  }
}
