import type { Design } from "../design/design.ts";
import { rayleighStatics } from "../physics/ceramic.ts";
import { piezoMoment } from "../physics/wiring.ts";
import { type ElectricalModel, workingFields } from "./electrical.ts";
import type { LargeSignalFigures } from "./result.ts";
import { type SeatState, seatState } from "./seatState.ts";
import { ceramicOf, type StripModel } from "./stripModel.ts";

/**
 * The figures that d31 carries, with the low-field d31 and with the Rayleigh value of each layer's
 * own drive from 0 to its working field, side by side.
 */
export function largeSignalFigures(
  design: Design,
  strip: StripModel,
  electrical: ElectricalModel,
  before: SeatState | null,
): LargeSignalFigures | null {
  if (electrical.judgement.closedState === null) return null;
  const fields = workingFields(electrical);
  const growth = electrical.model.layers.map((layer, k) => {
    const ceramic = ceramicOf(design, strip.layerNames[layer.index] as string);
    return rayleighStatics(1, ceramic.rayleighRatio, Math.max(0, fields[k] as number));
  });
  const grown = {
    ...electrical,
    model: {
      ...electrical.model,
      layers: electrical.model.layers.map((layer, k) => ({
        ...layer,
        theta: layer.theta * (growth[k]?.largeSignal ?? 1),
      })),
    },
  };
  grown.moments = grown.states.map((state) => piezoMoment(grown.model, state.deltaV));
  const swing = (e: ElectricalModel) =>
    strip.padPerMoment * Math.abs((e.moments[0] as number) - (e.moments[1] as number));
  const rows: LargeSignalFigures["rows"] = [
    {
      figure: "swing at the pad",
      unit: "m",
      linear: swing(electrical),
      large_signal: swing(grown),
    },
    {
      figure: "blocking force at the pad",
      unit: "N",
      linear: swing(electrical) * strip.padStiffness,
      large_signal: swing(grown) * strip.padStiffness,
    },
  ];
  const after = before === null ? null : seatState(design, strip, grown);
  if (before !== null && after !== null) {
    rows.push({
      figure: "lift when open",
      unit: "m",
      linear: Math.max(0, before.open.lift),
      large_signal: Math.max(0, after.open.lift),
    });
    rows.push({
      figure: "sealing force",
      unit: "N",
      linear: before.closed.contactForce,
      large_signal: after.closed.contactForce,
    });
  }
  return {
    rows,
    loop_width_over_swing: Math.max(...growth.map((g) => g.loopWidthOverSwing)),
  };
}
