import { compressibility } from "../physics/gases.ts";
import { terminalSpeed } from "../physics/jetGas.ts";
import { jetGammaFault } from "../physics/jetMach.ts";
import type { MachDisk } from "../physics/jetShock.ts";
import { SKIMMER_KNUDSEN } from "../physics/jetSkimmer.ts";
import { caution, say } from "./cautionText.ts";
import { LOSS_LIMIT, NOT_FORMED } from "./jetPlaces.ts";
import type { JetFigures, JetInput } from "./jetResult.ts";
import type { Caution } from "./result.ts";

/** Departure of the compressibility from 1 that is worth a word. */
const REAL_GAS = 0.01;
/** Source Knudsen number above which the hole is no longer a nozzle. Common practice, no source. */
const THIN_SOURCE = 0.02;
const MONATOMIC = 5 / 3;

const length = (x: number) => say(x, "length");
const percent = (x: number) => `${Number((100 * x).toPrecision(2))} %`;
const digits = (x: number) => String(Number(x.toPrecision(2)));

/** Where to put the skimmer, and why, in sentences. */
export function jetAdvice(input: JetInput, figures: JetFigures): string[] {
  const { from_m: from, to_m: to, brightest_m: best, free_m: free } = figures.skimmer_advice;
  const out: string[] = [];
  const limit =
    to === null
      ? ""
      : to === figures.mach_disk_m
        ? `the Mach disk, ${length(to)} from the hole`
        : `${length(to)}, where the background gas has scattered ${percent(LOSS_LIMIT)} of the beam`;
  if (from !== null && to !== null && from < to)
    out.push(`Put the skimmer beyond ${length(from)}, where the jet freezes, and before ${limit}.`);
  else if (from !== null && to !== null)
    out.push(
      `The jet freezes only at ${length(from)}, not before ${limit}: lower the background pressure, take a smaller hole or less source pressure, or place the skimmer before that by its Knudsen number.`,
    );
  else if (from !== null)
    out.push(`Put the skimmer beyond ${length(from)}, where the jet freezes.`);
  const disk = figures.mach_disk_m;
  const reached = free !== null && (disk === null || free < disk);
  if (reached && input.skimmerDiameter !== null)
    out.push(
      `A mouth of ${length(input.skimmerDiameter)} disturbs the jet little from ${length(free)} on, where its Knudsen number is 1.`,
    );
  if (best !== null && input.pulse === null)
    out.push(`In a steady jet the beam is brightest with the skimmer at ${length(best)}.`);
  const why = figures.reasons.mach_disk_m ?? "";
  if (disk !== null) out.push(`The Mach disk stands ${length(disk)} from the hole.`);
  else if (why.startsWith(NOT_FORMED))
    out.push(`No Mach disk forms: ${why.slice(NOT_FORMED.length)}.`);
  return out;
}

/** What can make the jet another than computed. */
export function jetCautions(
  input: JetInput,
  figures: JetFigures,
  disk: MachDisk | null,
): Caution[] {
  return [
    ...gasCautions(input, figures),
    ...pulseCautions(input, figures),
    ...diskCautions(figures, disk),
    ...skimmerCautions(figures),
  ];
}

function gasCautions(input: JetInput, figures: JetFigures): Caution[] {
  const { gas, sourcePressure: p0, sourceTemperature: t0 } = input;
  const out: Caution[] = [];
  const { z } = compressibility(gas, p0, t0);
  if (Math.abs(z - 1) > REAL_GAS)
    out.push(
      caution(
        "jet.real_gas",
        `${gas.name} at ${say(p0, "pressure")} departs ${percent(Math.abs(z - 1))} from an ideal gas; the jet is computed as one.`,
        "Take speed and density to no better than that, or from a table of enthalpy.",
        { compressibility: z },
      ),
    );
  if (gas.gamma < 1.6 && jetGammaFault(gas.gamma) === null) {
    const slow = terminalSpeed({ ...gas, gamma: MONATOMIC }, t0);
    const full = figures.terminal_speed_m_s;
    out.push(
      caution(
        "jet.rotation",
        `The molecules of ${gas.name} may keep part of their rotation: then the jet is slower, between ${say(slow, "speed")} and ${say(full, "speed")}.`,
        "Expect hydrogen near the lower end and nitrogen near the upper one; measure the speed where it counts.",
        { slowest_m_s: slow, fastest_m_s: full },
      ),
    );
  }
  const parameter = figures.condensation_parameter;
  if (parameter !== null && figures.condensation !== "none")
    out.push(
      caution(
        "jet.condensation",
        `Hagena's parameter is ${Number(parameter.toPrecision(3))}: ${figures.condensation === "onset" ? "clusters set in" : "the jet condenses"}, and the heat set free keeps it warmer than computed.`,
        "For a cold beam of single atoms lower the pressure or warm the source; for clusters take it as wanted.",
        { condensation_parameter: parameter },
      ),
    );
  if (figures.source_knudsen > THIN_SOURCE)
    out.push(
      caution(
        "jet.source_thin",
        `The mean free path in the source is ${percent(figures.source_knudsen)} of the hole: the jet is not that of a dense gas.`,
        "Raise the source pressure or take a larger hole.",
        { knudsen: figures.source_knudsen },
      ),
    );
  if (input.nozzle.form === "cone" && figures.equivalent_diameter_m !== null)
    out.push(
      caution(
        "jet.cone",
        `The cone counts as a sonic hole of ${length(figures.equivalent_diameter_m)}: that holds well beyond its mouth, without boundary layer.`,
        "Do not read Mach number or density inside the cone from this jet.",
        { equivalent_diameter_m: figures.equivalent_diameter_m },
      ),
    );
  return out;
}

function pulseCautions({ pulse }: JetInput, figures: JetFigures): Caution[] {
  const { developed_pulse_least_s: least, developed_pulse_usual_s: usual } = figures;
  if (pulse === null || pulse >= usual) return [];
  const text =
    pulse < least
      ? `A pulse of ${say(pulse, "time")} is shorter than the ${say(least, "time")} that the expansion takes to develop.`
      : `A pulse of ${say(pulse, "time")} lies between the ${say(least, "time")} and ${say(usual, "time")} in which an expansion develops.`;
  const action =
    "Expect a slower, warmer beam than computed; make the pulse longer or the hole smaller.";
  return [caution("jet.pulse_short", text, action, { pulse_s: pulse, least_s: least })];
}

function diskCautions(figures: JetFigures, disk: MachDisk | null): Caution[] {
  const at = figures.mach_disk_m;
  if (disk === null || at === null || disk.measured) return [];
  return [
    caution(
      "jet.disk_range",
      `The Mach disk at ${length(at)} is extrapolated: it was measured for pressure ratios from 15 to 17 000.`,
      "Keep clear of it by a factor, not by millimetres.",
      { mach_disk_m: at },
    ),
  ];
}

function skimmerCautions({ skimmer, skimmer_advice, ...figures }: JetFigures): Caution[] {
  if (skimmer === null) return [];
  const out: Caution[] = [];
  const { distance_m: x, background_loss: loss } = skimmer;
  const disk = figures.mach_disk_m;
  const from = figures.freezing_distance_m;
  const { knudsen } = skimmer_advice;
  if (disk !== null && x > disk)
    out.push(
      caution(
        "jet.skimmer_behind_disk",
        `The skimmer at ${length(x)} stands behind the Mach disk at ${length(disk)}: it takes warm, slow gas.`,
        "Move it towards the hole, or lower the background pressure.",
        { skimmer_m: x, mach_disk_m: disk },
      ),
    );
  if (from !== null && x < from)
    out.push(
      caution(
        "jet.skimmer_in_dense_jet",
        `The skimmer at ${length(x)} stands before the freezing surface at ${length(from)}: the gas still cools there, and its shock can reach into the mouth.`,
        "Move it away from the hole, or lower the source pressure.",
        { skimmer_m: x, freezing_m: from },
      ),
    );
  if (knudsen !== null && knudsen < SKIMMER_KNUDSEN.free)
    out.push(
      caution(
        "jet.skimmer_knudsen",
        `The Knudsen number of the skimmer's mouth is ${digits(knudsen)}: ${knudsen < SKIMMER_KNUDSEN.blocked ? "a shock is to be expected in it" : "molecules thrown back from it disturb the beam"}.`,
        "Take a slimmer, sharper skimmer with a smaller mouth, or stand it further away.",
        { knudsen },
      ),
    );
  if (loss !== null && loss > LOSS_LIMIT)
    out.push(
      caution(
        "jet.background",
        `The background gas scatters ${percent(loss)} of the beam before the skimmer at ${length(x)}, glancing collisions not counted.`,
        "Lower the background pressure or move the skimmer towards the hole.",
        { background_loss: loss },
      ),
    );
  return out;
}
