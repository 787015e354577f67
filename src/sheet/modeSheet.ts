import type { Design } from "../design/design.ts";
import { density, gasNamed, viscosity } from "../physics/gases.ts";
import { type LoadedModes, loadedModes } from "../physics/gasload.ts";
import { frequenciesOpenCircuit, frequenciesWithSpring } from "../physics/modes.ts";
import { closedSpring } from "../physics/seat.ts";
import type { ElectricalModel } from "./electrical.ts";
import { type Keeper, keeper } from "./kept.ts";
import type { ModeFigures } from "./result.ts";
import type { SeatState } from "./seatState.ts";
import { layerTheta } from "./stripLoad.ts";
import { elastomerOf, type StripModel } from "./stripModel.ts";

const AIR = gasNamed("air");
const ONE_BAR = 1e5;

/** Resonances open and closed, short- and open-circuit, in vacuum, air at 1 bar and the working gas. */
export function modeFigures(
  design: Design,
  strip: StripModel,
  electrical: ElectricalModel | null,
  seat: SeatState | null,
): ModeFigures {
  const factor = strip.width.frequency;
  const times = (f: Float64Array) => Array.from(f, (x) => x * factor);
  const figures = openModeFigures(design, strip);
  const air = modesInAir(design, strip);
  figures.open_air_Hz = times(air.frequencies);
  figures.q_air = Array.from(air.q);
  figures.open_circuit_vacuum_Hz =
    electrical === null ? figures.open_vacuum_Hz : times(openCircuit(strip, electrical));
  if (seat !== null) figures.closed_Hz = times(closedModes(design, strip, seat));
  return figures;
}

/** Only the resonances with the seat open in vacuum and in the working gas; the other lists are empty. */
export function openModeFigures(design: Design, strip: StripModel): ModeFigures {
  const factor = strip.width.frequency;
  const { structuralQ } = design.strip;
  const vacuum = Array.from(strip.basis.omega, (omega) => (omega / (2 * Math.PI)) * factor);
  const working = modesInWorkingGas(design, strip);
  const open = working === null ? vacuum : Array.from(working.frequencies, (x) => x * factor);
  const q = working === null ? vacuum.map(() => structuralQ) : Array.from(working.q);
  return {
    open_vacuum_Hz: vacuum,
    open_circuit_vacuum_Hz: [],
    open_air_Hz: [],
    open_gas_Hz: open,
    closed_Hz: [],
    q_vacuum: vacuum.map(() => structuralQ),
    q_air: [],
    q_gas: q,
    ring_down_gas_s: (q[0] as number) / (Math.PI * (open[0] as number)),
  };
}

const keptAir = keeper<LoadedModes>();
const keptGas = keeper<LoadedModes>();
const keptOpenCircuit = keeper<Float64Array>();
const keptClosed = keeper<Float64Array>();

function modesIn(
  design: Design,
  strip: StripModel,
  rho: number,
  mu: number,
  kept: Keeper<LoadedModes>,
): LoadedModes {
  const { width } = strip.section;
  const { wallDistance } = design.surroundings;
  const { structuralQ } = design.strip;
  return kept([strip.basis, rho, mu, width, wallDistance, structuralQ], () =>
    loadedModes(strip.basis, { density: rho, viscosity: mu, width, wallDistance, structuralQ }),
  );
}

function modesInAir(design: Design, strip: StripModel): LoadedModes {
  const temperature = design.surroundings.ambientTemperature;
  const rho = density(AIR, ONE_BAR, temperature);
  return modesIn(design, strip, rho, viscosity(AIR, temperature), keptAir);
}

/** In the plenum's gas where the strip is in it, in air where there is no gas, null in vacuum. */
function modesInWorkingGas(design: Design, strip: StripModel): LoadedModes | null {
  const around = workingGasOf(design);
  if (design.gas === undefined || around === null) return around && modesInAir(design, strip);
  return modesIn(design, strip, around.density, around.viscosity, keptGas);
}

/** The gas around the strip when it works, as density and viscosity; null in vacuum. */
export function workingGasOf(design: Design): { density: number; viscosity: number } | null {
  const { gas, need, seat, surroundings } = design;
  const air = surroundings.ambientTemperature;
  if (gas === undefined)
    return { density: density(AIR, ONE_BAR, air), viscosity: viscosity(AIR, air) };
  if (seat?.arrangement === "pressure opens") return null;
  return {
    density: density(gas, need.plenumPressure, need.plenumTemperature),
    viscosity: viscosity(gas, need.plenumTemperature),
  };
}

/** The switched electrodes left open, all others held: a rank-one stiffening by their charge. */
function openCircuit(strip: StripModel, electrical: ElectricalModel): Float64Array {
  const { section, detail, basis } = strip;
  const held = detail?.held ?? section.cAxial;
  const { model } = electrical;
  const n = model.layers.length;
  const sign = model.layers.map((layer) => {
    const on = (e: number) => (model.terminals[e] === "switched" ? 1 : 0);
    return on(layer.top) - on(layer.bottom);
  });
  let theta = 0;
  let capacitance = 0;
  for (let k = 0; k < n; k++) {
    theta += (sign[k] as number) * layerTheta(strip, k);
    for (let l = 0; l < n; l++)
      capacitance += (sign[k] as number) * (held[k * n + l] as number) * (sign[l] as number);
  }
  if (theta === 0 || capacitance <= 0) return basis.omega.map((w) => w / (2 * Math.PI));
  const total = detail === null ? capacitance * strip.freeLength : capacitance;
  return keptOpenCircuit([basis, theta, total], () => frequenciesOpenCircuit(basis, theta, total));
}

/** Resonances (Hz, narrow strip) with the pad on its seat, closed, by default at working pressure. */
export function closedModes(
  design: Design,
  strip: StripModel,
  seat: SeatState,
  at: SeatState["closed"] = seat.closed,
): Float64Array {
  const pad = design.pad;
  const dynamic = pad === undefined ? 1 : elastomerOf(design, pad.material).dynamicFactor;
  const spring = closedSpring(seat.model, seat.load, at, dynamic);
  const { basis, pad: x } = strip;
  return keptClosed([basis, x, spring], () => frequenciesWithSpring(basis, x, spring));
}
