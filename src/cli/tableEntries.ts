import { gasRecords } from "../design/gasOf.ts";
import { fieldsOf } from "../design/materialFields.ts";
import { BUILT_IN_MATERIALS, builtIn } from "../design/materialOf.ts";
import type { Parameter } from "../design/parameter.ts";
import { parameterAt } from "../design/parameters.ts";
import { type GroupValue, quantityAt, wordAt } from "../design/tree.ts";
import type { UserTables } from "../design/userTables.ts";
import type { GasRecord } from "../physics/gases.ts";
import type { MaterialRecord } from "../physics/materials.ts";
import type { Sourced } from "../physics/sourced.ts";
import type { TableEntry, TableNumber } from "../report/text/tableText.ts";
import type { QuantityKind } from "../units/index.ts";

/** One material or gas, for people and for programs. */
export interface Entry extends TableEntry {
  record: Readonly<Record<string, unknown>>;
  /** True when the user's own tables say something of it. */
  own: boolean;
}

const NO_TABLES: UserTables = { materials: new Map(), gases: new Map() };

function numberOf(group: "materials" | "gases", key: string, number: Sourced): TableNumber {
  const { label, unit = "", quantity } = parameterAt([group, "*", key]) as Parameter;
  const { value, u = 0, source } = number;
  return { label, value, u, kind: quantity as QuantityKind, unit, source };
}

/** Every material: the built-in ones with what the user's tables say over them, then the user's own. */
export function materialEntries(tables: UserTables = NO_TABLES): Entry[] {
  const names = new Set([...Object.keys(BUILT_IN_MATERIALS), ...tables.materials.keys()]);
  return [...names].flatMap((name) => materialEntry(name, tables) ?? []);
}

/** One material by its name, with a hardness where it is a rubber; null when there is none. */
export function materialEntry(name: string, tables: UserTables = NO_TABLES): Entry | null {
  const own = tables.materials.get(name);
  const user = own?.type === "group" ? own : null;
  const base = builtIn((user === null ? undefined : wordAt(user, "like")) ?? name);
  const kind = (user === null ? undefined : wordAt(user, "kind")) ?? base?.kind;
  if (kind === undefined) return null;
  const under = base?.kind === kind ? (base as unknown as Record<string, Sourced>) : {};
  const record: Record<string, unknown> = { kind };
  const numbers: TableNumber[] = [];
  for (const { key, record: recordKey } of fieldsOf(kind as MaterialRecord["kind"])) {
    const number = (user === null ? null : ownNumber(user, key)) ?? under[recordKey];
    if (number === undefined) continue;
    record[recordKey] = number;
    numbers.push(numberOf("materials", key, number));
  }
  return { name, about: kind, numbers, record, own: user !== null };
}

function ownNumber(user: GroupValue, key: string): Sourced | null {
  const given = quantityAt(user, key);
  if (given === undefined) return null;
  const source = wordAt(user, "source") ?? "the tables given";
  return { value: given.value, ...(given.u > 0 ? { u: given.u } : {}), source };
}

const GAS_NUMBERS: readonly (readonly [keyof GasRecord, string])[] = [
  ["molar_mass_kg_mol", "molar_mass"],
  ["heat_capacity_ratio", "heat_capacity_ratio"],
  ["viscosity_300K_Pa_s", "viscosity"],
  ["viscosity_exponent", "viscosity_exponent"],
  ["second_virial_300K_m3_mol", "second_virial"],
  ["lower_explosive_limit", "lower_explosive_limit"],
];

/** Every gas: the built-in ones with what the user's tables say over them, then the user's own. */
export function gasEntries(tables: UserTables = NO_TABLES): Entry[] {
  return Object.entries(gasRecords(tables.gases)).map(([name, record]) => {
    const kinds = Object.entries(record.kind).flatMap(([kind, is]) => (is ? [kind] : []));
    return {
      name,
      about: [...record.names, ...kinds].join(", "),
      numbers: GAS_NUMBERS.flatMap(([recordKey, key]) => {
        const number = record[recordKey] as Sourced | undefined;
        return number === undefined ? [] : [numberOf("gases", key, number)];
      }),
      record: record as unknown as Record<string, unknown>,
      own: tables.gases.has(name),
    };
  });
}
