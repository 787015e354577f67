import { type Dimension, dimensionProduct, PURE_NUMBER } from "./dimension.ts";
import { multiply, ONE, power, type Rational } from "./rational.ts";
import { ATMOSPHERE, normaliseUnitText, UNIT_SYMBOLS, type UnitSymbol } from "./unitTable.ts";

/** One symbol with its exponent, as written. */
export interface UnitFactor {
  readonly unit: UnitSymbol;
  readonly exponent: number;
}

/** A unit read from text. value_SI = number · factor + offset. */
export interface Unit {
  /** Typeset: "mbar·l/s", "W/(m·K)", "bar(g)". Empty for a pure number. */
  readonly text: string;
  /** The same in ASCII: "mbar*l/s". */
  readonly ascii: string;
  readonly factor: Rational;
  readonly dimension: Dimension;
  /** SI value where the scale reads 0: °C and gauge pressures; else null. */
  readonly offset: Rational | null;
  /** The pressure unit under "(g)" or "(a)", typeset; else null. */
  readonly gaugeOf: string | null;
  /** sccm, slm: factor and dimension are those of the volume flow at the reference state. */
  readonly standardFlow: boolean;
  /** Symbols without prefix that occur, for {@link KindSpec.without}. */
  readonly bases: readonly string[];
}

export type UnitProblemCode = "unknown unit" | "ambiguous unit" | "unit grammar" | "offset unit";

export interface UnitProblem {
  readonly code: UnitProblemCode;
  readonly message: string;
  readonly hint?: string;
  /** The symbol that is not known, for suggestions. */
  readonly symbol?: string;
}

export type UnitResult =
  | { readonly ok: true; readonly unit: Unit }
  | { readonly ok: false; readonly problem: UnitProblem };

/**
 * unit := factor (("·"|"*"|" ") factor)* ["/" (factor | "(" product ")")]
 * factor := symbol ["(g)"|"(a)"] [exponent];  exponent := "2" | "^2" | "²" | "-1" | "^-1" | "⁻¹"
 * A numerator may be the number 1 ("1/K"). At most one slash. Case matters.
 */
export function readUnit(text: string): UnitResult {
  const known = cache.get(text);
  if (known !== undefined) return known;
  const result = readUnitAfresh(text);
  if (cache.size < CACHE_LIMIT) cache.set(text, result);
  return result;
}

/** A unit that the program itself spells; throws RangeError when it is not one. */
export function unitNamed(text: string): Unit {
  const result = readUnit(text);
  if (!result.ok) throw new RangeError(`not a unit: "${text}" (${result.problem.message})`);
  return result.unit;
}

/** Reading a unit is a pure function of its text; the few that a program uses are kept. */
const cache = new Map<string, UnitResult>();
const CACHE_LIMIT = 500;

const FACTOR = /^(°?\p{L}+|°|%)(\([ga]\))?(?:\^?([+\-−]?\d{1,2})|([⁺⁻]?[⁰¹²³⁴-⁹]{1,2}))?/u;
const SUPERSCRIPTS = "⁰¹²³⁴⁵⁶⁷⁸⁹";

interface Product {
  factors: UnitFactor[];
  gauge: "g" | "a" | null;
  rest: string;
}

function readUnitAfresh(given: string): UnitResult {
  const text = normaliseUnitText(given).trim();
  if (text === "") return { ok: true, unit: assemble([], [], null) };
  if (/\p{L}(°C|degC)/u.test(text)) {
    const hint = "write °C, or K for differences";
    return { ok: false, problem: { code: "offset unit", message: "°C takes no prefix", hint } };
  }
  if (/\/[\s(]*\d/.test(text)) {
    const hint = "divide first: one number, then one unit";
    const message = `a number stands inside the unit "${text}", which can be read in two ways`;
    return { ok: false, problem: { code: "ambiguous unit", message, hint } };
  }
  const whole = text.match(/^1\s*(?=\/)/) ?? text.match(/^(?=\/)/);
  let above: Product = { factors: [], gauge: null, rest: text };
  if (whole) above.rest = text.slice(whole[0].length);
  else {
    const product = readProduct(text);
    if ("code" in product) return { ok: false, problem: product };
    above = product;
  }
  let rest = above.rest;
  let below: Product = { factors: [], gauge: null, rest: "" };
  if (rest.startsWith("/")) {
    rest = rest.slice(1).trimStart();
    const grouped = rest.startsWith("(");
    const product = readProduct(grouped ? rest.slice(1) : rest, grouped ? Infinity : 1);
    if ("code" in product) return { ok: false, problem: product };
    below = product;
    rest = product.rest;
    if (grouped) {
      if (!rest.startsWith(")")) return grammar(`")" is missing in "${text}"`);
      rest = rest.slice(1).trimStart();
    }
    if (rest !== "") return { ok: false, problem: severalReadings(text, above, below, rest) };
  }
  if (rest !== "") return grammar(`"${rest}" is not understood in the unit "${text}"`);
  return checked(above, below, text);
}

function readProduct(text: string, most = Infinity): Product | UnitProblem {
  const factors: UnitFactor[] = [];
  let gauge: Product["gauge"] = null;
  let rest = text.trimStart();
  while (factors.length < most) {
    const match = rest.match(FACTOR);
    if (!match) {
      return {
        code: "unit grammar",
        message: rest === "" ? `a unit is missing in "${text}"` : `"${rest}" is not a unit`,
      };
    }
    const [all, symbol, scale, plain, raised] = match as unknown as (string | undefined)[];
    const unit = UNIT_SYMBOLS.get(symbol!);
    if (!unit) return unknownSymbol(symbol!);
    const exponent = readExponent(plain, raised);
    if (exponent === 0 || Math.abs(exponent) > 9) {
      return { code: "unit grammar", message: `the exponent of "${all}" is not between 1 and 9` };
    }
    if (scale !== undefined) gauge = scale[1] as "g" | "a";
    factors.push({ unit, exponent });
    rest = rest.slice(all!.length);
    const next = rest.match(/^(\s*[·⋅*]\s*|\s+(?=[\p{L}°%]))/u);
    if (!next || factors.length >= most) break;
    rest = rest.slice(next[0].length);
  }
  return { factors, gauge, rest: rest.trimStart() };
}

function readExponent(plain: string | undefined, raised: string | undefined): number {
  if (plain !== undefined) return Number(plain.replace("−", "-"));
  if (raised === undefined) return 1;
  const digits = [...raised].map((c) =>
    c === "⁻" ? "-" : c === "⁺" ? "" : SUPERSCRIPTS.indexOf(c),
  );
  return Number(digits.join(""));
}

function unknownSymbol(symbol: string): UnitProblem {
  return { code: "unknown unit", message: `"${symbol}" is not a unit known here`, symbol };
}

function grammar(message: string): UnitResult {
  return { ok: false, problem: { code: "unit grammar", message } };
}

/** "W/m/K" and "W/m K" can be read in two ways: show both. */
function severalReadings(text: string, above: Product, below: Product, rest: string): UnitProblem {
  const tail = rest.replace(/^[/·⋅*\s]+/u, "");
  const top = typeset(above.factors) || "1";
  const bottom = typeset(below.factors);
  return {
    code: "ambiguous unit",
    message: `"${text}" can be read in two ways`,
    hint: `write ${top}/(${bottom}·${tail}) or ${top}·${tail}/${bottom}`,
  };
}

function checked(above: Product, below: Product, text: string): UnitResult {
  const factors = [...above.factors, ...below.factors];
  const alone = factors.length === 1 && above.factors.length === 1 && factors[0]!.exponent === 1;
  for (const { unit } of factors) {
    if (unit.offset && !alone) {
      const hint = `differences and coefficients are in K: write ${text.replace(/°C|degC/u, "K")}`;
      return {
        ok: false,
        problem: { code: "offset unit", message: `°C is a point on a scale in "${text}"`, hint },
      };
    }
    if (unit.standardFlow && !alone) {
      return grammar(`${unit.symbol} stands alone, not in a product: got "${text}"`);
    }
    if ((unit.base === "%" || unit.base === "ppm") && above.factors.length !== 1) {
      return grammar(`${unit.symbol} is a pure number and multiplies no unit: got "${text}"`);
    }
  }
  const gauge = above.gauge ?? below.gauge;
  if (gauge !== null) {
    const pressure = factors[0]!.unit.dimension;
    if (!alone || !["Pa", "bar", "Torr", "atm", "psi"].includes(factors[0]!.unit.base)) {
      return grammar(`(${gauge}) follows a unit of pressure that stands alone: got "${text}"`);
    }
    return { ok: true, unit: { ...assemble(factors, [], gauge), dimension: pressure } };
  }
  return { ok: true, unit: assemble(above.factors, below.factors, null) };
}

function assemble(above: UnitFactor[], below: UnitFactor[], gauge: "g" | "a" | null): Unit {
  let factor: Rational = ONE;
  let dimension: Dimension = PURE_NUMBER;
  for (const [list, sign] of [
    [above, 1],
    [below, -1],
  ] as const) {
    for (const { unit, exponent } of list) {
      factor = multiply(factor, power(unit.factor, sign * exponent));
      dimension = dimensionProduct(dimension, unit.dimension, sign * exponent);
    }
  }
  const mark = gauge === null ? "" : `(${gauge})`;
  return {
    text: quotient(above, below, false) + mark,
    ascii: quotient(above, below, true) + mark,
    factor,
    dimension,
    offset: gauge === "g" ? ATMOSPHERE : (above[0]?.unit.offset ?? null),
    gaugeOf: gauge === null ? null : typeset(above),
    standardFlow: above.some(({ unit }) => unit.standardFlow),
    bases: [...above, ...below].map(({ unit }) => unit.base),
  };
}

function quotient(above: UnitFactor[], below: UnitFactor[], ascii: boolean): string {
  const top = typeset(above, ascii);
  if (below.length === 0) return top;
  const bottom = typeset(below, ascii);
  return `${top || "1"}/${below.length > 1 ? `(${bottom})` : bottom}`;
}

function typeset(factors: readonly UnitFactor[], ascii = false): string {
  return factors
    .map(({ unit, exponent }) => {
      const symbol = ascii ? unit.ascii : unit.symbol;
      if (exponent === 1) return symbol;
      if (ascii) return `${symbol}^${exponent}`;
      const digits = [...String(exponent)];
      return symbol + digits.map((c) => (c === "-" ? "⁻" : SUPERSCRIPTS[Number(c)])).join("");
    })
    .join(ascii ? "*" : "·");
}
