import type { Design } from "../design/design.ts";
import { rayleighStatics } from "../physics/ceramic.ts";
import { piezoMoment } from "../physics/wiring.ts";
import { type ElectricalModel, workingFields } from "./electrical.ts";
import { keeper } from "./kept.ts";
import type { LargeSignalFigures } from "./result.ts";
import { type SeatState, SWITCHED, seatStateOnce } from "./seatState.ts";
import { ceramicOf, type StripModel } from "./stripModel.ts";

/** The strip with the low-field d31 and with the grown one, in this order. */
interface Compared {
  swing: [number, number];
  /** At the seat; null without one. */
  lift: [number, number] | null;
  sealing: [number, number] | null;
  loopWidthOverSwing: number;
}

const keptCompared = keeper<Compared>();

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
  // The seat's state stands for all that it was made of.
  const { swing, lift, sealing, loopWidthOverSwing } = keptCompared(
    [strip.padPerMoment, electrical, before],
    () => compare(design, strip, electrical, before),
  );
  const k = strip.padStiffness;
  const rows: LargeSignalFigures["rows"] = [];
  const row = (figure: string, unit: string, [linear, large]: [number, number]) =>
    rows.push({ figure, unit, linear, large_signal: large });
  row("swing at the pad", "m", swing);
  row("blocking force at the pad", "N", [swing[0] * k, swing[1] * k]);
  if (lift !== null) row("lift when open", "m", lift);
  if (sealing !== null) row("sealing force", "N", sealing);
  return { rows, loop_width_over_swing: loopWidthOverSwing };
}

function compare(
  design: Design,
  strip: StripModel,
  electrical: ElectricalModel,
  before: SeatState | null,
): Compared {
  const fields = workingFields(electrical);
  const growth = electrical.model.layers.map((layer, k) => {
    const ceramic = ceramicOf(design, strip.layerNames[layer.index] as string);
    return rayleighStatics(1, ceramic.rayleighRatio, Math.max(0, fields[k] as number));
  });
  const model = {
    ...electrical.model,
    layers: electrical.model.layers.map((layer, k) => ({
      ...layer,
      theta: layer.theta * (growth[k]?.largeSignal ?? 1),
    })),
  };
  // Only the switch's states move the strip at the seat.
  const moments = electrical.states
    .slice(0, SWITCHED)
    .map((state) => piezoMoment(model, state.deltaV));
  const grown = { ...electrical, model, moments };
  const swing = ({ moments: [high = 0, low = 0] }: ElectricalModel) =>
    strip.padPerMoment * Math.abs(high - low);
  const after = before === null ? null : seatStateOnce(design, strip, grown);
  const both = before !== null && after !== null;
  return {
    swing: [swing(electrical), swing(grown)],
    lift: both ? [Math.max(0, before.open.lift), Math.max(0, after.open.lift)] : null,
    sealing: both ? [before.closed.contactForce, after.closed.contactForce] : null,
    loopWidthOverSwing: Math.max(...growth.map((g) => g.loopWidthOverSwing)),
  };
}
