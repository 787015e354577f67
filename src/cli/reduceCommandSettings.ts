import type { Given } from "../bench/kind.ts";
import { printQuantity } from "../report/figureUnits.ts";
import { siUnit } from "../units/index.ts";
import type { ReduceAsked } from "./reduceCommandOptions.ts";

/** Settings as they were used: "screen-distance 300.0(10) mm", "shape voltage (standard)". */
export function settingsText({ kind, settings, written }: ReduceAsked, ascii: boolean): string[] {
  return kind.settings.flatMap(({ key, kind: quantity }) => {
    const value = settings.settings.get(key);
    if (value === undefined) return [];
    const one = (each: Given | string) =>
      typeof each === "string" || quantity === null
        ? String(typeof each === "string" ? each : each.value)
        : printQuantity(each.value, each.u, quantity, siUnit(quantity), { ascii, digits: 15 });
    const text = Array.isArray(value)
      ? (value as readonly (Given | string)[]).map(one).join(", ")
      : one(value as Given | string);
    const given = written.some((each) => each.key === key);
    return [`${key} ${text}${given ? "" : " (standard)"}`];
  });
}
