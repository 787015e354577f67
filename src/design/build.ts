import { buildDrive } from "./buildDrive.ts";
import { buildLimits, buildModel, figuresOf } from "./buildModel.ts";
import { buildNeed, buildValve } from "./buildValve.ts";
import { ownMaterials } from "./consistency.ts";
import type { Design, LayerDesign, LumpedMass, StripDesign, StripSegment } from "./design.ts";
import { electrodeLayers, electrodeNames } from "./electrodes.ts";
import { gasInputs, gasOf } from "./gasOf.ts";
import { materialOf } from "./materialOf.ts";
import { type Numbers, numbersOf } from "./numbers.ts";
import { type GroupValue, itemsAt, valueAt } from "./tree.ts";

/**
 * The design record of a file that was read without a problem. RangeError when something is missing
 * that the reader should have refused.
 */
export function buildDesign(root: GroupValue, fallbackName: string): Design {
  const numbers = numbersOf(root);
  const { strip, freeLengthRange } = buildStrip(root, numbers);
  const clamp = {
    length: numbers.number(["clamp", "length"]),
    electrodeLength: numbers.number(["clamp", "electrode_length"]),
    rotationalStiffness: numbers.optional(["clamp", "rotational_stiffness"]),
    translationalStiffness: numbers.optional(["clamp", "translational_stiffness"]),
    foundationModulus: numbers.optional(["clamp", "foundation_modulus"]),
  };
  const tip = strip.freeLength + (strip.extension?.length ?? 0);
  const need = buildNeed(root, numbers);
  const valve = buildValve(root, numbers, tip);
  const masses = itemsAt(root, "masses").map((_, i) => buildMass(numbers, i, tip));
  const drive = buildDrive(root, numbers);
  const limits = buildLimits(numbers);
  const model = buildModel(numbers);
  const surroundings = buildSurroundings(root, numbers);
  const materials = buildMaterials(root, numbers);
  const electrodes = electrodeNames(
    electrodeLayers(itemsAt(root, "strip", "layers"), (name) => materials[name]?.kind ?? null),
  );
  const gas = gasOf(root);
  if (gas !== null) numbers.inputs.push(...gasInputs(gas, root));
  const catalogue = figuresOf(root, "catalogue");
  const measured = figuresOf(root, "measured");
  return {
    name: numbers.optionalWord(["name"]) ?? fallbackName,
    notes: numbers.optionalWord(["notes"]) ?? "",
    need,
    strip,
    clamp,
    masses,
    ...valve,
    electrodes,
    ...drive,
    surroundings,
    materials,
    ...(gas === null ? {} : { gas }),
    limits,
    model,
    ...(catalogue === null ? {} : { catalogue }),
    ...(measured === null ? {} : { measured }),
    inputs: numbers.inputs,
    freeLengthRange,
  };
}

function buildStrip(root: GroupValue, numbers: Numbers) {
  const { number, optional, word, optionalWord } = numbers;
  const width = number(["strip", "width"]);
  const range = valueAt(root, "strip", "free_length");
  let freeLength: number;
  let freeLengthRange: Design["freeLengthRange"] = null;
  if (range?.type === "range") {
    freeLengthRange = { from: range.from.value, to: range.to.value };
    freeLength = 0.5 * (range.from.value + range.to.value);
    numbers.inputs.push({
      path: ["strip", "freeLength"],
      key: "strip.free_length",
      value: freeLength,
      u: 0,
      distribution: "normal",
      kind: "length",
      origin: "file",
    });
  } else freeLength = number(["strip", "free_length"]);
  const totalLength = optional(["strip", "total_length"]);
  const layers = itemsAt(root, "strip", "layers").map((_, i): LayerDesign => {
    const at = (key: string) => ["strip", "layers", i, key];
    const poling = optionalWord(at("poling"));
    return {
      material: word(at("material")),
      thickness: number(at("thickness")),
      width: optional(at("width")) ?? width,
      poling: poling === "up" ? 1 : poling === "down" ? -1 : 0,
      bottom: optionalWord(at("bottom")),
      top: optionalWord(at("top")),
      conductor: optionalWord(at("conductor")),
    };
  });
  const at = (key: string) => ["strip", "extension", key];
  const extension =
    valueAt(root, "strip", "extension") === undefined
      ? null
      : {
          material: word(at("material")),
          thickness: number(at("thickness")),
          width: optional(at("width")) ?? width,
          length: number(at("length")),
        };
  const strip: StripDesign = {
    width,
    widthAtTip: optional(["strip", "width_at_tip"]),
    freeLength,
    totalLength,
    layers,
    segments: itemsAt(root, "strip", "segments").map((_, i) => buildSegment(root, numbers, i)),
    extension,
    polarityMark: word(["strip", "polarity_mark"]) as StripDesign["polarityMark"],
    referenceTemperature: number(["strip", "reference_temperature"]),
    structuralQ: number(["strip", "structural_q"]),
  };
  return { strip, freeLengthRange };
}

function buildSegment(root: GroupValue, { number, word }: Numbers, i: number): StripSegment {
  const at = (key: string) => ["strip", "segments", i, key];
  const words = (key: string) => {
    const value = valueAt(root, ...at(key));
    return value?.type === "words" ? value.texts : [];
  };
  return {
    measuredFrom: word(at("measured_from")) as StripSegment["measuredFrom"],
    from: number(at("from")),
    to: number(at("to")),
    bare: words("bare"),
    removed: words("removed").map((text) => Number(text) - 1),
  };
}

function buildMass(numbers: Numbers, i: number, tip: number): LumpedMass {
  const at = (key: string) => ["masses", i, key];
  const mass = numbers.number(at("mass"));
  const position = numbers.optional(at("position"));
  const fromTip = numbers.optional(at("from_tip"));
  return {
    name: numbers.word(at("name")),
    mass,
    position: position ?? tip - (fromTip as number),
    fromTip,
    rotaryInertia: numbers.number(at("rotary_inertia")),
  };
}

function buildSurroundings(
  root: GroupValue,
  { number, optional }: Numbers,
): Design["surroundings"] {
  const wetted = valueAt(root, "surroundings", "wetted");
  return {
    wallDistance: optional(["surroundings", "wall_distance"]),
    conductorGapMin: number(["surroundings", "conductor_gap_min"]),
    conductorGapMax: number(["surroundings", "conductor_gap_max"]),
    ambientTemperature: number(["surroundings", "ambient_temperature"]),
    wetted: wetted?.type === "words" ? wetted.texts : [],
  };
}

/** Materials of layers, extension and pad; each once, its numbers listed as inputs. */
function buildMaterials(root: GroupValue, numbers: Numbers): Design["materials"] {
  const own = ownMaterials(root);
  const names = new Set<string>();
  itemsAt(root, "strip", "layers").forEach((_, i) => {
    names.add(numbers.word(["strip", "layers", i, "material"]));
  });
  for (const part of [["strip", "extension"], ["pad"]]) {
    const name = numbers.optionalWord([...part, "material"]);
    if (name !== null) names.add(name);
  }
  const materials: Design["materials"] = {};
  for (const name of names) {
    const result = materialOf(name, own);
    if (!result.ok) throw new RangeError(`material ${name}: ${result.code}`);
    materials[name] = result.material;
    numbers.inputs.push(...result.inputs);
  }
  return materials;
}
