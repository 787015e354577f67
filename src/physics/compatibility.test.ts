import { expect, test } from "vitest";
import { compatibilityFindings } from "./compatibility.ts";
import { COMPATIBILITY } from "./tables/compatibility.ts";
import { gasSymbol } from "./tables/gasSymbols.ts";

const pure = (name: string) => [{ name, fraction: 1 }];
const found = (name: string, pressure: number, materials: string[]) =>
  compatibilityFindings(pure(name), pressure, materials).map((one) => `${one.severity}: ${one.id}`);

test("hydrogen around an electroded strip is a warning about hours, not a refusal", () => {
  expect(found("hydrogen", 6e5, ["electroded ceramic", "FKM pad"])).toEqual([
    "warning: hydrogen on electroded ceramic",
    "warning: flammable gas around high voltage",
  ]);
});

test("acetylene is blocked by copper, silver, brass and by fired electrodes", () => {
  for (const material of ["copper", "Brass fitting", "silver", "electroded ceramic"])
    expect(found("C2H2", 1e5, [material])[0]).toMatch(/^block: acetylene/);
  expect(found("acetylene", 1e5, ["stainless steel"])).toEqual([
    "warning: flammable gas around high voltage",
  ]);
  expect(found("acetylene", 3e5, [])).toContain("block: acetylene under pressure");
});

test("carbon dioxide swells the pad, helium at high pressure blisters it", () => {
  expect(found("CO2", 20e5, ["FKM"])).toEqual(["warning: carbon dioxide in elastomers"]);
  expect(found("He", 60e5, ["nitrile pad"])).toEqual(["warning: helium through elastomers"]);
  expect(found("He", 6e5, ["nitrile pad"])).toEqual([]);
});

test("oxygen with organic parts: a warning when enriched, a block above 10 bar, judged by partial pressure", () => {
  expect(found("O2", 1e5, ["epoxy glue"])).toEqual(["warning: oxygen enriched gas"]);
  expect(found("O2", 12e5, ["epoxy glue"])).toEqual(["block: oxygen with organic parts"]);
  expect(found("air", 1e5, ["epoxy glue"])).toEqual([]);
  expect(found("air", 60e5, ["epoxy glue"])).toEqual(["block: oxygen with organic parts"]);
  const lean = [
    { name: "He", fraction: 0.95 },
    { name: "O2", fraction: 0.05 },
  ];
  expect(compatibilityFindings(lean, 2e5, ["epoxy glue"])).toEqual([]);
});

test("a fuel and an oxidiser in one plenum are blocked", () => {
  const mixture = [
    { name: "H2", fraction: 0.2 },
    { name: "air", fraction: 0.8 },
  ];
  const ids = compatibilityFindings(mixture, 2e5, []).map((one) => one.id);
  expect(ids).toContain("fuel and oxidiser in one gas");
  expect(ids).not.toContain("flammable gas around high voltage");
});

test("toxic gases are named", () => {
  expect(found("CO", 2e5, [])).toContain("warning: toxic gas");
  expect(found("argon", 60e5, ["copper", "FKM", "electroded ceramic"])).toEqual([]);
});

test("words match whole words only", () => {
  // "nbr" must not match inside another word, "steel" must match "stainless steel".
  expect(found("CO", 10e5, ["unbranded plastic"])).not.toContain(
    "warning: carbon monoxide on nickel and iron",
  );
  expect(found("CO", 10e5, ["stainless steel"])).toContain(
    "warning: carbon monoxide on nickel and iron",
  );
});

test("every row has a source or the mark, and gases in the table are known symbols", () => {
  for (const rule of COMPATIBILITY) {
    expect(rule.source.length, rule.id).toBeGreaterThan(10);
    for (const gas of rule.gases) expect(gasSymbol(gas.toLowerCase()), rule.id).toBe(gas);
  }
});

test("one finding a row names every gas and material that it meets", () => {
  const mixture = [
    { name: "He", fraction: 0.5 },
    { name: "H2", fraction: 0.5 },
  ];
  const finding = compatibilityFindings(mixture, 60e5, ["FKM", "elastomer", "brass"]).find(
    (one) => one.id === "helium through elastomers",
  );
  expect(finding?.gas).toBe("He + H2");
  expect(finding?.material).toBe("FKM, elastomer");
});
