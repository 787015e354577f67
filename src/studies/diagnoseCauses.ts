import type { Design } from "../design/design.ts";
import type { Ceramic } from "../physics/materials.ts";
import { designSection } from "../sheet/stripModel.ts";
import { Bench } from "./calibrateObservables.ts";
import type { Cause } from "./diagnoseTypes.ts";

/*
 * Causes as one or two numbers of the design each. The sizes are what such faults usually amount to: common practice,
 * no source.
 */

type Size = NonNullable<Cause["sizes"]>[number];
const size = (name: string, unit: Size["unit"], u: number, upper: number, lower = 0): Size => ({
  name,
  unit,
  u,
  lower,
  upper,
});

/** One driven layer made of another ceramic than the rest. */
function oneLayer(design: Design, change: (ceramic: Ceramic) => Ceramic): Design | null {
  const index = design.strip.layers.reduce(
    (last, { material }, i) => (design.materials[material]?.kind === "ceramic" ? i : last),
    -1,
  );
  const layer = design.strip.layers[index];
  const ceramic = layer === undefined ? undefined : design.materials[layer.material];
  if (layer === undefined || ceramic?.kind !== "ceramic") return null;
  const name = `${layer.material}, damaged`;
  return {
    ...design,
    materials: { ...design.materials, [name]: change(ceramic) },
    strip: {
      ...design.strip,
      layers: design.strip.layers.map((each, i) =>
        i === index ? { ...each, material: name } : each,
      ),
    },
  };
}

/** Every ceramic changed. */
function everyCeramic(design: Design, change: (ceramic: Ceramic) => Ceramic): Design {
  const materials = Object.fromEntries(
    Object.entries(design.materials).map(([name, material]) => [
      name,
      material.kind === "ceramic" ? change(material) : material,
    ]),
  );
  return { ...design, materials };
}

function standOff(design: Design, by: number): Design | null {
  if (design.seat === undefined) return null;
  return { ...design, seat: { ...design.seat, standOff: design.seat.standOff + by } };
}

const damped = (design: Design, loss: number): Design => ({
  ...design,
  strip: { ...design.strip, structuralQ: design.strip.structuralQ / (1 + loss) },
});

function softClamp(design: Design, compliance: number): Design {
  const { bendingStiffness } = designSection(design);
  const own = design.clamp.rotationalStiffness;
  const more = (compliance * design.strip.freeLength) / bendingStiffness;
  const total = more + (own === null ? 0 : 1 / own);
  return total > 0
    ? { ...design, clamp: { ...design.clamp, rotationalStiffness: 1 / total } }
    : design;
}

function heavier(design: Design, mass: number): Design {
  if (design.pad !== undefined)
    return { ...design, pad: { ...design.pad, mass: design.pad.mass + mass } };
  const position = design.strip.freeLength + (design.strip.extension?.length ?? 0);
  const added = { name: "added", mass, position, fromTip: 0, rotaryInertia: 0 };
  return { ...design, masses: [...design.masses, added] };
}

export const CAUSES: readonly Cause[] = [
  {
    id: "preload",
    name: "preload too high: the stand-off is too far in",
    mend: "Turn the adjusting screw back to first touch, then on by 10 to 20 % of the swing.",
    sizes: [size("too far in", "m", 12e-6, 1e-4)],
    change: (design, [by = 0]) => standOff(design, by),
  },
  {
    id: "rail",
    name: "opening voltage above the rail: the strip gives less per volt than designed",
    mend: "Look for a depoled or half connected strip; a smaller seat rather than more volts.",
    sizes: [size("d31 lost", "share", 0.25, 0.8)],
    change: (design, [lost = 0]) =>
      everyCeramic(design, (c) => ({ ...c, d31: c.d31 * (1 - lost) })),
  },
  {
    id: "pressure",
    name: "pressure force too high: the plenum pressure, or the diameter that seals",
    mend: "Check gauge and regulator (absolute or not), then where the pad seals.",
    sizes: [size("pressure up", "share", 0.4, 3)],
    change: (design, [more = 0]) => ({
      ...design,
      need: { ...design.need, plenumPressure: design.need.plenumPressure * (1 + more) },
    }),
  },
  {
    id: "particle",
    name: "a particle or scratch on the seat",
    mend: "Clean pad and seat, look at the rim with 50 times; lap the seat where it is scratched.",
  },
  {
    id: "stand-off",
    name: "stand-off too small: the pad does not reach the seat",
    mend: "Turn the adjusting screw in until the resonance rises, then on by 10 to 20 % of the swing.",
    sizes: [size("too far out", "m", 50e-6, 3e-4)],
    change: (design, [by = 0]) => standOff(design, -by),
  },
  {
    id: "pad",
    name: "the pad has set, swollen or blistered",
    mend: "Renew the pad; check gas against rubber; vent slowly.",
    sizes: [size("modulus lost", "share", 0.35, 0.9)],
    change: (design, [lost = 0]) => {
      const name = design.pad?.material;
      const material = name === undefined ? undefined : design.materials[name];
      if (name === undefined || material?.kind !== "elastomer") return null;
      const softer = { ...material, youngModulus: material.youngModulus * (1 - lost) };
      return { ...design, materials: { ...design.materials, [name]: softer } };
    },
  },
  {
    id: "creep",
    name: "creep of the ceramic",
    mend: "More preload, or a burst of full cycles before the valve stands closed.",
  },
  {
    id: "set",
    name: "the pad takes a set over hours",
    mend: "Adjust again after 24 h; bake the pad before.",
  },
  {
    id: "temperature",
    name: "the strip bends with temperature",
    mend: "Hold the temperature, or choose a symmetric laminate; set the stand-off warm.",
  },
  {
    id: "depoled",
    name: "depoled by heat or by a field against the poling",
    mend: "Check wiring and every state's field (reedlift check); re-pole or replace the strip.",
    sizes: [size("d31 lost", "share", 0.25, 0.95)],
    change: (design, [lost = 0]) =>
      everyCeramic(design, (c) => ({
        ...c,
        d31: c.d31 * (1 - lost),
        epsilon33T: c.epsilon33T * (1 - 0.3 * lost),
      })),
  },
  {
    id: "glue",
    name: "a glue joint let go: delamination",
    mend: "Replace the strip; look at its edge with 50 times.",
    sizes: [size("one layer lost", "share", 0.4, 0.98)],
    change: (design, [lost = 0]) =>
      oneLayer(design, (c) => ({ ...c, youngModulus: c.youngModulus * (1 - lost) })),
  },
  {
    id: "layer",
    name: "one layer is not connected: a lead is off",
    mend: "Measure the capacitance of each layer at the strip itself, then solder the lead again.",
    change: (design) =>
      oneLayer(design, (c) => ({ ...c, d31: c.d31 * 1e-6, epsilon33T: c.epsilon33T * 1e-3 })),
  },
  {
    id: "clamp",
    name: "the clamp is loose",
    mend: "Tighten to the noted torque with square jaws, measure f1 again, and once more after 24 h.",
    sizes: [size("EI/(kθ L)", "number", 0.08, 1), size("extra loss", "number", 0.5, 10)],
    change: (design, [compliance = 0, loss = 0]) => damped(softClamp(design, compliance), loss),
  },
  {
    id: "crack",
    name: "a crack in the ceramic",
    mend: "Look at the clamp line with 50 times; replace the strip, and find what overloaded it.",
    sizes: [size("one layer lost", "share", 0.35, 0.95), size("extra loss", "number", 1, 10)],
    change: (design, [lost = 0, loss = 0]) => {
      const cracked = oneLayer(design, (c) => ({
        ...c,
        youngModulus: c.youngModulus * (1 - lost),
      }));
      return cracked === null ? null : damped(cracked, loss);
    },
  },
  {
    id: "mass",
    name: "added mass at the tip",
    mend: "Weigh pad, glue and mirror; take a lighter mirror.",
    sizes: [size("added", "kg", 6e-6, 1e-4)],
    change: (design, [mass = 0]) => heavier(design, mass),
  },
  {
    id: "length",
    name: "the strip is clamped at another length",
    mend: "Measure from the clamp's edge to the tip; reedlift calibrate finds the effective length.",
    sizes: [size("longer", "share", 0.06, 0.4, -0.2)],
    stretch: (design, [longer = 0]) => design.strip.freeLength * longer,
  },
  {
    id: "bounce",
    name: "the pad bounces after landing",
    mend: "A soft landing: reedlift shape compares drives.",
  },
  {
    id: "overshoot",
    name: "the strip overshoots while open and comes back to the seat",
    mend: "Shape the opening edge, or open for a whole number of periods: reedlift shape.",
  },
  {
    id: "reflection",
    name: "gas comes back from a wall or the gauge's tube",
    mend: "Move the gauge, use an open one, baffle the wall.",
  },
  {
    id: "dead volume",
    name: "dead volume behind the orifice or in the gauge's tube",
    mend: "Shorten the bore behind the seat.",
  },
  {
    id: "gauge",
    name: "the gauge and its amplifier are slow",
    mend: "reedlift reduce gauge removes the response; raise bandwidth and emission.",
  },
  {
    id: "flight",
    name: "the pulse spreads in flight",
    mend: "Move the gauge nearer, or subtract the spread.",
  },
  {
    id: "drift by pressure",
    name: "the plenum pressure drifts",
    mend: "Log it; a better regulator, a larger plenum.",
  },
  {
    id: "drift by temperature",
    name: "temperature drifts",
    mend: "Warm up, hold the temperature, log it.",
  },
  {
    id: "history",
    name: "hysteresis: the ceramic remembers its last drive",
    mend: "A fixed burst before each series.",
  },
  {
    id: "discharge",
    name: "a discharge in thin gas",
    mend: "Lock the high voltage out in the band of reedlift check; coat edges. Check local rules and a qualified person.",
  },
  {
    id: "insulation",
    name: "a conducting edge: burr, flux, moisture or a carbon track",
    mend: "Disconnect, discharge, clean and dry the edge, coat it, test again at low current.",
  },
  {
    id: "droop",
    name: "the rail droops and recharges too slowly",
    mend: "A larger storage capacitor at the switch, more supply current.",
  },
  {
    id: "ringing",
    name: "each pulse starts on the ringing of the one before",
    mend: "Shape the closing edge, or a rate off the subharmonics: reedlift rates.",
  },
  {
    id: "regulator",
    name: "the regulator can't follow: the plenum runs down along the burst",
    mend: "A larger plenum, a wider feed line.",
  },
];

export const causeOf = (id: string): Cause => {
  const found = CAUSES.find((cause) => cause.id === id);
  if (found === undefined) throw new RangeError(`there is no cause ${id}`);
  return found;
};

/** The design with something wrong, as a bench finds it. */
export function benchWith(design: Design, cause: Cause, sizes: readonly number[]): Bench {
  if (cause.stretch !== undefined) return new Bench(design, cause.stretch(design, sizes));
  return new Bench(design, 0, (d) => cause.change?.(d, sizes) ?? d);
}

/** Whether it changes figures that the sheet has. */
export const changesFigures = ({ change, stretch }: Cause): boolean =>
  change !== undefined || stretch !== undefined;
