import type { Design } from "../design/design.ts";
import { rayleighStatics } from "../physics/ceramic.ts";
import { largeSignalLayer } from "../physics/pulse/largeSignal.ts";
import type { StripElectrics, TransientStrip } from "../physics/pulse/model.ts";
import type { Ratio } from "../units/aliases.ts";
import type { ElectricalModel } from "./electrical.ts";
import { heldCapacitanceOf } from "./stripLoad.ts";
import { ceramicOf, type StripModel } from "./stripModel.ts";

export function electricsOf(
  design: Design,
  strip: StripModel,
  electrical: ElectricalModel,
  closed: "high" | "low",
  transient: TransientStrip,
): StripElectrics {
  const { layers } = electrical.model;
  const n = layers.length;
  const theta = Float64Array.from(layers, (layer) => layer.theta);
  const capacitance = heldCapacitanceOf(design, strip);
  const out: StripElectrics = {
    layers: n,
    bottom: Int32Array.from(layers, (layer) => layer.bottom),
    top: Int32Array.from(layers, (layer) => layer.top),
    capacitance,
    theta,
    series: layers.map(() => null),
    parallel: layers.map(() => null),
    thickness: Float64Array.from(layers, (layer) => layer.thickness),
    poling: Int8Array.from(layers, (layer) => layer.poling),
    thetaSmall: Array.from(theta),
  };
  if (design.model.ceramic === "linear") return out;
  const flexibility = slopeFlexibility(transient);
  const scale = new Float64Array(n).fill(1);
  const closedState = electrical.states[closed === "high" ? 0 : 1];
  const openState = electrical.states[closed === "high" ? 1 : 0];
  for (let k = 0; k < n; k++) {
    const layer = layers[k] as (typeof layers)[number];
    const ceramic = ceramicOf(design, strip.layerNames[layer.index] as string);
    const vClosed = closedState?.deltaV[k] ?? 0;
    const vOpen = openState?.deltaV[k] ?? 0;
    const grown = largeSignalLayer({
      capacitance: capacitance[k * n + k] as number,
      theta: theta[k] as number,
      flexibility,
      closed: vClosed,
      open: vOpen,
      growth: growthOf(ceramic.rayleighRatio, layer, vClosed, vOpen),
      capacitanceFactor: design.model.largeSignalCapacitanceFactor,
      tanDelta: design.model.largeSignalTanDelta,
    });
    if (grown === null) continue;
    scale[k] = Math.sqrt(grown.capacitance / (capacitance[k * n + k] as number));
    theta[k] = grown.theta;
    out.series[k] = grown.series;
    out.parallel[k] = grown.parallel;
  }
  for (let k = 0; k < n; k++)
    for (let j = 0; j < n; j++)
      capacitance[k * n + j] =
        (capacitance[k * n + j] as number) * (scale[k] as number) * (scale[j] as number);
  return out;
}

/** Slope jump per moment, free of contact. */
function slopeFlexibility({ count, jump, omega }: TransientStrip): number {
  let sum = 0;
  for (let i = 0; i < count; i++) sum += ((jump[i] as number) / (omega[i] as number)) ** 2;
  return sum;
}

function growthOf(
  ratio: Ratio,
  layer: ElectricalModel["model"]["layers"][number],
  closed: number,
  open: number,
) {
  const field = (v: number) => (-layer.poling * v) / layer.thickness;
  return rayleighStatics(1, ratio, Math.max(0, field(closed), field(open)));
}
