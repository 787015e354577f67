import type { Design } from "../design/design.ts";
import { withFreeLength, withValues } from "../design/values.ts";

/** One thing that a builder can change, with the values worth trying. */
export interface Lever {
  /** Key as the design file spells it. */
  key: string;
  /** Plain words, e.g. "free length". */
  words: string;
  kind: string;
  /** SI unit. */
  unit: string;
  /** Present value. */
  now: number;
  /** Values to try, SI; never one beyond a limit that the lever itself would break. */
  trials: number[];
  apply(design: Design, value: number): Design;
  /** Changing it moves the rest shape or the force at the seat: the stand-off is set anew. */
  resetsStandOff: boolean;
}

/** Plain stock thicknesses of ceramic sheet, m. Common practice, no source. */
const STOCK_THICKNESSES = [0.1, 0.13, 0.15, 0.18, 0.2, 0.25, 0.3, 0.35, 0.4, 0.5].map(
  (mm) => mm * 1e-3,
);

/** Narrowest land that can be turned and lapped, m. Common practice, no source. */
const NARROWEST_LAND = 20e-6;

const scale = (now: number, factors: readonly number[]) => factors.map((f) => f * now);
/** Smallest change first; ways out refine between two of them. */
const DOWN = [0.9, 0.8, 0.65, 0.5, 0.35, 0.2, 0.1];
const UP = [1.1, 1.25, 1.5, 2, 3, 5, 10];

/**
 * What can be changed to mend an unmet requirement. Raising a voltage is not among it: more volts
 * past what the user gave is how strips break; lowering it is.
 * @param shortestPulse estimate of the shortest gas pulse, to offer as a wish that can be met, s
 */
export function levers(design: Design, shortestPulse: number | null): Lever[] {
  const out: Lever[] = [];
  const number = (
    key: string,
    words: string,
    kind: string,
    unit: string,
    path: (string | number)[],
    now: number | null | undefined,
    trials: (now: number) => number[],
    resetsStandOff = false,
  ) => {
    if (now === null || now === undefined || now === 0) return;
    out.push({
      key,
      words,
      kind,
      unit,
      now,
      trials: trials(now),
      apply: (d, value) => withValues(d, [{ path, value }]),
      resetsStandOff,
    });
  };
  out.push(freeLengthLever(design));
  out.push(...thicknessLever(design));
  out.push(widthLever(design));
  const { need, seat, chamber } = design;
  if (seat !== undefined) {
    const smallest = need.orificeDiameter * 1.2 + seat.land;
    number(
      "seat.diameter",
      "seat diameter",
      "length",
      "m",
      ["seat", "diameter"],
      seat.diameter,
      (now) => scale(now, DOWN).filter((d) => d >= smallest),
      true,
    );
    number(
      "need.orifice_diameter",
      "orifice diameter",
      "length",
      "m",
      ["need", "orificeDiameter"],
      need.orificeDiameter,
      (now) => scale(now, DOWN),
      true,
    );
    number(
      "seat.land",
      "width of the land",
      "length",
      "m",
      ["seat", "land"],
      seat.form === "o-ring" ? null : seat.land,
      (now) => scale(now, DOWN).filter((land) => land >= NARROWEST_LAND),
      true,
    );
    number(
      "pad.thickness",
      "pad thickness",
      "length",
      "m",
      ["pad", "thickness"],
      design.pad?.thickness,
      (now) => scale(now, DOWN.slice(0, 5)),
      true,
    );
    out.push(standOffLever(design));
  }
  number("need.rate", "rate", "frequency", "Hz", ["need", "rate"], need.rate, (now) =>
    scale(now, DOWN),
  );
  number(
    "need.gas_pulse",
    "gas pulse asked for",
    "time",
    "s",
    ["need", "gasPulse"],
    need.gasPulse,
    (now) => [
      ...scale(now, DOWN),
      ...(shortestPulse !== null && shortestPulse > now
        ? [shortestPulse * 1.02, shortestPulse * 1.1]
        : []),
    ],
  );
  number(
    "chamber.pumping_speed",
    "pumping speed",
    "volumetric flow",
    "m3/s",
    ["chamber", "pumpingSpeed"],
    chamber?.pumpingSpeed,
    (now) => scale(now, UP),
  );
  number(
    "chamber.exhaust_dilution",
    "diluting flow in the exhaust",
    "volumetric flow",
    "m3/s",
    ["chamber", "exhaustDilution"],
    chamber?.exhaustDilution,
    (now) => scale(now, UP),
  );
  number(
    "plenum.volume",
    "plenum volume",
    "volume",
    "m3",
    ["plenum", "volume"],
    design.plenum.volume,
    (now) => scale(now, UP),
  );
  for (const [name, rail] of Object.entries(design.rails)) {
    const path = (key: string) => ["rails", name, key];
    number(
      `rails.${name}.storage`,
      `storage capacitor of ${name}`,
      "capacitance",
      "F",
      path("storage"),
      rail.storage,
      (now) => scale(now, UP),
    );
    number(
      `rails.${name}.bleeder`,
      `bleeder of ${name}`,
      "resistance",
      "ohm",
      path("bleeder"),
      rail.bleeder,
      (now) => scale(now, DOWN),
    );
    number(
      `rails.${name}.current_limit`,
      `supply current of ${name}`,
      "current",
      "A",
      path("currentLimit"),
      rail.currentLimit,
      (now) => scale(now, UP),
    );
    number(
      `rails.${name}.voltage`,
      `voltage of ${name}`,
      "voltage",
      "V",
      path("voltage"),
      rail.voltage,
      (now) => scale(now, [0.95, 0.9, 0.8, 0.7, 0.6, 0.5]),
      true,
    );
  }
  number(
    "switch.series_resistor",
    "series resistor",
    "resistance",
    "ohm",
    ["switch", "seriesResistor"],
    design.switch?.seriesResistor,
    (now) => [...scale(now, UP), ...scale(now, DOWN)],
  );
  return out;
}

function freeLengthLever(design: Design): Lever {
  const now = design.strip.freeLength;
  const total = design.strip.totalLength;
  const reach = total === null ? Number.POSITIVE_INFINITY : total - design.clamp.length;
  const tipGap =
    now - Math.min(design.pad?.position ?? now, ...design.masses.map((m) => m.position));
  const factors = [0.95, 0.9, 0.85, 0.8, 0.7, 0.6, 0.5, 0.4];
  return {
    key: "strip.free_length",
    words: "free length",
    kind: "length",
    unit: "m",
    now,
    trials: [...scale(now, factors), ...scale(now, [1.05, 1.1, 1.2, 1.3, 1.5, 1.7])].filter(
      (length) => length <= reach && length > 1.5 * tipGap,
    ),
    apply: (d, value) => withFreeLength(d, value),
    resetsStandOff: true,
  };
}

/** All ceramic layers together, where they are equally thick now. */
function thicknessLever(design: Design): Lever[] {
  const indices = design.strip.layers.flatMap((layer, i) =>
    design.materials[layer.material]?.kind === "ceramic" ? [i] : [],
  );
  const now = design.strip.layers[indices[0] ?? -1]?.thickness;
  if (now === undefined) return [];
  if (indices.some((i) => design.strip.layers[i]?.thickness !== now)) return [];
  return [
    {
      key: "strip.layers.*.thickness",
      words: indices.length > 1 ? "thickness of each ceramic layer" : "thickness of the ceramic",
      kind: "length",
      unit: "m",
      now,
      trials: STOCK_THICKNESSES.filter((t) => Math.abs(t - now) > 0.01 * now),
      apply: (d, value) =>
        withValues(
          d,
          indices.map((i) => ({ path: ["strip", "layers", i, "thickness"], value })),
        ),
      resetsStandOff: true,
    },
  ];
}

function widthLever(design: Design): Lever {
  const now = design.strip.width;
  return {
    key: "strip.width",
    words: "strip width",
    kind: "length",
    unit: "m",
    now,
    trials: scale(now, [0.85, 0.7, 0.5, 1.2, 1.5, 2]),
    apply: (d, value) => withValues(d, [{ path: ["strip", "width"], value }]),
    resetsStandOff: true,
  };
}

/** The screw: its values to try come from the range that the seat allows. */
export function standOffLever(design: Design): Lever {
  return {
    key: "seat.stand_off",
    words: "stand-off",
    kind: "length",
    unit: "m",
    now: design.seat?.standOff ?? 0,
    trials: [],
    apply: (d, value) => withValues(d, [{ path: ["seat", "standOff"], value }]),
    resetsStandOff: true,
  };
}
