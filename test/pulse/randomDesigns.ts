import { type RandomStream, randomStream } from "../../src/numerics/random.ts";

/*
 * Random designs with a pulse each: everything that acts on a run is drawn from wide but legal ranges, sizes and
 * times evenly in their logarithm. Design i of a seed hangs on (seed, i) alone.
 */

/** A design's text and the options of its run. */
export interface RandomCase {
  text: string;
  options: {
    gate: number;
    duration?: number;
    ceramic: "linear" | "large signal";
    count?: number;
    rate?: number;
    startUp?: boolean;
  };
}

interface Draw {
  log(from: number, to: number): number;
  even(from: number, to: number): number;
  one<T>(...of: readonly T[]): T;
  chance(share: number): boolean;
}

function drawFrom(random: RandomStream): Draw {
  return {
    log: (from, to) => Number((from * (to / from) ** random.uniform()).toPrecision(4)),
    even: (from, to) => Number((from + (to - from) * random.uniform()).toPrecision(4)),
    one: (...of) => of[Math.floor(random.uniform() * of.length)] as (typeof of)[number],
    chance: (share) => random.uniform() < share,
  };
}

type Tree = { [key: string]: string | number | boolean | Tree | Tree[] };

export function randomCase(seed: number, i: number): RandomCase {
  const d = drawFrom(randomStream(seed, i));
  const seated = d.chance(0.9);
  const length = d.log(5, 25);
  const strip = stripOf(d, length);
  const orifice = d.log(0.05, 0.5);
  const design: Tree = { reedlift: 1, need: needOf(d, seated, orifice), ...strip.tree };
  design.clamp = { length: "6 mm" };
  if (d.chance(0.3))
    design.clamp = {
      length: "6 mm",
      rotational_stiffness: `${d.log(5, 500)} N·m/rad`,
      translational_stiffness: `${d.log(1, 100)} N/µm`,
      ...(d.chance(0.5) ? { electrode_length: `${d.log(0.1, 4)} mm` } : {}),
    };
  if (d.chance(0.2))
    design.masses = [
      {
        name: "mirror",
        mass: `${d.log(0.05, 10)} mg`,
        from_tip: `${d.even(0.1, 0.5 * length)} mm`,
      },
    ];
  if (seated) {
    const form = d.one("land", "land", "o-ring", "flat");
    const diameter = Number((orifice * d.log(form === "flat" ? 1.3 : 1.5, 5)).toPrecision(4));
    design.pad = padOf(d, form);
    design.seat = {
      form,
      diameter: `${diameter} mm`,
      land: `${d.log(0.02, Math.max(0.03, 0.3 * diameter))} mm`,
      arrangement: d.one("pressure closes", "pressure closes", "pressure opens"),
      side: d.one("below", "above"),
      stand_off: `${d.even(-30, 30)} µm`,
      ...(d.chance(0.2) ? { body_deflection: `${d.log(0.01, 1)} µm/bar` } : {}),
    };
    if (d.chance(0.7))
      design.plenum = {
        volume: `${d.log(0.2, 100)} cm³`,
        ...(d.chance(0.3) ? { feed_conductance: `${d.log(1e-3, 1)} l/s` } : {}),
      };
    if (d.chance(0.7))
      design.chamber = {
        volume: `${d.log(0.1, 200)} l`,
        pumping_speed: `${d.log(1, 3000)} l/s`,
        ...(d.chance(0.3) ? { base_pressure: `${d.log(1e-6, 100)} mbar` } : {}),
      };
  }
  Object.assign(design, driveOf(d, strip.faces, strip.sign));
  design.surroundings = { wall_distance: `${d.log(0.3, 10)} mm` };
  if (d.chance(0.3))
    design.model = {
      large_signal_capacitance_factor: d.even(1, 3),
      large_signal_tan_delta: d.even(0, 0.4),
    };
  const gate = d.log(5e-6, 1e-3);
  const options: RandomCase["options"] = {
    gate,
    ceramic: d.one("linear", "large signal", "large signal"),
  };
  // Most end soon after the gate, some are as long as the default.
  if (d.chance(0.97)) options.duration = gate + d.log(1e-4, 4e-4);
  if (d.chance(0.15)) {
    options.count = d.one(2, 3);
    options.rate = Number((1 / (gate + d.log(2e-4, 3e-3))).toPrecision(4));
  }
  if (d.chance(0.1)) options.startUp = true;
  return { text: JSON.stringify(design, null, 1), options };
}

function needOf(d: Draw, seated: boolean, orifice: number): Tree {
  if (!seated) return { swing_min: "50 µm", rate: "10 Hz" };
  return {
    gas: d.one("He", "H2", "Ar", "Kr", "N2", "Xe", "CH4", "SF6"),
    plenum_pressure: `${d.log(0.1, 40)} bar`,
    plenum_temperature: `${d.even(10, 40)} °C`,
    orifice_diameter: `${orifice} mm`,
    gas_pulse: `${d.log(20, 500)} µs`,
    rate: `${d.log(1, 200)} Hz`,
  };
}

/** Bimorphs (alike or opposite), a unimorph, a stack of four; the faces between layers are electrodes. */
function stripOf(
  d: Draw,
  length: number,
): {
  tree: Tree;
  faces: string[];
  sign: 1 | -1;
} {
  const ceramic = d.one("soft ceramic", "soft ceramic, Navy II", "hard ceramic, Navy I");
  const thick = () => `${d.log(0.08, 0.4)} mm`;
  const layer = (poling: string, bottom: string, top: string): Tree => ({
    material: ceramic,
    thickness: thick(),
    poling,
    bottom,
    top,
  });
  const vane = (): Tree => ({
    material: d.one("brass", "stainless steel"),
    thickness: `${d.log(0.03, 0.25)} mm`,
    conductor: "vane",
  });
  const up = d.one("up", "down");
  const down = up === "up" ? "down" : "up";
  const kind = d.one("bimorph", "bimorph", "bimorph", "bimorph", "unimorph", "stack");
  const layers: Tree[] = [];
  let faces: string[] = [];
  if (kind === "bimorph") {
    layers.push(layer(up, "lower face", "vane"), vane(), layer(up, "vane", "upper face"));
    faces = ["lower face", "vane", "upper face"];
  } else if (kind === "unimorph") {
    layers.push(vane(), layer(up, "vane", "upper face"));
    faces = ["vane", "upper face"];
  } else {
    layers.push(layer(up, "a", "b"), layer(down, "b", "c"));
    layers.push(layer(down, "c", "d"), layer(up, "d", "e"));
    faces = ["a", "b", "c", "d", "e"];
  }
  return {
    tree: {
      strip: {
        width: `${d.log(1.5, 12)} mm`,
        free_length: `${length} mm`,
        structural_q: d.log(5, 200),
        layers,
      },
    },
    faces,
    // The field along the poling, with few exceptions.
    sign: (up === "up") !== d.chance(0.03) ? -1 : 1,
  };
}

function padOf(d: Draw, form: string): Tree {
  const base: Tree = {
    material: `FKM ${Math.round(d.even(50, 90))} Shore A`,
    thickness: `${d.log(0.15, 1.5)} mm`,
    from_tip: `${d.even(0, 1.5)} mm`,
    mass: `${d.log(0.5, 20)} mg`,
    restitution: d.even(0.05, 0.99),
  };
  if (d.chance(0.2)) base.stick_force = `${d.log(0.1, 100)} mN`;
  if (form === "o-ring")
    return { ...base, law: "round cord", cord_diameter: `${d.log(0.3, 2)} mm` };
  if (d.chance(0.2)) return { ...base, law: "linear", stiffness: `${d.log(3, 3000)} N/mm` };
  return base;
}

/** Wiring, rails, switch, cable. */
function driveOf(d: Draw, faces: readonly string[], sign: 1 | -1): Tree {
  const volts = d.log(20, 250);
  const rail = (voltage: number): Tree => {
    const out: Tree = { voltage: `${voltage} V`, sinks: d.chance(0.4) };
    if (d.chance(0.6)) out.current_limit = `${d.log(0.5, 50)} mA`;
    if (d.chance(0.5)) out.output_resistance = `${d.log(1, 1e5)} Ω`;
    if (d.chance(0.75)) {
      out.storage = `${d.log(0.02, 10)} µF`;
      if (d.chance(0.3)) out.storage_esr = `${d.log(1e-3, 30)} Ω`;
      if (d.chance(0.2)) out.leakage_resistance = `${d.log(0.01, 10)} GΩ`;
    }
    if (d.chance(0.5)) out.bleeder = `${d.log(0.03, 30)} MΩ`;
    return out;
  };
  const rails: Tree = { bias: rail(sign * volts) };
  const second = d.chance(0.35);
  if (second) rails.pulse = rail(Number((sign * volts * d.even(0.3, 1)).toPrecision(4)));
  const wiring: Tree = {};
  const three = faces.length === 3;
  faces.forEach((face, i) => {
    // Of a stack the lower pair works, the upper one is shorted, or left open between its faces.
    if (i === 1) wiring[face] = "switched";
    else if (three && i === 2) wiring[face] = "bias";
    else wiring[face] = i === 3 ? d.one("ground", "ground", "open") : "ground";
  });
  if (d.chance(0.06)) {
    const face = d.one(...faces);
    wiring[face] = d.one("open", "ground", "bias", "switched");
  }
  const [high, low] = second
    ? d.one(["pulse", "ground"], ["ground", "pulse"], ["bias", "pulse"])
    : d.one(["bias", "ground"], ["ground", "bias"]);
  const sw: Tree = { high, low, series_resistor: `${d.log(1, 2e4)} Ω` };
  if (d.chance(0.5)) sw.current_max = `${d.log(0.01, 3)} A`;
  if (d.chance(0.3)) sw.dead_time = `${d.log(20, 5000)} ns`;
  if (d.chance(0.3)) sw.delay = `${d.log(20, 5000)} ns`;
  if (d.chance(0.3)) sw.output_capacitance = `${d.log(10, 3000)} pF`;
  if (d.chance(0.3)) sw.series_resistor_high = `${d.log(1, 2e4)} Ω`;
  const out: Tree = { wiring, rails, switch: sw };
  if (d.chance(0.4)) out.cable = { length: `${d.log(0.1, 10)} m` };
  return out;
}
