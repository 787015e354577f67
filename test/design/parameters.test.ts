import { expect, test } from "vitest";
import { defaultQuantity } from "../../src/design/defaults.ts";
import { editDesign } from "../../src/design/edit.ts";
import { allowedAt, withinLimits } from "../../src/design/limitsText.ts";
import type { Parameter } from "../../src/design/parameter.ts";
import { PARAMETERS, parameterAt, SPEC } from "../../src/design/parameters.ts";
import { readDesign } from "../../src/design/readDesign.ts";
import type { GroupValue, Value } from "../../src/design/tree.ts";
import { formatQuantity, parseQuantity, type QuantityKind } from "../../src/units/index.ts";
import { FULL } from "./texts.ts";

const quantities = PARAMETERS.filter((parameter) => parameter.kind === "quantity");
const kindOf = (parameter: Parameter) => parameter.quantity as QuantityKind;

test("every path stands once and every group before its keys", () => {
  const paths = PARAMETERS.map((parameter) => parameter.path);
  expect(new Set(paths).size).toBe(paths.length);
  expect(SPEC.keys.size).toBeGreaterThan(20);
  for (const path of paths) expect(parameterAt(path.split("."))?.path).toBe(path);
  expect(parameterAt(["strip", "layers", 3, "thickness"])?.path).toBe("strip.layers.*.thickness");
  expect(parameterAt(["strip", "nothing"])).toBeNull();
});

test("every default is a quantity within its own limits, with a source", () => {
  const withDefault = quantities.filter((parameter) => parameter.default !== undefined);
  expect(withDefault.length).toBeGreaterThan(40);
  for (const parameter of withDefault) {
    const { value } = defaultQuantity(parameter);
    expect(withinLimits(parameter, value), parameter.path).toBe(true);
    expect(parameter.defaultSource?.length ?? 0, parameter.path).toBeGreaterThan(5);
    expect(parameter.required ?? false, parameter.path).toBe(false);
  }
});

test("every example is read and lies within its limits", () => {
  for (const parameter of quantities) {
    if (parameter.example === undefined) continue;
    const read = parseQuantity(parameter.example, kindOf(parameter));
    expect(read.ok, `${parameter.path}: ${parameter.example}`).toBe(true);
    if (read.ok) expect(withinLimits(parameter, read.quantity.value), parameter.path).toBe(true);
  }
});

test("every unit of the table is one of its kind", () => {
  for (const parameter of quantities) {
    const text = formatQuantity(1, 0, kindOf(parameter), { unit: parameter.unit ?? "" });
    const read = parseQuantity(text, kindOf(parameter));
    expect(read.ok && Math.abs(read.quantity.value - 1) < 1e-9, `${parameter.path}: ${text}`).toBe(
      true,
    );
  }
});

test("what is allowed reads as words with a unit", () => {
  expect(allowedAt(parameterAt(["strip", "width"]) as Parameter)).toBe(
    "a length with its unit, above 0 mm, at most 200 mm, such as 5 mm",
  );
  expect(allowedAt(parameterAt(["seat", "side"]) as Parameter)).toBe("one of: below, above");
});

test("a key without a default and not required says what its absence means", () => {
  const said = new Set(["need.gas", "need.plenum_pressure", "need.orifice_diameter"]);
  for (const parameter of PARAMETERS) {
    const { path, required, absent, default: standard, kind } = parameter;
    const exempt =
      required ||
      standard !== undefined ||
      kind === "group" ||
      said.has(path) ||
      /^(materials|gases|catalogue|measured)\.|position$|from_tip$|^pad\.(stiffness|cord)|poling$|\*$|schema|notes/.test(
        path,
      );
    if (!exempt) expect(absent, path).toBeDefined();
  }
});

/** Every leaf of the read file with its path. */
function leaves(value: Value, out: Value[] = []): Value[] {
  if (value.type === "group") for (const child of value.keys.values()) leaves(child, out);
  else if (value.type === "map") for (const child of value.entries.values()) leaves(child, out);
  else if (value.type === "list") for (const child of value.items) leaves(child, out);
  else out.push(value);
  return out;
}

function read(text: string) {
  const result = readDesign(text);
  if (!result.ok) throw new Error(JSON.stringify(result.problems, null, 1));
  return result;
}

const full = read(FULL);

test("the full text holds every key of the table but the ones that exclude each other", () => {
  const held = new Set(leaves(full.values as GroupValue).map((leaf) => leaf.parameter.path));
  const lacking = PARAMETERS.filter(({ kind }) => !["group", "list", "map"].includes(kind))
    .map(({ path }) => path)
    .filter((path) => !held.has(path));
  expect(lacking.sort()).toEqual([
    "$schema",
    "clamp.foundation_modulus",
    "gases.*.like",
    "gases.*.source",
    "pad.position",
  ]);
});

const DEAD = new Set(["$schema", "materials.*.source", "gases.*.source"]);
/** Numbers that only act in another setting than the one of the full text. */
const WITHOUT_TRACE = new Set(["materials.*.like"]);

test("every quantity of the full text reaches the design: changing it changes the record", () => {
  const before = JSON.stringify(full.design);
  let checked = 0;
  for (const leaf of leaves(full.values as GroupValue)) {
    const { path } = leaf.parameter;
    if (
      leaf.type !== "quantity" ||
      leaf.origin !== "file" ||
      DEAD.has(path) ||
      WITHOUT_TRACE.has(path)
    )
      continue;
    const kind = kindOf(leaf.parameter);
    const factor = path === "need.standard_state.temperature" ? 1.02 : 1.001;
    const text = formatQuantity(leaf.quantity.value * factor, 0, kind);
    const edited = editDesign(FULL, { kind: "set", path: leaf.place.path, value: text });
    expect(edited.ok, path).toBe(true);
    if (!edited.ok) continue;
    const after = read(edited.text);
    expect(JSON.stringify(after.design), `${path} = ${text}`).not.toBe(before);
    expect(after.canonical, path).not.toBe(full.canonical);
    checked++;
  }
  expect(checked).toBeGreaterThan(120);
});

test("every choice of the full text reaches the design", () => {
  for (const leaf of leaves(full.values as GroupValue)) {
    const { choices, path } = leaf.parameter;
    if (leaf.type !== "word" || choices === undefined || path === "materials.*.kind") continue;
    for (const choice of choices) {
      if (choice === leaf.text) continue;
      const edited = editDesign(FULL, { kind: "set", path: leaf.place.path, value: choice });
      expect(edited.ok && JSON.stringify(read(edited.text).design), `${path}: ${choice}`).not.toBe(
        JSON.stringify(full.design),
      );
    }
  }
});
