import { isMap, isScalar, isSeq, type Node, type Scalar } from "yaml";
import { kindSpec, parseQuantity, type Quantity, type QuantityKind } from "../units/index.ts";
import { allowedAt, withinLimits } from "./limitsText.ts";
import { nearest } from "./nearest.ts";
import type { Parameter } from "./parameter.ts";
import { shortened } from "./problem.ts";
import { keyText, type Reader, report, resolved, scalarText, wrongType } from "./reader.ts";
import type { GasPart, GasValue, Place, Value } from "./tree.ts";

/** A list of texts. */
export function readWords(
  reader: Reader,
  parameter: Parameter,
  node: Node | null,
  place: Place,
): Value | undefined {
  if (!isSeq(node) || !node.items.every((item) => isScalar(resolved(reader, item as Node))))
    return wrongType(reader, parameter, place);
  const texts = node.items.map((item) => scalarText(resolved(reader, item as Node) as Scalar));
  return { type: "words", parameter, place, origin: "file", texts };
}

/** A text, a choice, a flag or a whole number. */
export function readScalar(
  reader: Reader,
  parameter: Parameter,
  node: Node | null,
  place: Place,
): Value | undefined {
  if (!isScalar(node)) return wrongType(reader, parameter, place);
  const text = scalarText(node);
  const common = { parameter, place, origin: "file" } as const;
  switch (parameter.kind) {
    case "flag":
      if (text === "yes" || text === "true") return { type: "flag", ...common, on: true };
      if (text === "no" || text === "false") return { type: "flag", ...common, on: false };
      return wrongType(reader, parameter, place);
    case "integer": {
      const value = /^\d{1,9}$/.test(text) && typeof node.value === "number" ? Number(text) : null;
      if (value === null) return wrongType(reader, parameter, place);
      if (!withinLimits(parameter, value))
        return report(reader, "out-of-range", place, {
          label: parameter.label,
          allowed: allowedAt(parameter),
        });
      return { type: "integer", ...common, value };
    }
    case "choice": {
      const choices = parameter.choices ?? [];
      if (choices.includes(text)) return { type: "word", ...common, text };
      const near = nearest(text, choices);
      return report(
        reader,
        "not-a-choice",
        { ...place, found: shortened(text) },
        { choices, ...(near === null ? {} : { nearest: near }) },
      );
    }
    default: {
      if (text.trim() === "")
        return wrongType(reader, parameter, { ...place, found: "an empty text" });
      return { type: "word", ...common, text };
    }
  }
}

/** A quantity of the row's kind within the row's limits; undefined (and a problem) otherwise. */
export function readQuantity(
  reader: Reader,
  parameter: Parameter,
  node: Node | null,
  place: Place,
): Quantity | undefined {
  const kind = parameter.quantity as QuantityKind;
  if (!isScalar(node) || typeof node.value === "boolean")
    return wrongType(reader, parameter, place);
  const text = scalarText(node);
  if (typeof node.value === "number" && Number.isFinite(node.value) && kindSpec(kind).si !== "")
    return report(reader, "bare-number", place, {
      kind: `${/^[aeio]/.test(kind) ? "an" : "a"} ${kind}`,
      allowed: allowedAt(parameter),
      hint: `add the unit that is meant, such as ${parameter.unit}`,
    });
  const notFinite = typeof node.value === "number" && !Number.isFinite(node.value);
  const read = parseQuantity(notFinite ? "nan" : text, kind, reader.context);
  if (!read.ok) {
    const { message, hint } = read.problem;
    return report(reader, "quantity", place, {
      reason: message,
      allowed: parameter.example === undefined ? read.problem.allowed : allowedAt(parameter),
      ...(hint === undefined ? {} : { hint }),
    });
  }
  const { quantity } = read;
  if (!withinLimits(parameter, quantity.value))
    return report(reader, "out-of-range", place, {
      label: parameter.label,
      allowed: allowedAt(parameter),
    });
  if (parameter.above !== undefined && !(quantity.value - 2 * quantity.u > parameter.above))
    return report(reader, "out-of-range", place, {
      label: `${parameter.label} less two standard uncertainties`,
      allowed: allowedAt(parameter),
    });
  if (quantity.reading !== undefined)
    report(reader, "reading", place, { reading: quantity.reading }, "warning");
  return quantity;
}

const FRACTION: Parameter = {
  path: "need.gas.*",
  label: "mole fraction",
  kind: "quantity",
  quantity: "ratio",
  unit: "",
  above: 0,
  max: 1,
  help: "Mole fraction of the component.",
  example: "5 %",
};

/** A gas by name, or a mixture by mole fractions. */
export function readGas(
  reader: Reader,
  parameter: Parameter,
  node: Node | null,
  place: Place,
): GasValue | undefined {
  const common = { parameter, place, origin: "file" } as const;
  if (isScalar(node) && typeof node.value === "string" && node.value.trim() !== "") {
    const name = node.value.trim();
    const part = { name, fraction: null, place: { ...place, found: shortened(name) } };
    return { type: "gas", ...common, parts: [part] };
  }
  if (!isMap(node) || node.items.length === 0) return wrongType(reader, parameter, place);
  const parts: GasPart[] = [];
  let complete = true;
  for (const pair of node.items) {
    const name = keyText(pair.key);
    const path = [...place.path, name];
    const at = reader.place(pair.key as Node, path, place);
    const value = resolved(reader, pair.value as Node | null);
    const fraction = readQuantity(reader, FRACTION, value, reader.place(value, path, at));
    if (fraction === undefined) complete = false;
    else parts.push({ name, fraction, place: { ...at, found: shortened(name) } });
  }
  if (!complete) return undefined;
  const sum = parts.reduce((total, part) => total + (part.fraction?.value ?? 0), 0);
  if (Math.abs(sum - 1) > 1e-6)
    return report(reader, "fractions", place, { sum: Number(sum.toPrecision(9)) });
  return { type: "gas", ...common, parts };
}
