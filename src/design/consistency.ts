import { formatQuantity } from "../units/index.ts";
import { checkSegments } from "./consistencySegments.ts";
import { checkElectrodes, electrodeLayers, electrodeNames } from "./electrodes.ts";
import { allowedAt } from "./limitsText.ts";
import { materialOf } from "./materialOf.ts";
import { nearest } from "./nearest.ts";
import { parameterAt } from "./parameters.ts";
import type { ProblemData } from "./problem.ts";
import {
  entriesAt,
  type GroupValue,
  groupAt,
  itemsAt,
  type Place,
  quantityAt,
  type Value,
  valueAt,
  wordAt,
} from "./tree.ts";

/** Electrodes that one wiring may hold. */
const ELECTRODES_MAX = 6;

/** What can only be seen from several keys together: materials, lengths, electrodes, nodes. */
export function checkConsistency(root: GroupValue): ProblemData[] {
  const problems: ProblemData[] = [];
  const report: Report = (code, place, data = {}, severity = "error") => {
    const { path, line, column, found } = place;
    problems.push({ code, path, line, column, found, severity, data });
  };
  checkMaterials(root, report);
  checkLengths(root, report);
  checkStrip(root, report);
  checkNeeds(root, report);
  checkOrders(root, report);
  checkCarried(root, report);
  return problems;
}

type Report = (
  code: ProblemData["code"],
  place: Place,
  data?: ProblemData["data"],
  severity?: ProblemData["severity"],
) => void;

/** The file's own materials. */
export function ownMaterials(root: GroupValue): ReadonlyMap<string, Value> {
  return new Map(entriesAt(root, "materials"));
}

const A: Readonly<Record<string, string>> = {
  ceramic: "a ceramic",
  metal: "a metal",
  fibre: "a fibre",
  glue: "a glue",
  insulator: "an insulator",
  elastomer: "an elastomer",
};

function checkMaterials(root: GroupValue, report: Report): void {
  const own = ownMaterials(root);
  const used: { value: Value | undefined; pad: boolean }[] = [
    ...itemsAt(root, "strip", "layers").map((layer) => ({
      value: valueAt(layer, "material"),
      pad: false,
    })),
    { value: valueAt(root, "strip", "extension", "material"), pad: false },
    { value: valueAt(root, "pad", "material"), pad: true },
  ];
  const seen = new Set<string>();
  for (const { value, pad } of used) {
    if (value?.type !== "word") continue;
    const name = value.text;
    const result = materialOf(name, own);
    const place = { ...value.place, found: name };
    if (!result.ok) {
      const placeOfOwn = own.get(name)?.place;
      const own_ = placeOfOwn !== undefined && result.code !== "unknown-material";
      if (!seen.has(name)) report(result.code, own_ ? placeOfOwn : place, result.data);
      seen.add(name);
    } else if ((result.material.kind === "elastomer") !== pad) {
      report("wrong-material", place, {
        is: A[result.material.kind] as string,
        due: pad
          ? "an elastomer or a sheet"
          : "a layer material (ceramic, metal, fibre, glue or insulator)",
      });
    }
  }
  for (const [name, value] of own) {
    if (seen.has(name)) continue;
    const result = materialOf(name, own);
    if (!result.ok) report(result.code, { ...value.place, found: name }, result.data);
  }
}

const mm = (metres: number) =>
  formatQuantity(Number(metres.toPrecision(9)), 0, "length", { unit: "mm" });

/** Shortest and longest free length that the file allows. */
function freeLengths(root: GroupValue): { from: number; to: number; isRange: boolean } | null {
  const value = valueAt(root, "strip", "free_length");
  if (value?.type === "quantity")
    return { from: value.quantity.value, to: value.quantity.value, isRange: false };
  if (value?.type === "range") return { from: value.from.value, to: value.to.value, isRange: true };
  return null;
}

/** Rounding of sums of lengths given in millimetres. */
const ROUNDING = 1e-12;

function checkLengths(root: GroupValue, report: Report): void {
  const free = freeLengths(root);
  if (free === null) return;
  const extension = quantityAt(root, "strip", "extension", "length")?.value ?? 0;
  const clamp = quantityAt(root, "clamp", "length")?.value;
  const total = valueAt(root, "strip", "total_length");
  if (total?.type === "quantity" && clamp !== undefined) {
    const taken = free.to + clamp;
    if (total.quantity.value < taken - ROUNDING)
      report("strip-too-short", total.place, { total: mm(total.quantity.value), taken: mm(taken) });
  }
  const shortest = free.from + extension;
  placeOn(groupAt(root, "pad"), "the pad");
  for (const mass of itemsAt(root, "masses"))
    if (mass.type === "group") placeOn(mass, wordAt(mass, "name") ?? "the mass");

  function placeOn(group: GroupValue | undefined, what: string): void {
    if (group === undefined) return;
    const position = group.keys.get("position");
    const fromTip = group.keys.get("from_tip");
    const [given, tipGiven] = [group.given.has("position"), group.given.has("from_tip")];
    if (!given && !tipGiven) report("position-missing", group.place, { what });
    else if (position !== undefined && fromTip !== undefined)
      report("position-twice", fromTip.place, { what });
    else if (position?.type === "quantity") {
      if (free?.isRange) report("position-with-range", position.place, { what });
      else if (position.quantity.value > shortest + ROUNDING)
        report("beyond-tip", position.place, { what, tip: mm(shortest) });
    } else if (fromTip?.type === "quantity" && fromTip.quantity.value >= shortest - ROUNDING)
      report("beyond-tip", fromTip.place, {
        what: `${what}, inside the clamp, `,
        tip: mm(shortest),
      });
  }
}

function checkStrip(root: GroupValue, report: Report): void {
  const own = ownMaterials(root);
  const values = itemsAt(root, "strip", "layers");
  const layers = electrodeLayers(values, (name) => {
    const result = materialOf(name, own);
    return result.ok ? result.material.kind : null;
  });
  checkElectrodes(layers, values, report);
  layers.forEach((layer) => {
    if (layer.kind === "ceramic" && layer.bottom === null && layer.top === null)
      report("not-driven", layer.place, {}, "warning");
  });
  checkSegments(root, layers, freeLengths(root)?.to ?? null, report);
  checkWiring(root, electrodeNames(layers), report);
}

function checkWiring(root: GroupValue, electrodes: readonly string[], report: Report): void {
  const rails = entriesAt(root, "rails").map(([name]) => name);
  const wiring = valueAt(root, "wiring");
  const node = (value: Value | undefined, nodes: readonly string[]) => {
    if (value?.type !== "word" || nodes.includes(value.text)) return;
    const near = nearest(value.text, nodes);
    report(
      "unknown-node",
      { ...value.place, found: value.text },
      {
        known: nodes,
        ...(near === null ? {} : { nearest: near }),
      },
    );
  };
  node(valueAt(root, "switch", "high"), ["ground", ...rails]);
  node(valueAt(root, "switch", "low"), ["ground", ...rails]);
  if (wiring?.type !== "map") return;
  let switched: Value | null = null;
  for (const [name, value] of wiring.entries) {
    if (!electrodes.includes(name)) {
      const near = nearest(name, electrodes);
      report(
        "unknown-electrode",
        { ...value.place, found: name },
        {
          known: electrodes,
          ...(near === null ? {} : { nearest: near }),
        },
      );
    }
    node(value, ["ground", "switched", "open", ...rails]);
    if (value.type === "word" && value.text === "switched") switched = value;
  }
  for (const electrode of electrodes)
    if (!wiring.given.has(electrode)) report("electrode-not-wired", wiring.place, { electrode });
  if (electrodes.length > ELECTRODES_MAX)
    report("too-many-electrodes", wiring.place, {
      count: electrodes.length,
      limit: ELECTRODES_MAX,
    });
  if (switched !== null && !root.given.has("switch"))
    report("switch-missing", (switched as Value).place);
}

function checkNeeds(root: GroupValue, report: Report): void {
  const need = groupAt(root, "need");
  const seat = valueAt(root, "seat");
  const hasSeat = root.given.has("seat");
  const hasGas = need?.given.has("gas");
  const needed = (path: string[], because: string) => {
    const parameter = parameterAt(path);
    if (parameter === null || valueAt(root, ...path) !== undefined) return;
    const parent = groupAt(root, ...path.slice(0, -1));
    if (parent?.given.has(path[path.length - 1] as string)) return;
    report(
      "needed-with",
      { ...(parent ?? root).place, path, found: "" },
      {
        label: parameter.label,
        with: because,
        allowed: allowedAt(parameter),
      },
    );
  };
  if (hasSeat) {
    if (!root.given.has("pad")) report("seat-without-pad", seat?.place ?? root.place);
    needed(["need", "gas"], "a seat");
    needed(["need", "orifice_diameter"], "a seat");
  }
  if (hasSeat || hasGas) needed(["need", "plenum_pressure"], hasGas ? "a gas" : "a seat");
  const law = wordAt(root, "pad", "law");
  if (law === "linear") needed(["pad", "stiffness"], "the linear pad law");
  if (law === "round cord") needed(["pad", "cord_diameter"], "the round-cord pad law");
}

function checkOrders(root: GroupValue, report: Report): void {
  const pair = (low: string[], high: string[], code: ProblemData["code"]) => {
    const a = quantityAt(root, ...low);
    const b = quantityAt(root, ...high);
    const at = valueAt(root, ...low);
    const place = at?.origin === "file" ? at.place : valueAt(root, ...high)?.place;
    if (a !== undefined && b !== undefined && place !== undefined && a.value > b.value)
      report(code, place);
  };
  pair(["surroundings", "conductor_gap_min"], ["surroundings", "conductor_gap_max"], "gap-order");
  pair(["model", "secondary_emission_min"], ["model", "secondary_emission_max"], "range-order");
  const seat = valueAt(root, "seat", "diameter");
  const orifice = quantityAt(root, "need", "orifice_diameter");
  if (seat?.type === "quantity" && orifice !== undefined && seat.quantity.value <= orifice.value)
    report("seat-inside-orifice", seat.place, { orifice: mm(orifice.value) });
}

/** Numbers whose uncertainty no computation uses are said, not dropped in silence. */
function checkCarried(root: GroupValue, report: Report): void {
  const say = (place: Place, label: string) =>
    report("not-propagated", place, { label }, "warning");
  for (const path of [
    ["need", "standard_state", "temperature"],
    ["need", "standard_state", "pressure"],
    ["catalogue", "voltage"],
    ["measured", "voltage"],
  ]) {
    const value = valueAt(root, ...path);
    if (value?.type === "quantity" && value.quantity.u > 0) say(value.place, value.parameter.label);
  }
  const range = valueAt(root, "strip", "free_length");
  if (range?.type === "range" && range.from.u + range.to.u > 0)
    say(range.place, "range of lengths");
  const gas = valueAt(root, "need", "gas");
  if (gas?.type !== "gas") return;
  for (const { name, fraction, place } of gas.parts)
    if (fraction !== null && fraction.u > 0) say(place, `mole fraction of ${name}`);
}
