import { expect, test } from "vitest";
import { readDesign } from "./readDesign.ts";
import { readTables, type UserTables } from "./userTables.ts";

const DESIGN = `reedlift: 1
strip:
  width: 5 mm
  free_length: 9 mm
  layers:
    - {material: batch 7, thickness: 0.2 mm, poling: up, bottom: lower, top: vane}
    - {material: brass, thickness: 0.1 mm, conductor: vane}
    - {material: batch 7, thickness: 0.2 mm, poling: up, bottom: vane, top: upper}
clamp: {length: 5 mm}
`;
const TABLES = `reedlift: 1
materials:
  batch 7: {like: soft ceramic, d31: -250(5) pm/V, source: measured}
  brass: {density: 8600 kg/m³}
gases:
  mine: {like: Ar, molar_mass: 40 g/mol}
`;

function tablesOf(text: string): UserTables {
  const read = readTables(text);
  if (!read.ok) throw new Error(read.problems.map((p) => p.message).join("\n"));
  return read.tables;
}

const materialsOf = (text: string, tables: UserTables) => {
  const read = readDesign(text, { tables });
  if (!read.ok) throw new Error(read.problems.map((p) => p.message).join("\n"));
  return read.design.materials;
};

test("a table adds a material and overrides single values of a built-in one", () => {
  const { ok } = readDesign(DESIGN);
  expect(ok).toBe(false);
  const materials = materialsOf(DESIGN, tablesOf(TABLES));
  expect(materials["batch 7"]).toMatchObject({ kind: "ceramic", d31: -250e-12, density: 7500 });
  expect(materials.brass).toMatchObject({ kind: "metal", density: 8600 });
});

test("what the design says of a material holds over the table, key by key", () => {
  const own = `${DESIGN}materials:\n  batch 7: {density: 7700 kg/m³}\n`;
  const materials = materialsOf(own, tablesOf(TABLES));
  expect(materials["batch 7"]).toMatchObject({ d31: -250e-12, density: 7700 });
});

test("an entry that is not complete is refused with its place, used or not", () => {
  const read = readTables("reedlift: 1\nmaterials:\n  new: {kind: metal, density: 8 g/cm³}\n");
  expect(read).toMatchObject({
    ok: false,
    problems: [{ code: "material-incomplete", path: "materials.new", line: 3, found: "new" }],
  });
});

test("a key that belongs to a design is unknown in tables", () => {
  const read = readTables("reedlift: 1\nstrip: {width: 5 mm}\n");
  expect(read).toMatchObject({
    ok: false,
    problems: [{ code: "unknown-key", line: 2, message: 'there is no key "strip" in the tables' }],
  });
});

test("tables without a schema version are refused", () => {
  expect(readTables("materials: {}\n")).toMatchObject({
    ok: false,
    problems: [{ code: "version-missing" }],
  });
});
