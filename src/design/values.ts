import type { Metre } from "../units/aliases.ts";
import type { Design, DesignInput } from "./design.ts";

/** One number to set: `path` leads to it inside {@link Design}. */
export interface ValueChange {
  path: readonly (string | number)[];
  value: number;
}

type Tree = Record<string | number, unknown>;

/** `node` with all changes that lead into it; every object on the way is copied once. */
function withAll(node: unknown, changes: readonly ValueChange[], at: number): unknown {
  const [first] = changes;
  if (first !== undefined && first.path.length === at) return changes[changes.length - 1]?.value;
  const groups = new Map<string | number, ValueChange[]>();
  for (const change of changes) {
    const key = change.path[at] as string | number;
    if (typeof node !== "object" || node === null || !Object.hasOwn(node, key))
      throw new RangeError(`the design has no value at ${change.path.join(".")}`);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [change]);
    else group.push(change);
  }
  const copy = (Array.isArray(node) ? node.slice() : { ...(node as object) }) as Tree;
  for (const [key, group] of groups) copy[key] = withAll((node as Tree)[key], group, at + 1);
  return copy;
}

/** Inputs by path, one map for each list of inputs. */
const PLACES = new WeakMap<readonly DesignInput[], Map<string, number>>();

function placeOf(inputs: readonly DesignInput[], path: readonly (string | number)[]): number {
  let map = PLACES.get(inputs);
  if (map === undefined) {
    map = new Map(inputs.map((input, i) => [input.path.join("\n"), i]));
    PLACES.set(inputs, map);
  }
  return map.get(path.join("\n")) ?? -1;
}

/**
 * The design with some numbers set, sharing everything else with the given one, which stays as it is.
 * What follows from a number follows: layers and an extension as wide as the strip keep its width, what is
 * placed from the tip moves with it, and the input list names the new value (its u is kept).
 * RangeError when a path leads nowhere.
 */
export function withValues(design: Design, changes: readonly ValueChange[]): Design {
  if (changes.length === 0) return design;
  let out = withAll(design, changes, 0) as Design;
  let inputs: DesignInput[] | null = null;
  for (const { path, value } of changes) {
    out = followed(design, out, path, value);
    const i = placeOf(design.inputs, path);
    if (i >= 0) {
      inputs ??= design.inputs.slice();
      inputs[i] = { ...(inputs[i] as DesignInput), value };
    }
  }
  if (inputs === null) return out;
  const places = PLACES.get(design.inputs);
  if (places !== undefined) PLACES.set(inputs, places);
  return { ...out, inputs };
}

/** What depends on the number just set. */
function followed(
  before: Design,
  after: Design,
  path: readonly (string | number)[],
  value: number,
): Design {
  const [section, key] = path;
  if (section === "strip" && key === "width") {
    const layers = after.strip.layers.map((layer) =>
      layer.width === before.strip.width ? { ...layer, width: value } : layer,
    );
    const { extension } = after.strip;
    const follows = extension !== null && extension.width === before.strip.width;
    return {
      ...after,
      strip: {
        ...after.strip,
        layers,
        extension: follows ? { ...extension, width: value } : extension,
      },
    };
  }
  if (section === "strip" && (key === "freeLength" || key === "extension"))
    return placedFromTip(after);
  if (path[path.length - 1] === "fromTip") return placedFromTip(after);
  return after;
}

/** Distance of the tip (of the extension, where there is one) from the clamp edge. */
export function tipOf(design: Pick<Design, "strip">): Metre {
  return design.strip.freeLength + (design.strip.extension?.length ?? 0);
}

function placedFromTip(design: Design): Design {
  const tip = tipOf(design);
  const { pad, masses } = design;
  const movesMass = masses.some((mass) => mass.fromTip !== null);
  const movesPad = pad !== undefined && pad.fromTip !== null;
  if (!movesMass && !movesPad) return design;
  return {
    ...design,
    ...(movesPad ? { pad: { ...pad, position: tip - (pad.fromTip as Metre) } } : {}),
    ...(movesMass
      ? {
          masses: masses.map((mass) =>
            mass.fromTip === null ? mass : { ...mass, position: tip - mass.fromTip },
          ),
        }
      : {}),
  };
}

/**
 * The design with another free length: pad and masses keep their distance from the tip (they are
 * glued to the strip), whichever way the file gives their place.
 */
export function withFreeLength(design: Design, freeLength: Metre): Design {
  const shift = freeLength - design.strip.freeLength;
  const changes: ValueChange[] = [{ path: ["strip", "freeLength"], value: freeLength }];
  if (design.pad !== undefined && design.pad.fromTip === null)
    changes.push({ path: ["pad", "position"], value: design.pad.position + shift });
  design.masses.forEach((mass, i) => {
    if (mass.fromTip === null)
      changes.push({ path: ["masses", i, "position"], value: mass.position + shift });
  });
  return withValues(design, changes);
}
