import { type GasMixture, type GasRecord, gasNamed, mixGases } from "../physics/gases.ts";
import type { Sourced } from "../physics/sourced.ts";
import { GASES } from "../physics/tables/gases.ts";
import type { DesignInput } from "./design.ts";
import { nearest } from "./nearest.ts";
import type { ProblemData } from "./problem.ts";
import { entriesAt, type GroupValue, quantityAt, type Value, valueAt, wordAt } from "./tree.ts";

/** Where a user's number comes from when the file does not say it. */
const FROM_FILE = "given in the design file";

/** Numbers of a gas: key in the file, key in the table, needed or what stands for it. */
const FIELDS: readonly { key: string; record: keyof GasRecord; absent?: number }[] = [
  { key: "molar_mass", record: "molar_mass_kg_mol" },
  { key: "heat_capacity_ratio", record: "heat_capacity_ratio" },
  { key: "viscosity", record: "viscosity_300K_Pa_s" },
  { key: "viscosity_exponent", record: "viscosity_exponent" },
  { key: "second_virial", record: "second_virial_300K_m3_mol", absent: 0 },
];

type Made = { record: GasRecord } | { lacking: string[] } | { unknown: string };

/** The built-in gas of a symbol or name; null: none. */
function builtIn(name: string): { symbol: string; record: GasRecord } | null {
  try {
    const [component] = gasNamed(name).components;
    return component === undefined ? null : { symbol: component.name, record: component.record };
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

function madeGas(symbol: string, group: GroupValue): Made {
  const like = wordAt(group, "like");
  const base = builtIn(like ?? symbol)?.record ?? null;
  if (base === null && like !== undefined) return { unknown: like };
  const source = wordAt(group, "source") ?? FROM_FILE;
  const lacking: string[] = [];
  const numbers: Record<string, Sourced> = {};
  for (const { key, record, absent } of FIELDS) {
    const own = quantityAt(group, key);
    if (own !== undefined)
      numbers[record] =
        own.u > 0 ? { value: own.value, u: own.u, source } : { value: own.value, source };
    else if (base !== null) numbers[record] = base[record] as Sourced;
    else if (absent !== undefined) numbers[record] = { value: absent, source: `${key} not given` };
    else lacking.push(key);
  }
  if (lacking.length > 0) return { lacking };
  const ownVirial = quantityAt(group, "second_virial") !== undefined || base === null;
  const slope: Sourced = ownVirial
    ? { value: 0, source: "slope not given" }
    : base.second_virial_slope_m3_mol_K;
  const lel = quantityAt(group, "lower_explosive_limit");
  const limit = lel === undefined ? base?.lower_explosive_limit : { value: lel.value, source };
  const flag = (key: string): boolean | null => {
    const value = valueAt(group, key);
    return value?.type === "flag" ? value.on : null;
  };
  const breathable = flag("breathable");
  const record = {
    names: [symbol.toLowerCase()],
    kind: {
      flammable: limit !== undefined || (base?.kind.flammable ?? false),
      oxidising: flag("oxidising") ?? base?.kind.oxidising ?? false,
      asphyxiant: breathable === null ? (base?.kind.asphyxiant ?? true) : !breathable,
    },
    ...numbers,
    second_virial_slope_m3_mol_K: slope,
    ...(limit === undefined ? {} : { lower_explosive_limit: limit }),
  } as unknown as GasRecord;
  return { record };
}

/** The file's own gases that are complete. */
export function ownGases(root: GroupValue): Record<string, GasRecord> {
  return madeGases(entriesAt(root, "gases"));
}

function madeGases(entries: Iterable<[string, Value]>): Record<string, GasRecord> {
  const out: Record<string, GasRecord> = {};
  for (const [symbol, value] of entries) {
    const made = value.type === "group" ? madeGas(symbol, value) : null;
    if (made !== null && "record" in made) out[symbol] = made.record;
  }
  return out;
}

/** Every gas by symbol: the built-in ones, then and over them those of a `gases` map. */
export function gasRecords(own: ReadonlyMap<string, Value>): Record<string, GasRecord> {
  return { ...GASES, ...madeGases(own) };
}

/** Gases of the file that no table knows, and own gases with gaps. */
export function checkGas(root: GroupValue): ProblemData[] {
  const problems: ProblemData[] = [];
  const own = entriesAt(root, "gases");
  const known = [...own.map(([symbol]) => symbol), ...Object.keys(GASES)];
  const names = [...known, ...Object.values(GASES).flatMap((record) => record.names)];
  const unknown = (place: Value["place"], name: string): void => {
    const { path, line, column } = place;
    const near = nearest(name, names);
    const data = { known, ...(near === null ? {} : { nearest: near }) };
    problems.push({
      code: "unknown-gas",
      path,
      line,
      column,
      found: name,
      severity: "error",
      data,
    });
  };
  for (const [symbol, value] of own) {
    const made = value.type === "group" ? madeGas(symbol, value) : null;
    if (made === null) continue;
    const { path, line, column } = value.place;
    if ("unknown" in made) unknown(value.place, made.unknown);
    if ("lacking" in made) {
      const all = FIELDS.filter((field) => field.absent === undefined).map((field) => field.key);
      const data = { keys: made.lacking, all };
      problems.push({
        code: "material-incomplete",
        path,
        line,
        column,
        found: symbol,
        severity: "error",
        data,
      });
    }
  }
  const gas = valueAt(root, "need", "gas");
  if (gas?.type !== "gas") return problems;
  for (const part of gas.parts) {
    const ours = own.some(([symbol]) => symbol.toLowerCase() === part.name.toLowerCase());
    if (!ours && builtIn(part.name) === null) unknown(part.place, part.name);
  }
  return problems;
}

/** The working gas; null where the design has none. */
export function gasOf(root: GroupValue): GasMixture | null {
  const gas = valueAt(root, "need", "gas");
  if (gas?.type !== "gas") return null;
  const own = ownGases(root);
  const [first] = gas.parts;
  if (first !== undefined && first.fraction === null) return gasNamed(first.name, own);
  return mixGases(
    gas.parts.map(({ name, fraction }) => ({ name, fraction: fraction?.value ?? 0 })),
    own,
  );
}

/** Gas numbers as inputs: those of a pure gas, and what is uncertain in each component. */
export function gasInputs(gas: GasMixture, root: GroupValue): DesignInput[] {
  const inputs: DesignInput[] = [];
  const [first] = gas.components;
  const given = (symbol: string, key: string) =>
    quantityAt(root, "gases", symbol, key) === undefined ? "table" : "file";
  const add = (
    symbol: string,
    key: string,
    path: (string | number)[],
    entry: Sourced,
    kind: DesignInput["kind"],
  ) =>
    inputs.push({
      path: ["gas", ...path],
      key: `gases.${symbol}.${key}`,
      value: entry.value,
      u: entry.u ?? 0,
      distribution: "normal",
      kind,
      origin: given(symbol, key),
    });
  if (gas.components.length === 1 && first !== undefined) {
    add(first.name, "molar_mass", ["molarMass"], first.record.molar_mass_kg_mol, "molar mass");
    add(first.name, "heat_capacity_ratio", ["gamma"], first.record.heat_capacity_ratio, "ratio");
  }
  gas.components.forEach(({ name, record }, i) => {
    const at = (key: keyof GasRecord) => ["components", i, "record", key, "value"];
    add(name, "viscosity", at("viscosity_300K_Pa_s"), record.viscosity_300K_Pa_s, "viscosity");
    const virial = record.second_virial_300K_m3_mol;
    add(name, "second_virial", at("second_virial_300K_m3_mol"), virial, "molar volume");
  });
  return inputs;
}
