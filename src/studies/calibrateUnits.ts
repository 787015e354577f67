import { kindOfSiUnit, type QuantityKind } from "../units/index.ts";

/** Endings of figures' names, longest first, and their kinds. */
const ENDINGS: readonly (readonly [string, QuantityKind])[] = [
  ["_Pa_m3_s", "throughput"],
  ["_N_m2", "bending stiffness"],
  ["_N_m", "stiffness"],
  ["_kg_m", "mass per length"],
  ["_kg_s", "mass flow"],
  ["_V_m", "field"],
  ["_m_s", "speed"],
  ["_ohm", "resistance"],
  ["_mol", "amount"],
  ["_m2", "area"],
  ["_Hz", "frequency"],
  ["_Pa", "pressure"],
  ["_m", "length"],
  ["_s", "time"],
  ["_N", "force"],
  ["_V", "voltage"],
  ["_A", "current"],
  ["_C", "charge"],
  ["_F", "capacitance"],
  ["_J", "energy"],
  ["_W", "power"],
  ["_K", "temperature difference"],
];

/** Kind of a figure of the check sheet by its path: places in lists at its end do not count. */
export function pathKind(path: string): QuantityKind {
  const name = path.replace(/(\.\d+)+$/, "");
  const found = ENDINGS.find(([ending]) => name.endsWith(ending));
  return found?.[1] ?? kindOfSiUnit("") ?? "ratio";
}
