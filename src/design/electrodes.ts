import type { ProblemData } from "./problem.ts";
import { type Place, type Value, valueAt, wordAt } from "./tree.ts";

/** What a layer is for the electrodes; `kind` of its material, null when that is not known. */
export interface ElectrodeLayer {
  kind: string | null;
  material: string;
  bottom: string | null;
  top: string | null;
  conductor: string | null;
  poling: string | null;
  /** A poling that was given but not understood has its own problem already. */
  polingGiven: boolean;
  place: Place;
}

/** Reads the electrode words of the layers. */
export function electrodeLayers(
  layers: readonly Value[],
  kindOf: (material: string) => string | null,
): ElectrodeLayer[] {
  return layers.map((layer) => {
    const material = wordAt(layer, "material") ?? "";
    return {
      kind: kindOf(material),
      material,
      bottom: wordAt(layer, "bottom") ?? null,
      top: wordAt(layer, "top") ?? null,
      conductor: wordAt(layer, "conductor") ?? null,
      poling: wordAt(layer, "poling") ?? null,
      polingGiven: layer.type === "group" && layer.given.has("poling"),
      place: layer.place,
    };
  });
}

/** Electrode names in the order of their first appearance, bottom to top. */
export function electrodeNames(layers: readonly ElectrodeLayer[]): string[] {
  const names = new Set<string>();
  for (const { bottom, conductor, top } of layers)
    for (const name of [bottom, conductor, top]) if (name !== null) names.add(name);
  return [...names];
}

type Report = (code: ProblemData["code"], place: Place, data?: ProblemData["data"]) => void;

/** Poling and electrodes of each layer, and the names of faces that touch each other. */
export function checkElectrodes(
  layers: readonly ElectrodeLayer[],
  values: readonly Value[],
  report: Report,
): void {
  layers.forEach((layer, i) => {
    const at = (key: string): Place => valueAt(values[i] as Value, key)?.place ?? layer.place;
    if (layer.kind === null) return;
    if (layer.kind === "ceramic") checkCeramic(layer, at, report);
    else {
      const { material } = layer;
      if (layer.poling === "up" || layer.poling === "down")
        report("poling-not-ceramic", at("poling"), { material });
      if (layer.bottom !== null) report("electrode-not-ceramic", at("bottom"), { material });
      if (layer.top !== null) report("electrode-not-ceramic", at("top"), { material });
    }
    const conducts = ["metal", "fibre", "glue"].includes(layer.kind);
    if (layer.conductor !== null && !conducts)
      report("conductor-not-metal", at("conductor"), { material: layer.material });
  });
  checkContacts(layers, report);
}

function checkCeramic(layer: ElectrodeLayer, at: (key: string) => Place, report: Report): void {
  if (layer.poling === null && !layer.polingGiven) report("poling-missing", layer.place);
  if ((layer.bottom === null) !== (layer.top === null))
    report("electrode-one-face", layer.place, { face: layer.bottom === null ? "upper" : "lower" });
  if (layer.bottom !== null && layer.bottom === layer.top)
    report("electrode-both-faces", { ...at("top"), found: layer.top }, {});
}

/** Faces joined by metal carry one name: walked bottom to top, an insulating layer parts them. */
function checkContacts(layers: readonly ElectrodeLayer[], report: Report): void {
  let net: string | null = null;
  const join = (name: string | null, place: Place) => {
    if (name === null) return;
    if (net !== null && net !== name)
      report("electrodes-contradict", place, { one: net, other: name });
    net ??= name;
  };
  for (const layer of layers) {
    if (layer.kind === "ceramic") {
      join(layer.bottom, layer.place);
      net = layer.top;
    } else if (layer.kind === "metal" || layer.conductor !== null)
      join(layer.conductor, layer.place);
    else net = null;
  }
}
