import type { Design } from "../../design/design.ts";
import type { SheetResult } from "../../sheet/result.ts";
import { formatQuantity } from "../../units/index.ts";

export interface SheetCaution {
  text: string;
  action: string;
}

/** Cautions of the bench itself, then those that the check of this design found. */
export function benchCautions(design: Design, result: SheetResult): SheetCaution[] {
  const out: SheetCaution[] = [];
  const drive = result.drive;
  const volts = Math.max(0, ...Object.values(design.rails).map(({ voltage }) => Math.abs(voltage)));
  if (volts > 0) {
    const stored = drive?.rails.reduce((sum, rail) => sum + Math.abs(rail.stored_charge_C), 0) ?? 0;
    const energy = drive?.rails.reduce((sum, rail) => sum + rail.stored_energy_J, 0) ?? 0;
    const bleed = Math.max(0, ...(drive?.rails.map((rail) => rail.bleed_time_s ?? 0) ?? []));
    const kept =
      stored > 0
        ? `: ${formatQuantity(stored, 0, "charge", { digits: 2 })}, ${formatQuantity(energy, 0, "energy", { digits: 2 })} stay on the storage capacitors`
        : "";
    out.push({
      text: `High voltage, up to ${formatQuantity(volts, 0, "voltage", { digits: 3 })}${kept}.`,
      action: `Switch off, wait${bleed > 0 ? ` ${formatQuantity(bleed, 0, "time", { digits: 2 })} or longer` : ""}, measure, short and keep shorted before touching; charge comes back by itself. One hand, insulated leads, nobody alone.`,
    });
  }
  out.push({
    text: "Laser on a mirror that moves.",
    action:
      "Class 2 (at most 1 mW, visible) is enough. Beam below eye height, ended behind the screen, nothing shiny near it; off while mirror or screen are touched.",
  });
  if (design.need.plenumPressure > 0)
    out.push({
      text: `Gas at ${formatQuantity(design.need.plenumPressure, 0, "pressure", { digits: 3 })} absolute.`,
      action:
        "Proof of the parts by the code that holds where you work; relief on the regulator's side; face away while pressure rises; vent slowly.",
    });
  for (const { text, action } of result.cautions) out.push({ text, action });
  out.push({
    text: "Local rules come first.",
    action:
      "This sheet knows only the design. Check local rules and a qualified person before high voltage, laser or pressure is switched on.",
  });
  return out;
}
