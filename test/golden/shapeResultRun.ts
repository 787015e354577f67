import type {
  ShapeDriveFigures,
  ShapeResult,
  ShapeRunFigures,
} from "../../src/studies/shapeResult.ts";

/*
 * A comparison of drives that is written down, so that its text changes with the text alone. RC = 480 Ω · 20 nF =
 * 9.6 µs; the waveform has slopes of 75 V in 7.5 µs.
 */

const RUN: ShapeRunFigures = {
  peak_lift_m: 84e-6,
  open_delay_s: 105.4e-6,
  close_delay_s: 90e-6,
  impact_speed_m_s: 1.71,
  satellites: 2,
  satellite_lift_share: 0.33,
  satellite_gas_share: 0.32,
  reclosures: 0,
  gas_kg: 1.92e-9,
  peak_current_A: 0.3125,
  ringing_share: null,
};

type Command = NonNullable<ShapeDriveFigures["commands"]>[number];
const on = (time_s: number, state: Command["state"]): Command => ({
  time_s,
  state,
  voltage_V: null,
});
const at = (time_s: number, voltage_V: number): Command => ({ time_s, state: "wave", voltage_V });

function drive(
  id: string,
  shape: string,
  made_by: "switch" | "waveform",
  speeds: readonly [number, number],
  satellites: readonly [number, number],
  gas: number,
  commands: Command[],
): ShapeDriveFigures {
  const met = satellites[0] === 0;
  const run = (worst: 0 | 1) => ({
    ...RUN,
    impact_speed_m_s: speeds[worst],
    satellites: satellites[worst],
  });
  return {
    id,
    shape,
    made_by,
    edges: shape === "step" || made_by === "waveform" ? "both" : "closing only",
    remark: null,
    score: speeds[1] / 1.79 + satellites[1],
    need_met: met,
    unmet: met ? [] : ["satellites"],
    unmet_when_off: satellites[1] === 0 ? [] : ["satellites"],
    gas_over_step: gas,
    exact: run(0),
    low: run(1),
    high: run(0),
    worst: { impact_speed_m_s: speeds[1], satellites: satellites[1], ringing_share: null },
    commands,
  };
}

export function writtenResult(): ShapeResult {
  return {
    verdict: { met: true, binding: "satellites", text: "every requirement on the pulse is met" },
    margins: [
      {
        id: "satellites",
        requirement: "gas after the pulse has closed",
        value: 0,
        limit: 0.01,
        unit: "1",
        sense: "at most",
        margin: 1,
        met: true,
      },
    ],
    taken: "soft-landing",
    best: "soft-landing",
    best_by_switch: "soft-landing",
    gate_for_need_s: null,
    setting: {
      gate_s: 200e-6,
      frequency_error: 0.05,
      error_by: "stiffness",
      closed_state: "low",
      closed_V: -150,
      open_V: 0,
      held_Hz: 2773,
      floating_Hz: 2844,
      damping: 0.0167,
      resistance_open_ohm: 480,
      resistance_closed_ohm: 480,
      capacitance_F: 20e-9,
      on_time_min_s: 300e-9,
      slew_max_V_per_s: null,
      step_s: 1e-6,
    },
    drives: [
      drive("step", "step", "switch", [1.71, 1.79], [2, 2], 1, [on(0, "high"), on(2e-4, "low")]),
      drive("zv-switch", "ZV", "switch", [0.77, 0.88], [1, 2], 0.953, [
        on(0, "high"),
        on(200e-6, "low"),
        on(206.654e-6, "off"),
        on(376e-6, "low"),
      ]),
      drive("zv-waveform", "ZV", "waveform", [0.45, 0.5], [0, 1], 0.71, [
        at(0, -150),
        at(7.5e-6, -75),
        at(180e-6, -75),
        at(187.5e-6, 0),
        at(200e-6, 0),
        at(207.5e-6, -75),
        at(380e-6, -75),
        at(387.5e-6, -150),
      ]),
      drive("soft-landing", "soft landing", "switch", [0.27, 0.31], [0, 0], 0.82, [
        on(0, "high"),
        on(200e-6, "low"),
        on(206.654e-6, "off"),
        on(310e-6, "high"),
        on(312e-6, "off"),
        on(344e-6, "low"),
      ]),
    ],
    search: {
      made_by: "switch",
      landings: 150,
      landings_most: 150,
      status: "evaluations used",
      seed: 1,
    },
    timing: [
      { channel: "low", event: "off", delay_s: 0, uncertainty_s: null },
      { channel: "high", event: "on", delay_s: 300e-9, uncertainty_s: null },
      { channel: "gas", event: "half of the peak flow", delay_s: 57.6e-6, uncertainty_s: 6e-7 },
      { channel: "high", event: "off", delay_s: 200e-6, uncertainty_s: null },
      { channel: "interaction point", event: "gas arrives", delay_s: 6e-4, uncertainty_s: 6e-7 },
    ],
    reasons: {},
  };
}
