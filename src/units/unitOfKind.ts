import { sameDimension } from "./dimension.ts";
import { dimensionOf, kindSpec, type QuantityKind } from "./kinds.ts";
import { withArticle } from "./problem.ts";
import { multiply, ONE, type Rational } from "./rational.ts";
import { nearHint, Refusal, unitsHint } from "./refusal.ts";
import { STANDARD_STATE_HINT, type StandardState, standardFlowFactor } from "./standardState.ts";
import { readUnit, type Unit } from "./unitText.ts";

/** The unit that `text` names, known to be one of `kind`; throws {@link Refusal}. */
export function unitOfKind(text: string, kind: QuantityKind): Unit {
  const result = readUnit(text);
  if (!result.ok) {
    const { code, message, hint, symbol } = result.problem;
    const other = symbol === undefined ? unitsHint(kind) : nearHint(text, kind);
    throw new Refusal(code, message, hint ?? other);
  }
  const { unit } = result;
  const name = withArticle(kind);
  if (unit.standardFlow) {
    if (kind === "throughput" || kind === "molar flow") return unit;
    const hint = "it counts moles: give it where a throughput or a molar flow is asked for";
    throw new Refusal("wrong unit", `${unit.text} is no unit of ${name}`, hint);
  }
  if (unit.gaugeOf !== null && kind !== "pressure") {
    throw new Refusal("wrong unit", `${unit.text} is for gas pressures only`, unitsHint(kind));
  }
  const fits = sameDimension(unit.dimension, dimensionOf(kind));
  if (fits && unit.text === "°C" && kind !== "temperature") {
    const message = "°C is a point on a scale, not a difference";
    throw new Refusal("offset unit", message, "differences are in K");
  }
  const foreign = kindSpec(kind).without?.some((base) => unit.bases.includes(base)) ?? false;
  if (fits && !foreign && (kind !== "count" || unit.text === "")) return unit;
  if (unit.text === "") throw new Refusal("no unit", `${name} needs a unit`, unitsHint(kind));
  throw new Refusal("wrong unit", `${unit.text} is no unit of ${name}`, wrongUnitHint(unit, kind));
}

function wrongUnitHint(unit: Unit, kind: QuantityKind): string {
  if (kind === "frequency" && unit.bases.includes("rad")) {
    return "rad/s counts radians: divide by 2π and write Hz";
  }
  if (kind === "angular frequency" && unit.bases.includes("Hz")) {
    return "Hz counts cycles: multiply by 2π and write rad/s";
  }
  if (kind === "frequency" && (unit.ascii === "1/s" || unit.ascii === "s^-1")) {
    return "write Hz for cycles per second";
  }
  return nearHint(unit.text, kind);
}

/** Size of `unit` in SI; sccm and slm take theirs from the stated reference state. */
export function factorOf(unit: Unit, kind: QuantityKind, state?: StandardState): Rational {
  if (!unit.standardFlow) return unit.factor;
  if (!state) {
    const message = `${unit.text} counts gas at a reference temperature and pressure that is not stated`;
    throw new Refusal("standard state", message, STANDARD_STATE_HINT);
  }
  return multiply(unit.factor, standardFlowFactor(kind, state) ?? ONE);
}
