import type { Design } from "../design/design.ts";
import { CERAMIC_RANGE } from "../physics/ceramic.ts";
import { caution, say } from "./cautionText.ts";
import type { ElectricalModel } from "./electrical.ts";
import type { Caution, SeatFigures, StripFigures } from "./result.ts";
import type { StripModel } from "./stripModel.ts";

/** Width over free length from which a strip counts as a plate. Common practice, no source. */
const PLATE = 0.5;
/** Glue over ceramic thickness that shifts the figures. */
const THICK_GLUE = 0.1;
/** Indentation plus preload travel over swing from which the stand-off presses too hard. */
const PRESSING = 0.3;

/** What can go wrong with the strip itself, its wiring and its mounting. */
export function stripCautions(
  design: Design,
  strip: StripModel,
  figures: StripFigures,
  electrical: ElectricalModel | null,
  seat: SeatFigures | null,
): Caution[] {
  return [
    ...polarity(design),
    ...wiring(electrical),
    ...fields(design, figures),
    ...build(design, strip),
    ...mounting(design, figures, seat),
  ];
}

function polarity(design: Design): Caution[] {
  if (design.strip.polarityMark === "marked") return [];
  return [
    caution(
      "polarity_first",
      "The strip carries no polarity mark: the poling in this file is an assumption until it is found.",
      "Before anything else put 10 V or less on one layer and watch which way the tip goes; only then raise the voltage. Full voltage the wrong way depoles a layer in one shot.",
      { test_voltage_V: 10 },
    ),
  ];
}

function wiring(electrical: ElectricalModel | null): Caution[] {
  if (electrical === null) return [];
  const out = electrical.judgement.reasons.map((reason) =>
    caution(
      `wiring.${reason.id.replaceAll(" ", "_")}`,
      `The wiring is refused: ${reason.text}.`,
      reason.id === "against poling"
        ? "Reverse the sign of the bias, or turn the poling of both layers, so that every field lies along its poling."
        : "Mend the wiring before any voltage goes on.",
    ),
  );
  const faults = electrical.judgement.flags.filter((flag) => flag.kind === "fault");
  const first = faults[0];
  if (first !== undefined && electrical.judgement.accepted)
    out.push(
      caution(
        "fault_depoling",
        `In a fault a layer is driven against its poling: ${first.text}.`,
        "Interlock the switch so that its output falls to the bias's own side when a rail is lost.",
        { field_V_m: first.field, limit_V_m: first.limit },
      ),
    );
  return out;
}

function fields(design: Design, figures: StripFigures): Caution[] {
  let highest = 0;
  for (const state of figures.states)
    for (const layer of state.layers) highest = Math.max(highest, layer.field_along_poling_V_m);
  if (highest <= design.limits.fieldWithPolingCaution) return [];
  return [
    caution(
      "field_high",
      `A layer sees ${say(highest, "field")}, above the ${say(design.limits.fieldWithPolingCaution, "field")} that is kept for long service.`,
      "Expect more hysteresis, heat and ageing; lower the voltage or take thicker layers for long runs.",
      { field_V_m: highest },
    ),
  ];
}

function build(design: Design, strip: StripModel): Caution[] {
  const out: Caution[] = [];
  const layers = design.strip.layers;
  const kind = (name: string) => design.materials[name]?.kind;
  const ceramic = Math.min(
    ...layers.filter((l) => kind(l.material) === "ceramic").map((l) => l.thickness),
  );
  const glue = Math.max(
    0,
    ...layers.filter((l) => kind(l.material) === "glue").map((l) => l.thickness),
  );
  if (glue > THICK_GLUE * ceramic)
    out.push(
      caution(
        "glue_thick",
        `A glue line of ${say(glue, "length")} is more than a tenth of the ceramic: it takes deflection and force, and it creeps.`,
        "Press the laminate to 20 µm to 50 µm or count on the figures with the glue as given.",
        { thickness_m: glue },
      ),
    );
  const ratio = strip.section.width / design.strip.freeLength;
  if (ratio > PLATE)
    out.push(
      caution(
        "plate",
        `The strip is ${ratio.toPrecision(2)} times as wide as it is long: it bends as a plate and the width factors carry more doubt.`,
        "Trust a measured resonance and deflection over these figures.",
        { width_over_length: ratio },
      ),
    );
  const t = design.surroundings.ambientTemperature;
  if (t < CERAMIC_RANGE[0] || t > CERAMIC_RANGE[1])
    out.push(
      caution(
        "temperature_range",
        `At ${say(t, "temperature")} the ceramic's properties are outside the range of the tables.`,
        "Measure capacitance and deflection at that temperature and enter them.",
        { temperature_K: t },
      ),
    );
  const { totalLength, freeLength } = design.strip;
  if (totalLength !== null && totalLength > freeLength + design.clamp.length + 0.05e-3)
    out.push(
      caution(
        "cutting",
        `The strip is ${say(totalLength, "length")} long and needs ${say(freeLength + design.clamp.length, "length")}: the rest is cut off, or left behind the clamp. The dust holds lead.`,
        "Cut wet, wipe, do not blow; gloves and a filter mask; check local rules and a qualified person for the waste. Test insulation again after the cut.",
        { cut_m: totalLength - freeLength - design.clamp.length },
      ),
    );
  if (electrodesSoldered(design))
    out.push(
      caution(
        "soldering",
        "Heat at a lead depoles the ceramic under it, and a warming strip charges itself.",
        "Keep the iron to 2 s to 3 s near the clamp, short all leads while heating and cooling.",
      ),
    );
  const mirror = design.masses.find((mass) => /mirror/i.test(mass.name));
  if (mirror !== undefined)
    out.push(
      caution(
        "laser",
        "A mirror on a moving strip throws the beam about the room.",
        "Use class 2 or less, enclose the path, keep it off eye height; check local rules and a qualified person.",
      ),
    );
  return out;
}

function electrodesSoldered(design: Design): boolean {
  return design.wiring !== undefined && design.electrodes.length > 0;
}

function mounting(design: Design, figures: StripFigures, seat: SeatFigures | null): Caution[] {
  const out: Caution[] = [];
  const swing = figures.swing_at_pad_m;
  const standOff = design.seat?.standOff ?? 0;
  if (seat !== null && swing !== null && swing > 0) {
    const pressing = seat.preload_at_zero_pressure_N / (figures.pad_stiffness_N_m * swing);
    if (pressing > PRESSING)
      out.push(
        caution(
          "pressed_hard",
          `The preload takes ${Math.round(pressing * 100)} % of the swing: the clamp line and the pad are stressed for nothing.`,
          `Turn the adjusting screw back; ${say(standOff, "length")} is set now.`,
          { preload_over_swing: pressing },
        ),
      );
    const shift = Math.abs(figures.thermal_shift_at_pad_m_K);
    if (shift * 10 > 0.1 * swing)
      out.push(
        caution(
          "thermal_shift",
          `The touch point moves ${say(shift, "length")} per kelvin: ten kelvin take more than a tenth of the swing.`,
          "Set the stand-off at working temperature, or take a strip that is symmetric about its vane.",
          { shift_m_K: shift },
        ),
      );
  }
  return out;
}
