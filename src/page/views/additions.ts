import type { Edit } from "../../design/edit.ts";
import { at } from "../document/values.ts";
import type { StepId } from "../steps.ts";

/** Parts that a step can add to a design, with plain values to start from. */
export interface Addition {
  name: string;
  what: string;
  edits: Edit[];
}

/** What can be added at a step to what the file holds. */
export function additionsFor(step: StepId, tree: unknown): Addition[] {
  switch (step) {
    case "strip":
      return [layer(tree), mass(tree)].filter((a) => a !== null);
    case "wiring":
      return wiring(tree);
    case "drive":
      return rail(tree);
    case "seat":
      return at(tree, ["seat"]) === undefined ? seat(tree) : [];
    default:
      return [];
  }
}

const set = (
  path: (string | number)[],
  value: Edit & { kind: "set" } extends { value: infer V } ? V : never,
): Edit => ({
  kind: "set",
  path,
  value,
});

function layer(tree: unknown): Addition | null {
  const layers = at(tree, ["strip", "layers"]);
  if (!Array.isArray(layers)) return null;
  const value = [...layers, { material: "epoxy", thickness: "0.01 mm" }] as never;
  return {
    name: "Add a layer on top",
    what: "a layer on top",
    edits: [set(["strip", "layers"], value)],
  };
}

function mass(tree: unknown): Addition | null {
  const masses = at(tree, ["masses"]);
  const list = Array.isArray(masses) ? masses : [];
  const value = [...list, { name: `mass ${list.length + 1}`, mass: "0.1 mg", from_tip: "1 mm" }];
  return {
    name: "Add a lumped mass",
    what: "a lumped mass",
    edits: [set(["masses"], value as never)],
  };
}

/** Electrodes named by the layers that the wiring does not hold yet. */
function wiring(tree: unknown): Addition[] {
  const layers = at(tree, ["strip", "layers"]);
  if (!Array.isArray(layers)) return [];
  const named = new Set<string>();
  for (const { bottom, top, conductor } of layers as Record<string, unknown>[])
    for (const name of [bottom, top, conductor]) if (typeof name === "string") named.add(name);
  const wired = at(tree, ["wiring"]);
  const missing = [...named].filter(
    (name) => typeof wired !== "object" || wired === null || !(name in wired),
  );
  if (missing.length === 0) return [];
  return missing.map((name) => ({
    name: `Wire ${name}`,
    what: `${name} to ground`,
    edits: [set(["wiring", name], "ground")],
  }));
}

function rail(tree: unknown): Addition[] {
  const rails = at(tree, ["rails"]);
  const names = typeof rails === "object" && rails !== null ? Object.keys(rails) : [];
  let name = names.length === 0 ? "bias" : "second";
  for (let i = 2; names.includes(name); i++) name = `rail ${i}`;
  return [
    {
      name: "Add a rail",
      what: `rail ${name}`,
      edits: [set(["rails", name], { voltage: "-100 V", sinks: "no" })],
    },
    ...(at(tree, ["switch"]) === undefined
      ? [
          {
            name: "Add a switch",
            what: "a switch",
            edits: [
              set(["switch"], {
                high: "ground",
                low: names[0] ?? name,
                series_resistor: "470 ohm",
              }),
            ],
          },
        ]
      : []),
  ];
}

function seat(tree: unknown): Addition[] {
  const pad = { material: "FKM 75 Shore A", thickness: "0.5 mm", from_tip: "0.5 mm", mass: "4 mg" };
  const value = {
    form: "land",
    diameter: "0.45 mm",
    land: "0.05 mm",
    arrangement: "pressure closes",
    side: "below",
    stand_off: "0 um",
  };
  return [
    {
      name: "Add pad and seat",
      what: "pad and seat",
      edits: [
        ...(at(tree, ["pad"]) === undefined ? [set(["pad"], pad)] : []),
        set(["seat"], value),
      ],
    },
  ];
}
