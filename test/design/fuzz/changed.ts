import { defaultQuantity } from "../../../src/design/defaults.ts";
import { PARAMETERS } from "../../../src/design/parameters.ts";
import {
  type Base,
  type Draw,
  freeQuantities,
  type Mutated,
  type Mutation,
  POWERS,
  si,
  splice,
} from "./base.ts";

/** Mutations that change one value: it must stand in the echo, and nothing else may change. */

const mutation = (name: string, apply: (base: Base, draw: Draw) => Mutated | null): Mutation => ({
  name,
  apply,
});

/** Choices that need nothing else in the file. */
const CHOICES = new Set([
  "seat.side",
  "seat.arrangement",
  "seat.form",
  "switch.idle",
  "strip.polarity_mark",
  "model.width",
  "model.field",
  "model.beam",
  "model.d31_basis",
]);
const METALS = ["copper", "nickel", "aluminium", "spring steel", "nickel-iron 36 %"];

export const CHANGED: readonly Mutation[] = [
  mutation("another number", (base, draw) => {
    const { leaf, parts } = draw.of(freeQuantities(base));
    const factor = 1 + (draw.below(6001) - 3000) / 1e5;
    const number = (Number(parts.number) * factor).toFixed(
      parts.unit === "°C" ? 2 : parts.decimals + 3,
    );
    if (si(number, parts.unit) === si(parts.number, parts.unit)) return null;
    const u = parts.u === null ? null : `${parts.u}${parts.unit === "°C" ? "" : "000"}`;
    const text = `${number}${u === null ? "" : `(${u})`} ${parts.unit}`.trim();
    return {
      text: splice(base.text, leaf.start, leaf.end, text),
      outcome: { kind: "changed", path: leaf.path, value: si(number, parts.unit) },
    };
  }),
  mutation("an uncertainty", (base, draw) => {
    const { leaf, parts } = draw.of(freeQuantities(base));
    if (parts.u !== null || parts.unit === "°C" || Number(parts.number) === 0) return null;
    const digit = 1 + draw.below(9);
    const number = parts.decimals === 0 ? `${parts.number}.00` : `${parts.number}00`;
    const last = parts.decimals === 0 ? 2 : parts.decimals + 2;
    if (Math.abs(Number(number)) < 3 * digit * 10 ** -last) return null;
    return {
      text: splice(base.text, leaf.start, leaf.end, `${number}(${digit}) ${parts.unit}`.trim()),
      outcome: {
        kind: "changed",
        path: leaf.path,
        value: si(parts.number, parts.unit),
        u: Number(`${digit}e${(POWERS[parts.unit] ?? 0) - last}`),
      },
    };
  }),
  mutation("another default", ({ text, entries }, draw) => {
    const section = draw.of(["limits", "model", "surroundings", "cable"]);
    if (entries.some((entry) => entry.path.length === 1 && entry.key === section)) return null;
    const rows = PARAMETERS.filter(
      (p) =>
        p.path.startsWith(`${section}.`) &&
        p.kind === "quantity" &&
        p.default !== undefined &&
        p.unit !== "°C" &&
        p.unit !== "%",
    );
    const row = draw.of(rows);
    const value = Number(
      (defaultQuantity(row).value * (0.95 + draw.below(1000) / 1e5)).toPrecision(7),
    );
    const unit = {
      voltage: "V",
      time: "s",
      length: "m",
      field: "V/m",
      stress: "Pa",
      ratio: "",
      "capacitance per length": "F/m",
      "inductance per length": "H/m",
    }[row.quantity as string];
    if (unit === undefined) return null;
    const path = row.path.split(".");
    return {
      text: `${text}${section}: {${path[1]}: ${`${value} ${unit}`.trim()}}\n`,
      outcome: { kind: "changed", path, value, u: 0 },
    };
  }),
  mutation("another choice", ({ text, leaves }, draw) => {
    const places = leaves.filter((l) => CHOICES.has(l.parameter.path));
    if (places.length === 0) return null;
    const leaf = draw.of(places);
    const value = draw.of(
      (leaf.parameter.choices ?? []).filter((choice) => choice !== leaf.source),
    );
    return {
      text: splice(text, leaf.start, leaf.end, value),
      outcome: { kind: "changed", path: leaf.path, value },
    };
  }),
  mutation("yes for no", ({ text, leaves }, draw) => {
    const flags = leaves.filter((l) => l.parameter.kind === "flag");
    if (flags.length === 0) return null;
    const leaf = draw.of(flags);
    const value = leaf.source === "yes" ? "no" : "yes";
    return {
      text: splice(text, leaf.start, leaf.end, value),
      outcome: { kind: "changed", path: leaf.path, value },
    };
  }),
  mutation("another name", ({ text, leaves }, draw) => {
    const leaf = leaves.find((l) => l.parameter.path === "name");
    if (leaf === undefined) return null;
    const value = draw.of(["beam 7", "Übung", "a: b", "x # y", "42", "true", "日本", "it's", '"']);
    return {
      text: splice(text, leaf.start, leaf.end, JSON.stringify(value)),
      outcome: { kind: "changed", path: ["name"], value },
    };
  }),
  mutation("another metal", ({ text, leaves }, draw) => {
    const metals = leaves.filter(
      (l) => l.parameter.path === "strip.layers.*.material" && l.source === "brass",
    );
    if (metals.length === 0) return null;
    const leaf = draw.of(metals);
    const value = draw.of(METALS);
    return {
      text: splice(text, leaf.start, leaf.end, value),
      outcome: { kind: "changed", path: leaf.path, value },
    };
  }),
  mutation("another terminal", ({ text, leaves }, draw) => {
    const places = leaves.filter((l) => l.parameter.path === "wiring.*");
    if (places.length === 0) return null;
    const leaf = draw.of(places);
    const value = draw.of(
      ["ground", "switched", "open", "bias"].filter((node) => node !== leaf.source),
    );
    return {
      text: splice(text, leaf.start, leaf.end, value),
      outcome: { kind: "changed", path: leaf.path, value },
    };
  }),
  mutation("another gas", ({ text, leaves }, draw) => {
    const leaf = leaves.find((l) => l.parameter.path === "need.gas" && l.path.length === 2);
    if (leaf === undefined) return null;
    const value = draw.of(["He", "Ne", "Kr", "H2", "CO2", "SF6", "argon"]);
    return {
      text: splice(text, leaf.start, leaf.end, value),
      outcome: { kind: "changed", path: leaf.path, value },
    };
  }),
];
