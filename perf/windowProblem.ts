import type { Design } from "../src/design/design.ts";
import { evaluate } from "../src/sheet/evaluate.ts";
import { designPadLaw } from "../src/sheet/seatState.ts";
import { designSection } from "../src/sheet/stripModel.ts";
import { windowRange } from "../src/studies/window.ts";

/** A design as perf/window_scipy.py reads it. RangeError for one without seat, pad or gas. */
export function windowProblem(design: Design, lengths: readonly number[], repeats: number) {
  const { pad, seat, gas, need, strip } = design;
  if (pad === undefined || seat === undefined || gas === undefined || pad.fromTip === null)
    throw new RangeError(
      "the comparison needs a design with gas, seat and a pad placed from the tip",
    );
  const result = evaluate(design, { detail: false });
  const closedState = result.wiring?.closed_state ?? "low";
  const voltages = (name: string) => {
    const state = result.strip.states.find((s) => s.name === name);
    return strip.layers.map((layer, i) => {
      const field = state?.layers.find((l) => l.layer === i)?.field_V_m ?? 0;
      return -field * layer.thickness;
    });
  };
  const section = designSection(design);
  const lever = pad.thickness / 2 + section.thickness / 2;
  const law = designPadLaw(design, pad, seat);
  const deep = 0.1 * pad.thickness;
  return {
    repeats,
    lengths,
    layers: section.layers.map((layer) => ({
      thickness: layer.thickness,
      width: layer.width,
      young: layer.youngModulus,
      density: layer.density,
      d31: layer.d31,
      eps33T: layer.epsilon33T,
      poling: layer.poling,
    })),
    dv: { open: voltages(closedState === "low" ? "high" : "low"), closed: voltages(closedState) },
    pad: {
      from_tip: pad.fromTip,
      stiffness: law.tangent(deep),
      seating: deep - law.force(deep) / law.tangent(deep),
    },
    // The pad hangs below the mid-plane of the strip.
    masses: [
      ...design.masses.map(({ mass, fromTip, rotaryInertia }) => ({
        mass,
        from_tip: fromTip ?? 0,
        inertia: rotaryInertia,
      })),
      { mass: pad.mass, from_tip: pad.fromTip, inertia: pad.mass * lever * lever },
    ],
    seat: {
      diameter: seat.diameter,
      stand_off: seat.standOff,
      opening_sign: seat.side === "below" ? 1 : -1,
      cd_curtain: seat.dischargeCurtain,
      cd_orifice: seat.dischargeOrifice,
    },
    gas: { gamma: gas.gamma, p0: need.plenumPressure, orifice: need.orificeDiameter },
  };
}

/** `count` lengths over the window's own range. */
export function windowLengths(design: Design, count: number): number[] {
  const { from, to } = windowRange(design);
  return Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1));
}
